"""Maximum demand of a home against J. Whitfield, The Electricians Guide, Table 6.2."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from estimator.design.electrical.demand import (
    Loads,
    after_diversity_a,
    fuse_check,
    fuse_needed_a,
    maximum_demand,
    ways_check,
)
from estimator.design.electrical.figures import OutsideTableError
from tests.design.electrical.packs import GB


@pytest.mark.parametrize(
    ("use", "amps", "sockets", "demand"),
    [
        # 66 % of all lighting: 0.66 x 10
        ("lighting", ("6", "4"), 0, "6.6"),
        # 100 % to 10 A and half of the rest: 10 + 0.5 x 16
        ("heating", ("13", "13"), 0, "18"),
        ("heating", ("8",), 0, "8"),
        # 10 A, 30 % of the rest, 5 A for a socket: 10 + 0.3 x 20 + 5
        ("cooker", ("30",), 1, "21"),
        ("cooker", ("30",), 0, "16"),
        ("cooker", ("8",), 1, "13"),
        # instantaneous: the largest and the second in full, a quarter of the rest: 40 + 30 + 5
        ("instant water heater", ("20", "40", "30"), 0, "75"),
        ("instant water heater", ("40",), 0, "40"),
        # thermostatic: no diversity
        ("thermostatic water heater", ("13", "13"), 0, "26"),
        # standard circuits: the largest in full, 40 % of the rest: 32 + 0.4 x (32 + 20)
        ("standard circuit", ("32", "20", "32"), 0, "52.8"),
    ],
)
def test_each_use_has_the_diversity_of_table_6_2(
    use: str, amps: tuple[str, ...], sockets: int, demand: str
) -> None:
    loads = Loads(use, tuple(D(each) for each in amps), sockets)  # type: ignore[arg-type]
    assert after_diversity_a(GB, loads) == F(demand)


@pytest.mark.parametrize("use", ["vehicle charger", "storage charging", "heat pump"])
def test_what_runs_for_hours_is_taken_in_full(use: str) -> None:
    # Common practice, no source: no diversity on loads that run for hours.
    loads = Loads(use, (D(32), D(16)))  # type: ignore[arg-type]
    assert after_diversity_a(GB, loads) == 48


HOME = (
    Loads("lighting", (D(6), D(6))), Loads("cooker", (D(40),), 1),
    Loads("standard circuit", (D(32), D(32))),
)


@pytest.mark.parametrize(
    ("charger", "fuse_a", "level"),
    [("0", 80, "fine"), ("0", 60, "stop"), ("32", 80, "stop"), ("32", 100, "stop")],
)
def test_a_home_is_held_against_its_main_fuse(
    charger: str, fuse_a: int, level: str
) -> None:
    # By hand: 0.66 x 12 = 7.92; 10 + 0.3 x 30 + 5 = 24; 32 + 0.4 x 32 = 44.8; sum 76.72 A. With
    # a charger of 32 A it is 108.72 A, more than any usual fuse of one phase.
    demand = maximum_demand(GB, [*HOME, Loads("vehicle charger", (D(charger),))])
    assert demand.total_a == F("76.72") + F(charger)
    assert fuse_check(demand, fuse_a).level == level


def test_the_fuse_that_a_home_needs_is_the_next_usual_one_or_the_network_is_asked() -> None:
    # The same home: 76.72 A -> 80 A; 108.72 A -> more than 100 A.
    assert fuse_needed_a(GB, maximum_demand(GB, HOME)) == 80
    with pytest.raises(OutsideTableError, match="ask the network"):
        fuse_needed_a(GB, maximum_demand(GB, [*HOME, Loads("vehicle charger", (D(32),))]))


@pytest.mark.parametrize(("demand_a", "fuse_a"), [("60", 60), ("60.01", 80), ("80.01", 100)])
def test_a_demand_equal_to_the_fuse_passes_and_a_hair_more_does_not(
    demand_a: str, fuse_a: int
) -> None:
    demand = maximum_demand(GB, [Loads("vehicle charger", (D(demand_a),))])
    assert fuse_needed_a(GB, demand) == fuse_a


def test_a_use_listed_twice_would_have_its_diversity_twice_and_is_refused() -> None:
    with pytest.raises(ValueError, match="together"):
        maximum_demand(GB, [Loads("cooker", (D(30),)), Loads("cooker", (D(20),))])


@pytest.mark.parametrize(
    ("spare", "needed", "level"), [(2, 2, "fine"), (1, 2, "caution"), (0, 1, "caution")]
)
def test_too_few_true_spare_ways_are_a_caution(spare: int, needed: int, level: str) -> None:
    # Common practice, no source: a sub-board or a new board then.
    assert ways_check(spare, needed).level == level
