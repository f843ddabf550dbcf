"""What one review is asked about, and the rows that its reports share, read once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from sqlalchemy import Connection

from estimator.review.cells import JobsAlike
from estimator.review.open_quotes import Out
from estimator.review.suppliers import Ordered
from estimator.review.wording import count
from estimator.settings import Settings
from estimator.workflow import review_buying, review_jobs, review_quotes
from estimator.workflow.review_jobs import Wanted


@dataclass
class Asked:
    """A unit of work that reads, what is wanted of it, and the day it is looked at from."""

    work: Connection
    wanted: Wanted
    on: date
    settings: Settings
    database: str | None = None

    @property
    def currency(self) -> str:
        """Return the currency of all amounts."""
        return self.wanted.currency

    @cached_property
    def gathered(self) -> Connection:
        """Return the unit of work, with the finished jobs of the period laid out in it."""
        review_jobs.gather(self.work, self.wanted)
        return self.work

    @cached_property
    def left_out(self) -> str:
        """Return in words which jobs of the period are not among the finished ones; "" for none."""
        waiting, foreign = review_jobs.left_out(self.work, self.wanted)
        told = [f"{count(waiting, 'job')} commissioned in the period and not closed yet"] if (
            waiting) else []
        if foreign:
            told.append(f"{count(foreign, 'closed job')} sold in another currency than "
                        f"{self.currency}")
        return f"Left out: {'; '.join(told)}." if told else ""

    @property
    def jobs(self) -> int:
        """Return how many jobs were finished in the period."""
        return sum(cell.jobs for cell in self.alike)

    @cached_property
    def orders(self) -> list[Ordered]:
        """Return the orders that were sent in the period."""
        return review_buying.orders_of(self.work, self.wanted)

    @cached_property
    def quotes_out(self) -> list[Out]:
        """Return the quotes that are out on the day."""
        return review_quotes.quotes_out(
            self.work, self.wanted, self.on, self.settings.pricing.accept_rate)

    @cached_property
    def alike(self) -> list[JobsAlike]:
        """Return the finished jobs of the period, by cells."""
        return review_jobs.alike(self.gathered)
