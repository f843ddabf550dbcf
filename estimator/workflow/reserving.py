"""What a job reserves when it is accepted, and a new day for it.

Reserved is what the accepted revision buys or takes from the shelf, its waste allowance included;
hire, other firms' work, fees and options are not, and what lies in the boxes of other goods comes
with them. A quote that is not accepted reserves nothing. Accepted first is served first, ties by
job id (`catalogue.stock.free`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import ROUND_CEILING, Decimal

from sqlalchemy import Connection, select

from catalogue.items import COUNTED_UNITS
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.stock.ledger import Stock
from catalogue.stock.posting import Posted
from catalogue.stock_books import load_stock
from catalogue.stock_reserving import lock_items, lower_to, release, reserve
from catalogue.tables import RESERVATION
from estimator.cost import BOUGHT_IN_HEADS
from estimator.papers.contract import EstimateJson
from estimator.workflow.database import at_work
from estimator.workflow.jobs import kept_estimate, revision_number

_STEP = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Reserved:
    """What is reserved for a job from now on, and for which day."""

    job: str
    revision: int
    needed_on: date
    quantities: Mapping[str, Decimal]


def goods_of(estimate: EstimateJson) -> dict[str, Decimal]:
    """Return how much of each item a revision buys or takes from the shelf, by item.

    Counted goods are raised to whole pieces, others to a thousandth of their unit.
    """
    exact: dict[str, Decimal] = {}
    steps: dict[str, Decimal] = {}
    for line in estimate.lines:
        wanted = line.buy + line.allowance
        if wanted > 0 and not line.option and line.head not in BOUGHT_IN_HEADS:
            exact[line.item] = exact.get(line.item, Decimal(0)) + wanted
            steps[line.item] = Decimal(1) if line.unit in COUNTED_UNITS else _STEP
    return {item: exact[item].quantize(steps[item], ROUND_CEILING) for item in sorted(exact)}


def reserve_goods(
    work: Connection, estimate: EstimateJson, needed_on: date | None, posted: Posted, why: str
) -> Reserved:
    """Reserve the goods of a revision, less what its job has on site; the caller commits.

    The day is the one given, else the one on which the survey says that the work will be done,
    if that is still to come, else that of the posting.
    """
    job, wanted = estimate.job.id, goods_of(estimate)
    lock_items(work, wanted)
    stock = load_stock(work, wanted)
    still = {}
    for item, quantity in wanted.items():
        on_site = stock.with_jobs.get((job, item))
        still[item] = max(Decimal(0), quantity - (on_site.quantity if on_site else 0))
    if any((job, item) in stock.with_jobs for item in wanted):
        still.update((item, sticks) for item, sticks in _sticks_lacking(
            work, stock, estimate).items() if item in wanted)
    today = posted.at.astimezone().date()
    day = needed_on or max(estimate.job.supply_date or today, today)
    reserve(work, (job, estimate.revision), still, day, posted, why)
    return Reserved(job, estimate.revision, day, {i: n for i, n in still.items() if n})


def let_go_of_sticks(work: Connection, estimate: EstimateJson, posted: Posted) -> None:
    """Let go the whole sticks in whose place a job was given ends; the caller commits."""
    wanted = _sticks_lacking(work, load_stock(work, goods_of(estimate)), estimate)
    lower_to(work, estimate.job.id, wanted, posted, "ends were taken instead")


def _sticks_lacking(
    work: Connection, stock: Stock, estimate: EstimateJson
) -> dict[str, Decimal]:
    """Return how many whole sticks of each rail a job still has to be given."""
    from estimator.workflow.stick_cuts import given_to, stick_cuts
    from estimator.workflow.stock_shelves import site_of

    given = given_to(work, stock, estimate, site_of(estimate.job.id))
    return dict(stick_cuts(estimate, given).sticks)


def needed_before(work: Connection, job: str) -> date | None:
    """Return the day for which the goods of a job were reserved last; None if they never were."""
    r = RESERVATION.c
    day: date | None = work.scalar(
        select(r.needed_on).where(r.job_id == job).order_by(r.id.desc()).limit(1))
    return day


def reserve_again(
    database: str | None, job: str, needed_on: date | None, by: str, at: datetime
) -> Reserved:
    """Reserve the goods of an accepted job for another day, or for the first time.

    Raises:
        ProblemsFound: J001 for a job that is not there; Y117 for one that is not accepted.
    """
    from estimator.workflow.job_states import held_job

    with at_work(database, write=True) as work:
        revision_number(work, job)
        stands = held_job(work, job)
        if stands.state != "accepted" or stands.revision is None:
            raise ProblemsFound([Problem(
                "Y117", Place(f"job {job}"), f"the job is {stands.state}, and only an accepted one "
                "has goods reserved", f"estimator jobs accept {job} --name NAME")])
        posted, why = Posted(by, at), "for another day"
        release(work, job, posted, why)
        kept = kept_estimate(work, job, stands.revision)
        done = reserve_goods(work, kept, needed_on, posted, why)
        work.commit()
    return done
