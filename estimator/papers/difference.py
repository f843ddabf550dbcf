"""What changed between two revisions, by cause: for the terminal and for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Protocol

from estimator.difference.change import CAUSES, Change
from estimator.difference.inputs import Totals
from estimator.difference.steps import NOTHING, Step, by_cause
from estimator.papers import words
from estimator.papers.compared import (
    HoursChanged,
    LineChanged,
    findings_changed,
    hours_changed,
    lines_changed,
)
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import FindingJson
from estimator.papers.digits import plain
from estimator.papers.exact_json import whole_or_text
from estimator.papers.terminal import INDENT, clean, table, wrapped

_WHAT = 46  # columns of a step's words; what is longer is cut
_ORDER = ", ".join(CAUSES)


class Told(Protocol):
    """Two kept revisions and the steps from one to the other."""

    @property
    def was(self) -> EstimateJson: ...  # noqa: D102
    @property
    def now(self) -> EstimateJson: ...  # noqa: D102
    @property
    def steps(self) -> Sequence[Step]: ...  # noqa: D102
    @property
    def both_ways(self) -> bool: ...  # noqa: D102
    @property
    def notes(self) -> Sequence[str]: ...  # noqa: D102


def difference_text(told: Told, *, every_step: bool = False) -> str:
    """Return the difference to read at 100 columns.

    Args:
        told: the difference.
        every_step: show the changes that move no money too.
    """
    blocks = (
        _head(told), _causes(told), _steps(told, every_step), *changed_blocks(told.was, told.now),
        [line for note in told.notes for line in wrapped(note, "note: ")],
        [words.DEFERRAL],
    )
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _head(told: Told) -> list[str]:
    was, now = told.was, told.now
    rows = [
        (f"revision {each.revision}", words.day(each.on), words.KIND[each.kind].lower(),
         words.money(each.cost.total, each.currency), words.money(each.price.net, each.currency),
         words.money(each.price.gross, each.currency)) for each in (was, now)]
    change = _totals(now) - _totals(was)
    rows.append(("change", "", "", *_three(change, now.currency)))
    headings = ("", "prices of", "kind", "full cost", "price, net", "with tax")
    return [*wrapped(f"Job {now.job.id}: what changed from revision {was.revision} to "
                     f"{now.revision}", ""), *table(rows, "lllrrr", headings)]


def _totals(kept: EstimateJson) -> Totals:
    return Totals(kept.cost.total, kept.price.net, kept.price.gross)


def _three(share: Totals, currency: str) -> tuple[str, str, str]:
    cost, net, gross = (
        words.signed(each, currency) for each in (share.cost, share.net, share.gross))
    return cost, net, gross


def _causes(told: Told) -> list[str]:
    found = by_cause(told.steps)
    if not found:
        return ["Nothing that decides a price differs."]
    currency = told.now.currency
    rows = [(cause, *_three(share, currency)) for cause, share in found.items()]
    rows.append(("all", *_three(sum(found.values(), NOTHING), currency)))
    return ["BY CAUSE", *table(rows, "lrrr", ("cause", "full cost", "price, net", "with tax"))]


def _steps(told: Told, every_step: bool) -> list[str]:
    shown = [each for each in told.steps if every_step or not each.share.moves_nothing]
    idle = len(told.steps) - len(shown)
    lines = ["STEP BY STEP", *wrapped(_way(told.both_ways), INDENT)] if told.steps else []
    reached = told.was.price.net
    rows: list[tuple[str, ...]] = []
    for step in shown:
        reached += step.share.net
        rows += _step(step, reached, told.now.currency)
    lines += table(rows, "llrrr", ("cause", "what", "full cost", "price, net", "price reached"))
    if idle:
        more = " more" if shown else ""
        changes = "change moves" if idle == 1 else "changes move"
        lines += wrapped(f"{idle}{more} {changes} no money (--all lists them)", INDENT)
    return lines


def _way(both_ways: bool) -> str:
    if both_ways:
        return ("Each change is the mean of two shares: replaced one after another in the order "
                f"{_ORDER}, and in the opposite one.")
    return ("The changes are replaced one after another in the order "
            f"{_ORDER}; what comes first is valued at the old level of what comes after it.")


def _step(step: Step, reached: int, currency: str) -> Iterator[tuple[str, ...]]:
    for at, change in enumerate(step.changes):
        figures = ("", "", "") if at else (
            words.signed(step.share.cost, currency), words.signed(step.share.net, currency),
            words.money(reached, currency))
        yield (change.cause, _cut(f"and {change.what}" if at else change.what), *figures)
        for line in _from_to(change):
            yield ("", _cut(INDENT + line), "", "", "")


def _from_to(change: Change) -> list[str]:
    """Return what was and what is, on one line if it fits."""
    if not (change.was or change.now):
        return []
    was, now = change.was or "none", change.now or "none"
    whole = f"{was} -> {now}"
    return [whole] if len(INDENT + whole) <= _WHAT else [f"{was} ->", now]


def _cut(text: str) -> str:
    return text if len(text) <= _WHAT else text[: _WHAT - 3].rstrip() + "..."


def changed_blocks(was: EstimateJson, now: EstimateJson) -> tuple[list[str], ...]:
    """Return lines of the bill, findings and hours that are otherwise, each with its heading."""
    return _lines(was, now), _findings(was, now), _hours(was, now)


def _lines(was: EstimateJson, now: EstimateJson) -> list[str]:
    rows = [_line(each, now.currency) for each in lines_changed(was, now)]
    headings = ("item", "what", "buy", "cost", "change")
    return ["LINES OF THE BILL", *table(rows, "lllrr", headings)] if rows else []


def _line(each: LineChanged, currency: str) -> tuple[str, ...]:
    line = each.now or each.was
    if line is None:
        return ("", "", "", "", "")
    old, new = ("" if one is None else words.count(one.buy, one.unit)
                for one in (each.was, each.now))
    bought = old if old == new else f"{old or 'none'} -> {new or 'none'}"
    cost = words.money(line.cost + line.waste_cost if each.now else 0, currency)
    option = " (option)" if each.option else ""
    return each.item, _cut(line.name[:34] + option), bought, cost, words.signed(each.cost, currency)


def _findings(was: EstimateJson, now: EstimateJson) -> list[str]:
    gone, new = findings_changed(was, now)
    lines = [line for mark, found in (("no more", gone), ("new", new)) for each in found
             for line in _finding(mark, each)]
    return ["FINDINGS", *lines] if lines else []


def _finding(mark: str, each: FindingJson) -> list[str]:
    passed = f" (let pass by {each.let_pass_by})" if each.let_pass_by else ""
    return wrapped(f"{words.LEVEL[each.level]} {each.subject}: {each.says}{passed}",
                   f"{INDENT}{mark:<8}")


def _hours(was: EstimateJson, now: EstimateJson) -> list[str]:
    rows = [_group(each) for each in hours_changed(was, now)]
    return ["HOURS", *table(rows, "lrr", ("person-hours, mean", "was", "now"))] if rows else []


def _group(each: HoursChanged) -> tuple[str, ...]:
    return each.group, words.hours(each.was), words.hours(each.now)


def difference_data(told: Told) -> dict[str, Any]:
    """Return all of it as plain data; money in minor units, every step."""
    return {
        "job": told.now.job.id, "currency": told.now.currency,
        "order": list(CAUSES), "both_ways": told.both_ways,
        "was": {"revision": told.was.revision, **_shares(_totals(told.was))},
        "now": {"revision": told.now.revision, **_shares(_totals(told.now))},
        "change": _shares(_totals(told.now) - _totals(told.was)),
        "causes": [{"cause": cause, **_shares(share)}
                   for cause, share in by_cause(told.steps).items()],
        "steps": [_step_data(step) for step in told.steps],
        **changed_data(told.was, told.now),
        "notes": list(told.notes),
    }


def changed_data(was: EstimateJson, now: EstimateJson) -> dict[str, Any]:
    """Return lines of the bill, findings and hours that are otherwise, as plain data."""
    gone, new = findings_changed(was, now)
    return {
        "lines": [_line_data(each) for each in lines_changed(was, now)],
        "findings": {"gone": [_finding_data(each) for each in gone],
                     "new": [_finding_data(each) for each in new]},
        "hours": [{"group": each.group, "was": whole_or_text(each.was),
                   "now": whole_or_text(each.now)} for each in hours_changed(was, now)],
    }


def _shares(share: Totals) -> dict[str, int]:
    return {"cost": share.cost, "net": share.net, "gross": share.gross}


def _step_data(step: Step) -> dict[str, Any]:
    return {
        "changes": [{"cause": each.cause, "what": each.what, "was": each.was, "now": each.now}
                    for each in step.changes],
        **_shares(step.share),
    }


def _line_data(each: LineChanged) -> dict[str, Any]:
    was, now = ({"buy": plain(one.buy), "cost": one.cost + one.waste_cost} if one else None
                for one in (each.was, each.now))
    return {"item": each.item, "option": each.option, "was": was, "now": now, "change": each.cost}


def _finding_data(each: FindingJson) -> dict[str, str]:
    return {"code": each.code, "level": each.level, "subject": each.subject, "says": each.says}
