"""Brackets, wall fixings and their tests against published formulas and worked figures.

"From memory" marks a figure that was not read again in the document when the test was written.
"""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from catalogue.specs import FixingSpec, MountingSpec
from estimator.design.rails import RailRule, rails_of
from estimator.design.roof import Field, block
from estimator.design.structure.anchor_choice import choose_anchor, needed_length_mm
from estimator.design.structure.anchors import (
    judge_concrete,
    judge_steel,
    recommended_n,
)
from estimator.design.structure.bracket import Bracket, bracket_forces, fixing_duty
from estimator.design.structure.proof_test import Load, allowable_from_trials, proof_plan
from tests.catalogue.starter_reading import ITEMS
from tests.design.structure.hung_jobs import (
    STARTER,
    bolt,
    book,
    bracket,
    check,
    figure,
    judged,
    module,
)
from tests.design.structure.rules_in_force import ANCHORS, PROOF, G, duty, hole, priced
from tests.rules.test_worked_roof_block import needs, worked_block

# --- the couple of a bracket -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("centre_mm", "couple_mm", "moment", "pull", "pull_each", "shear_each"),
    [
        # Engineering question and answer "T-shaped shelf bracket": T = W e / h. By hand for a unit
        # of 60 kg on four fixings, two at the top: 588.6 N x 0.09 m = 52.97; / 0.4 m = 132.4.
        (90, 400, "52.974", "132.435", "66.2175", "147.15"),
        # 588.6 x 0.15 / 0.3 = 294.3.
        (150, 300, "88.29", "294.3", "147.15", "147.15"),
        # Worked example, invented figures: 0.12 m out, holes 0.40 m apart: about 88 N and 147 N.
        (120, 400, "70.632", "176.58", "88.29", "147.15"),
    ],
)
def test_a_bracket_of_60_kg_pulls_and_shears_as_worked_by_hand(
    centre_mm: int, couple_mm: int, moment: str, pull: str, pull_each: str, shear_each: str
) -> None:
    found = bracket_forces(60, Bracket(centre_mm, couple_mm, 4, 2), G)
    assert found.moment_nm == F(moment)
    assert found.pull_total_n == F(pull)
    assert found.pull_each_n == F(pull_each)
    assert found.shear_each_n == F(shear_each)


@pytest.mark.parametrize(
    ("centre_mm", "couple_mm", "pull", "pull_each", "shear"),
    [(90, 400, 132.4, 66.2, 147.2), (150, 300, 294.3, 147.2, 147.2)],
)
def test_the_worked_bracket_reads_as_printed_to_one_decimal(
    centre_mm: int, couple_mm: int, pull: float, pull_each: float, shear: float
) -> None:
    # Same figures as usually shown.
    found = bracket_forces(60, Bracket(centre_mm, couple_mm, 4, 2), G)
    assert float(found.pull_total_n) == pytest.approx(pull, abs=0.05)
    assert float(found.pull_each_n) == pytest.approx(pull_each, abs=0.05)
    assert float(found.shear_each_n) == pytest.approx(shear, abs=0.0501)  # 147.15 is half-way


@pytest.mark.parametrize(
    ("depth_mm", "couple_mm", "pull_each", "shear_each"),
    [
        # Worked example, invented figures: 60 kg, its centre 0.12 m out, four holes 0.40 m apart:
        # about 147 N shear on each and 88 N pull on each top hole. A module 180 mm deep on a
        # bracket of 30 mm has its centre there. By hand: 588.6 x 0.12 / 0.4 / 2, and 588.6 / 4.
        (180, 400, "88.29", "147.15"),
        # "T-shaped shelf bracket": 120 mm deep is 90 mm out, 588.6 x 0.09 / 0.4 / 2; and 240 mm
        # deep with rows 0.30 m apart, 588.6 x 0.15 / 0.3 / 2.
        (120, 400, "66.2175", "147.15"), (240, 300, "147.15", "147.15"),
    ],
)
def test_a_module_of_60_kg_asks_of_its_fixings_what_was_worked_by_hand(
    depth_mm: int, couple_mm: int, pull_each: str, shear_each: str
) -> None:
    found = judged(book(bracket(couple_mm), bolt()), module(60, depth_mm=depth_mm))
    assert figure(found, "pull on each of the top row") == F(pull_each)
    assert figure(found, "shear on each") == F(shear_each)


