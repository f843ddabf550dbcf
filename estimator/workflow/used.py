"""What a job has used: picked + bought - returned, line by line, with what it costs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection

from catalogue.loading import load_items
from catalogue.stock.ledger import Stock
from catalogue.stock_books import load_stock, stored_moves
from estimator.papers.contract import EstimateJson
from estimator.workflow.database import at_work
from estimator.workflow.firm import here
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.stock_sheet import accepted_revision

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class UsedLine:
    """What was used of an item.

    Attributes:
        line: of the bill; 0 for an item that is not in it.
        cost_minor: what it left the stock with, or was bought for, less what came back.
        planned_minor: what the bill counts for it.
    """

    line: int
    item: str
    name: str
    unit: str
    picked: Decimal
    bought: Decimal
    returned: Decimal
    cost_minor: int
    planned_minor: int

    @property
    def used(self) -> Decimal:
        """Return picked + bought - returned."""
        return self.picked + self.bought - self.returned


@dataclass(frozen=True)
class Used:
    """What a job has used, by line of its bill; what is not in the bill stands last."""

    job: str
    revision: int
    currency: str
    lines: tuple[UsedLine, ...]

    @property
    def cost_minor(self) -> int:
        """Return what all of it costs."""
        return sum(line.cost_minor for line in self.lines)

    @property
    def planned_minor(self) -> int:
        """Return what the bill counts for the same lines."""
        return sum(line.planned_minor for line in self.lines)


def job_used(database: str | None, job: str) -> Used:
    """Return what an accepted job has used so far, or a closed one in all.

    Raises:
        ProblemsFound: J001 for a job that is not there, Y202 for one that is neither.
    """
    with at_work(here(database)) as work:
        estimate = accepted_revision(work, job, ("accepted", "closed"))
        return used_by(work, kept_estimate(work, job, estimate.revision))


def used_by(work: Connection, estimate: EstimateJson) -> Used:
    """Return what a job has used, by the moves of the ledger."""
    job = estimate.job.id
    stock = load_stock(work)
    held, sums = stock.with_jobs, _sums(work, stock, job)
    items = {item.code: item for item in load_items(work, sums)}
    planned: dict[str, int] = {}
    lines: dict[str, int] = {}
    for line in estimate.lines:
        if not line.option:
            planned[line.item] = planned.get(line.item, 0) + line.cost + line.waste_cost
            lines.setdefault(line.item, line.line)
    found = [
        UsedLine(lines.get(code, 0), code, items[code].name, items[code].unit, *sums[code],
                 held[job, code].value_minor if (job, code) in held else 0, planned.get(code, 0))
        for code in sums]
    found.sort(key=lambda each: (not each.line, each.line, each.item))
    return Used(job, estimate.revision, estimate.currency, tuple(found))


def _sums(
    work: Connection, stock: Stock, job: str
) -> Mapping[str, tuple[Decimal, Decimal, Decimal]]:
    """Return what was picked, brought straight to the site, and returned, of each item."""
    sums: dict[str, list[Decimal]] = {}
    for move in stored_moves(work):
        kind = {"pick": 0, "receive": 1, "return": 2}.get(move.kind)
        into_stock = move.kind == "receive" and stock.owns(move.to_place)
        if move.job == job and kind is not None and not into_stock:
            mine = sums.setdefault(move.item, [NOTHING] * 3)
            mine[kind] += move.quantity
    return {code: (each[0], each[1], each[2]) for code, each in sorted(sums.items())}
