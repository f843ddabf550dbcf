"""Practice values, norms, rules and settings that differ: what the firm reckons with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from estimator.difference.change import NORM, PRACTICE, RULE, SETTING, Change, in_words
from estimator.difference.inputs import Inputs
from estimator.labour.norms import Norm
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeTable, PracticeValue
from estimator.rules.entries import Entry
from estimator.settings import Settings

# Words that say why and from where, and decide nothing.
_WORDING = frozenset({"because", "meaning", "says", "source", "decides", "holds_if"})
_LETTERHEAD = frozenset({"name", "address", "phone", "email", "registration", "travel_base"})

Stated = Sequence[PracticeValue] | Sequence[PracticeTable]


def practice_changes(was: Practice, now: Practice, on: date) -> Iterator[Change]:
    """Yield each practice value or table that differs in what it says or when it holds."""
    for part in ("values", "tables"):
        old: Mapping[str, Stated] = getattr(was, part)
        new: Mapping[str, Stated] = getattr(now, part)
        for name in sorted({*old, *new}):
            before, after = old.get(name, ()), new.get(name, ())
            if [_stated(each) for each in before] != [_stated(each) for each in after]:
                yield Change(PRACTICE, name, _on(before, on), _on(after, on),
                             _practice_put(part, name, after))


def _stated(each: PracticeValue | PracticeTable) -> tuple[Any, ...]:
    says = each.value if isinstance(each, PracticeValue) else (each.columns, each.rows)
    return says, each.unit, each.from_date, each.to_date


def _on(stated: Stated, on: date) -> str:
    """Return in words what holds on the day."""
    for each in stated:
        if each.in_force(on):
            if isinstance(each, PracticeValue):
                return in_words(each.value, each.unit)
            return f"table of {len(each.rows)} rows"
    return ""


def _practice_put(part: str, name: str, stated: Stated) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = {**getattr(inputs.practice, part), name: stated}
        if not stated:
            del held[name]
        return replace(inputs, practice=replace(
            inputs.practice, **{part: dict(sorted(held.items()))}))

    return put


def norm_changes(was: Mapping[str, Norm], now: Mapping[str, Norm]) -> Iterator[Change]:
    """Yield each norm that differs in minutes, crew, group or place."""
    for name in dict.fromkeys((*now, *was)):
        before, after = was.get(name), now.get(name)
        if _work(before) != _work(after):
            yield Change(NORM, name, _norm_words(before), _norm_words(after),
                         _norm_put(name, after))


def _work(norm: Norm | None) -> tuple[Any, ...] | None:
    return None if norm is None else (
        norm.low, norm.likely, norm.high, norm.crew, norm.group, norm.on_site, norm.each_trip)


def _norm_words(norm: Norm | None) -> str:
    if norm is None:
        return ""
    minutes = "/".join(in_words(each) for each in (norm.low, norm.likely, norm.high))
    place = "" if norm.on_site else ", off site"
    trips = ", each journey" if norm.each_trip else ""
    return f"{minutes} min, crew {norm.crew}, {norm.group}{place}{trips}"


def _norm_put(name: str, norm: Norm | None) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = {key: each for key, each in inputs.norms.items() if key != name or norm}
        return replace(inputs, norms=held if norm is None else {**held, name: norm})

    return put


Key = tuple[bool, str]  # computed facts have names, all else ids; the two may be alike


def rule_changes(was: Sequence[Entry], now: Sequence[Entry]) -> Iterator[Change]:
    """Yield each rule, task, risk, check, assumption or computed fact that differs.

    What only words say differently is no change. Computed facts come first, since rules read them.
    """
    old, new = _by_key(was), _by_key(now)
    order = {key: at for at, key in enumerate(new)}
    for key in sorted(dict.fromkeys((*new, *old)), key=lambda key: not key[0]):
        before, after = old.get(key), new.get(key)
        if _decides(before) != _decides(after):
            yield Change(RULE, key[1], *_rule_words(before, after), _rule_put(key, after, order))


def _by_key(entries: Sequence[Entry]) -> dict[Key, Entry]:
    return {(each.kind == "fact", each.name): each for each in entries}


def _decides(entry: Entry | None) -> dict[str, Any] | None:
    return None if entry is None else {
        "": entry.kind, **{key: value for key, value in entry.data.items() if key not in _WORDING}}


def _rule_words(before: Entry | None, after: Entry | None) -> tuple[str, str]:
    old, new = _decides(before), _decides(after)
    if old is None or new is None:
        return ("" if old is None else "there"), ("taken away" if new is None else "added")
    differing = [key for key in dict.fromkeys((*new, *old)) if old.get(key) != new.get(key)]
    return _keys(old, differing), _keys(new, differing)


def _keys(data: Mapping[str, Any], keys: Sequence[str]) -> str:
    return in_words("; ".join(f"{key or 'kind'} {data[key]}" for key in keys if key in data))


def _rule_put(key: Key, entry: Entry | None, order: Mapping[Key, int]) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = _by_key(inputs.rules)
        if entry is None:
            del held[key]
        else:
            held[key] = entry
        ranked = sorted(held, key=lambda each: order.get(each, len(order)))
        return replace(inputs, rules=tuple(held[each] for each in ranked))

    return put


def setting_changes(was: Settings, now: Settings) -> Iterator[Change]:
    """Yield each figure of the settings that differs; the letterhead moves no money."""
    for section in type(now).model_fields:
        old, new = getattr(was, section), getattr(now, section)
        for name in type(new).model_fields:
            before, after = getattr(old, name), getattr(new, name)
            if before != after and name not in _LETTERHEAD:
                yield Change(SETTING, f"{section}.{name}", in_words(before), in_words(after),
                             _setting_put(section, name, after))


def _setting_put(section: str, name: str, value: Any) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = getattr(inputs.settings, section).model_copy(update={name: value})
        return replace(inputs, settings=inputs.settings.model_copy(update={section: held}))

    return put
