"""How many panels fit, and what holds them."""

from __future__ import annotations

import itertools
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design import rails, roof

WIDTH, HEIGHT, GAP = F("1.134"), F("1.762"), F("0.02")


def open_field(eaves: str = "20", slope: str = "20", edge: str = "0.4") -> roof.Field:
    return roof.Field(F(eaves), F(slope), F(edge), GAP)


def rule(rafters: str, span: str = "1.2") -> rails.RailRule:
    return rails.RailRule(F(rafters), F(span), F("0.3"), F("0.1"))


def two_by_six() -> roof.Layout:
    return roof.block(2, 6, (WIDTH, HEIGHT), True, open_field())


# Worked roof example with invented figures: 2 x 6 upright panels of 1.134 x 1.762 m, gap 0.02,
# rail end 0.10, span 1.2, overhang 0.3, stick 3.3 m. W = 6 x 1.134 + 5 x 0.02 = 6.904;
# L = W + 0.2 = 7.104. Fixings per line = ceil((L - 2 C + p) / s) + 1.
@pytest.mark.parametrize(
    ("rafters", "span", "step", "fixings"),
    [
        ("0.6", "1.2", "1.2", 28),  # ceil(7.104 / 1.2) + 1 = 7, four lines
        ("0.45", "1.2", "0.9", 36),  # ceil(6.954 / 0.9) + 1 = 9
        ("0.4", "1.2", "1.2", 28),  # ceil(6.904 / 1.2) + 1 = 7
        ("0.6", "0.9", "0.6", 52),  # ceil(7.104 / 0.6) + 1 = 13
    ],
)
def test_fixings_follow_rafter_spacing_and_span(
    rafters: str, span: str, step: str, fixings: int
) -> None:
    held = rails.rails_of(two_by_six(), rule(rafters, span))
    assert held.lines == 4
    assert held.longest_line_m == F("7.104")
    assert held.step_m == F(step)
    assert held.fixings == fixings


def test_rail_length_is_panels_gaps_and_two_overhangs() -> None:
    # Geometry: 6 x 1.134 + 5 x 0.020 + 2 x 0.050 = 7.004 m per rail.
    layout = roof.block(1, 6, (WIDTH, HEIGHT), True, open_field())
    short_ends = rails.RailRule(F("0.6"), F("1.2"), F("0.3"), F("0.05"))
    held = rails.rails_of(layout, short_ends)
    assert held.longest_line_m == F("7.004")


def test_no_lawful_step_gives_a_zero_step_and_a_fixing_on_every_rafter() -> None:
    held = rails.rails_of(two_by_six(), rule("1.5"))
    assert held.step_m == 0
    # Every rafter: ceil((7.104 - 0.6 + 1.5) / 1.5) + 1 = 7 per line, by hand.
    assert held.fixings == 28


def test_edge_zones_leave_room_for_two_rows_of_six() -> None:
    # 8.2 x 4.6 m less 0.4 m all round = 7.4 x 3.8 m: 6 x 1.134 + 5 x 0.02 = 6.904 <= 7.4 and
    # 2 x 1.762 + 0.02 = 3.544 <= 3.8; a seventh panel would need 8.058.
    field = open_field("8.2", "4.6")
    layout = roof.fill(field, WIDTH, HEIGHT, True)
    assert [s.panels for s in layout.segments] == [6, 6]
    assert roof.fits(layout, field)


def test_a_panel_that_fits_to_the_millimetre_is_placed() -> None:
    field = open_field("1.934", "2.562")
    assert roof.fill(field, WIDTH, HEIGHT, True).panels == 1
    assert roof.fill(open_field("1.933", "2.562"), WIDTH, HEIGHT, True).panels == 0


def test_a_chimney_parts_a_row() -> None:
    # Row of 7.4 m clear; a stack 0.6 wide at 3.4 leaves 3.0 m left (2 panels: 2.288; 3 would need
    # 3.442) and from 4.0 to 7.8 = 3.8 m right (3 panels: 3.442). By hand.
    chimney = roof.Box(F("3.4"), F("0"), F("0.6"), F("4.6"))
    field = roof.Field(F("8.2"), F("2.6"), F("0.4"), GAP, (chimney,))
    layout = roof.fill(field, WIDTH, HEIGHT, True)
    assert [(s.panels, s.x_m) for s in layout.segments] == [(2, F("0.4")), (3, F(4))]
    assert rails.rails_of(layout, rule("0.6")).lines == 4