def test_the_module_of_the_starter_catalogue_loads_its_fixings_as_in_the_worked_example() -> None:
    # The same worked example: about 147 N and 88 N, then compared with the maker's figure for
    # that wall.
    found = judged(STARTER, STARTER.items["01505-WF"])
    assert round(figure(found, "pull on each of the top row")) == 88
    assert round(figure(found, "shear on each")) == 147
    assert check(found, "storage-anchor").level == "fine"


def test_a_bracket_on_the_floor_needs_no_rated_bolt_and_one_that_hangs_does() -> None:
    # Common practice, no source.
    standing = fixing_duty("floor", 60, Bracket(90, 400, 2, 2), G)
    hung = fixing_duty("wall", 60, Bracket(90, 400, 4, 2), G)
    assert (standing.role, standing.load_rated) == ("anti-tip fixing", False)
    assert "ordinary screws" in standing.because
    assert (hung.role, hung.load_rated, hung.pull_n) == ("wall fixing", True, F("66.2175"))


# --- pull and shear together -----------------------------------------------------------------


def test_the_published_anchor_is_used_to_83_1_percent() -> None:
    # A stored structural calculation report, M24 anchors: N 54.7 of 60.0 kN and V 0.4 of 50.8 kN
    # are 91.2 % and about 1 %; together 83.1 % by (N / NRd)^2 + (V / VRd)^2 <= 1 (EN 1992-4).
    pull, shear = F("54.7") / 60, F("0.4") / F("50.8")
    assert round(float(pull) * 100, 1) == 91.2
    found = judge_steel(pull, shear, ANCHORS)
    assert float(found.value) == pytest.approx(0.8312, abs=0.00005)
    assert found.passes
    assert "83.1 %" in found.says


@pytest.mark.parametrize(
    ("pull", "shear", "passes"),
    [
        # EN 1992-4 (from memory), a circle: 0.6 and 0.8 lie on it exactly.
        ("0.6", "0.8", True), ("0.6", "0.8001", False), ("1", "0", True), ("1.0001", "0", False),
    ],
)
def test_steel_passes_on_the_circle_and_not_beyond_it(
    pull: str, shear: str, passes: bool
) -> None:
    assert judge_steel(F(pull), F(shear), ANCHORS).passes is passes


@pytest.mark.parametrize(
    ("pull", "shear", "together"),
    [
        # EN 1992-4 (from memory): powers of 1.5. By hand 0.7 sqrt 0.7 + 0.5 sqrt 0.5 and so on.
        ("0.7", "0.5", 0.939), ("0.8", "0.4", 0.969), ("0.6", "0.6", 0.930),
    ],
)
def test_concrete_passes_by_the_powers_of_one_and_a_half(
    pull: str, shear: str, together: float
) -> None:
    found = judge_concrete(F(pull), F(shear), ANCHORS)
    assert found.code == "anchor-concrete"
    assert found.value == pytest.approx(together, abs=0.0005)
    assert found.passes


@pytest.mark.parametrize(
    ("pull", "shear", "passes"),
    [
        # EN 1992-4 (from memory): or the sum is at most 1.2 with neither above 1. The powers give
        # 1.089, 1.0001 and more for these.
        ("1", "0.2", True), ("1", "0.2001", False), ("1.01", "0", False), ("0", "1.01", False),
        ("0.9", "0.3", True), ("0.65", "0.65", False),
    ],
)
def test_concrete_also_passes_by_the_sum_of_one_and_a_fifth(
    pull: str, shear: str, passes: bool
) -> None:
    assert judge_concrete(F(pull), F(shear), ANCHORS).passes is passes


# --- ratings ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wall", "recommended"),
    [
        # ETAG 020 and 029 method (from memory): 2.5 kN / (factor x 1.4). In brick 0.714 kN.
        ("concrete", F(2500) / (F("1.8") * F("1.4"))), ("dense brick", F(5000, 7)),
        ("perforated brick", F(5000, 7)), ("aerated block", F(2500) / (2 * F("1.4"))),
    ],
)
def test_a_characteristic_load_becomes_a_recommended_one(wall: str, recommended: F) -> None:
    assert recommended_n(2500, wall, ANCHORS) == recommended


