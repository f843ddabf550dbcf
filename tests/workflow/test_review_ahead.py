"""What lies ahead, as the database adds it up."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

from sqlalchemy import Engine, insert

from catalogue.db import session
from catalogue.tables import CUSTOMER_PAYMENT, INVOICE
from estimator.review.backlog import Due, Owed, Waiting
from estimator.workflow.review_ahead import bills, owed, usual_week, waiting
from estimator.workflow.review_jobs import Wanted
from tests.workflow.finished import NOON, Finished, Worked, day, write

WANTED = Wanted(date(2026, 1, 1), date(2026, 12, 31), "GBP")
ON = date(2026, 6, 3)  # a Wednesday; its week begins on 1 June


def test_what_is_accepted_waits_until_it_is_commissioned(engine: Engine) -> None:
    """By hand: 20 h reckoned, 90 min worked: 18.5 h are left; who worked more has none left."""
    with session(engine) as work:
        write(work, Finished("J-1", on=None, state="accepted", worked=(Worked("roof", 90, 1),)),
              Finished("J-2", on=None, state="accepted", hours=D(1),
                       worked=(Worked("roof", 90, 1),)),
              Finished("J-3", state="accepted"), Finished("J-4", on=None, state="declined"))
        day(work, "J-1", "planned", date(2026, 7, 1), crew="A")  # the newest row holds
        assert waiting(work, WANTED) == [
            Waiting("J-1", 18_500, date(2026, 7, 1)), Waiting("J-2", 0, date(2026, 6, 1))]


def test_a_usual_week_is_the_mean_of_eight_whole_weeks(engine: Engine) -> None:
    """By hand: 6 April and 31 May are in, 5 April and 1 June out, and so is the office: 1,200 min
    in eight weeks are 2.5 h a week."""
    with session(engine) as work:
        write(work, Finished("J-1", worked=(
            Worked("roof", 600, 1, on_date=date(2026, 4, 6)),
            Worked("travel", 600, 1, on_date=date(2026, 5, 31)),
            Worked("office", 600, 1, on_date=date(2026, 5, 20)),
            Worked("roof", 600, 1, on_date=date(2026, 4, 5)),
            Worked("roof", 600, 1, on_date=date(2026, 6, 1)))))
        assert usual_week(work, ON) == 2_500


def test_what_is_owed_and_due_is_price_less_payments_and_bills_with_tax(engine: Engine) -> None:
    with session(engine) as work:
        write(work, Finished("J-1"), Finished("J-2", on=None, state="accepted"),
              Finished("J-3"), Finished("J-4", on=None, state="open"))
        for job, minor in (("J-1", 300_000), ("J-1", -50_000), ("J-3", 1_000_000)):
            work.execute(insert(CUSTOMER_PAYMENT).values(
                job_id=job, what="", on_date=ON, amount_minor=minor, at=NOON, by="a test"))
        for number, on, due in ((1, ON, None), (2, date(2026, 5, 1), date(2026, 6, 3)),
                                (3, date(2026, 5, 1), None), (4, ON, date(2026, 7, 1))):
            work.execute(insert(INVOICE).values(
                kind="invoice", supplier="Counter North", number=str(number), on_date=on,
                due_on=due, currency="GBP", net_minor=1_000, tax_minor=200, file_name="",
                digest="", at=NOON, by="a test"))
        assert owed(work, WANTED) == [
            Owed("J-1", 1_000_000, 250_000, date(2026, 6, 10)),
            Owed("J-2", 1_000_000, 0, date(2026, 6, 1))]
        assert bills(work, WANTED, ON) == [Due(ON, 2_400), Due(date(2026, 7, 1), 1_200)]
