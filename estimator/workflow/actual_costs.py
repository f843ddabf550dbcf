"""What jobs have cost so far: sums by kind and head, and the lines behind them.

The figures are sums over `catalogue.job_costs`, and nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, select

from catalogue import db
from catalogue.job_costs import job_costs
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import CUSTOMER_PAYMENT, INVOICE, INVOICE_LINE, REVISION, TIME_LINE
from estimator.workflow.database import at_work

KINDS = ("goods", "bought in", "labour", "overhead")


@dataclass(frozen=True, slots=True)
class HeadSum:
    """What a job has cost under a head; `group` is that of its hours."""

    job: str
    kind: str
    head: str
    group: str
    minutes: int
    amount: Money


@dataclass(frozen=True, slots=True)
class BookedHours:
    """One line of hours as it is booked; `taken_back` is the line that takes it back."""

    line: int
    job: str
    person: str
    on: date
    minutes: int
    group: str
    task: str
    cause: str
    amount: Money
    takes_back: int | None
    taken_back: int | None


@dataclass(frozen=True, slots=True)
class BookedBill:
    """One line of a bill as it is booked on a job; `cost` is what of its net is a cost beside the
    ledger of stock.
    """

    job: str
    supplier: str
    number: str
    on: date
    kind: str
    head: str
    order: int | None
    item: str
    name: str
    net: Money
    cost: Money


@dataclass(frozen=True)
class ActualCosts:
    """What was booked on jobs; `paid` is what their customers have paid."""

    sums: tuple[HeadSum, ...]
    hours: tuple[BookedHours, ...]
    bills: tuple[BookedBill, ...]
    paid: tuple[tuple[str, Money], ...]

    def total(self, job: str) -> Money:
        """Return the cost of a job."""
        amounts = [each.amount for each in self.sums if each.job == job]
        return Money(sum(each.minor for each in amounts), amounts[0].currency)


def actual_costs(database: str | None, job: str | None = None) -> ActualCosts:
    """Return what was booked on one job or on all, by job, kind and head.

    Raises:
        ProblemsFound: J001 if there is no such job.
    """
    with at_work(database) as work:
        known = {row.job_id: row.currency for row in work.execute(
            select(REVISION.c.job_id, REVISION.c.currency).order_by(
                REVISION.c.job_id, REVISION.c.number))}
        if job is not None and job not in known:
            raise ProblemsFound([Problem(
                "J001", Place(db.shown(work.engine.url)),
                f"no job '{job}' has been quoted in this database",
                suggestion(job, known) or "quote it first: estimator quote SURVEY")])
        cost = job_costs().subquery()
        keys = (cost.c.job_id, cost.c.kind, cost.c.head, cost.c.task_group)
        asked = select(*keys, func.sum(cost.c.quantity), func.sum(cost.c.amount_minor)).group_by(
            *keys)
        lines, payment, back = TIME_LINE.c, CUSTOMER_PAYMENT.c, TIME_LINE.alias("back").c
        hours = (select(TIME_LINE, back.id.label("back"))
                 .outerjoin(back.id.table, back.takes_back == lines.id).order_by(lines.id))
        paid = select(payment.job_id, func.sum(payment.amount_minor)).group_by(payment.job_id)
        row, bill = INVOICE_LINE.c, INVOICE.c
        bills = (select(INVOICE_LINE, bill.supplier, bill.number, bill.on_date)
                 .join(INVOICE, bill.id == row.invoice_id).where(row.job_id.is_not(None))
                 .order_by(row.invoice_id, row.line))
        if job is not None:
            asked = asked.where(cost.c.job_id == job)
            hours = hours.where(lines.job_id == job)
            paid = paid.where(payment.job_id == job)
            bills = bills.where(row.job_id == job)
        sums = [
            HeadSum(of, kind, head, group, int(quantity) if kind in KINDS[2:] else 0,
                    Money(int(amount), known[of]))
            for of, kind, head, group, quantity, amount in work.execute(asked)]
        sums.sort(key=lambda each: (each.job, KINDS.index(each.kind), each.head, each.group))
        return ActualCosts(
            tuple(sums),
            tuple(BookedHours(
                row.id, row.job_id, row.person, row.on_date, row.minutes, row.task_group, row.task,
                row.cause, Money(row.amount_minor, known[row.job_id]), row.takes_back, row.back)
                for row in work.execute(hours)),
            tuple(BookedBill(
                each.job_id, each.supplier, each.number, each.on_date, each.kind, each.head,
                each.order_number, each.item_code or "", each.name,
                Money(each.net_minor, known[each.job_id]),
                Money(each.cost_minor, known[each.job_id])) for each in work.execute(bills)),
            tuple(sorted((of, Money(int(amount), known[of]))
                         for of, amount in work.execute(paid))))