def test_2_5_kn_in_brick_may_carry_714_n() -> None:
    # Same: 2500 / 3.5 = 714.29 N.
    assert round(float(recommended_n(2500, "dense brick", ANCHORS) or 0)) == 714


@pytest.mark.parametrize("wall", ["stone", "stud"])
def test_a_wall_without_a_published_factor_gets_no_rating(wall: str) -> None:
    # The guidelines cover concrete, masonry units and aerated concrete; other walls are tested.
    assert recommended_n(2500, wall, ANCHORS) is None


def test_the_length_is_fixture_plaster_and_embedment() -> None:
    # Guides to wall plugs: the whole embedment lies in the structure; plaster is 10 to 19 mm.
    assert needed_length_mm(hole(fixture_mm=3, plaster_mm=19), 60) == 82


@pytest.mark.parametrize("wall", ["perforated brick", "light block", "stone", "stud"])
def test_a_weak_or_unknown_wall_is_tested_first(wall: str) -> None:
    # BS 8539: where the strength of the wall is unknown, test first.
    found = choose_anchor(duty(), hole(wall), [], ANCHORS)
    assert any("test fixings by pulling" in each for each in found.cautions)


def test_nothing_is_rated_from_the_plaster() -> None:
    # Guides to wall plugs.
    found = choose_anchor(duty(), hole(), [], ANCHORS)
    assert any("never rate a fixing from the plaster" in each for each in found.cautions)


@pytest.mark.parametrize(("edge_mm", "serves"), [(150, True), (149, False)])
def test_resin_in_brick_keeps_150_mm_from_the_edge_of_the_wall(edge_mm: int, serves: bool) -> None:
    # Fixing makers in general (from memory, medium confidence).
    found = choose_anchor(
        duty(), hole(edge_mm=edge_mm), [priced("R", 100, resin_ml=5)], ANCHORS)
    assert (found.item is not None) is serves


# --- tests on site -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fixings", "load", "pulls"),
    [
        # A fixing maker's answer citing BS 8539, annex B.3: 2.5 %, at least 3 in each area, at
        # 1.5 times the load; or 5 % at 1.25 times.
        (100, "high", 3), (200, "high", 5), (1000, "high", 25), (201, "high", 6), (4, "high", 3),
        (100, "low", 5), (1000, "low", 50),
        # An area with fewer than three has all of them pulled.
        (2, "high", 2),
    ],
)
def test_so_many_fixings_are_pulled(fixings: int, load: Load, pulls: int) -> None:
    assert proof_plan(fixings, 66, PROOF, load).pulls == pulls


@pytest.mark.parametrize(("load", "test_n"), [("high", "150"), ("low", "125")])
def test_a_proof_test_pulls_harder_than_the_fixing_is_used(load: Load, test_n: str) -> None:
    # Same answer.
    assert proof_plan(100, 100, PROOF, load).test_n == F(test_n)


@pytest.mark.parametrize(
    ("fixings", "failures", "pulls"),
    [
        # Same answer: one failure, 5 % and at least 6; more than one, every fixing of the area.
        (100, 1, 6), (200, 1, 10), (4, 1, 4), (100, 2, 100), (1000, 3, 1000),
    ],
)
def test_a_failure_raises_the_number_pulled(fixings: int, failures: int, pulls: int) -> None:
    assert proof_plan(fixings, 66, PROOF, failures=failures).pulls == pulls


def test_five_trials_to_failure_allow_a_quarter_of_their_mean() -> None:
    # A fixing supplier's guide, simplified practice (medium confidence): 5 to failure, mean / 4.
    # By hand: (2.0 + 2.4 + 1.6 + 2.2 + 1.8) / 5 = 2.0 kN, so 0.5 kN.
    found = allowable_from_trials([2000, 2400, 1600, 2200, 1800], PROOF)
    assert (found.mean_n, found.allowable_n) == (2000, 500)
    with pytest.raises(ValueError, match="4 pulls are too few: 5 are needed"):
        allowable_from_trials([2000, 2400, 1600, 2200], PROOF)


# --- clamps and rails --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("panels", "rows", "end", "middle"),
    [(1, 1, 4, 0), (6, 1, 4, 10), (12, 2, 8, 20)],  # geometry: two rails, n - 1 gaps in a row
)
def test_a_row_of_panels_has_its_clamps(panels: int, rows: int, end: int, middle: int) -> None:
    found = needs(worked_block(
        panels_placed=panels, block_rows=rows, block_columns=panels // rows,
        panels_per_string=panels))
    assert found.get("pv-end-clamp", 0) == end
    assert found.get("pv-middle-clamp", 0) == middle