def test_panels_wanted_are_spread_evenly_over_the_fewest_rails() -> None:
    layout = roof.fill(open_field("9.2", "6.6"), WIDTH, HEIGHT, True)
    assert [s.panels for s in layout.segments] == [7, 7, 7]
    assert sorted(s.panels for s in roof.thin(layout, 12).segments) == [6, 6]
    assert sorted(s.panels for s in roof.thin(layout, 7).segments) == [7]
    assert sorted(s.panels for s in roof.thin(layout, 15).segments) == [5, 5, 5]


def test_the_fuller_way_round_wins_and_fewer_rails_break_a_tie() -> None:
    tall = roof.block(1, 3, (WIDTH, HEIGHT), True, open_field())
    lying = roof.block(3, 1, (HEIGHT, WIDTH), False, open_field())
    assert roof.best_layout([lying, tall]) is tall
    more = roof.block(2, 2, (HEIGHT, WIDTH), False, open_field())
    assert roof.best_layout([tall, more]) is more


def test_the_outline_goes_round_each_group_of_touching_rows() -> None:
    _, _, perimeter = rails.outline_m(two_by_six())
    assert perimeter == 2 * (F("6.904") + F("3.544"))
    apart = roof.Layout(True, F(1), F(1), F(0), (roof.Segment(F(0), F(0), 1),
                                                 roof.Segment(F(5), F(0), 1)))
    assert rails.outline_m(apart)[2] == 8


small = st.integers(1, 3)


@st.composite
def small_fields(draw: st.DrawFn) -> roof.Field:
    box = st.tuples(st.integers(0, 5), st.integers(0, 4), small, small)
    boxes = draw(st.lists(box, max_size=2))
    return roof.Field(
        F(draw(st.integers(2, 6))), F(draw(st.integers(2, 5))), F(0), F(0),
        tuple(roof.Box(F(x), F(y), F(w), F(h)) for x, y, w, h in boxes),
    )


def brute_force_most(field: roof.Field, height: int) -> int:
    """Try every set of row heights on a whole-metre grid, panels one metre wide."""
    heights = range(int(field.slope_m))

    def row(y: int) -> int:
        free = [
            x for x in range(int(field.eaves_m))
            if not any(roof.overlap(roof.Box(F(x), F(y), F(1), F(height)), o)
                       for o in field.obstructions)
        ]
        return len(free)

    most = 0
    for count in range(len(heights) + 1):
        for ys in itertools.combinations(heights, count):
            apart = all(b - a >= height for a, b in itertools.pairwise(ys))
            inside = all(y + height <= field.slope_m for y in ys)
            if apart and inside:
                most = max(most, sum(row(y) for y in ys))
    return most


@given(small_fields(), st.integers(1, 2))
@settings(max_examples=300, deadline=None)
def test_the_fit_equals_a_search_of_every_row_height(field: roof.Field, height: int) -> None:
    layout = roof.fill(field, F(1), F(height), True)
    assert layout.panels == brute_force_most(field, height)
    assert roof.fits(layout, field)
    boxes = layout.boxes()
    assert not any(roof.overlap(a, b) for a, b in itertools.combinations(boxes, 2))


lengths = st.integers(500, 12_000).map(lambda mm: F(mm, 1000))


@given(lengths, lengths, st.integers(0, 40))
@settings(max_examples=200, deadline=None)
def test_thinning_keeps_what_is_wanted_inside_the_plane(eaves: F, slope: F, wanted: int) -> None:
    field = roof.Field(eaves, slope, F("0.4"), GAP)
    full = roof.fill(field, WIDTH, HEIGHT, True)
    few = roof.thin(full, wanted)
    assert few.panels == min(wanted, full.panels)
    assert roof.fits(few, field)
    counts = [s.panels for s in few.segments]
    assert not counts or max(counts) - min(counts) <= 1


@given(st.integers(1, 30), st.sampled_from(["0.4", "0.45", "0.5", "0.6", "0.9"]))
def test_more_panels_never_need_fewer_fixings_or_rails(panels: int, rafters: str) -> None:
    few = rails.rails_of(roof.block(1, panels, (WIDTH, HEIGHT), True, open_field()), rule(rafters))
    many = rails.rails_of(
        roof.block(1, panels + 1, (WIDTH, HEIGHT), True, open_field()), rule(rafters))
    assert many.fixings >= few.fixings
    assert many.lines >= few.lines
