"""Jobs that are alike, by Gower's distance, and how a price stands among others."""

from __future__ import annotations

import random
from fractions import Fraction as F
from statistics import median

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.learning.alike import Facts, distance, nearest, ranges_of
from estimator.learning.standing import standing

# The data and the matrix that the page of the Python package "gower" on PyPI prints (after Gower,
# Biometrics 27 (1971), 857-874), as single-precision figures. A yes or no stands as a word here,
# which differs by 0 or 1 alike.
NAMES = ("age", "gender", "civil status", "salary", "children", "credit")
PEOPLE = [
    (21, "M", "married", 3000, "yes", 2200), (21, "M", "single", 1200, "no", 100),
    (19, "N", "single", 32000, "yes", 22000), (30, "M", "single", 1800, "yes", 1100),
    (21, "F", "married", 2900, "yes", 2000), (21, "F", "single", 1100, "no", 100),
    (19, "F", "widow", 10000, "no", 6000), (30, "F", "divorced", 1500, "yes", 2200),
]
PRINTED = [
    [0, 0.3590238, 0.6707398, 0.31787416, 0.16872811, 0.52622986, 0.59697855, 0.47778758],
    [0.3590238, 0, 0.6964303, 0.3138769, 0.523629, 0.16720603, 0.45600235, 0.6539635],
    [0.6707398, 0.6964303, 0, 0.6552807, 0.6728013, 0.6969697, 0.740428, 0.8151941],
    [0.31787416, 0.3138769, 0.6552807, 0, 0.4824794, 0.48108295, 0.74818605, 0.34332284],
]


def facts(values: tuple[str | int | None, ...]) -> Facts:
    return dict(zip(NAMES, values, strict=True))


def test_distances_of_eight_people_are_those_that_a_package_prints() -> None:
    people = [facts(each) for each in PEOPLE]
    ranges = ranges_of(*people)
    for one, row in zip(people, PRINTED, strict=False):
        for other, printed in zip(people, row, strict=True):
            assert distance(one, other, ranges) == (pytest.approx(printed, abs=5e-7), 6)


def test_distances_of_four_employees_worked_by_hand() -> None:
    # A worksheet after J. McCaffrey's example: age 22, 33, 52, 46; race a code; height a word;
    # income .39, .34, .51, .63; man or not; politics. By hand, first and second:
    # (11/30 + 1 + 1 + 0.05/0.29 + 0 + 1) / 6 = 0.58985.
    names = ("age", "race", "height", "income", "man", "politics")
    rows = [(22, "1", "tall", 0.39, "yes", "moderate"), (33, "3", "short", 0.34, "yes", "liberal"),
            (52, "1", "moderate", 0.51, "no", "moderate"),
            (46, "6", "tall", 0.63, "yes", "conservative")]
    people = [dict(zip(names, row, strict=True)) for row in rows]
    told, compared = distance(people[0], people[1], ranges_of(*people))
    assert told == pytest.approx((11 / 30 + 1 + 1 + 0.05 / 0.29 + 0 + 1) / 6)
    assert (round(told, 5), compared) == (0.58985, 6)


def test_what_one_of_two_does_not_know_is_left_out() -> None:
    # By hand: panels 12 and 16 of a range of 8 are half off, coverings differ: 1.5 / 2.
    one: Facts = {"panels": 12, "covering": "slate", "wall": "", "storeys": None}
    other: Facts = {"panels": 16, "covering": "pantile", "wall": "brick", "storeys": 2}
    assert distance(one, other, {"panels": 8, "storeys": 1}) == (0.75, 2)
    assert distance({"wall": ""}, {"wall": "brick"}, {}) == (1.0, 0)


def test_a_number_that_is_the_same_everywhere_parts_nobody() -> None:
    assert distance({"storeys": 2}, {"storeys": 2}, ranges_of({"storeys": 2})) == (0.0, 1)


