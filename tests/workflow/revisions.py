"""A firm that quotes a job again and again, with a clock of its own, and what it changes between.
"""

from __future__ import annotations

import shutil
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, insert, select, update

from catalogue import db
from catalogue.tables import ITEM, OFFER
from estimator.buying.swaps import Swap
from estimator.papers.contract import EstimateJson
from estimator.workflow import jobs
from estimator.workflow.difference import Difference, DiffRequest, difference
from estimator.workflow.quote import DiscountAsked, QuoteRequest, quote
from estimator.workflow.start import start_firm

DEMO = Path(__file__).parents[2] / "demo_jobs"
ON = date(2026, 11, 2)


class Firm:
    """A firm's folder with one job in it; each quote is an hour after the last."""

    def __init__(
        self, folder: Path, database: Path, monkeypatch: pytest.MonkeyPatch,
        name: str = "storage-outside",
    ) -> None:
        start_firm(folder)
        shutil.copy(database, folder / "estimator.db")
        self.folder, self.database = folder, str(folder / "estimator.db")
        self.survey = folder / "jobs" / "survey.toml"
        shutil.copy(DEMO / name / "survey.toml", self.survey)
        self.clock = datetime.now(UTC).replace(microsecond=0) + timedelta(days=1)
        monkeypatch.setattr(jobs, "_now", lambda: self.clock)
        monkeypatch.chdir(folder)
        self.last: EstimateJson | None = None

    def quote(
        self, on: date = ON, discount: str = "", swaps: tuple[Swap, ...] = ()
    ) -> EstimateJson:
        self.clock += timedelta(hours=1)
        taken = DiscountAsked(discount, "a neighbour's job", "A. B.") if discount else None
        self.last = quote(QuoteRequest(
            self.survey, on, self.database, discount=taken, swaps=swaps, write_papers=False,
        )).estimate
        return self.last

    def fact(self, was: str, now: str) -> None:
        """Write a line of the survey otherwise."""
        text = self.survey.read_text(encoding="utf-8")
        assert text.count(was) == 1, was
        self.survey.write_text(text.replace(was, now), encoding="utf-8")

    def own(self, name: str, text: str) -> None:
        """Write a file of the firm's own."""
        (self.folder / name).write_text(text, encoding="utf-8")

    def price(self, item: str, more_minor: int) -> None:
        """Enter other prices of an item, half an hour after the last quote."""
        at = self.clock + timedelta(minutes=30)
        engine = db.open_database(self.database)
        with db.session(engine) as work:
            there = work.execute(select(OFFER).where(
                OFFER.c.item_code == item, OFFER.c.withdrawn_at.is_(None))).mappings().all()
            assert there, item
            work.execute(update(OFFER).where(
                OFFER.c.item_code == item, OFFER.c.withdrawn_at.is_(None)
            ).values(withdrawn_at=at))
            newest = work.scalar(select(func.max(OFFER.c.id)))
            work.execute(insert(OFFER), [
                {**row, "id": newest + n, "entered_at": at,
                 "price_minor": row["price_minor"] + more_minor}
                for n, row in enumerate(there, start=1)])
            work.commit()
        engine.dispose()

    def waste(self, item: str, share: str) -> None:
        """Give an item another share of waste."""
        from decimal import Decimal

        engine = db.open_database(self.database)
        with db.session(engine) as work:
            work.execute(update(ITEM).where(ITEM.c.code == item).values(waste=Decimal(share)))
            work.commit()
        engine.dispose()

    def diff(self, was: int = 1, now: int = 2, *, both_ways: bool = False) -> Difference:
        return difference(DiffRequest("D-101", was, now, self.database, both_ways))
