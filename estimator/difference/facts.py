"""Facts that two surveys of one job say differently, in the order of the dictionary of facts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from estimator.difference.change import FACT, Change, in_words
from estimator.difference.inputs import Inputs
from estimator.survey.fact import Fact
from estimator.survey.group import Group, Obstruction
from estimator.survey.model import Survey
from estimator.survey.toml import REPEATED

# What the head of a survey says that moves money: what is asked for, and the day of the tax.
_HEADER = ("parts", "supply_date")

Put = Callable[[Survey], Survey]


def fact_changes(was: Survey, now: Survey) -> Iterator[Change]:
    """Yield each fact whose value differs; how it is known moves no money.

    Planes and legs are the same where their names are. One that only one survey has is one change
    as a whole.
    """
    for name in _HEADER:
        old, new = getattr(was.job, name), getattr(now.job, name)
        if old != new:
            yield _change(f"job.{name}", in_words(old), in_words(new), _header_put(name, new))
    for name in Survey.model_fields:
        if name in REPEATED:
            yield from _repeated(name, was, now)
        elif name != "job":
            for field, old, new in _differing(getattr(was, name), getattr(now, name)):
                yield _change(f"{name}.{field}", *_words(field, old, new, getattr(now, name)),
                              _group_put(name, field, new))


def _change(what: str, was: str, now: str, put: Put) -> Change:
    def put_in(inputs: Inputs) -> Inputs:
        return replace(inputs, survey=put(inputs.survey))

    return Change(FACT, what, was, now, put_in)


def _differing(was: Group, now: Group) -> Iterator[tuple[str, Any, Any]]:
    for field in type(now).model_fields:
        old, new = getattr(was, field), getattr(now, field)
        if field != "name" and _value(old) != _value(new):
            yield field, old, new


def _value(held: Any) -> Any:
    return held.value if isinstance(held, Fact) else held


def _words(field: str, old: Any, new: Any, group: Group) -> tuple[str, str]:
    extra = type(group).model_fields[field].json_schema_extra
    unit = str(extra.get("unit", "")) if isinstance(extra, dict) else ""
    return _said(old, unit), _said(new, unit)


def _said(held: Any, unit: str) -> str:
    value = _value(held)
    if isinstance(value, tuple) and value and isinstance(value[0], Obstruction):
        return in_words([f"{each.name} {each.width_m} x {each.height_m} m at {each.x_m}, {each.y_m}"
                         for each in value])
    return in_words(value, "" if value is None else unit)


def _header_put(name: str, value: Any) -> Put:
    return lambda survey: survey.model_copy(
        update={"job": survey.job.model_copy(update={name: value})})


def _group_put(name: str, field: str, value: Any) -> Put:
    return lambda survey: survey.model_copy(
        update={name: getattr(survey, name).model_copy(update={field: value})})


def _repeated(name: str, was: Survey, now: Survey) -> Iterator[Change]:
    old, new, scope = _named(was, name), _named(now, name), REPEATED[name]
    for key, group in new.items():
        title = f"{scope} '{key}'"
        if key not in old:
            yield _change(title, "", "added", _set(name, key, group, tuple(new)))
            continue
        for field, before, after in _differing(old[key], group):
            yield _change(f"{title}: {scope}.{field}", *_words(field, before, after, group),
                          _field_put(name, key, field, after))
    for key in old:
        if key not in new:
            yield _change(f"{scope} '{key}'", "there", "taken away",
                          _set(name, key, None, tuple(new)))


def _named(survey: Survey, name: str) -> dict[str, Group]:
    return {each.name: each for each in getattr(survey, name)}  # a survey gives no name twice


def _set(name: str, key: str, group: Group | None, order: tuple[str, ...]) -> Put:
    """Put in a plane or a leg where the newer survey has it, or take it away."""

    def put(survey: Survey) -> Survey:
        held = {**_named(survey, name), key: group}
        ranked = sorted(held, key=lambda each: order.index(each) if each in order else len(order))
        kept = tuple(held[each] for each in ranked if held[each] is not None)
        return survey.model_copy(update={name: kept})

    return put


def _field_put(name: str, key: str, field: str, value: Any) -> Put:
    def put(survey: Survey) -> Survey:
        held = tuple(
            each.model_copy(update={field: value}) if at == key else each
            for at, each in _named(survey, name).items())
        return survey.model_copy(update={name: held})

    return put
