"""Pictures of reports: round ticks, letters that have room, bars as long as their figures."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction as F
from itertools import pairwise
from xml.etree import ElementTree as Xml

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.papers.pictures.of_report import left_out, picture
from estimator.papers.pictures.scale import nice, ticks
from estimator.papers.pictures.svg import LINE, WIDE, broken, text_wide
from estimator.review.report import Chart, Report, ReportColumn
from tests.papers.review_sample import (
    CASH,
    CAUSES,
    EVERY,
    GAPS,
    HEADS,
    LONG,
    RIGHT_TO_LEFT,
    UNDER_WATER,
    WALLS,
    column,
)

SVG = "{http://www.w3.org/2000/svg}"
# Widths of letters in thousandths of their size: Adobe's metrics of Helvetica (Core 14 AFM files),
# from memory; Arial and Liberation Sans have the same.
HELVETICA = {
    **dict.fromkeys(" !,./:;I[\\]ft", 278), **dict.fromkeys("()-`r", 333),
    **dict.fromkeys("0123456789abdeghnopqu#$£L_?", 556), **dict.fromkeys("cksvxyzJ", 500),
    **dict.fromkeys("ijl", 222), **dict.fromkeys("ABEKPSVXY&", 667),
    **dict.fromkeys("CDHNRUw", 722), **dict.fromkeys("FTZ", 611), **dict.fromkeys("GOQ", 778),
    **dict.fromkeys("Mm", 833),
    **dict.fromkeys("<=>+~", 584), "W": 944, "%": 889, "@": 1015, '"': 355, "'": 191, "*": 389,
    "^": 469, "{": 334, "}": 334, "|": 260,
}
figures = st.none() | st.integers(-10**9, 10**9)
names = st.text(st.characters(codec="utf-8"), max_size=70) | st.sampled_from([LONG, RIGHT_TO_LEFT])


def shapes(report: Report, kind: str) -> list[Xml.Element]:
    return list(Xml.fromstring(picture(report, "p")).iter(f"{SVG}{kind}"))


def bars(report: Report) -> list[tuple[float, float]]:
    """Left and right of every bar, in the order of drawing; legend and patterns left out."""
    return [(float(each.get("x", 0)), float(each.get("x", 0)) + float(each.get("width", 0)))
            for each in shapes(report, "rect") if each.get("stroke") and each.get("height") == "14"]


def axis(report: Report) -> dict[str, float]:
    """Where the labels of ticks stand: text in the last line of a picture with rows."""
    texts = shapes(report, "text")
    last = max(float(each.get("y", 0)) for each in texts)
    return {str(each.text): float(each.get("x", 0)) for each in texts
            if float(each.get("y", 0)) == last}


def test_the_axis_is_heckbert_s() -> None:
    # P. S. Heckbert, "Nice numbers for graph labels" (1990): data from 105 to 543 get labels 100,
    # 200, 300, 400, 500, 600; from memory.
    assert ticks(F(105), F(543), 5) == [100, 200, 300, 400, 500, 600]


@pytest.mark.parametrize(("number", "nearest", "above"), [
    # By hand from the rule: nearest by 1.5, 3 and 7, else the least of 1, 2, 5, 10 no smaller.
    (F(125), 100, 200), (F(3), 5, 5), (F(7), 10, 10), (F(14, 10), 1, 2), (F(2), 2, 2),
    (F(51, 100), F(1, 2), 1), (F(1, 1000), F(1, 1000), F(1, 1000)),
])
def test_a_nice_number_is_one_two_or_five(number: F, nearest: F, above: F) -> None:
    assert (nice(number, nearest=True), nice(number, nearest=False)) == (nearest, above)


@given(st.fractions(-10**9, 10**9), st.fractions(0, 10**9), st.integers(2, 9))
def test_ticks_are_round_evenly_apart_and_go_round_the_data(low: F, wide: F, wanted: int) -> None:
    found = ticks(low, low + wide, wanted)
    steps = {b - a for a, b in pairwise(found)}
    assert len(steps) == 1
    step = steps.pop()
    while step < 1:
        step *= 10
    while step >= 10:
        step /= 10
    assert step in (1, 2, 5)
    assert found[0] <= low
    assert found[-1] >= low + wide
    assert all(tick % (found[1] - found[0]) == 0 for tick in found)
    # A step is at most 10/3 finer and 2 wider than asked for, so there are never many more.
    assert 2 <= len(found) <= 3 * wanted + 2


def test_letters_are_taken_no_narrower_than_they_are() -> None:
    for letter, thousandths in HELVETICA.items():
        assert text_wide(letter, 1000) >= thousandths, letter


@given(names, st.floats(20, 400))
def test_a_broken_text_has_room_and_says_when_it_is_cut(text: str, room: float) -> None:
    lines = broken(text, room)
    assert len(lines) <= 2
    if all(text_wide(letter) + text_wide("…") <= room for letter in text):
        assert all(text_wide(line) <= room + 0.1 for line in lines)
    kept = "".join("".join(lines).split())
    flat = "".join(each for each in text if each.isprintable())
    assert kept.endswith("…") or len(kept) >= len("".join(flat.split()))


@st.composite
def reports(draw: st.DrawFn) -> Report:
    shape = draw(st.sampled_from(
        ["bars", "bars with interval", "stacked bars", "waterfall", "points", "line"]))
    by = draw(st.sampled_from(["text", "date", "number"] if shape in ("points", "line")
                              else ["text"]))
    kind = draw(st.sampled_from(["money", "share", "hours", "number", "count"]))
    series = 1 if shape in ("bars with interval", "waterfall") else draw(st.integers(1, 3))
    rows = []
    for at in range(draw(st.integers(1, 14))):
        first = {"text": draw(names), "number": at * 7,
                 "date": date(2026, 1, 1) + timedelta(days=9 * at)}[by]
        value = [draw(figures) for _ in range(series)]
        low, high = (None, None) if value[0] is None else (value[0] - 3, value[0] + 40)
        rows.append((first, *value, low, high))
    columns = (
        ReportColumn("by", draw(names), by),  # type: ignore[arg-type]
        *(ReportColumn(f"v{at}", draw(names), kind) for at in range(series)),  # type: ignore[arg-type]
        ReportColumn("low", "Low", kind), ReportColumn("high", "High", kind))  # type: ignore[arg-type]
    within = shape == "bars with interval" or (series == 1 and shape in ("points", "line"))
    chart = Chart(shape, "by", tuple(f"v{at}" for at in range(series)),  # type: ignore[arg-type]
                  "low" if within else None, "high" if within else None)
    return Report("any", draw(names), (draw(names),), columns, tuple(rows), "GBP", 5, chart)


@given(reports())
@settings(max_examples=150, deadline=None)
def test_nothing_leaves_the_picture_and_no_two_texts_meet(report: Report) -> None:
    drawn = Xml.fromstring(picture(report, "p"))
    high = float(drawn.get("viewBox", "").split()[3])
    taken: list[tuple[float, float, float]] = []
    for each in drawn.iter(f"{SVG}text"):
        x, y = float(each.get("x", 0)), float(each.get("y", 0))
        wide = text_wide(each.text or "")
        start = {"start": x, "middle": x - wide / 2, "end": x - wide}[each.get("text-anchor", "")]
        assert start >= -0.5, each.text
        assert start + wide <= WIDE + 0.5, each.text
        assert 0 < y <= high
        for left, right, beside in taken:
            apart = start >= right - 0.2 or start + wide <= left + 0.2
            assert apart or abs(y - beside) >= LINE - 1, each.text
        if each.text:
            taken.append((start, start + wide, y))
    for box in drawn.iter(f"{SVG}rect"):
        if box.get("stroke"):
            assert float(box.get("x", 0)) >= -0.1
            assert float(box.get("x", 0)) + float(box.get("width", 0)) <= WIDE + 0.1


def test_bars_are_as_long_as_their_figures() -> None:
    # By hand: between the ticks the axis is even, so a bar of 16.67 % ends at that part of the way.
    held = axis(WALLS)
    zero, per_point = held["0 %"], (held["10 %"] - held["0 %"]) / 10
    ends = [right - zero for _, right in bars(WALLS)][:2]
    assert ends == pytest.approx([per_point * 100 / 6, per_point * 100 / 7], abs=0.2)
    assert bars(WALLS)[2][0] == pytest.approx(zero - 5 * per_point, abs=0.2)


def test_a_waterfall_steps_down_and_up_from_its_first_sum_to_its_last() -> None:
    # By hand: 1000, then -2500 to -1500, then +900 to -600, which is the sum it ends with.
    held = axis(UNDER_WATER)
    zero, thousand = held["£0"], held["£1,000"] - held["£0"]
    wanted = [(0, 1), (-1.5, 1), (-1.5, -0.6), (-0.6, 0)]
    assert [((left - zero) / thousand, (right - zero) / thousand)
            for left, right in bars(UNDER_WATER)] == [pytest.approx(w, abs=0.01) for w in wanted]
    said = [each.text for each in shapes(UNDER_WATER, "text")]
    assert {"£1,000.00", "-£2,500.00", "+£900.00", "-£600.00"} <= set(said)


def test_a_stack_ends_at_the_sum_of_its_parts() -> None:
    held = axis(CAUSES)
    hour = (held["100 h"] - held["0 h"]) / 100
    roof = bars(CAUSES)[:3]
    assert roof[2][1] - held["0 h"] == pytest.approx(hour * (310.5 + 12 + 4.25), abs=0.3)
    assert roof[1][0] == pytest.approx(roof[0][1], abs=0.1)


def test_two_periods_are_drawn_to_one_scale() -> None:
    other = replace(UNDER_WATER, name=HEADS.name)
    labels = {str(each.text) for each in Xml.fromstring(picture(other, "p", HEADS)).iter(
        f"{SVG}text")}
    assert {"£10,000", "-£5,000"} <= labels


def test_series_differ_by_pattern_dash_and_mark_and_not_by_colour_alone() -> None:
    fills = [each.get("fill") for each in shapes(CAUSES, "rect") if each.get("height") == "12"]
    assert len(set(fills)) == 3
    assert any(str(fill).startswith("url(#p-") for fill in fills)
    dashes = [each.get("stroke-dasharray") for each in shapes(CASH, "polyline")]
    assert len(set(dashes)) == 2


def test_a_picture_has_a_name_and_a_description() -> None:
    drawn = Xml.fromstring(picture(WALLS, "p"))
    assert drawn.get("role") == "img"
    assert drawn.findtext(f"{SVG}title") == WALLS.question
    assert drawn.findtext(f"{SVG}desc") == " ".join(WALLS.answer)
    assert drawn.get("aria-labelledby") == "p-title p-desc"


def test_a_long_table_is_drawn_in_part_and_says_so() -> None:
    many = replace(WALLS, rows=tuple((f"wall {at}", 1, 2, 0.1, None, None, None)
                                     for at in range(41)))
    assert len(bars(many)) == 30
    assert left_out(many) == 11
    assert [left_out(each) for each in (WALLS, CASH, HEADS, GAPS)] == [0, 0, 0, 0]


def test_no_rows_give_no_picture() -> None:
    assert picture(GAPS, "p") == ""
    assert picture(replace(GAPS, chart=Chart("bars", "job", ("since",))), "p") == ""


def test_a_line_over_numbers_stands_where_its_numbers_are() -> None:
    report = Report(
        "curve", "?", (), (column("x", "X", "number"), column("y", "Y", "money")),
        ((0, 0), (10, 100), (40, 400)), "GBP", 3, Chart("line", "x", ("y",)))
    places = [float(each.get("cx", 0)) for each in shapes(report, "circle") if each.get("r") == "4"]
    assert (places[2] - places[0]) == pytest.approx(4 * (places[1] - places[0]), abs=0.5)


def test_the_same_report_gives_the_same_picture_with_its_own_names() -> None:
    for report in EVERY:
        assert picture(report, "p") == picture(report, "p")
    assert set(re.findall(r'id="([a-z]+)', picture(WALLS, "mine"))) == {"mine"}
