"""Drawings measured again from their SVG: every distance on paper is that of the estimate.

The scales are those of ISO 5455:1979, 1:5 to 1:500, with steps between; from memory.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction as F
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design import roof
from estimator.design.rails import RailRule, rails_of
from estimator.design.set_out import in_strings, lines_at, panel_order
from estimator.papers.contract_roofs import ORIGIN, PanelJson, PlaneJson, RailLineJson
from estimator.papers.contract_walls import (
    ClearanceJson,
    ObstacleJson,
    PlacedJson,
    RectJson,
    WallJson,
)
from estimator.papers.drawings.page import FIELD, HIGH, WIDE, Page, Title, scale_for
from estimator.papers.drawings.roof_drawing import roof_page
from estimator.papers.drawings.wall_drawing import wall_page

SVG = "{http://www.w3.org/2000/svg}"
LONGEST = "The old schoolmaster's house behind the upper water works, second gate on the left " * 2
HOSTILE = '<script>alert("x")</script> & "quotes"'
TITLE = Title(
    "Roof plane", "Your firm", "Panels", "1 Larch Rise", "D-1 / 1", date(2026, 11, 2), 1, 1)
SOURCE = "data sheet"


@dataclass(frozen=True)
class Seen:
    """A rectangle of a drawing in millimetres of the house; its origin is that of the sheet."""

    x: float
    y: float
    wide: float
    high: float


def shapes(page: Page, what: str) -> list[ET.Element]:
    root = ET.fromstring(page.svg())
    return [each for each in root.iter() if each.get("data-what") == what]


def seen(page: Page, what: str) -> list[Seen]:
    assert page.scale is not None
    return [Seen(*(float(each.get(name, "nan")) * page.scale
                   for name in ("x", "y", "width", "height"))) for each in shapes(page, what)]


def from_corner(rect: Seen, of: Seen) -> tuple[float, float, float, float]:
    """Return a rectangle by its lower left corner from that of another, and its size."""
    return (rect.x - of.x, of.y + of.high - rect.y - rect.high, rect.wide, rect.high)


def asked(rect: RectJson) -> tuple[int, int, int, int]:
    return rect.x_mm, rect.y_mm, rect.width_mm, rect.height_mm


def plane_of(
    size_mm: tuple[int, int] | None, layout: roof.Layout, things: list[ObstacleJson],
    edge_mm: int = 400, name: str = "rear",
) -> PlaneJson:
    rule = RailRule(F("0.6"), F("1.2"), F("0.3"), F("0.1"))
    told = in_strings({0: layout.panels}, [{0: (layout.panels,)}])[0]

    def mm(metres: F) -> int:
        return round(metres * 1000)

    return PlaneJson(
        plane=0, name=name, kind="pitched", covering="natural slate", pitch_deg=None,
        azimuth_deg=None, origin=ORIGIN, width_mm=size_mm and size_mm[0],
        height_mm=size_mm and size_mm[1], edge_mm=edge_mm, portrait=True,
        obstacles=tuple(things),
        panels=tuple(
            PanelJson(x_mm=mm(box.x_m), y_mm=mm(box.y_m), width_mm=mm(box.width_m),
                      height_mm=mm(box.height_m), string=string, place=place)
            for box, (string, place) in zip(panel_order(layout), told, strict=True)),
        lines=tuple(
            RailLineJson(x_mm=mm(line.x_m), y_mm=mm(line.y_m), length_mm=mm(line.length_m),
                         fixings_mm=tuple(mm(x) for x in line.fixings_m))
            for line in lines_at(layout, rule, rails_of(layout, rule).fixings, F("1.2"))),
        rafter_spacing_mm=600, rafters_assumed=True, fixings=rails_of(layout, rule).fixings,
        step_mm=1200)


def filled(width_mm: int, height_mm: int, things: list[ObstacleJson]) -> roof.Layout:
    field = roof.Field(F(width_mm, 1000), F(height_mm, 1000), F("0.4"), F("0.02"), tuple(
        roof.Box(*(F(n, 1000) for n in asked(thing))) for thing in things))
    return roof.fill(field, F("1.134"), F("1.762"), portrait=True)


def thing(name: str, x: int, y: int, wide: int, high: int) -> ObstacleJson:
    return ObstacleJson(name=name, x_mm=x, y_mm=y, width_mm=wide, height_mm=high)


@st.composite
def planes(draw: st.DrawFn) -> PlaneJson:
    wide, high = draw(st.integers(2100, 14_000)), draw(st.integers(2700, 9_000))
    things = [
        thing(f"thing {i}", x := draw(st.integers(0, wide - 300)),
              y := draw(st.integers(0, high - 300)),
              draw(st.integers(50, min(2000, wide - x))),
              draw(st.integers(50, min(1500, high - y))))
        for i in range(draw(st.integers(0, 3)))]
    layout = filled(wide, high, things)
    if not layout.panels:
        things, layout = [], filled(wide, high, [])
    return plane_of((wide, high), layout, things)


@settings(max_examples=40, deadline=None)
@given(planes())
def test_a_drawn_roof_measures_what_the_estimate_says(plane: PlaneJson) -> None:
    page = roof_page(plane, TITLE)
    (whole,) = seen(page, "plane")
    assert (whole.wide, whole.high) == pytest.approx((plane.width_mm, plane.height_mm), abs=0.2)
    for what, rects in (("panel", plane.panels), ("obstruction", plane.obstacles)):
        drawn = [from_corner(each, whole) for each in seen(page, what)]
        assert len(drawn) == len(rects)
        for found, wanted in zip(drawn, rects, strict=True):
            assert found == pytest.approx(asked(wanted), abs=0.2), what


@settings(max_examples=40, deadline=None)
@given(planes())
def test_drawn_panels_lie_on_nothing_else(plane: PlaneJson) -> None:
    page = roof_page(plane, TITLE)
    panels, (zone,) = seen(page, "panel"), seen(page, "edge zone")
    for a, b in (*combinations(panels, 2),
                 *((p, o) for p in panels for o in seen(page, "obstruction"))):
        assert (a.x + a.wide <= b.x + 0.2 or b.x + b.wide <= a.x + 0.2
                or a.y + a.high <= b.y + 0.2 or b.y + b.high <= a.y + 0.2)
    for panel in panels:
        assert panel.x >= zone.x - 0.2
        assert panel.y >= zone.y - 0.2
        assert panel.x + panel.wide <= zone.x + zone.wide + 0.2
        assert panel.y + panel.high <= zone.y + zone.high + 0.2


@settings(max_examples=40, deadline=None)
@given(planes())
def test_no_words_of_a_roof_lie_on_others_or_off_the_sheet(plane: PlaneJson) -> None:
    page = roof_page(plane, TITLE)
    page.svg()
    assert page.overlaps() == []
    for words in page.written:
        assert 0 < words.left < words.right < WIDE, words
        assert 0 < words.top < words.bottom < HIGH, words


def test_every_fixing_lies_on_its_rail_where_the_estimate_says() -> None:
    plane = plane_of((8200, 4600), filled(8200, 4600, []), [])
    page = roof_page(plane, TITLE)
    (whole,) = seen(page, "plane")
    assert page.scale is not None
    drawn = sorted((float(each.get("cx", "nan")) * page.scale - whole.x,
                    whole.y + whole.high - float(each.get("cy", "nan")) * page.scale)
                   for each in shapes(page, "fixing"))
    wanted = sorted((line.x_mm + at, line.y_mm) for line in plane.lines for at in line.fixings_mm)
    assert drawn
    for found, at in zip(drawn, wanted, strict=True):
        assert found == pytest.approx(at, abs=0.2)


def test_a_plane_nobody_measured_is_drawn_without_its_edge_and_says_so() -> None:
    open_ground = roof.Field(F(0), F(0), F(0), F("0.02"))
    layout = roof.block(1, 3, (F("1.134"), F("1.762")), True, open_ground)
    page = roof_page(plane_of(None, layout, [], edge_mm=0), TITLE)
    assert shapes(page, "plane") == []
    assert len(shapes(page, "panel")) == 3
    assert any("has not been measured" in each.words for each in page.written)


def unit(name: str, kind: str, x: int, y: int, level: int = 1) -> PlacedJson:
    rect = RectJson(x_mm=x, y_mm=y, width_mm=650, height_mm=480)
    return PlacedJson(
        **rect.model_dump(), name=name, kind=kind, stack=1, level=level,  # type: ignore[arg-type]
        clear=RectJson(x_mm=x - 300, y_mm=y, width_mm=1250, height_mm=780),
        bracket=RectJson(x_mm=x + 85, y_mm=y, width_mm=480, height_mm=440), bracket_known=True,
        holes=((x + 105, y + 20), (x + 545, y + 420)))


def wall(*units: PlacedJson, things: tuple[ObstacleJson, ...] = ()) -> WallJson:
    return WallJson(
        subject="storage", origin="", width_mm=5200, height_mm=2350, obstacles=things,
        placed=units, clearances=(ClearanceJson(
            kind="module", side_mm=300, side_source=SOURCE, top_mm=300, top_source=SOURCE,
            floor_mm=500, floor_source=SOURCE, between_mm=300, between_source=SOURCE),),
        standing=False, base_mm=0, searched="")


def measured_wall() -> WallJson:
    return wall(unit("module 1", "module", 700, 500), unit("module 2", "module", 2000, 500),
                unit("converter", "converter", 700, 1400),
                things=(thing("door", 4200, 0, 900, 2050), thing("socket", 100, 1100, 90, 90)))


@pytest.mark.parametrize(("what", "kind"), [
    ("module", "module"), ("converter", "converter"), ("bracket", ""), ("clear space", ""),
    ("obstacle", "")])
def test_a_drawn_wall_measures_what_the_estimate_says(what: str, kind: str) -> None:
    told, page = measured_wall(), wall_page(measured_wall(), TITLE)
    (whole,) = seen(page, "wall")
    wanted: list[RectJson] = {
        "bracket": [u.bracket for u in told.placed if u.bracket],
        "clear space": [u.clear for u in told.placed], "obstacle": list(told.obstacles),
    }.get(what) or [u for u in told.placed if u.kind == kind]
    assert (whole.wide, whole.high) == pytest.approx((5200, 2350), abs=0.2)
    found = [from_corner(each, whole) for each in seen(page, what)]
    assert len(found) == len(wanted) > 0
    for drawn, rect in zip(found, wanted, strict=True):
        assert drawn == pytest.approx(asked(rect), abs=0.2)


def test_holes_are_drawn_and_listed_at_their_places() -> None:
    page = wall_page(measured_wall(), TITLE)
    (whole,) = seen(page, "wall")
    assert page.scale is not None
    drawn = sorted((round(float(h.get("cx", "nan")) * page.scale - whole.x),
                    round(whole.y + whole.high - float(h.get("cy", "nan")) * page.scale))
                   for h in shapes(page, "hole"))
    assert drawn == [(805, 520), (805, 1420), (1245, 920), (1245, 1820), (2105, 520), (2545, 920)]
    said = " ".join(each.words for each in page.written)
    assert "805/520; 1245/920" in said


def dimensions(page: Page) -> Iterator[tuple[int, float]]:
    """Yield what each dimension line says, and how long it is in millimetres of the house."""
    assert page.scale is not None
    for each in ET.fromstring(page.svg()).iter():
        if (each.get("data-what") or "").startswith("dimension "):
            points = [float(n) for n in (each.get("d") or "").replace("M", "").replace(
                "L", ",").split(",")]
            said = int((each.get("data-what") or "").removeprefix("dimension "))
            yield said, (abs(points[0] - points[2]) + abs(points[1] - points[3])) * page.scale


@pytest.mark.parametrize("page", [
    wall_page(measured_wall(), TITLE),
    roof_page(plane_of((8200, 4600), filled(8200, 4600, []), []), TITLE)], ids=["wall", "roof"])
def test_every_dimension_line_is_as_long_as_it_says(page: Page) -> None:
    told = list(dimensions(page))
    assert len(told) >= 6
    for said, long in told:
        assert long == pytest.approx(said, abs=0.2)


@pytest.mark.parametrize("words", [LONGEST, HOSTILE, "ברחוב הגפן 7, דירה 2", "=1+1", "a\x07bell"])
def test_words_of_any_kind_stay_words_and_in_their_cells(words: str) -> None:
    title = Title(words, words, words, words, words, date(2026, 11, 2), 12, 12)
    plane = plane_of((8200, 4600), filled(8200, 4600, []), [thing(words, 500, 500, 40, 40)],
                     name=words)
    walled = wall(unit("module 1", "module", 700, 500), things=(thing(words, 100, 100, 90, 90),))
    for page in (roof_page(plane, title), wall_page(walled, title)):
        svg = page.svg()
        assert "<script" not in svg
        ET.fromstring(svg)
        assert page.overlaps() == []
        assert all(each.right < WIDE for each in page.written)


def test_ten_modules_and_forty_panels_keep_their_words_apart() -> None:
    units = [unit(f"module {n + 1}", "module", 350 + 950 * (n % 5), 500 + 900 * (n // 5), n // 5)
             for n in range(10)]
    things = tuple(thing(f"thing {n}", 20, 60 * n, 40, 40) for n in range(28))
    pages = [wall_page(wall(*units), TITLE), roof_page(
        plane_of((13_000, 8200), filled(13_000, 8200, []), list(things)), TITLE)]
    for page in pages:
        page.svg()
        assert page.overlaps() == []
        assert all(each.bottom < HIGH for each in page.written)


def test_the_largest_usual_scale_that_fits_is_taken() -> None:
    # 8.2 m by 4.6 m into 160 mm by 100 mm: 1 : 50 asks for 164 mm, 1 : 75 for 109 mm by 61 mm.
    assert scale_for(8200, 4600, (160, 100)) == 75
    assert scale_for(8000, 4600, (160, 100)) == 50
    with pytest.raises(ValueError, match="fit no sheet"):
        scale_for(200_000, 100, (160, 100))


def test_the_same_estimate_gives_the_same_drawing() -> None:
    assert wall_page(measured_wall(), TITLE).svg() == wall_page(measured_wall(), TITLE).svg()


def test_the_field_of_a_drawing_leaves_room_for_notes_and_title() -> None:
    left, top, right, bottom = FIELD
    assert 0 < left < right < 217
    assert 0 < top < bottom < HIGH - 34
