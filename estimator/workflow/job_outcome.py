"""What one job came to against its standard, or how far it is; nothing is written.

Codes of the problems: Z451 a job that nobody accepted, Z452 a task group that has no hours, Z453
a share that is no per cent, Z454 a share of a job that is closed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from sqlalchemy import Connection, func, select

from catalogue.job_costs import LABOUR, OVERHEAD, job_costs
from catalogue.loading import load_price_book
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import ITEM, JOB, JOB_EVENT, MOVE, PLAN_LINE, REVISION, VARIATION_EVENT
from estimator.cost import WARRANTY_HEAD
from estimator.outcome.job_progress import job_progress
from estimator.outcome.job_variances import CostLine, Prices, variances
from estimator.outcome.plan import PlanLine
from estimator.papers.planned import plan_lines
from estimator.review.job_report import JobOutcome, job_reports, progress_report
from estimator.review.report import Review
from estimator.workflow.database import at_work
from estimator.workflow.firm import here
from estimator.workflow.job_days import newest_days
from estimator.workflow.jobs import kept_estimate, revision_number

INSTEAD = "instead of "
_MINUTES, _MILLI, _PERCENT = 60, 1000, 100
_SATURDAY = 5


@dataclass(frozen=True)
class OutcomeWanted:
    """What is asked.

    Attributes:
        on: the day from which it is looked at.
        done: "GROUP=PERCENT" of task groups, as somebody says.
        planned: per cent of the job that should be done by now; "" = by its days.
    """

    job: str
    on: date
    done: tuple[str, ...] = ()
    planned: str = ""


@dataclass(frozen=True, slots=True)
class _Accepted:
    """Which revision was accepted first and which holds now; None where none is."""

    event: str
    first: int | None
    now: int | None
    since: date


def job_outcome(database: str | None, wanted: OutcomeWanted) -> Review:
    """Return what a job made, or of one in progress also how far it is.

    Raises:
        ProblemsFound: J001 if there is no such job; Z451 to Z454, all at once.
    """
    with at_work(here(database)) as work:
        revision_number(work, wanted.job)
        stands = _accepted(work, wanted.job)
        if stands.first is None or stands.now is None:
            raise ProblemsFound([Problem(
                "Z451", Place(wanted.job), f"the job is {stands.event}, and only one that was "
                "accepted has a standard", f"estimator jobs accept {wanted.job} --name NAME")])
        found = _outcome(work, wanted.job, stands.first, stands.now, stands.event == "closed")
        done, planned = _stated(wanted, found)
        reports = list(job_reports(found))
        if not found.closed:
            if planned is None:
                planned = _planned_by_days(work, wanted.job, stands.now, wanted.on)
            at = job_progress(found.lines, done, planned or Fraction(0),
                              commissioned="commissioned" in newest_days(work, wanted.job))
            reports.insert(0, progress_report(found, at, planned=planned is not None))
        title = work.execute(select(JOB.c.title).where(JOB.c.id == wanted.job)).scalar_one()
        name = f"Job {wanted.job}" + (f": {title}" if title and title != wanted.job else "")
        return Review(name, (min(stands.since, wanted.on), wanted.on), {}, tuple(reports))


def _accepted(work: Connection, job: str) -> _Accepted:
    event, first, now, since = "open", None, None, date.max
    for row in work.execute(select(JOB_EVENT).where(JOB_EVENT.c.job_id == job)
                            .order_by(JOB_EVENT.c.id)):
        event = "open" if row.event == "reopened" else row.event
        if event in ("open", "declined"):
            first, now, since = None, None, date.max
        elif event == "accepted":
            first = row.revision if first is None else first
            now, since = row.revision, min(since, row.at.date())
        else:
            now = row.revision
    return _Accepted(event, first, now, since)


def _outcome(work: Connection, job: str, first: int, now: int, closed: bool) -> JobOutcome:
    sold = {row.number: row for row in work.execute(
        select(REVISION.c.number, REVISION.c.net_minor, REVISION.c.currency, REVISION.c.on_date,
               REVISION.c.made_at).where(REVISION.c.job_id == job))}
    standard, spent = _plan(work, job, now), _spent(work, job)
    instead = _instead(work, job)
    prices: Prices = {}
    if instead or _other_suppliers(standard, spent):
        prices = _prices(work, sold[first].on_date, {cost.code for cost in spent if cost.code})
    lines = variances(standard, spent, instead, prices, WARRANTY_HEAD)
    agreed = work.execute(
        select(func.count(func.distinct(VARIATION_EVENT.c.number)))
        .where(VARIATION_EVENT.c.job_id == job, VARIATION_EVENT.c.event == "agreed")).scalar_one()
    codes = {line.name for line in lines if line.kind == "goods" and line.name}
    names = {row.code: row.name for row in work.execute(
        select(ITEM.c.code, ITEM.c.name).where(ITEM.c.code.in_(sorted(codes))))}
    return JobOutcome(job, sold[now].currency, closed, sold[first].net_minor,
                      _plan(work, job, first), sold[now].net_minor, agreed, lines, names)


def _plan(work: Connection, job: str, number: int) -> tuple[PlanLine, ...]:
    """Return the plan of a revision; of one that was accepted before plans were kept, anew."""
    line = PLAN_LINE.c
    kept = tuple(
        PlanLine(row.kind, row.head, row.code, row.task_group, row.supplier, row.quantity,
                 row.amount_minor)
        for row in work.execute(select(PLAN_LINE).where(line.job_id == job, line.number == number)
                                .order_by(line.line)))
    return kept or plan_lines(kept_estimate(work, job, number))


def _spent(work: Connection, job: str) -> tuple[CostLine, ...]:
    cost = job_costs().subquery().c
    keys = (cost.kind, cost.head, cost.code, cost.task_group, cost.supplier)
    return tuple(
        CostLine(kind, head, code, group, supplier,
                 Fraction(int(quantity), _MINUTES if kind in (LABOUR, OVERHEAD) else _MILLI),
                 int(minor))
        for kind, head, code, group, supplier, quantity, minor in work.execute(
            select(*keys, func.sum(cost.quantity), func.sum(cost.amount_minor))
            .where(cost.job_id == job).group_by(*keys).order_by(*keys)))


def _instead(work: Connection, job: str) -> dict[str, str]:
    """Return which items were picked instead of which of the plan."""
    move = MOVE.c
    rows = work.execute(
        select(move.item_code, move.why).where(move.job_id == job, move.kind == "pick",
                                               move.why.startswith(INSTEAD))
        .order_by(move.id))
    return {row.item_code: row.why.removeprefix(INSTEAD) for row in rows}


def _other_suppliers(standard: Sequence[PlanLine], spent: Sequence[CostLine]) -> bool:
    planned = {line.supplier for line in standard if line.supplier}
    return any(cost.supplier and cost.code and cost.supplier not in planned for cost in spent)


def _prices(work: Connection, on: date, codes: set[str]) -> Prices:
    """Return what a unit of each item cost on the day of the quote, in all and by supplier."""
    book = load_price_book(work, on)
    found: dict[tuple[str, str], Fraction] = {}
    for code in sorted(codes):
        usual = book.offer(code)
        if usual is not None:
            found[code, ""] = Fraction(usual.unit_price_minor)
        for offer in book.offers.get(code, ()):
            found.setdefault((code, offer.supplier), Fraction(offer.unit_price_minor))
    return found


def _stated(wanted: OutcomeWanted, found: JobOutcome
            ) -> tuple[dict[str, Fraction], Fraction | None]:
    """Return what is said to be done by task group, and what should be."""
    groups = {line.name for line in found.lines if line.kind == "labour"}
    problems: list[Problem] = []
    done: dict[str, Fraction] = {}
    for text in wanted.done:
        group, _, share = text.partition("=")
        value = _share(share)
        if value is None:
            problems.append(_no_percent("--done", text, "write GROUP=PERCENT, such as roof=60"))
        elif group.strip() not in groups:
            problems.append(Problem(
                "Z452", Place("--done"), f"the job has no hours of '{group.strip()}'",
                suggestion(group.strip(), groups) or "leave it out"))
        else:
            done[group.strip()] = value
    planned = _share(wanted.planned) if wanted.planned else None
    if wanted.planned and planned is None:
        problems.append(_no_percent("--planned", wanted.planned, "write a number such as 40"))
    if found.closed and (wanted.done or wanted.planned):
        problems.append(Problem(
            "Z454", Place("--done" if wanted.done else "--planned"),
            "the job is closed, so all of it is done", "leave --done and --planned out"))
    if problems:
        raise ProblemsFound(problems)
    return done, planned


def _no_percent(option: str, text: str, mend: str) -> Problem:
    return Problem("Z453", Place(option), f"'{text}' holds no per cent from 0 to 100", mend)


def _share(text: str) -> Fraction | None:
    try:
        number = Decimal(text.strip().removesuffix("%").strip())
    except InvalidOperation:
        return None
    return Fraction(number) / _PERCENT if number.is_finite() and 0 <= number <= _PERCENT else None


def _planned_by_days(work: Connection, job: str, revision: int, on: date) -> Fraction | None:
    """Return what share of its days on site has gone by, Mondays to Fridays; None without a day."""
    days = newest_days(work, job)
    start = next((days[what].on for what in ("begun", "planned") if what in days), None)
    if start is None:
        return None
    whole = Fraction(kept_estimate(work, job, revision).hours.days)
    gone = sum(1 for at in range((on - start).days + 1)
               if (start + timedelta(days=at)).weekday() < _SATURDAY)
    return min(Fraction(1), gone / whole) if whole else Fraction(1)
