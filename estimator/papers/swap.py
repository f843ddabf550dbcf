"""What a substitute changes on a job, for the terminal and for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from catalogue.items import Item
from catalogue.substitutes import FieldVerdict
from estimator.buying.swaps import Swap
from estimator.papers import words
from estimator.papers.compared import LineChanged, hours_changed, lines_changed
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import FindingJson, LineJson
from estimator.papers.digits import plain
from estimator.papers.terminal import INDENT, clean, table, wrapped

_NAME = 44  # columns of an item's name
CONSENT = ("The quote names it: the customer must agree to the substitute, in writing, before it "
           "is ordered.")
NO_CONSENT = "The quote does not name it: no agreement of the customer is needed."


class Tried(Protocol):
    """A job without a substitute and with it."""

    @property
    def was(self) -> EstimateJson: ...  # noqa: D102
    @property
    def now(self) -> EstimateJson: ...  # noqa: D102
    @property
    def original(self) -> Item: ...  # noqa: D102
    @property
    def substitute(self) -> Item: ...  # noqa: D102
    @property
    def swaps(self) -> Sequence[Swap]: ...  # noqa: D102
    @property
    def verdicts(self) -> Sequence[FieldVerdict]: ...  # noqa: D102
    @property
    def consent(self) -> bool: ...  # noqa: D102
    @property
    def papers(self) -> Sequence[str]: ...  # noqa: D102


@dataclass(frozen=True)
class CheckChanged:
    """A check that is told otherwise, or only in one of two estimates; None where it is not."""

    code: str
    subject: str
    was: FindingJson | None
    now: FindingJson | None


@dataclass(frozen=True)
class BoxChanged:
    """Pieces of a part that come back from the boxes to the store, in both."""

    item: str
    name: str
    was: int
    now: int


def checks_changed(was: EstimateJson, now: EstimateJson) -> tuple[CheckChanged, ...]:
    """Return the checks, fine ones too, whose level, words, value or limit differ, in order."""
    old, new = ({(each.code, each.subject): each for each in made.findings} for made in (was, now))
    return tuple(
        CheckChanged(*key, old.get(key), new.get(key)) for key in dict.fromkeys((*old, *new))
        if _outcome(old.get(key)) != _outcome(new.get(key)))


def _outcome(each: FindingJson | None) -> tuple[str, ...] | None:
    return None if each is None else (each.level, each.says, each.value, each.limit)


def boxes_changed(was: EstimateJson, now: EstimateJson) -> tuple[BoxChanged, ...]:
    """Return what comes back to the store in other numbers, by item."""
    old, new = ({each.item: each for each in made.surplus} for made in (was, now))
    found = []
    for item in sorted({*old, *new}):
        pieces = [each[item].quantity if item in each else 0 for each in (old, new)]
        if pieces[0] != pieces[1]:
            found.append(BoxChanged(item, {**old, **new}[item].name, *pieces))
    return tuple(found)


# -- the terminal ----------------------------------------------------------------------------------


def swap_text(tried: Tried) -> str:
    """Return what the substitute changes, to read at 100 columns."""
    blocks = (_head(tried), _fields(tried), _lines(tried), _boxes(tried), _checks(tried),
              _hours(tried), _then(tried), [words.DEFERRAL])
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _head(tried: Tried) -> list[str]:
    was, now, currency = tried.was, tried.now, tried.now.currency
    rows = [
        (what, words.money(old, currency), words.money(new, currency),
         words.signed(new - old, currency))
        for what, old, new in (
            ("full cost", was.cost.total, now.cost.total),
            ("price, net", was.price.net, now.price.net),
            ("with tax", was.price.gross, now.price.gross))]
    before, after = (words.percent(made.price.margin) for made in (was, now))
    rows.append(("net margin", before, after, ""))
    return [
        *wrapped(f"Job {now.job.id}, made again from revision {now.revision} with prices of "
                 f"{words.day(now.on)}; nothing is kept.", ""),
        *wrapped(f"{_item(tried.substitute)} in place of {_item(tried.original)}", ""),
        *(["", *wrapped(f"{words.KIND[was.kind]} becomes {words.KIND[now.kind]}", "")]
          if was.kind != now.kind else []),
        "", *table(rows, "lrrr", ("", "without", "with", "change"))]


def _item(item: Item) -> str:
    return f"{item.name} ({item.code})"


def _fields(tried: Tried) -> list[str]:
    better = [each for each in tried.verdicts if each.verdict == "better"]
    equal = len(tried.verdicts) - len(better)
    first = f"{INDENT}better  "
    lines = [line for each in better for line in wrapped(f"{each.field}: {each.says}", first)]
    return ["HARD FIELDS", *lines, f"{INDENT}equal   {equal} more"]


def _lines(tried: Tried) -> list[str]:
    rows = [_line(each, tried.now.currency) for each in lines_changed(tried.was, tried.now)]
    headings = ("item", "what", "buy", "boxed", "change")
    return ["LINES OF THE BILL", *table(rows, "llllr", headings)] if rows else []


def _line(each: LineChanged, currency: str) -> tuple[str, ...]:
    line = each.now or each.was
    name = line.name if line is not None else ""
    short = name if len(name) <= _NAME else f"{name[:_NAME - 3].rstrip()}..."
    return (each.item, f"{short}{' (option)' if each.option else ''}",
            _from_to(_bought(each.was), _bought(each.now)),
            _from_to(_boxed(each.was), _boxed(each.now)), words.signed(each.cost, currency))


def _bought(line: LineJson | None) -> str:
    return "none" if line is None else words.count(line.buy, line.unit)


def _boxed(line: LineJson | None) -> str:
    return "" if line is None or not line.boxed else words.measure(line.boxed)


def _from_to(was: str, now: str) -> str:
    return was if was == now else f"{was or '0'} -> {now or '0'}"


def _boxes(tried: Tried) -> list[str]:
    rows = [(each.item, each.name, f"{each.was} -> {each.now}")
            for each in boxes_changed(tried.was, tried.now)]
    return ["COMES BACK TO THE STORE", *table(rows, "lll")] if rows else []


def _checks(tried: Tried) -> list[str]:
    found = checks_changed(tried.was, tried.now)
    lines = [line for each in found for line in _check(each)]
    same = len(tried.now.findings) - sum(each.now is not None for each in found)
    return ["CHECKS", *lines, f"{INDENT}told as before: {same}"]


def _check(each: CheckChanged) -> Iterator[str]:
    mark = "no more" if each.now is None else "new" if each.was is None else "changed"
    yield from wrapped(f"{each.subject}, {each.code}: {_told(each.was, each.now)}",
                       f"{INDENT}{mark:<8}")


def _told(was: FindingJson | None, now: FindingJson | None) -> str:
    if was is None or now is None:
        found = was or now
        return "" if found is None else f"{words.LEVEL[found.level]}, {found.says}{_figure(found)}"
    level = _from_to(words.LEVEL[was.level], words.LEVEL[now.level])
    limit = f", limit {now.limit} {now.unit}".rstrip() if now.limit else ""
    value = f" ({_from_to(was.value, now.value)} {now.unit}".rstrip() + f"{limit})" if (
        now.value) else ""
    return f"{level}, {now.says}{value}"


def _figure(found: FindingJson) -> str:
    return f" ({found.value} {found.unit}".rstrip() + ")" if found.value else ""


def _hours(tried: Tried) -> list[str]:
    rows = [(each.group, words.hours(each.was), words.hours(each.now))
            for each in hours_changed(tried.was, tried.now)]
    if not rows:
        return ["HOURS", f"{INDENT}as before: {words.hours(tried.now.hours.mean)}"]
    return ["HOURS", *table(rows, "lrr", ("person-hours, mean", "without", "with"))]


def _then(tried: Tried) -> list[str]:
    given = " ".join(f"--substitute {each.original}={each.substitute}" for each in tried.swaps)
    lines = wrapped(CONSENT if tried.consent else NO_CONSENT, INDENT)
    if tried.papers:
        lines += wrapped(f"to bring up to date: {', '.join(tried.papers)}", INDENT)
    quoted = f"to quote it: estimator quote SURVEY {given} --reason TEXT --name TEXT"
    lines += wrapped(quoted, INDENT)
    return ["THEN", *lines]


# -- machines --------------------------------------------------------------------------------------


def swap_data(tried: Tried) -> dict[str, Any]:
    """Return all of it as plain data; money in minor units."""
    was, now = tried.was, tried.now
    return {
        "job": now.job.id, "on": now.on.isoformat(), "currency": now.currency,
        "original": tried.original.code, "substitute": tried.substitute.code,
        "without": _totals(was), "with": _totals(now),
        "fields": [{"field": each.field, "verdict": each.verdict, "says": each.says}
                   for each in tried.verdicts],
        "lines": [{
            "item": each.item, "option": each.option, "change": each.cost,
            "without": _line_data(each.was), "with": _line_data(each.now),
        } for each in lines_changed(was, now)],
        "comes_back": [{"item": each.item, "without": each.was, "with": each.now}
                       for each in boxes_changed(was, now)],
        "checks": [{"code": each.code, "subject": each.subject, "without": _check_data(each.was),
                    "with": _check_data(each.now)} for each in checks_changed(was, now)],
        "hours": [{"group": each.group, "without": plain(each.was), "with": plain(each.now)}
                  for each in hours_changed(was, now)],
        "customer_must_agree": tried.consent, "papers": list(tried.papers),
    }


def _totals(made: EstimateJson) -> dict[str, Any]:
    return {"kind": made.kind, "cost": made.cost.total, "net": made.price.net,
            "gross": made.price.gross, "margin": plain(made.price.margin),
            "hours": plain(made.hours.mean)}


def _line_data(line: LineJson | None) -> dict[str, Any] | None:
    return None if line is None else {
        "need": plain(line.need), "boxed": plain(line.boxed), "buy": plain(line.buy),
        "packs": line.packs, "cost": line.cost, "waste_cost": line.waste_cost}


def _check_data(each: FindingJson | None) -> dict[str, str] | None:
    return None if each is None else {
        "level": each.level, "says": each.says, "value": each.value, "limit": each.limit,
        "unit": each.unit}
