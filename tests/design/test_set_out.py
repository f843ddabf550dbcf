"""Where panels, strings, rails and fixings lie on a plane.

Common practice, no source: a rail is fixed at rafters, no farther apart than its span, and reaches
past its last fixing no farther than its maker allows.
"""

from __future__ import annotations

from fractions import Fraction as F
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from estimator.design.rails import RailRule, fixing_step_m, fixings_per_line
from estimator.design.roof import Box, Layout, Segment, overlap
from estimator.design.set_out import in_strings, lines_at, panel_order, places

# Two rows of three panels 1.1 m x 1.7 m, gap 0.02 m, from (0.4, 0.5).
LAYOUT = Layout(True, F("1.1"), F("1.7"), F("0.02"), (
    Segment(F("0.4"), F("0.5"), 3), Segment(F("0.4"), F("2.22"), 3)))
RULE = RailRule(F("0.6"), F("1.2"), F("0.3"), F("0.1"))


def test_every_second_row_of_panels_runs_backwards() -> None:
    assert [(box.x_m, box.y_m) for box in panel_order(LAYOUT)] == [
        (F("0.40"), F("0.5")), (F("1.52"), F("0.5")), (F("2.64"), F("0.5")),
        (F("2.64"), F("2.22")), (F("1.52"), F("2.22")), (F("0.40"), F("2.22"))]


def test_strings_are_numbered_over_the_job_and_panels_along_them() -> None:
    told = in_strings({0: 5, 2: 2}, [{0: (3, 2)}, {2: (2,)}])
    assert told == {0: [(1, 1), (1, 2), (1, 3), (2, 1), (2, 2)], 2: [(3, 1), (3, 2)]}


def test_a_string_runs_on_to_the_next_plane_that_faces_alike() -> None:
    told = in_strings({0: 3, 1: 4}, [{0: (5,), 1: (2,)}])
    assert told == {0: [(1, 1), (1, 2), (1, 3)], 1: [(2, 1), (2, 2), (1, 4), (1, 5)]}


def test_panels_whose_strings_nobody_knows_have_none() -> None:
    assert in_strings({0: 2}, []) == {0: [(0, 0), (0, 0)]}


@given(st.lists(st.lists(st.integers(1, 9), min_size=1, max_size=3), min_size=1, max_size=3))
def test_every_string_has_its_panels_once(lengths: list[list[int]]) -> None:
    # The panels of the last plane are those of all strings that the others do not hold.
    panels = dict.fromkeys(range(len(lengths) - 1), 2)
    whole = sum(sum(each) for each in lengths)
    assume(whole > sum(panels.values()))
    panels[len(lengths) - 1] = whole - sum(panels.values())
    told = in_strings(panels, [dict(enumerate(map(tuple, lengths)))])
    flat = [length for each in lengths for length in each]
    assert sorted(at for each in told.values() for at in each) == [
        (number, place) for number, length in enumerate(flat, 1)
        for place in range(1, length + 1)]
    assert {i: len(each) for i, each in told.items()} == panels


def test_a_rail_reaches_past_its_panels_and_lies_a_quarter_in() -> None:
    lower, upper, *_ = lines_at(LAYOUT, RULE, 16, F("1.2"))
    # 3 x 1.1 + 2 x 0.02 + 2 x 0.1 = 3.54; 0.5 + 1.7 / 4 = 0.925, 0.5 + 3 x 1.7 / 4 = 1.775
    assert (lower.x_m, lower.y_m, lower.length_m) == (F("0.3"), F("0.925"), F("3.54"))
    assert (upper.x_m, upper.y_m) == (F("0.3"), F("1.775"))


def test_fixings_lie_on_rafters_about_the_middle_of_the_rail() -> None:
    # 3.54 m cross six rafters of 0.6 m: the outer ones lie (3.54 - 3.0) / 2 = 0.27 m in. Steps of
    # 1.2 m reach 0.27, 1.47, 2.67, and a fourth takes the last rafter, 3.27.
    assert places(F("3.54"), 4, RULE) == (F("0.27"), F("0.87"), F("2.07"), F("3.27"))


@pytest.mark.parametrize(("count", "drawn"), [(6, 6), (9, 6)])
def test_a_rafter_is_drawn_with_one_fixing_at_most(count: int, drawn: int) -> None:
    assert len(places(F("3.54"), count, RULE)) == drawn


def test_fixings_that_wind_asks_for_go_to_the_lines_in_turn() -> None:
    # By its span each line takes ceil((3.54 - 0.6 + 0.6) / 1.2) + 1 = 4; the other two go round.
    assert [len(line.fixings_m) for line in lines_at(LAYOUT, RULE, 18, F("1.2"))] == [5, 5, 4, 4]


@given(
    st.integers(300, 900), st.integers(500, 2000), st.integers(0, 600), st.integers(800, 15000))
def test_fixings_counted_by_span_hold_it_wherever_they_are_drawn(
    spacing_mm: int, span_mm: int, overhang_mm: int, line_mm: int
) -> None:
    spacing, span, over, line = (
        F(n, 1000) for n in (spacing_mm, span_mm, overhang_mm, line_mm))
    assume(span >= spacing and over >= spacing / 2 and line > 2 * over + spacing)
    rule = RailRule(spacing, span, over, F(0))
    at = places(line, fixings_per_line(line, rule), rule)
    assert all(0 <= x <= line for x in at)
    assert at[0] <= over
    assert line - at[-1] <= over
    gaps = [b - a for a, b in pairwise(at)]
    assert all(0 < gap <= fixing_step_m(spacing, span) and gap % spacing == 0 for gap in gaps)


def test_panels_in_order_are_those_of_the_layout() -> None:
    boxes: tuple[Box, ...] = panel_order(LAYOUT)
    assert sorted(boxes, key=lambda b: (b.y_m, b.x_m)) == sorted(
        LAYOUT.boxes(), key=lambda b: (b.y_m, b.x_m))
    assert not any(overlap(a, b) for i, a in enumerate(boxes) for b in boxes[:i])
