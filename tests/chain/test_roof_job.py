"""The roof of the demo job with panels, from its survey to its bill."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D

import pytest

from estimator.estimate import Basis, Estimate, make_estimate
from tests.chain.roofs import surveyed


def need(estimate: Estimate, rule: str) -> D:
    return sum(
        (r.quantity for line in estimate.bill.lines for r in line.reasons if r.rule == rule), D(0))


def one_length_of_rail(basis: Basis) -> Basis:
    """Return the basis with no other length of the rail on offer."""
    offers = {code: each for code, each in basis.prices.offers.items() if code != "02204-RL"}
    return replace(basis, prices=replace(basis.prices, offers=offers))


# Worked roof block, invented figures: 2 x 6 upright panels of 1.134 x 1.762 m on a plane of
# 8.2 x 4.6 m; fixings 28 at 0.60 m rafters and 36 at 0.45 m; clamps by geometry, 4 r at the ends
# and 2 r (c - 1) between; rail joiners are pieces - 1 on each of 4 lines of 7.104 m.
@pytest.mark.parametrize(("rafters", "fixings"), [("0.60", 28), ("0.45", 36)])
def test_the_block_of_two_rows_of_six_is_held_as_worked(
    basis: Basis, rafters: str, fixings: int
) -> None:
    found = make_estimate(
        surveyed(rafter_spacing_m=D(rafters), uplift_kpa=D("0.1")), one_length_of_rail(basis))
    assert need(found, "pv-panel") == 12
    assert need(found, "pv-roof-fixing") == fixings
    assert need(found, "pv-end-clamp") == 8
    assert need(found, "pv-middle-clamp") == 20
    assert need(found, "pv-rail-joiner") == 8
    assert need(found, "pv-rail") == 9
    assert need(found, "pv-rail-other") == 0


def test_two_lengths_of_one_rail_are_mixed_where_that_costs_less(basis: Basis) -> None:
    # By hand, 4 lines of 7.104 m: nine sticks of 3.3 m at 15.80 and eight joiners at 3.10 are
    # 167.00. Two lines of 4.4 + 2.704 m and two of 3.3 + 3.3 + 0.504 m take two sticks of 4.4 m at
    # 21.60, six of 3.3 m (each short end out of the rest of a 2.704) and six joiners: 156.60.
    found = make_estimate(surveyed(rafter_spacing_m=D("0.60"), uplift_kpa=D("0.1")), basis)
    assert need(found, "pv-rail") == 6
    assert need(found, "pv-rail-other") == 2
    assert need(found, "pv-rail-joiner") == 6


def test_rafters_nobody_has_seen_are_priced_as_the_worst_and_marked(basis: Basis) -> None:
    found = make_estimate(surveyed(rafter_spacing_m=None, uplift_kpa=D("0.1")), basis)
    assert need(found, "pv-roof-fixing") == 36
    reasons = [r for line in found.bill.lines for r in line.reasons if r.rule == "pv-roof-fixing"]
    assert [r.assumed for r in reasons] == [True]
    question = next(q for q in found.questions if q.fact == "plane[0].rafter_spacing_m")
    assert question.assumed == "0.45"
    assert any("0.45 m" in each for each in found.price_holds_if)


def test_more_uplift_than_the_span_needs_asks_for_more_fixings(basis: Basis) -> None:
    few = make_estimate(surveyed(uplift_kpa=D("0.5")), basis)
    many = make_estimate(surveyed(uplift_kpa=D("3.0")), basis)
    assert need(many, "pv-roof-fixing") > need(few, "pv-roof-fixing")


def test_a_plane_of_unknown_size_with_a_wanted_block_is_priced_and_asked(basis: Basis) -> None:
    found = make_estimate(surveyed(slope_length_m=None), basis)
    assert need(found, "pv-panel") == 12
    assert "plane[0].slope_length_m" in {q.fact for q in found.questions}


def test_a_plane_of_unknown_size_and_count_yields_a_question_and_no_panels(basis: Basis) -> None:
    found = make_estimate(
        surveyed(slope_length_m=None, rows=None, columns=None, panels=None), basis)
    assert need(found, "pv-panel") == 0
    assert "plane[0].slope_length_m" in {q.fact for q in found.questions}
    assert found.kind == "budget"


def test_hooks_near_the_sea_are_of_marine_grade(basis: Basis) -> None:
    found = make_estimate(surveyed(site={"coast_distance_km": D(1)}), basis)
    hooks = [line.item for line in found.bill.lines
             if "pv-roof-fixing" in {r.rule for r in line.reasons}]
    assert [hook.spec.marine_grade for hook in hooks] == [True]
