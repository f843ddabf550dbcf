"""What the database adds up of finished jobs, against sums by hand and against plain loops."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, select

from catalogue.db import session
from catalogue.job_costs import job_costs
from catalogue.tables import PLAN_LINE, QUOTED, REVISION
from estimator.review.cells import JobsAlike
from estimator.workflow.review_jobs import Wanted, alike, gather
from tests.workflow.finished import Finished, Worked, write

YEAR = Wanted(date(2026, 1, 1), date(2026, 12, 31), "GBP")
PLAN = (("labour", "labour", "hang-module", "storage", D(20), 80_000),
        ("provision", "warranty", "", "", D(0), 3_000))


def test_a_job_s_margin_holds_back_what_is_left_of_the_warranty(engine: Engine) -> None:
    """By hand: hours 1,200 min 80,000 + 40,000 of office; rework 30 min 1,200 + 600; bill 700,000.
    Held: 3,000 - 1,800 = 1,200. Actual: 120,000 + 1,800 + 700,000 + 1,200 = 823,000. Worked:
    1,230 min = 20.5 h; the 60 min of waiting cost money, 2,400, but are not work. In millionths:
    2 (825,400 - 850,000) / 1,675,400 = -0.029366, 2 (20.5 - 20) / 40.5 = 0.024691."""
    job = Finished(
        "J-1", plan=PLAN, bills=(("goods", "storage", "Counter North", 700_000, 700_000),),
        worked=(Worked("storage", 1_200, 80_000, 40_000), Worked("rework", 30, 1_200, 600),
                Worked("waiting", 60, 2_400)))
    with session(engine) as work:
        write(work, job)
        gather(work, YEAR)
        assert alike(work) == [JobsAlike(
            "storage", "", "dense brick", "A", "Sam Sample", jobs=1, net_minor=1_000_000,
            standard_minor=850_000, actual_minor=825_400, planned_milli=20_000,
            worked_milli=20_500, losses=0, cost_gap=-29_366, cost_gap_squares=29_366**2, timed=1,
            hours_gap=24_691, hours_gap_squares=24_691**2)]


@pytest.mark.parametrize(("changed", "there"), [
    ({}, True),
    ({"on": date(2026, 1, 1)}, True),  # the first day is in it
    ({"on": date(2025, 12, 31)}, False),
    ({"on": None}, True),  # closed on 30 June, never said to be commissioned
    ({"state": "accepted"}, False),  # not closed yet
    ({"currency": "EUR"}, False),
    ({"wall": "stud"}, False),  # another wall than is asked for
])
def test_a_review_holds_the_closed_jobs_of_its_period(
    engine: Engine, changed: dict[str, object], there: bool
) -> None:
    with session(engine) as work:
        write(work, Finished("J-1").with_(**changed))
        gather(work, Wanted(YEAR.first, YEAR.last, "GBP", {"wall": ["dense brick", "stone"]}))
        assert bool(alike(work)) is there


@pytest.mark.parametrize("others", [0, 9])
def test_one_job_costs_the_same_whether_its_rows_are_looked_up_or_gone_through(
    engine: Engine, others: int
) -> None:
    """A tenth of all jobs is few, all of one is many; 40.00 and 7.00 either way."""
    with session(engine) as work:
        write(work, *(Finished(
            f"J-{at}", on=date(2026, 6, 10) if not at else date(2025, 6, 10),
            worked=(Worked("roof", 60, 4_000),), bills=(("plant", "hire", "Hire Yard", 700, 700),))
            for at in range(others + 1)))
        gather(work, YEAR)
        assert [(cell.jobs, cell.actual_minor) for cell in alike(work)] == [(1, 4_700)]


JOBS = st.lists(st.builds(
    Finished, job=st.just(""), kind=st.sampled_from(["storage", "panels"]),
    crew=st.sampled_from("AB"), net_minor=st.integers(0, 2_000_000),
    standard_minor=st.integers(1, 2_000_000),
    plan=st.lists(st.tuples(st.just("provision"), st.sampled_from(["warranty", "open risks"]),
                            st.just(""), st.just(""), st.just(D(0)), st.integers(0, 9_999)),
                  max_size=2).map(tuple),
    worked=st.lists(st.builds(
        Worked, st.sampled_from(["roof", "rework", "waiting"]), st.integers(1, 3_000),
        st.integers(0, 200_000), st.integers(0, 99_999)), max_size=3).map(tuple),
    bills=st.lists(st.tuples(st.sampled_from(["goods", "plant"]), st.just("storage"),
                             st.just("Counter North"), st.integers(-9_999, 999_999),
                             st.integers(-9_999, 999_999)), max_size=2).map(tuple),
), max_size=6)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(made=JOBS)
def test_sums_are_those_of_a_loop_over_all_rows_to_the_penny(
    engine: Engine, made: list[Finished]
) -> None:
    with session(engine) as work:
        write(work, *(job.with_(job=f"J-{at}") for at, job in enumerate(made)))
        gather(work, YEAR)
        found = alike(work)
        cost: dict[str, int] = defaultdict(int)
        rework: dict[str, int] = defaultdict(int)
        for row in work.execute(job_costs()):
            cost[row.job_id] += row.amount_minor
            rework[row.job_id] += row.amount_minor if row.task_group == "rework" else 0
        held: dict[str, int] = defaultdict(int)
        for row in work.execute(select(PLAN_LINE).where(PLAN_LINE.c.head == "warranty")):
            held[row.job_id] += row.amount_minor
        net = {row.job_id: row.net_minor for row in work.execute(select(REVISION))}
        by_kind: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
        for row in work.execute(select(QUOTED)):
            job = row.job_id
            actual = cost[job] + max(0, held[job] - rework[job])
            sums = by_kind[row.kind_of_job]
            for at, value in enumerate((1, net[job], row.cost_minor, actual)):
                sums[at] += value
        work.rollback()
    told: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0, 0])
    for cell in found:
        for at, value in enumerate(
                (cell.jobs, cell.net_minor, cell.standard_minor, cell.actual_minor)):
            told[cell.kind][at] += value
    assert dict(told) == dict(by_kind)