def brute(new: Facts, others: dict[str, Facts], count: int) -> list[str]:
    """Rank by arrays: a matrix of differences by fact, with those unknown masked."""
    names = list(new)
    jobs = {"": new, **others}
    apart = np.full((len(others), len(names)), np.nan)
    for column, name in enumerate(names):
        values = [job.get(name) for job in jobs.values()]
        numbers = [value for value in values if isinstance(value, int)]
        wide = max(numbers) - min(numbers) if numbers else 0
        for row, value in enumerate(values[1:]):
            if value in (None, "") or values[0] in (None, ""):
                continue
            if isinstance(value, int) and isinstance(values[0], int):
                apart[row, column] = abs(value - values[0]) / wide if wide else 0
            else:
                apart[row, column] = value != values[0]
    known = sum(value not in (None, "") for value in new.values())
    found = [(float(np.nanmean(row)), job) for row, job in zip(apart, others, strict=True)
             if 0 < np.count_nonzero(~np.isnan(row)) >= known / 2]
    return [job for _, job in sorted(found, key=lambda each: (round(each[0], 9), each[1]))[:count]]


@pytest.mark.parametrize("seed", range(6))
def test_the_nearest_are_those_of_a_matrix(seed: int) -> None:
    source = random.Random(seed)

    def job() -> Facts:
        return {
            "covering": source.choice(["slate", "pantile", "plain", ""]),
            "wall": source.choice(["brick", "stone", ""]),
            "panels": source.choice([0, 6, 8, 10, 12, 16]),
            "storeys": source.choice([1, 2, 3, None]), "modules": source.randint(0, 4)}

    new, others = job(), {f"J{number:02}": job() for number in range(40)}
    found = [(round(each.distance, 9), each.job) for each in nearest(new, others)]
    assert [name for _, name in sorted(found)] == brute(new, others, 5)


def test_of_jobs_as_near_as_each_other_the_first_by_name_comes_first() -> None:
    others: dict[str, Facts] = {name: {"covering": "slate"} for name in ("B", "C", "A")}
    assert [each.job for each in nearest({"covering": "slate"}, others, 2)] == ["A", "B"]


def test_a_job_of_which_hardly_anything_is_known_is_not_held_beside_it() -> None:
    new: Facts = {"covering": "slate", "wall": "brick", "panels": 12, "storeys": 2}
    assert nearest(new, {"A": {"storeys": 2}}) == ()
    assert [each.job for each in nearest(new, {"A": {"storeys": 2, "panels": 12}})] == ["A"]


# --- prices ------------------------------------------------------------------------------------


@given(st.integers(1, 10**7), st.integers(1, 30),
       st.lists(st.tuples(st.integers(1, 10**7), st.integers(0, 30)), max_size=20))
def test_a_price_stands_where_counting_puts_it(
    net: int, units: int, others: list[tuple[int, int]]
) -> None:
    told = standing("panel", net, F(units), [(each, F(of)) for each, of in others])
    assert told is not None
    prices = [F(each, of) for each, of in others if of]
    assert told.cheaper == sum(each < F(net, units) for each in prices)
    assert told.dearer == sum(each > F(net, units) for each in prices)
    assert told.middle == (F(median(prices)) if prices else None)


@pytest.mark.parametrize(("minor", "says"), [
    # Of twenty at 1 to 20 fewer than two lie beyond: 20 and more are dear, 1 and less cheap.
    (2_100, "dear"), (2_000, "dear"), (1_950, "dear"), (1_850, ""), (1_000, ""), (150, "cheap"),
    (100, "cheap"), (50, "cheap"), (250, "")])
def test_a_price_that_hardly_any_other_reaches_is_unusual(minor: int, says: str) -> None:
    others = [(100 * each, F(1)) for each in range(1, 21)]
    told = standing("panel", minor, F(1), others)
    assert told is not None
    assert told.unusual == says


def test_among_few_quotes_no_price_is_unusual_and_without_units_there_is_none() -> None:
    told = standing("panel", 10**9, F(1), [(1, F(1))] * 7)
    assert told is not None
    assert told.unusual == ""
    assert standing("panel", 100, F(0), []) is None
