"""A review reads the same from a PostgreSQL server as from SQLite: every report, cell by cell."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

import pytest
from sqlalchemy import insert

from catalogue.db import open_database, session
from catalogue.tables import (
    CUSTOMER_PAYMENT,
    PLACE,
    PURCHASE_LINE,
    PURCHASE_ORDER,
    VARIATION,
    VARIATION_EVENT,
)
from estimator.review.report import Review
from estimator.workflow.review import ReviewRequest, review
from tests.workflow.finished import NOON, Finished, Worked, day, write

pytestmark = pytest.mark.postgres

YEAR = (date(2026, 1, 1), date(2026, 12, 31))
BY = {"at": NOON, "by": "a test"}
PLAN = (("goods", "storage", "", "", D(2), 600_000),
        ("labour", "labour", "t", "roof", D(9), 90_000),
        ("provision", "warranty", "", "", D(0), 1_520))


def firm(number: int, **about: object) -> Finished:
    """A job whose hours and goods differ a little from those of the others."""
    return Finished(
        f"J-{number:02d}", plan=PLAN, crew="AB"[number % 2],
        covering=("slate", "tile")[number % 3 > 0],
        worked=(Worked("roof", 540 + 7 * number, 90_000 + number, 40_000),
                Worked("rework", 20, 1_000, 500, cause="leak"), Worked("waiting", 10, 400)),
        bills=(("goods", "storage", "Counter North", 610_000, 610_000 + number),),
        **about)  # type: ignore[arg-type]


def reviewed(url: str) -> Review:
    engine = open_database(url)
    with session(engine) as work:
        write(work, *(firm(number) for number in range(12)),
              *(firm(20 + number, on=None, state=state) for number, state in enumerate(
                  ("open", "accepted", "declined"))))
        for number in (20, 21, 22):
            day(work, f"J-{number}", "sent", date(2026, 6, 20), chance=40)
        work.execute(insert(VARIATION).values(
            job_id="J-00", number=1, found="", photo="", reason="hidden", changes="",
            before_revision=1, after_revision=1, chargeable=True, cost_minor=900, price_minor=700,
            **BY))
        work.execute(insert(VARIATION_EVENT).values(
            job_id="J-00", number=1, event="agreed", on_date=date(2026, 6, 2), writing="", **BY))
        work.execute(insert(CUSTOMER_PAYMENT).values(
            job_id="J-21", what="deposit", on_date=date(2026, 6, 2), amount_minor=1_000, **BY))
        work.execute(insert(PLACE).values(name="the store", kind="store", note=""))
        work.execute(insert(PURCHASE_ORDER).values(
            number=1, supplier="Counter North", on_date=date(2026, 6, 1), wanted_on=None,
            currency="GBP", carriage_minor=0, least_minor=0, advised_minor=0,
            to_place="the store", job_id=None, address="", receiver="", note="", **BY))
        work.execute(insert(PURCHASE_LINE).values(
            order_number=1, line=1, item_code="03025-TE", name="", unit="m", supplier_code="",
            quantity=D(10), pack=D(1), per=D(1), price_minor=300, cut_charge_minor=0,
            carriage_class="", quoted="", price_from=date(2026, 1, 1), price_until=None,
            lead_days=2, needed_on=None, comes_on=date(2026, 6, 4), serials=False, family="cable"))
        work.commit()
    engine.dispose()
    return review(
        ReviewRequest(YEAR, date(2026, 6, 30), url, compare=(date(2025, 1, 1), date(2025, 12, 31)),
                      filters={"kind": ["storage"]}), lambda done, of: None)


def test_every_report_is_the_same_on_both(postgres_url: str, starter_url: str) -> None:
    there, here = reviewed(postgres_url), reviewed(starter_url)
    assert there == here
    assert {report.jobs for report in here.reports if report.name.startswith("margin")} == {12}
