"""What have newer prices done to the quotes that are out?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from catalogue.money import round_half_up
from estimator.review.report import Report, ReportColumn
from estimator.review.wording import amount, count


@dataclass(frozen=True, slots=True)
class Moved:
    """An open quote that was run again, in minor units; `binds` is one that must be kept."""

    job: str
    net_minor: int
    cost_then_minor: int
    cost_now_minor: int
    margin_then: Fraction
    margin_now: Fraction
    binds: bool


def drifting(quotes: Sequence[Moved], not_run: int, minimum: Fraction, chance: Fraction,
             currency: str) -> Report:
    """Return the report on open quotes run again at the prices of the day.

    Args:
        quotes: that could be run.
        not_run: how many could not.
        minimum: margin below which only the owner signs.
        chance: share of open quotes that are taken in the end.
        currency: of all amounts.
    """
    listed = sorted(quotes, key=lambda each: (not each.binds, -_dearer(each), each.job))
    binding = [each for each in quotes if each.binds]
    exposed = sum(max(0, _dearer(each)) for each in binding)
    fell = sum(each.margin_now < minimum <= each.margin_then for each in binding)
    said = [
        f"{count(len(binding), 'quote')} that {'binds' if len(binding) == 1 else 'bind'} would "
        f"lose {amount(exposed, currency)} together, "
        f"{amount(round_half_up(exposed * chance), currency)} times the usual chance; {fell} fell "
        "under the minimum margin."]
    if not_run:
        said.append(f"{count(not_run, 'quote')} could not be run again: estimator prices drift "
                    "says why.")
    return Report(
        name="drift", question="What have newer prices done to the quotes that are out?",
        answer=tuple(said),
        columns=(
            ReportColumn("job", "Job"), ReportColumn("net_minor", "Quoted", "money"),
            ReportColumn("then_minor", "Cost then", "money"),
            ReportColumn("now_minor", "Cost now", "money"),
            ReportColumn("dearer_minor", "Dearer by", "money"),
            ReportColumn("then_share", "Margin then", "share"),
            ReportColumn("now_share", "Margin now", "share"),
            ReportColumn("binds", "Binds")),
        rows=tuple((each.job, each.net_minor, each.cost_then_minor, each.cost_now_minor,
                    _dearer(each), each.margin_then, each.margin_now, each.binds)
                   for each in listed),
        currency=currency, jobs=len(quotes))


def _dearer(each: Moved) -> int:
    return each.cost_now_minor - each.cost_then_minor
