"""What customers paid for their jobs, or were paid back.

Codes of the problems: Z223 a payment that cannot be.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from sqlalchemy import func, insert, select

from catalogue.entering import user
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import CUSTOMER_PAYMENT, REVISION
from estimator.workflow.database import at_work
from estimator.workflow.hours import hold_jobs
from estimator.workflow.jobs import revision_number


@dataclass(frozen=True, slots=True)
class Paid:
    """A payment that was booked; `in_all` is what the customer has paid for the job so far."""

    job: str
    what: str
    on: date
    amount: Money
    in_all: Money


def pay(
    database: str | None, job: str, amount: Decimal, what: str, on: date, today: date
) -> Paid:
    """Book what the customer of a job paid (above zero) or was paid back (below).

    Raises:
        ProblemsFound: J001 for a job that is not there; Z223 for a payment that cannot be.
    """
    place = Place(f"job {job}")
    problems = []
    if not what.strip():
        problems.append(Problem("Z223", place, "it is not said what the payment is",
                                "say it, such as --what deposit"))
    if amount == 0:
        problems.append(Problem("Z223", place, "the payment is nought", "give its amount"))
    if on > today:
        problems.append(Problem("Z223", place, f"{on} is still to come, and today is {today}",
                                "book a payment once it is there"))
    with at_work(database, write=True) as work:
        number = revision_number(work, job)
        if problems:
            raise ProblemsFound(problems)
        hold_jobs(work, [job])
        currency = work.scalar(select(REVISION.c.currency).where(
            REVISION.c.job_id == job, REVISION.c.number == number)) or "GBP"
        work.execute(insert(CUSTOMER_PAYMENT).values(
            job_id=job, what=what.strip(), on_date=on,
            amount_minor=Money.of(amount, currency).minor,
            at=datetime.now(UTC).replace(microsecond=0), by=user()))
        in_all = work.scalar(select(func.sum(CUSTOMER_PAYMENT.c.amount_minor)).where(
            CUSTOMER_PAYMENT.c.job_id == job))
        work.commit()
    return Paid(job, what.strip(), on, Money.of(amount, currency), Money(int(in_all or 0),
                                                                         currency))
