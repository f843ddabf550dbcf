"""Heads, task groups and causes as the database adds them up, against loops and exact parting."""

from __future__ import annotations

from collections import defaultdict
from datetime import date
from decimal import Decimal as D
from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine

from catalogue.db import session
from catalogue.money import round_half_up
from estimator.outcome.parting import Actual, Standard, part
from estimator.review.causes import causes
from estimator.review.norms import Timed
from estimator.review.waterfall import Head, waterfall
from estimator.workflow import review_causes, review_sums
from estimator.workflow.review_jobs import Wanted, gather
from tests.workflow.finished import Finished, Worked, write

YEAR = Wanted(date(2026, 1, 1), date(2026, 12, 31), "GBP")

LINES = st.lists(st.one_of(
    st.tuples(st.just("goods"), st.sampled_from(["storage", "cable"]), st.just(""), st.just(""),
              st.integers(0, 3).map(D), st.integers(0, 99_999)),
    st.tuples(st.just("labour"), st.just("labour"), st.just("t"),
              st.sampled_from(["roof", "storage"]), st.integers(0, 9).map(D),
              st.integers(0, 99_999)),
    st.tuples(st.just("bought in"), st.just("scaffold"), st.just(""), st.just(""), st.just(D(0)),
              st.integers(0, 99_999)),
    st.tuples(st.just("provision"), st.just("warranty"), st.just(""), st.just(""), st.just(D(0)),
              st.integers(0, 9_999)),
), max_size=6)


@st.composite
def finished(draw: st.DrawFn) -> Finished:
    plan = tuple(draw(LINES))
    return Finished(
        "", plan=plan, standard_minor=sum(line[-1] for line in plan),
        net_minor=draw(st.integers(0, 999_999)), crew=draw(st.sampled_from("AB")),
        worked=tuple(draw(st.lists(st.builds(
            Worked, st.sampled_from(["roof", "storage", "rework"]), st.integers(1, 999),
            st.integers(0, 99_999), st.integers(0, 9_999)), max_size=3))),
        bills=tuple(draw(st.lists(st.tuples(
            st.sampled_from(["goods", "subcontract"]), st.sampled_from(["storage", "scaffold"]),
            st.just("Counter North"), st.integers(0, 99_999), st.integers(0, 99_999)),
            max_size=3))))


def by_hand(jobs: list[Finished]) -> dict[tuple[str, str], int]:
    """Causes by line, with `estimator.outcome.parting` in fractions, job by job."""
    told: dict[tuple[str, str], int] = defaultdict(int)
    for job in jobs:
        sides: dict[tuple[str, str], list[Fraction]] = defaultdict(lambda: [Fraction(0)] * 4)

        def add(kind: str, name: str, at: int, quantity: Fraction, minor: int,
                sides: dict[tuple[str, str], list[Fraction]] = sides) -> None:
            sums = sides[kind, name]
            sides[kind, name] = [value + more for value, more in zip(
                sums, (quantity, minor, 0, 0) if at == 0 else (0, 0, quantity, minor),
                strict=True)]

        for kind, head, _, group, quantity, minor in job.plan:
            add(kind, group if kind == "labour" else head, 0, Fraction(quantity), minor)
        for line in job.worked:
            hours = Fraction(line.minutes, 60)
            add("labour", line.task_group, 1, hours, line.amount_minor)
            add("overhead", "overhead", 1, hours, line.overhead_minor)
        for kind, head, _, _, cost in job.bills:
            add("goods" if kind == "goods" else "bought in", head, 1, Fraction(1), cost)
        for (kind, name), (planned, planned_minor, used, used_minor) in sides.items():
            over = int(used_minor - planned_minor)
            usage, moved, cause = over, 0, kind
            if kind in ("goods", "labour") and planned and used and planned_minor:
                exact = part(Standard(planned, planned_minor / planned), Actual(used, used_minor))
                # What the quantity used should have cost is money: it is rounded, usage is not.
                usage = round_half_up(exact.usage + planned_minor) - int(planned_minor)
                moved = over - usage
            elif kind == "goods":
                cause = "other item"
            cause = {"goods": "usage", "labour": "efficiency", "overhead": "office"}.get(
                cause, cause)
            told[cause, name] += usage
            told["rate" if kind == "labour" else "price", name] += moved
        warranty = sum(line[-1] for line in job.plan if line[1] == "warranty")
        rework = sum(line.amount_minor + line.overhead_minor for line in job.worked
                     if line.task_group == "rework")
        told["provision", "warranty"] += max(0, warranty - rework)
    return {key: minor for key, minor in told.items() if minor}


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(made=st.lists(finished(), max_size=4))
def test_causes_and_heads_are_those_of_a_loop_over_all_lines(
    engine: Engine, made: list[Finished]
) -> None:
    jobs = [job.with_(job=f"J-{at}") for at, job in enumerate(made)]
    with session(engine) as work:
        write(work, *jobs)
        gather(work, YEAR)
        found = review_causes.parts(work)
        count, over, _ = review_sums.over_in_all(work)
        quoted = review_sums.quoted_sums(work)
        heads = review_sums.planned_by_head(work), review_sums.actual_by_head(work)
        work.rollback()
    told: dict[tuple[str, str], int] = defaultdict(int)
    for each in found:
        told[each.cause, each.name] += each.minor
    assert {key: minor for key, minor in told.items() if minor} == by_hand(jobs)
    assert causes(found, over, count, "GBP").jobs == len(jobs)  # they add up, else it refuses
    steps = waterfall(quoted, *heads, "GBP").column("margin_minor")
    assert sum(int(step or 0) for step in steps[:-1]) == steps[-1]
    assert steps[-1] == sum(job.net_minor - job.standard_minor for job in jobs) - over


def test_hours_are_held_against_hours_by_task_group_covering_wall_and_crew(engine: Engine) -> None:
    """By hand: 10 h of roof reckoned, 12 h worked; 2 x 2 / 22 = 0.181818. Storage was reckoned and
    not worked, electrical worked and not reckoned: neither has two sides."""
    job = Finished("J-1", covering="natural slate", plan=(
        ("labour", "labour", "a", "roof", D(6), 1), ("labour", "labour", "b", "roof", D(4), 1),
        ("labour", "labour", "c", "storage", D(3), 1)),
        worked=(Worked("roof", 600, 1), Worked("roof", 120, 1), Worked("electrical", 60, 1)))
    with session(engine) as work:
        write(work, job)
        gather(work, YEAR)
        assert review_sums.timed(work) == [Timed(
            "roof", "natural slate", "dense brick", "A", 1, 10_000, 12_000, 181_818, 181_818**2)]


def test_heads_are_told_apart_by_task_group(engine: Engine) -> None:
    job = Finished("J-1", worked=(Worked("roof", 60, 4_000, 900), Worked("rework", 30, 2_000, 450)),
                   bills=(("carriage", "carriage", "Counter North", 750, 750),))
    with session(engine) as work:
        write(work, job)
        gather(work, YEAR)
        assert review_sums.actual_by_head(work) == {
            Head("goods", "carriage"): 750, Head("labour", "labour", "rework"): 2_000,
            Head("labour", "labour", "roof"): 4_000, Head("overhead", "overhead"): 1_350}
