"""One job: what it made against what was quoted, by head, cause and line; how far it is.

Amounts of a difference are above zero where it cost more than the standard.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from catalogue.money import round_half_up
from estimator.outcome.job_progress import JobProgress
from estimator.outcome.job_variances import KINDS, NOT_RECKONED, LineVariance, by_head, head_of
from estimator.outcome.parting import in_minor
from estimator.outcome.plan import PlanKind, PlanLine
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, count, listed

QUOTED, MADE = "margin as quoted", "margin made"
UNFINISHED = "The job is not closed: what is not done or billed yet looks like a saving here."
# What a share of a difference is called, by kind of line.
_CAUSES: Mapping[str, Mapping[str, str]] = {
    "labour": {"usage": "efficiency", "price": "rate"},
    "overhead": {"usage": "hours", "price": "rate"},
    "bought in": {"price": "charged otherwise"},
    "provision": {"usage": "not spent"},
    "goods": {"usage": "usage", "price": "price", "specification": "another item",
              "supplier": "another supplier"},
}
_SHARES = ("usage", "price", "specification", "supplier")


@dataclass(frozen=True)
class JobOutcome:
    """One job as it stands; all amounts in minor units of its currency.

    Attributes:
        closed: all of it is booked.
        first_net_minor: price of the revision that was accepted first, `first` its plan.
        net_minor: price now, with the variations agreed.
        agreed: how many variations were agreed.
        lines: against the standard; they hold what is still kept for warranty.
        names: of items.
    """

    job: str
    currency: str
    closed: bool
    first_net_minor: int
    first: tuple[PlanLine, ...]
    net_minor: int
    agreed: int
    lines: tuple[LineVariance, ...]
    names: Mapping[str, str]

    @property
    def first_cost_minor(self) -> int:
        """Return what it was reckoned to cost at first."""
        return sum(line.amount_minor for line in self.first)

    @property
    def standard_minor(self) -> int:
        """Return what it was reckoned to cost, with the variations agreed."""
        return sum(line.standard_minor for line in self.lines)

    @property
    def actual_minor(self) -> int:
        """Return what it has cost, with what is still held for warranty."""
        return sum(line.actual_minor for line in self.lines)


def job_reports(found: JobOutcome) -> tuple[Report, ...]:
    """Return what a job made, by head, by cause and by line.

    Of one that is not closed only heads and the lines on which something was spent.
    """
    if not found.closed:
        return (_heads(found), _lines(found))
    return (_money(found), _heads(found), _causes(found), _lines(found))


def _report(found: JobOutcome, name: str, question: str, answer: Sequence[str],
            columns: Sequence[ReportColumn], rows: Sequence[tuple[Cell, ...]],
            chart: Chart | None) -> Report:
    return Report(name, question, tuple(answer), tuple(columns), tuple(rows), found.currency, 1,
                  chart, () if found.closed else (UNFINISHED,))


def _money(found: JobOutcome) -> Report:
    columns = (ReportColumn("step", "Step"), ReportColumn("amount_minor", "Amount", "money"))
    quoted = found.first_net_minor - found.first_cost_minor
    rows: list[tuple[Cell, ...]] = [(QUOTED, quoted)]
    if found.net_minor != found.first_net_minor:
        rows.append(("variations: the customer pays", found.net_minor - found.first_net_minor))
    if found.standard_minor != found.first_cost_minor:
        rows.append(("variations: their cost", found.first_cost_minor - found.standard_minor))
    rows += [(_told_head(kind, head), -line.over_minor)
             for (kind, head), line in by_head(found.lines).items() if line.over_minor]
    rows.append((MADE, found.net_minor - found.actual_minor))
    return _report(found, "job-margin", "Did the job make money?", _answer(found), columns, rows,
                   Chart("waterfall", "step", ("amount_minor",)))


def _answer(found: JobOutcome) -> list[str]:
    quoted = found.first_net_minor - found.first_cost_minor
    made = found.net_minor - found.actual_minor
    return [
        f"It made {amount(made, found.currency)} ({_of(made, found.net_minor)}) against "
        f"{amount(quoted, found.currency)} ({_of(quoted, found.first_net_minor)}) quoted"
        f"{_mostly(found)}.", *_varied(found)]


def _varied(found: JobOutcome) -> list[str]:
    if not found.agreed:
        return []
    paid = found.net_minor - found.first_net_minor
    changed = paid - (found.standard_minor - found.first_cost_minor)
    pays = _more(paid, found) if paid else "nothing more"
    became = f"became {_more(changed, found)}" if changed else "stayed the same"
    return [f"{count(found.agreed, 'variation')} agreed: the customer pays {pays}, and the margin "
            f"reckoned {became}."]


def _of(part: int, whole: int) -> str:
    if not whole:
        return "of no price"
    return f"{Decimal(round_half_up(Fraction(1000 * part, whole))).scaleb(-1)} % of the price"


def _mostly(found: JobOutcome) -> str:
    """Return where most of the difference went or came from."""
    over = found.actual_minor - found.standard_minor
    shares = _shares(found.lines)
    if not over or not shares:
        return ", as reckoned" if not over else ""
    way = 1 if over > 0 else -1
    name, minor = max(shares.items(), key=lambda each: (way * each[1], each[0]))
    if way * minor <= 0:
        return ""
    verb = "most of it went on" if over > 0 else "most of what was saved came from"
    return f"; {verb} {name} ({amount(abs(minor), found.currency)})"


def _shares(lines: Sequence[LineVariance]) -> dict[str, int]:
    """Return each cause under each head, in words."""
    told: dict[str, int] = {}
    for line in lines:
        (head,) = by_head([line])
        for share in _SHARES:
            minor = getattr(line, f"{share}_minor")
            if minor:
                cause = NOT_RECKONED if line.note == NOT_RECKONED else _CAUSES[line.kind].get(
                    share, share)
                name = f"{_told_head(*head)}: {cause}"
                told[name] = told.get(name, 0) + minor
    return told


def _told_head(kind: str, head: str) -> str:
    return f"provision, {head}" if kind == "provision" else head or kind


def _heads(found: JobOutcome) -> Report:
    columns = (
        ReportColumn("head", "Head"),
        *(ReportColumn(f"{key}_minor", heading, "money", total=True) for key, heading in (
            ("quoted", "As quoted"), ("agreed", "Variations"), ("standard", "Standard"),
            ("actual", "Actual"), ("over", "Over"))))
    first: dict[tuple[PlanKind, str], int] = {}
    for line in found.first:
        first[head_of(line)] = first.get(head_of(line), 0) + line.amount_minor
    now = by_head(found.lines)
    rows: list[tuple[Cell, ...]] = []
    for key in sorted(first.keys() | now.keys(), key=_in_order):
        quoted, here = first.get(key, 0), now.get(key)
        standard, actual = (here.standard_minor, here.actual_minor) if here else (0, 0)
        if not (quoted or standard or actual):
            continue
        rows.append((_told_head(*key), quoted, standard - quoted, standard, actual,
                     actual - standard))
    over = found.actual_minor - found.standard_minor
    flexed = ("" if found.standard_minor == found.first_cost_minor else
              f", {amount(found.standard_minor, found.currency)} with the variations agreed")
    answer = (f"Reckoned at {amount(found.first_cost_minor, found.currency)}{flexed}; "
              f"{'it cost' if found.closed else 'so far it has cost'} "
              f"{amount(found.actual_minor, found.currency)}, {amount(abs(over), found.currency)} "
              f"{'over' if over > 0 else 'under'}.")
    told = [answer] if found.closed else [answer, *_varied(found)]
    return _report(found, "job-heads", "Where did plan and job part?", told, columns, rows,
                   Chart("bars", "head", ("standard_minor", "actual_minor")))


def _in_order(key: tuple[PlanKind, str]) -> tuple[int, str]:
    return KINDS.index(key[0]), key[1]


def _causes(found: JobOutcome) -> Report:
    columns = (ReportColumn("head", "Head"), *_share_columns())
    rows: list[tuple[Cell, ...]] = [
        (_told_head(kind, head), *(getattr(line, f"{share}_minor") for share in _SHARES),
         line.over_minor)
        for (kind, head), line in by_head(found.lines).items() if _differs(line)]
    largest = sorted(_shares(found.lines).items(), key=lambda each: (-abs(each[1]), each[0]))[:3]
    moved = [f"{name} {_more(minor, found)}" for name, minor in largest]
    answer = [f"Largest: {listed(moved)}." if moved else "Every line cost what it was reckoned to."]
    return _report(found, "job-causes", "By which cause?", answer, columns, rows,
                   Chart("stacked bars", "head", tuple(f"{share}_minor" for share in _SHARES)))


def _more(minor: int, found: JobOutcome) -> str:
    return f"{amount(abs(minor), found.currency)} {'more' if minor > 0 else 'less'}"


def _share_columns() -> tuple[ReportColumn, ...]:
    return tuple(ReportColumn(f"{key}_minor", heading, "money", total=True) for key, heading in (
        ("usage", "Usage or efficiency"), ("price", "Price or rate"),
        ("specification", "Another item"), ("supplier", "Another supplier"), ("over", "Over")))


def _differs(line: LineVariance) -> bool:
    return any(getattr(line, f"{share}_minor") for share in _SHARES)


def _lines(found: JobOutcome) -> Report:
    columns = (
        ReportColumn("line", "What"), ReportColumn("planned", "Reckoned", "number"),
        ReportColumn("used", "Used", "number"),
        ReportColumn("standard_minor", "Standard", "money", total=True),
        ReportColumn("actual_minor", "Actual", "money", total=True), *_share_columns(),
        ReportColumn("note", "Note"))
    told = [line for line in found.lines
            if line.actual_minor or (found.closed and line.standard_minor)]
    lines = sorted(told, key=lambda each: (-abs(each.over_minor), each.kind, each.head,
                                                  each.name))
    rows: list[tuple[Cell, ...]] = [
        (_named(line, found.names), line.planned or None, line.used or None, line.standard_minor,
         line.actual_minor, *(getattr(line, f"{share}_minor") for share in _SHARES),
         line.over_minor, line.note or None) for line in lines]
    apart = sum(map(_differs, lines))
    answer = [f"{apart} of {count(len(lines), 'line')} cost otherwise than reckoned; the largest "
              "difference stands first." if lines else "Nothing was spent yet."]
    return _report(found, "job-lines", "Which lines?", answer, columns, rows, None)


def _named(line: LineVariance, names: Mapping[str, str]) -> str:
    if line.kind == "goods" and line.name:
        return f"{names[line.name]} ({line.name})" if line.name in names else line.name
    if line.kind == "labour" and line.name:
        return f"{line.head}, {line.name}"
    return _told_head(line.kind, line.head)


def progress_report(found: JobOutcome, at: JobProgress, *, planned: bool) -> Report:
    """Return how far a job in progress is: earned value by part.

    Args:
        found: the job.
        at: how far it is.
        planned: it is known how much should be done by now.
    """
    columns = (
        ReportColumn("part", "Part"), ReportColumn("budget_minor", "Budget", "money", total=True),
        ReportColumn("done_share", "Done", "share"), ReportColumn("known_by", "Known by"),
        ReportColumn("earned_minor", "Earned", "money", total=True),
        ReportColumn("actual_minor", "Actual", "money", total=True))
    earned = in_minor({str(number): part.earned_minor for number, part in enumerate(at.parts)})
    rows: list[tuple[Cell, ...]] = [
        (_told_head(part.kind, part.head), part.budget_minor, part.done, part.measured or None,
         earned[str(number)], part.actual_minor) for number, part in enumerate(at.parts)]
    cautions = [
        "The budget is the standard without its provisions for risks and warranty.",
        "The forecast takes the rest of the job to cost what it has so far for the same work."]
    if at.by_hours:
        cautions.insert(0, f"{listed(at.by_hours)}: taken from hours, which say what was put in "
                        "and not what is done; state it with --done GROUP=PERCENT.")
    return Report(
        "job-progress", "How far is the job, and what will it cost?",
        tuple(_standing(found, at, planned)), columns, tuple(rows), found.currency, 1,
        Chart("bars", "part", ("budget_minor", "earned_minor", "actual_minor")), tuple(cautions))


def _standing(found: JobOutcome, at: JobProgress, planned: bool) -> list[str]:
    whole = at.whole

    def say(minor: Fraction) -> str:
        return amount(round_half_up(minor), found.currency)

    told = [f"Work worth {say(whole.earned)} of {say(whole.budget)} is earned"
            + (f", {say(whole.planned)} should be by now" if planned else "")
            + f"; it has cost {say(whole.actual)}."]
    if whole.cost_index is not None:
        told.append(f"Cost index {_index(whole.cost_index)} (earned / actual), "
                    f"{say(abs(whole.under_cost))} "
                    f"{'under' if whole.under_cost >= 0 else 'over'} what was earned.")
    if planned and whole.schedule_index is not None:
        told.append(f"Schedule index {_index(whole.schedule_index)} (earned / planned), "
                    f"{say(abs(whole.ahead))} {'ahead' if whole.ahead >= 0 else 'behind'}.")
    if whole.at_completion is not None and whole.over_budget is not None:
        told.append(
            f"At completion {say(whole.at_completion)} (budget / cost index), "
            f"{say(abs(whole.over_budget))} {'over' if whole.over_budget > 0 else 'under'} budget.")
    return told


def _index(index: Fraction) -> str:
    return f"{Decimal(round_half_up(index * 1000)).scaleb(-3)}"