def test_six_panels_in_a_row_stand_on_rails_of_7_004_m() -> None:
    # Geometry: 6 x 1.134 + 5 x 0.020 + 2 x 0.050 = 7.004 m.
    row = block(1, 6, (F("1.134"), F("1.722")), True, Field(F(0), F(0), F(0), F("0.02")))
    rule = RailRule(F("0.6"), F("1.2"), F("0.3"), F("0.05"))
    assert rails_of(row, rule).longest_line_m == F("7.004")


# --- plausibility bounds only (data sheets in general, from memory, low confidence) --------------
# Orders of size, not ratings: each says between what the starter catalogue's invented figures lie.

PULL_BOUNDS_N = {
    # code: (least, most) recommended tension, and the row it comes from
    "09053": (200, 650),  # 6 mm plug, concrete 0.5 to 0.65, solid brick 0.2 to 0.3 kN
    "09050": (400, 1200),  # 8 mm plug, concrete 0.8 to 1.2, solid brick 0.4 to 0.7 kN
    "09054": (400, 1200),  # the same, longer
    "09051": (60, 140),  # 8 mm plug, aerated block 0.06 to 0.14 kN
    "09055": (60, 140),  # the same, longer
    "09060": (200, 850),  # frame fixing: 10 mm gives 0.2 kN in perforated to 0.85 in solid brick
    "09061": (60, 300),  # frame fixing, aerated block: 10 mm 0.2 to 0.3, 8 mm plug 0.06 to 0.14
    "09020": (600, 900),  # sleeve anchor 8 mm in brick
    "09021": (900, 1300), "09022": (900, 1300),  # sleeve anchor 10 mm in brick
    "09023": (900, 1300), "09024": (900, 1300),  # the same, longer
    "09030": (800, 1900),  # resin and stud, solid brick
    "09031": (300, 900),  # resin and stud with sleeve, hollow 0.3 to 0.6; aerated 0.3 to 0.9
    "09032": (300, 900),  # resin and stud, aerated
    "09034": (300, 600),  # resin and stud with sleeve, hollow
    "09036": (6000, 9000),  # resin and stud M10, concrete C20/25
}
SHEAR_BOUNDS_N = {"09030": (1000, 2000), "09031": (400, 800), "09034": (400, 800)}


@pytest.mark.parametrize(
    ("code", "field", "bounds"),
    [(code, "pull_n", bounds) for code, bounds in PULL_BOUNDS_N.items()]
    + [(code, "shear_n", bounds) for code, bounds in SHEAR_BOUNDS_N.items()],
)
def test_a_starter_fixing_lies_within_the_usual_order_of_size(
    code: str, field: str, bounds: tuple[int, int]
) -> None:
    (spec,) = (item.spec for item in ITEMS if item.code == code)
    least, most = bounds
    assert least <= getattr(spec, field) <= most


def test_no_expansion_fixing_of_the_starter_catalogue_is_for_light_block() -> None:
    # Common practice: avoid expansion types in aerated block.
    expansion = [item for item in ITEMS if item.family == "fixing" and any(
        word in item.name for word in ("Expansion", "Sleeve anchor"))]
    assert len(expansion) == 9
    for item in expansion:
        assert isinstance(item.spec, FixingSpec)
        assert "light block" not in item.spec.walls


def test_starter_rails_reach_no_further_past_their_last_fixing_than_is_usual() -> None:
    # Rails past the last hook at most 0.4 m; hooks 0.8 to 1.2 m apart for ordinary rail, at most
    # 1.4 m (from memory, medium). The deep rail of 62 mm spans 1.6 m: stiffer, and not bounded.
    rails = [item for item in ITEMS if "rail" in item.roles]
    assert rails
    for item in rails:
        assert isinstance(item.spec, MountingSpec)
        assert item.spec.max_overhang_m is not None
        assert item.spec.max_overhang_m <= D("0.4")
        if item.height_mm == 40:
            assert item.spec.max_span_m is not None
            assert D("0.8") <= item.spec.max_span_m <= D("1.4")
