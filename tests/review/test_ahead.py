"""Backlog, cash, late papers and drifted quotes; figures by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

from estimator.review.backlog import Due, Owed, Waiting, backlog, cash
from estimator.review.drifting import Moved, drifting
from estimator.review.late_papers import Paper, late_papers

ON = date(2026, 3, 4)  # a Wednesday; its week begins on 2 March


def test_accepted_hours_stand_in_the_week_they_are_planned_for() -> None:
    """By hand: 30 h overdue and 20 h on Sunday are this week's, 50 of 40 h; 10 h on Monday the
    next. 60 h in all are 1.5 weeks."""
    report = backlog([
        Waiting("J-1", 30_000, date(2026, 2, 1)), Waiting("J-2", 20_000, date(2026, 3, 8)),
        Waiting("J-3", 10_000, date(2026, 3, 9)), Waiting("J-4", 0, None)], 40_000, ON, "GBP")
    assert report.rows[0] == ("2026-03-02", 2, D(50), D(40), 1.25)
    assert report.rows[1] == ("2026-03-09", 1, D(10), D(40), 0.25)
    assert report.rows[-1] == ("no day yet", 1, D(0), None, None)
    assert report.answer == (
        "4 accepted jobs wait with 60.0 h: 1.5 weeks of what the crews work in a usual week, "
        "40.0 h.",
        "More is planned than that in the week from 2026-03-02.", "1 job has no day yet.")


def test_what_is_planned_far_ahead_is_told_as_later() -> None:
    report = backlog([Waiting("J-1", 5_000, date(2026, 6, 1))], 0, ON, "GBP")
    assert report.rows[-2] == ("later", 1, D(5), None, None)
    assert len(report.rows) == 13 + 2
    assert sum(int(str(jobs)) for jobs in report.column("jobs")) == 1


def test_customers_owe_the_deposit_now_and_the_rest_when_the_job_is_done() -> None:
    """By hand, in pounds: J-1 999.99 x 25 % is 249.99 rounded down, 100.00 paid: 149.99 now, the
    other 750.00 on 9 March. J-2 has paid 300 of 400: the deposit is covered, 100 is overdue, so
    now. J-3 has no day: 50 of 200 now, 150 in no week. Bills: 30 today, 500 on 10 March; the one
    of yesterday is taken to be paid. Weeks: 299.99 - 30 = 269.99; 750 - 500 = 250."""
    report = cash(
        [Owed("J-1", 99_999, 10_000, date(2026, 3, 9)), Owed("J-2", 40_000, 30_000,
                                                             date(2026, 2, 2)),
         Owed("J-3", 20_000, 0, None)],
        [Due(date(2026, 3, 3), 7_700), Due(ON, 3_000), Due(date(2026, 3, 10), 50_000)],
        D("0.25"), ON, "GBP")
    assert report.rows[:2] == (
        ("2026-03-02", 29_999, 3_000, 26_999, 26_999),
        ("2026-03-09", 75_000, 50_000, 25_000, 51_999))
    assert report.answer == (
        "In 13 weeks customers owe 1,049.99 GBP and bills of 530.00 GBP fall due: 519.99 GBP "
        "between them.", "150.00 GBP more are owed on jobs that have no day yet.")


def test_how_far_the_cash_falls_on_the_way_is_said() -> None:
    report = cash([Owed("J-1", 10_000, 0, date(2026, 3, 16))], [Due(date(2026, 3, 9), 6_000)],
                  D(0), ON, "GBP")
    assert report.column("reached_minor")[:3] == (0, -6_000, 4_000)
    assert report.answer[1] == "On the way it falls 60.00 GBP below where it began."


def test_a_paper_is_late_from_the_day_after_its_last() -> None:
    papers = [Paper("J-2", "", date(2026, 1, 1), "network told", date(2026, 3, 3), "asked"),
              Paper("J-1", "", date(2026, 2, 1), "network told", ON)]
    report = late_papers(papers, 5, ON, "GBP")
    assert report.rows == (
        ("J-2", "network told", date(2026, 1, 1), date(2026, 3, 3), 1, "asked", ""),)
    assert report.answer == (
        "1 paper of 1 job is past its day; 5 commissioned jobs were looked at.",)


def test_only_what_binds_and_became_dearer_is_at_stake() -> None:
    """By hand: J-1 lost 100, J-2 gained 50, J-3 binds no more: 100 x 0.35 = 35. J-1 fell from 12
    to 9 %, under 10."""
    def quote(job: str, now_minor: int, now: F, binds: bool = True) -> Moved:
        return Moved(job, 1_000_000, 880_000, now_minor, F(12, 100), now, binds)

    report = drifting([quote("J-2", 875_000, F(13, 100)), quote("J-3", 990_000, F(1, 100), False),
                       quote("J-1", 890_000, F(9, 100))], 1, F(1, 10), F(35, 100), "GBP")
    assert report.column("job") == ("J-1", "J-2", "J-3")
    assert report.answer == (
        "2 quotes that bind would lose 100.00 GBP together, 35.00 GBP times the usual chance; 1 "
        "fell under the minimum margin.",
        "1 quote could not be run again: estimator prices drift says why.")
