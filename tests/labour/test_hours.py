"""Tasks, hours, the clock, days and trips."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.problems import ProblemsFound
from estimator.labour.hours import (
    Task,
    day_slots,
    elapsed_hours,
    hours_of,
    job_hours,
    people_on_site,
    tasks_from,
    with_trips,
)
from estimator.labour.norms import standard_norms
from estimator.settings import Labour
from tests.money.factories import NormFactory, ReasonFactory, TaskNeedFactory, tasks_of
from tests.money.worked_job import worked_tasks

LABOUR = Labour()


def one(group: str, minutes: int, crew: int = 1, on_site: bool = True) -> Task:
    norm = NormFactory(
        group=group, crew=crew, on_site=on_site, low=Decimal(minutes), likely=Decimal(minutes),
        high=Decimal(minutes))
    (task,) = tasks_from([TaskNeedFactory(norm="work")], {"work": norm})
    return task


# --- tasks from needs --------------------------------------------------------------------------


def test_needs_of_one_norm_merge_and_keep_their_reasons() -> None:
    needs = [
        TaskNeedFactory(norm="link", units=Decimal(2), reason=ReasonFactory(rule="first")),
        TaskNeedFactory(norm="rail", units=Decimal(1)),
        TaskNeedFactory(norm="link", units=Decimal(3), reason=ReasonFactory(rule="second")),
    ]
    tasks = tasks_from(needs, standard_norms())
    assert [(task.task, task.units) for task in tasks] == [
        ("link", Decimal(5)), ("rail", Decimal(1))]
    assert [reason.rule for reason in tasks[0].reasons] == ["first", "second"]
    assert tasks[0].likely == 50  # 5 links of 10 person-minutes, by hand


def test_people_beyond_the_crew_of_a_norm_add_their_minutes() -> None:
    # By hand: hanging is 24 likely person-minutes for two; three people take 24 x 3 / 2 = 36.
    needs = [
        TaskNeedFactory(norm="hang-module", units=Decimal(1), people=3),
        TaskNeedFactory(norm="hang-module", units=Decimal(2), people=1),
    ]
    (task,) = tasks_from(needs, standard_norms())
    assert (task.units, task.crew, task.likely) == (Decimal(3), 3, 36 + 2 * 24)
    assert task.mean == Fraction(16 + 4 * 24 + 50, 6) * (Fraction(3, 2) + 2)


def test_a_need_of_nothing_is_no_task() -> None:
    assert tasks_from([TaskNeedFactory(units=Decimal(0))], standard_norms()) == ()


def test_every_wrong_need_is_named_at_once_with_its_rule() -> None:
    needs = [
        TaskNeedFactory(norm="linc", reason=ReasonFactory(rule="a", file="x.toml", line=3)),
        TaskNeedFactory(units=Decimal(-1), reason=ReasonFactory(rule="b", file="y.toml", line=9)),
        TaskNeedFactory(units=Decimal("NaN")),
    ]
    with pytest.raises(ProblemsFound) as caught:
        tasks_from(needs, standard_norms())
    problems = caught.value.problems
    assert [problem.code for problem in problems] == ["N010", "N011", "N011"]
    assert str(problems[0]).startswith("x.toml:3: error N010: rule 'a' asks for the labour norm")
    assert problems[0].mend == "did you mean 'link'?"
    assert str(problems[1].where) == "y.toml:9"


# --- the spread ---------------------------------------------------------------------------------


def test_units_of_one_task_share_their_luck() -> None:
    # By hand: (24 - 12) / 6 = 2 for one, 2 x 9 = 18 for nine; root nine would give 6.
    (task,) = tasks_of([("12", "18", "24")], units=9)
    assert task.sd == 18


def test_tasks_are_independent_of_one_another_apart_from_the_job_factor() -> None:
    # By hand: sd 3 h and 4 h give 5 h; mean 30 h x 0.12 = 3.6 h more: root(25 + 12.96).
    tasks = tasks_of([("360", "900", "1440"), ("180", "900", "1620")])
    without = hours_of(tasks, Labour(job_factor_cv=Decimal(0)))
    assert without.sd == pytest.approx(5)
    assert hours_of(tasks, LABOUR).sd == pytest.approx(6.1611, abs=0.0001)


def test_p80_lies_0_8416_spreads_above_the_mean() -> None:
    # Printed normal table: z = 0.8416 at 80 %. Spread as above, mean 30 h.
    tasks = tasks_of([("360", "900", "1440"), ("180", "900", "1620")])
    hours = hours_of(tasks, Labour(job_factor_cv=Decimal(0)))
    assert hours.p80 == pytest.approx(30 + 0.8416 * 5, abs=0.001)


def test_a_job_without_tasks_takes_no_time() -> None:
    hours = hours_of((), LABOUR)
    assert (hours.mean, hours.sd, hours.p80, hours.elapsed) == (0, 0, 0, 0)
    assert (hours.days, hours.crew, hours.trips) == (0, 0, 1)


points = st.tuples(*[st.integers(0, 500)] * 3).map(sorted)


@given(st.lists(points, min_size=1, max_size=8), st.integers(1, 40))
def test_hours_by_group_add_up_and_p80_is_never_below_the_mean(
    triples: list[list[int]], units: int
) -> None:
    low_likely_high = [(str(low), str(likely), str(high)) for low, likely, high in triples]
    hours = hours_of(tasks_of(low_likely_high, units), LABOUR)
    assert sum(hours.by_group.values()) == hours.mean
    assert hours.p80 >= float(hours.mean)


# --- the clock ----------------------------------------------------------------------------------


def test_the_longer_path_counts_and_joint_tasks_come_on_top() -> None:
    # By hand: roof 600 / 2 = 300, electrician 240, joint 60 / 2 = 30, waiting 30: 360 min.
    tasks = [one("roof", 600, 2), one("electrical", 240), one("site", 60, 2), one("waiting", 30)]
    assert elapsed_hours(tasks, LABOUR) == 6


def test_a_pair_shares_what_one_could_do_alone() -> None:
    # By hand: storage is there, so a pair does 240 + 120 minutes in 180.
    assert elapsed_hours([one("electrical", 240), one("storage", 120)], LABOUR) == 3


def test_an_electrician_without_storage_works_alone() -> None:
    assert elapsed_hours([one("electrical", 240)], LABOUR) == 4


def test_a_task_for_three_takes_a_third_of_its_person_minutes() -> None:
    # By hand: 180 person-minutes of three people take one hour, though the path has two.
    assert elapsed_hours([one("storage", 180, crew=3)], LABOUR) == 1


def test_travel_and_office_are_no_time_on_site() -> None:
    tasks = [one("travel", 160, 2, on_site=False), one("office", 95, on_site=False)]
    assert elapsed_hours(tasks, LABOUR) == 0


@pytest.mark.parametrize(
    ("hours", "days"),
    [
        # Day of 7.5 h; half days rounded up, by hand.
        ("0", "0"), ("0.01", "0.5"), ("3.75", "0.5"), ("3.7501", "1"), ("7.5", "1"),
        ("7.5000001", "1.5"), ("8.25", "1.5"), ("15", "2"),
    ],
)
def test_days_are_halves_rounded_up_from_exact_hours(hours: str, days: str) -> None:
    assert day_slots(Fraction(hours), LABOUR) == Decimal(days)


@pytest.mark.parametrize(
    ("tasks", "people"),
    [
        ([one("roof", 60, 2)], 2),
        ([one("roof", 60, 2), one("electrical", 60)], 3),
        ([one("storage", 60)], 2),
        ([one("roof", 60, 2), one("storage", 60)], 4),
        ([one("storage", 60, crew=3)], 3),
        ([one("site", 60, crew=2)], 2),
        ([one("office", 60, on_site=False)], 0),
    ],
)
def test_people_on_site_are_those_of_both_paths(tasks: list[Task], people: int) -> None:
    # Crew pattern, common practice, no source: roof pair, one electrician, a pair for storage.
    assert people_on_site(tasks, LABOUR) == people


# --- days and trips -----------------------------------------------------------------------------


def test_a_job_of_1_1_days_costs_two_trips() -> None:
    # Common practice, no source: 8.25 h of 7.5 h are 1.1 days, so travel is paid twice.
    norms = dict(standard_norms())
    norms["work"] = NormFactory(low=Decimal(495), likely=Decimal(495), high=Decimal(495))
    needs = [
        TaskNeedFactory(norm="travel", units=Decimal(160)), TaskNeedFactory(norm="load-van"),
        TaskNeedFactory(norm="work"), TaskNeedFactory(norm="office-pack"),
    ]
    once = tasks_from(needs, norms)
    tasks, hours = job_hours(once, LABOUR)
    assert (hours.days, hours.trips) == (Decimal("1.5"), 2)
    units = {task.task: (task.units, task.trips) for task in tasks}
    assert units == {
        "travel": (320, 2), "load-van": (2, 2), "work": (1, 1), "office-pack": (1, 1)}
    travel = next(task for task in tasks if task.task == "travel")
    assert (travel.low, travel.likely, travel.high) == (280, 320, 440)


def test_a_job_of_one_day_costs_one_trip() -> None:
    once = tasks_of([("450", "450", "450")])
    tasks, hours = job_hours(once, LABOUR)
    assert tasks == once
    assert (hours.days, hours.trips) == (1, 1)


@given(st.integers(1, 6), st.integers(1, 6))
def test_trips_may_be_set_again_without_adding_up(first: int, second: int) -> None:
    tasks = worked_tasks()
    assert with_trips(with_trips(tasks, first), second) == with_trips(tasks, second)


@given(st.integers(1, 30))
def test_further_trips_never_ask_for_further_trips(trips: int) -> None:
    once = hours_of(worked_tasks(), LABOUR)
    more = hours_of(with_trips(worked_tasks(), trips), LABOUR)
    assert (more.elapsed, more.days, more.trips) == (once.elapsed, once.days, once.trips)


def test_a_job_has_at_least_one_trip() -> None:
    with pytest.raises(ValueError, match="at least one trip"):
        with_trips(worked_tasks(), 0)
