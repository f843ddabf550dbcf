"""The size chosen for a circuit, what drove it, and what must hold of every choice."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.electrical.capacity import CABLES, sizes_mm2, tabulated_a, usable_c
from estimator.design.electrical.choose_cable import design_circuit, next_rating_a
from estimator.design.electrical.circuit import Circuit, Leg, check_circuit, leg_factors
from estimator.design.electrical.comparing import margin, worst
from estimator.design.electrical.figures import OutsideTableError
from estimator.design.electrical.grouping import group_factor, needed_not_together_a
from tests.design.electrical.packs import GB

FLAT, STEEL = "flat twin and earth", "armoured 70"
TWO_LEGS = Circuit(
    "converter circuit", 16,
    (Leg("house", 12, FLAT, "C"), Leg("garden", 20, STEEL, "D")), 20, feeds_in=True)


def test_legs_of_two_cables_share_the_drop_and_take_the_least_copper() -> None:
    # By hand: the rise may be 2.3 V, so the sum of mV/A/m x L may be 143.75. Flat (12 m) and
    # armoured (20 m): 4 + 10 = 220; 6 + 10 = 175.6; 10 + 10 = 140.8 passes with 12 x 10 + 20 x 10
    # = 320 of copper; 6 + 16 = 143.6 passes with 392; 4 + 25 and more are larger still.
    design = design_circuit(GB, TWO_LEGS)
    assert design.sizes == ((FLAT, F(10)), (STEEL, F(10)))
    assert design.drop_v == F("140.8") * 16 / 1000
    assert (design.level, design.driven_by) == ("fine", ("volt-rise-aim",))
    assert design.reason.startswith("10 mm² flat twin and earth: 6 mm² fails: voltage rise")


def test_only_sizes_on_offer_are_taken() -> None:
    design = design_circuit(GB, TWO_LEGS, {FLAT: [D(6)], STEEL: [D(10), D(16)]})
    assert design.sizes == ((FLAT, F(6)), (STEEL, F(16)))
    with pytest.raises(OutsideTableError, match="no size of armoured 70 is on offer"):
        design_circuit(GB, TWO_LEGS, {STEEL: []})


def test_an_aim_that_no_size_meets_is_a_caution_with_the_least_rise() -> None:
    # 200 m of flat cable at 16 A: 16 mm² rises 8.96 V, over the 2.3 V aim and under the limit.
    long = replace(TWO_LEGS, legs=(Leg("field", 200, FLAT, "C"),))
    design = design_circuit(GB, long)
    assert (design.size_mm2(FLAT), design.level, design.drop_v) == (16, "caution", F("8.96"))


def test_a_load_that_no_size_carries_stops_with_the_largest_size() -> None:
    heavy = Circuit("heavy", 100, (Leg("wall", 5, FLAT, "C"),), 100)
    design = design_circuit(GB, heavy)
    assert (design.size_mm2(FLAT), design.level) == (16, "stop")
    failed = {check.code for check in design.checks if check.level == "stop"}
    assert failed == {"cable-capacity", "cable-carries", "cable-overload"}


def test_the_smallest_size_on_offer_says_so() -> None:
    design = design_circuit(GB, Circuit("bell", 1, (Leg("wall", 2, FLAT, "C"),), 6))
    assert design.driven_by == ()
    assert design.reason == "1 mm² flat twin and earth: the smallest on offer"


def test_every_check_names_its_source_unit_and_who_decides() -> None:
    checks = design_circuit(GB, TWO_LEGS).checks
    assert checks
    for check in checks:
        assert check.source
        assert check.unit
        assert check.decides
        assert check.subject.startswith("converter circuit")


@pytest.mark.parametrize(("load", "rating"), [("16", 16), ("16.01", 20), ("0.5", 6), ("63", 63)])
def test_the_device_is_the_next_rating_made(load: str, rating: int) -> None:
    # BS EN 60898 ratings (from memory).
    assert next_rating_a(GB, D(load)) == rating
    circuit = Circuit("radial", D(load), (Leg("wall", 1, "single", "C"),))
    assert design_circuit(GB, circuit).rating_a == rating


def test_no_rating_above_the_largest_is_invented() -> None:
    with pytest.raises(OutsideTableError):
        next_rating_a(GB, 64)


def test_a_leg_in_the_ground_has_ground_soil_and_the_buried_factor() -> None:
    # By hand: ground 25 degrees 0.95; the further 0.9 stands in the needed current only:
    # 32 / (0.95 x 0.9) = 37.43 A > 37 A of 4 mm² (D), so 6 mm².
    leg = Leg("trench", 5, STEEL, "D", ground_c=25)
    circuit = Circuit("outbuilding", 30, (leg,), 32)
    assert leg_factors(GB, circuit, 32, leg).value == F("0.95")
    assert design_circuit(GB, circuit).size_mm2(STEEL) == 6
    cooler = replace(circuit, legs=(replace(leg, ground_c=20),))
    assert design_circuit(GB, cooler).size_mm2(STEEL) == 4  # 32 / 0.9 = 35.6 <= 37


def test_terminals_for_70_degrees_hold_a_90_degree_cable_to_70() -> None:
    assert usable_c("armoured 90", 70) == 70
    assert usable_c("armoured 90", 90) == 90
    assert usable_c("armoured 70", 90) == 70
    circuit = Circuit("outbuilding", 45, (Leg("wall", 5, "armoured 90", "C"),), 45)
    # 45 A: 4 mm² carries 49 A at 90 degrees but 38 at 70.
    assert design_circuit(GB, replace(circuit, terminal_c=90)).size_mm2("armoured 90") == 4
    assert design_circuit(GB, circuit).size_mm2("armoured 90") == 6


def test_a_hotter_place_than_the_table_has_is_not_designed() -> None:
    with pytest.raises(OutsideTableError, match="beyond 60"):
        design_circuit(GB, Circuit("attic", 10, (Leg("attic", 5, FLAT, "C", air_c=61),), 10))


@pytest.mark.parametrize(
    "legs", [(), (Leg("x", -1, FLAT, "C"),), (Leg("x", 1, "armoured 70 three-phase", "C"),)]
)
def test_a_circuit_that_makes_no_sense_is_refused(legs: tuple[Leg, ...]) -> None:
    with pytest.raises(ValueError, match=r"1-phase|legs"):
        Circuit("odd", 10, legs)


kinds = st.sampled_from([
    (FLAT, "C"), (FLAT, "101"), (FLAT, "B"), (STEEL, "C"), (STEEL, "D"), ("armoured 90", "E"),
    ("single", "B"),
])


@st.composite
def legs_of(draw: st.DrawFn) -> Leg:
    cable, method = draw(kinds)
    return Leg(
        draw(st.sampled_from(["a", "b"])), draw(st.decimals("0", "120", places=1)), cable, method,
        air_c=draw(st.integers(-5, 60)), ground_c=draw(st.integers(5, 30)),
        circuits=draw(st.integers(1, 9)),
        arrangement=draw(st.sampled_from(["bunched", "single layer"])),
        mixed_sizes=draw(st.booleans()), together=draw(st.booleans()),
        insulation_mm=draw(st.sampled_from([0, 30, 100, 450, 900])),
    )


circuits = st.builds(
    Circuit, st.just("circuit"), st.integers(1, 40).map(F),
    st.lists(legs_of(), min_size=1, max_size=3).map(tuple),
    st.sampled_from([None, F(20), F(32), F(40)]),
    st.sampled_from(["breaker", "cartridge fuse", "rewirable fuse"]),
    terminal_c=st.sampled_from([70, 90]), feeds_in=st.booleans(),
)


@settings(max_examples=150, deadline=None)
@given(circuits, st.data())
def test_a_larger_cable_never_fails_where_a_smaller_one_passes(
    circuit: Circuit, data: st.DataObject
) -> None:
    rating = circuit.rating_a or next_rating_a(GB, circuit.design_a)
    small, large = [], []
    for cable in dict.fromkeys(leg.cable for leg in circuit.legs):
        method = next(leg.method for leg in circuit.legs if leg.cable == cable)
        sizes = sizes_mm2(GB, cable, method)
        at = data.draw(st.integers(0, len(sizes) - 1))
        small.append((cable, sizes[at]))
        large.append((cable, sizes[data.draw(st.integers(at, len(sizes) - 1))]))
    before = check_circuit(GB, circuit, F(rating), tuple(small))
    after = check_circuit(GB, circuit, F(rating), tuple(large))
    for less, more in zip(before, after, strict=True):
        assert less.code == more.code
        assert margin(more) >= margin(less)
        assert less.level != "fine" or more.level == "fine"


@settings(max_examples=100, deadline=None)
@given(circuits)
def test_the_chosen_sizes_pass_and_no_passing_choice_has_less_copper(circuit: Circuit) -> None:
    # Every combination of sizes is tried by brute force.
    design = design_circuit(GB, circuit)
    cables = list(dict.fromkeys(leg.cable for leg in circuit.legs))
    lengths = {cable: sum(F(leg.length_m) for leg in circuit.legs if leg.cable == cable)
               for cable in cables}
    able = [sizes_mm2(GB, cable, next(x.method for x in circuit.legs if x.cable == cable),
                      circuit.terminal_c) for cable in cables]
    passing = [
        combo for combo in product(*able)
        if worst(check_circuit(GB, circuit, design.rating_a,
                               tuple(zip(cables, combo, strict=True)))) == "fine"
    ]
    assert (design.level == "fine") == bool(passing)
    if passing:
        least = min(sum(lengths[c] * s for c, s in zip(cables, combo, strict=True))
                    for combo in passing)
        assert sum(lengths[cable] * size for cable, size in design.sizes) == least


@given(st.integers(1, 63), st.integers(1, 63), st.integers(2, 20))
def test_cables_never_overloaded_together_need_no_more_than_those_that_are(
    load: int, rating: int, circuits_grouped: int
) -> None:
    factor = group_factor(GB, circuits_grouped, "bunched").value
    load = min(load, rating)
    needed = float(needed_not_together_a(GB, rating, load, factor))
    assert load / float(factor) - 1e-9 <= needed <= rating / float(factor) + 1e-9
    assert needed >= rating - 1e-9


@given(st.sampled_from(sorted(CABLES)), st.data())
def test_a_current_never_rises_when_the_terminals_are_marked_cooler(
    cable: str, data: st.DataObject
) -> None:
    size = data.draw(st.sampled_from(sizes_mm2(GB, cable, "C")))
    assert (tabulated_a(GB, cable, "C", size, 70).value
            <= tabulated_a(GB, cable, "C", size, 90).value)


def test_a_device_too_small_for_the_load_stops_but_does_not_swell_the_cable() -> None:
    design = design_circuit(GB, Circuit("heater", 21, (Leg("wall", 2, FLAT, "C"),), 20))
    assert [check.code for check in design.checks if check.level == "stop"] == ["circuit-load"]
    assert design.size_mm2(FLAT) == F("1.5")  # 20 A clipped


@pytest.mark.parametrize(("together", "size"), [(True, "6"), (False, "4")])
def test_circuits_never_overloaded_together_may_take_a_smaller_size(
    together: bool, size: str
) -> None:
    # Circuitry guide to BS 7671, 17th edition: In 32, Ib 20, Cg 0.80. Plain: 32 / 0.8 = 40 A, so
    # 6 mm² clipped (47 A). Otherwise the greater of 20 / 0.8 = 25 and root(32² + 0.48 x 20² x
    # 0.36 / 0.64) = root(1132) = 33.645 A (by hand), so 4 mm² (37 A) serves.
    leg = Leg("wall", 1, FLAT, "C", circuits=2, together=together)
    design = design_circuit(GB, Circuit("radial", 20, (leg,), 32))
    assert design.size_mm2(FLAT) == F(size)
    (needed,) = (check.limit for check in design.checks if check.code == "cable-capacity")
    assert round(float(needed), 2) == (40 if together else 33.65)
