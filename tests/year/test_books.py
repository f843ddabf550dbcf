"""The database of the demo year is sound, and its jobs work as quoted ones do."""

from __future__ import annotations

import shutil
import sqlite3
from fractions import Fraction
from pathlib import Path

import pytest

from catalogue import db
from catalogue.stock_books import ledger_faults
from demo_jobs.year.houses import read_houses, survey_text
from demo_jobs.year.jobs import heading_of
from demo_jobs.year.pool import ALLOWED, REASON, survey_file
from demo_jobs.year.truths import read_truths
from estimator.workflow.quote import DiscountAsked, QuoteRequest, quote
from tests.year.conftest import Made


def test_the_books_of_the_stock_are_sound(demo_year: Made) -> None:
    engine = db.open_database(demo_year.database)
    with db.session(engine, write=False) as work:
        assert ledger_faults(work) == []
    engine.dispose()


SUMS = {
    "plan lines and full cost": """
        SELECT count(*) FROM quoted q JOIN (
            SELECT job_id, number, sum(amount_minor) AS total FROM plan_line GROUP BY 1, 2
        ) p ON p.job_id = q.job_id AND p.number = q.number WHERE p.total <> q.cost_minor""",
    "bills and their lines": """
        SELECT count(*) FROM invoice i WHERE net_minor <> (
            SELECT sum(net_minor) FROM invoice_line l WHERE l.invoice_id = i.id)""",
    "goods charged = taken in + difference": """
        SELECT count(*) FROM invoice_line l JOIN move m
        ON m.document = 'order ' || l.order_number AND m.item_code = l.item_code
        WHERE l.kind = 'goods' AND l.net_minor <> m.value_minor + l.cost_minor""",
    "each accepted revision has a plan": """
        SELECT count(*) FROM job_event e WHERE event = 'accepted' AND NOT EXISTS (
            SELECT 1 FROM plan_line p WHERE p.job_id = e.job_id AND p.number = e.revision)""",
    "a balance is what is left of the price": """
        SELECT count(*) FROM (
            SELECT e.job_id, max(e.revision) AS number FROM job_event e
            JOIN customer_payment c ON c.job_id = e.job_id AND c.what = 'balance'
            WHERE e.event = 'accepted' GROUP BY 1) a
        JOIN revision r ON r.job_id = a.job_id AND r.number = a.number
        WHERE r.net_minor <> (SELECT sum(amount_minor) FROM customer_payment p
                              WHERE p.job_id = a.job_id)""",
}


@pytest.mark.parametrize("what", sorted(SUMS))
def test_the_sums_hold(demo_year: Made, what: str) -> None:
    with sqlite3.connect(demo_year.database) as work:
        assert work.execute(SUMS[what]).fetchone() == (0,)


def test_a_price_is_dearer_after_each_shock_by_its_share(demo_year: Made) -> None:
    truths = read_truths()
    with sqlite3.connect(demo_year.database) as work:
        prices = work.execute(
            "SELECT head, from_date, sum(price_minor) FROM offer JOIN item ON code = item_code "
            "WHERE withdrawn_at IS NULL "
            "GROUP BY 1, 2").fetchall()
    by_head: dict[str, dict[str, int]] = {}
    for head, day, total in prices:
        by_head.setdefault(head, {})[day] = total
    for code in ("first-shock", "second-shock"):
        truth = truths[code]
        for head in truth["heads"]:
            before, after = (
                by_head[head][day] for day in ("2025-12-01", truth["from"].isoformat()))
            assert abs(Fraction(after, before) - 1 - Fraction(str(truth.size))) < Fraction(1, 500)
    assert set(by_head["switchgear"]) == {"2025-12-01"}


def test_a_quote_of_the_year_is_what_quoting_it_by_hand_gives(
    demo_year: Made, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Quoted again from its survey on its day, nothing is new: the same survey, the same bytes."""
    folder = tmp_path / "firm"
    shutil.copytree(demo_year.folder, folder, ignore=shutil.ignore_patterns("*.db*"))
    monkeypatch.chdir(folder)
    houses = {house.key: house for house in read_houses()}
    for period, rebated in ((0, True), (1, False), (2, True), (3, False)):
        asked = next(
            each for each in demo_year.year.asked
            if len(each.revisions) == 1 and each.answer != "accepted"
            and each.revisions[0].choice.period == period
            and bool(each.revisions[0].choice.rebate) == rebated)
        choice, on = asked.revisions[0].choice, asked.revisions[0].on
        survey = Path(survey_file(asked.job))
        heading = heading_of(asked, asked.revisions[0])
        survey.write_text(survey_text(houses[choice.house], heading, False), encoding="utf-8")
        off = DiscountAsked(f"{choice.rebate * 100}%", REASON, ALLOWED) if rebated else None
        again = quote(QuoteRequest(survey, on, demo_year.database, None, off, write_papers=False))
        assert (again.new, again.estimate.revision) == (False, 1), asked.job


def test_the_planted_paper_is_missing_where_it_was_forgotten_and_nowhere_else(
    demo_year: Made
) -> None:
    paper = read_truths()["close-out-gaps"]["paper"]
    with sqlite3.connect(demo_year.database) as work:
        others = {job for (job,) in work.execute("SELECT DISTINCT job_id FROM reading")}
        there = {job for (job,) in work.execute(
            "SELECT job_id FROM reading WHERE code = ?", (paper,))}
    forgotten = {each.asked.job for each in demo_year.year.done if each.gap}
    assert others - there == forgotten & others
    assert forgotten & others
