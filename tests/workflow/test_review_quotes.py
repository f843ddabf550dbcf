"""Quotes and omissions as the database adds them up."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal as D

from sqlalchemy import Engine, insert

from catalogue.db import session
from catalogue.tables import JOB_EVENT, QUOTED, REVISION, VARIATION, VARIATION_EVENT
from estimator.review.concentration import Share
from estimator.review.omissions import Omission
from estimator.review.open_quotes import Out
from estimator.review.win_rate import Band
from estimator.workflow import review_quotes, review_sums
from estimator.workflow.review_jobs import Wanted, gather
from tests.workflow.finished import NOON, Finished, Worked, day, write

YEAR = Wanted(date(2026, 1, 1), date(2026, 12, 31), "GBP")
ON = date(2026, 6, 1)


def quote(job: str, state: str, cost_minor: int = 850_000, valid_until: date = ON,
          **about: object) -> Finished:
    return Finished(job, on=None, state=state, standard_minor=cost_minor,
                    more={"valid_until": valid_until}, **about)  # type: ignore[arg-type]


def revised(work: object, job: str, net_minor: int) -> None:
    """Write a second revision of a job, at another price and the same cost."""
    work.execute(insert(REVISION).values(  # type: ignore[attr-defined]
        job_id=job, number=2, on_date=ON, survey_text="", estimate_json="{}",
        inputs_digest="0" * 64, made_at=NOON, kind="firm", net_minor=net_minor, currency="GBP"))
    work.execute(insert(QUOTED).values(  # type: ignore[attr-defined]
        job_id=job, number=2, kind_of_job="storage", covering="", wall="", estimator="",
        surveyor="", lead_source="", area="", storeys=None, panels=0, modules=0, hours=D(1),
        direct_minor=850_000, cost_minor=850_000, valid_until=ON))


def test_quotes_of_the_period_are_counted_by_the_margin_they_were_taken_at(engine: Engine) -> None:
    """Sold for 10,000.00 each. Cost 8,500.00: 15 %, which begins its band; 8,500.01: below it;
    6,000.00: 40 %, the highest band; 10,000.01: below nothing. J-6 was sent before the period."""
    with session(engine) as work:
        write(work, quote("J-1", "accepted"), quote("J-2", "closed", 850_001),
              quote("J-3", "declined"), quote("J-4", "open", 600_000, date(2026, 5, 31)),
              quote("J-5", "open", 1_000_001), quote("J-6", "accepted"), quote("J-7", "accepted"))
        for job in ("J-1", "J-2", "J-3", "J-4", "J-5"):
            day(work, job, "sent", date(2026, 1, 1))
        day(work, "J-6", "sent", date(2025, 12, 31))
        day(work, "J-6", "sent", date(2026, 1, 2))  # sent again: it still belongs to 2025
        # A variation was agreed at a higher price: what was taken is the first.
        revised(work, "J-1", 2_000_000)
        work.execute(insert(JOB_EVENT).values(
            job_id="J-1", revision=2, event="accepted", at=NOON, by="a test", why=""))
        assert review_quotes.bands(work, YEAR, ON) == [
            Band(-1, 0, 0, 0, 1, 1_000_000, 0), Band(2, 1, 0, 0, 0, 1_000_000, 1_000_000),
            Band(3, 1, 1, 0, 0, 2_000_000, 1_000_000), Band(6, 0, 0, 1, 0, 1_000_000, 0)]


def test_open_quotes_come_with_their_days_and_chance(engine: Engine) -> None:
    with session(engine) as work:
        write(work, quote("J-1", "open"), quote("J-2", "open"), quote("J-3", "accepted"),
              quote("J-4", "open"))
        day(work, "J-1", "sent", date(2026, 5, 1))
        day(work, "J-1", "sent", date(2026, 5, 20), chance=20)
        day(work, "J-1", "contacted", date(2026, 5, 25), chance=60)
        day(work, "J-1", "contacted", date(2026, 5, 27))
        # What happened after the day is not known on it.
        day(work, "J-1", "contacted", ON + timedelta(days=3), chance=90)
        day(work, "J-4", "sent", ON + timedelta(days=1))
        day(work, "J-2", "sent", date(2026, 6, 1))
        day(work, "J-3", "sent", date(2026, 5, 1))
        revised(work, "J-2", 1_200_000)
        assert review_quotes.quotes_out(work, YEAR, ON, D("0.35")) == [
            Out("J-1", "J-1", 1_000_000, date(2026, 5, 20), ON, date(2026, 5, 27), D("0.6")),
            Out("J-2", "J-2", 1_200_000, date(2026, 6, 1), ON, None, D("0.35"))]


def test_what_was_found_and_done_again_is_added_up_by_cause(engine: Engine) -> None:
    with session(engine) as work:
        write(work, Finished("J-1", worked=(
            Worked("rework", 60, 4_000, 500, cause="leak"),
            Worked("rework", 30, 2_000, cause="leak"),
            Worked("waiting", 15, 1_000, cause="scaffold"), Worked("roof", 60, 4_000)),
            source="web"),
            Finished("J-2", worked=(Worked("rework", 60, 4_000, cause="leak"),)))
        for number, (reason, said) in enumerate((
                ("hidden", ("agreed",)), ("hidden", ("refused",)), ("network", ()),
                ("hidden", ("refused", "agreed"))), start=1):
            work.execute(insert(VARIATION).values(
                job_id="J-1", number=number, found="", photo="", reason=reason, changes="",
                before_revision=1, after_revision=1, chargeable=True, cost_minor=10_000,
                price_minor=7_000, at=NOON, by="a test"))
            for event in said:
                work.execute(insert(VARIATION_EVENT).values(
                    job_id="J-1", number=number, event=event, on_date=ON, writing="", at=NOON,
                    by="a test"))
        gather(work, YEAR)
        assert review_sums.variations(work) == [
            Omission("variation", "hidden", 2, 1, 20_000, 14_000)]
        assert review_sums.lost_hours(work) == [
            Omission("rework", "leak", 3, 2, 10_500), Omission("waiting", "scaffold", 1, 1, 1_000)]
        assert review_sums.shares(work) == [
            Share("source", "", 1, 1_000_000), Share("source", "web", 1, 1_000_000),
            Share("area", "ZZ1", 2, 2_000_000)]
