"""The cut list on the papers: the JSON form, the sheet, the drawing, the text."""

from __future__ import annotations

import io
import json
import xml.etree.ElementTree as ET
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F

import openpyxl
import pytest

from catalogue.items import Offer
from catalogue.money import Money
from estimator.bill import bill_of
from estimator.buying.cutting.lines import cut_lines
from estimator.buying.cutting.model import Bar, Offcuts, Task
from estimator.buying.cutting.on_hand import HandPiece
from estimator.buying.cutting.splits import Line
from estimator.design.rail_cut import RailCut
from estimator.papers.contract import EstimateJson
from estimator.papers.cut_drawing import cuts_svg
from estimator.papers.cut_list import cut_list
from estimator.papers.workbook import bill_workbook
from estimator.rules.results import Demand, Reason, Requirement
from estimator.workflow.relaying import Keeping, relaid_cable
from tests.factories import ItemFactory, OfferFactory, PriceBookFactory
from tests.papers import sample
from tests.papers.reading import formulas, row_of, values

HOSTILE = "=1+1 <script>&\"'"
SVG = "{http://www.w3.org/2000/svg}"
BOOK = "Cuts"


def cut_estimate(*names: str) -> EstimateJson:
    """The worked example: four lines of 7.104 m from sticks of 3.3 m, ends of 0.504 m."""
    rail = ItemFactory(code="R33", name="=rail <3.3 m>", family="mounting", roles=("rail",))
    plan = cut_lines([Line(7104, 4, "", 300, 1200, names)],
                     Task((), (Bar(3300, 1580, "R33"),), kerf_mm=3, offcuts=Offcuts(1000)), 310)
    cut = RailCut(rail, None, plan, 3, True, ((9, 0, 8),))
    made = sample.firm_estimate()
    return EstimateJson.of(replace(
        made, design=replace(made.design, rails=cut), bill=replace(made.bill, lines=())), 1)


def cable_estimate(*offers: Offer, held: str = "job", option: bool = False) -> EstimateJson:
    """Runs of 40, 30, 20 and 8 m, 5 % waste: 42, 31.5, 21 and 8.4 m."""
    item = ItemFactory(code="C6", name="=armoured cable", family="cable", held=held,
                       waste=D("0.05"))
    reason = Reason(
        "pv-trench-cable", "rules.toml", 1, "a test", HOSTILE, "true", "", "", D(98), ())
    demand = Demand(Requirement("cable", item.roles[0]), item, D(98), reason, option,
                    (D(40), D(30), D(20), D(8)))
    bill = bill_of([demand], [], PriceBookFactory(items=[item], offers=list(offers)))
    return EstimateJson.of(replace(sample.firm_estimate(), bill=bill), 1)


def drum(pack: int, minor: int, supplier: str = "A", **fields: object) -> Offer:
    return OfferFactory(item="C6", supplier=supplier, pack=D(pack), price=Money(minor), **fields)


@pytest.fixture(scope="module")
def estimate() -> EstimateJson:
    return cut_estimate(HOSTILE, "row 1, upper rail", "row 2, lower rail", "row 2, upper rail")


def test_the_json_form_has_every_bar_and_reads_back(estimate: EstimateJson) -> None:
    (cut,) = json.loads(estimate.dumps())["cuts"]
    assert (len(cut["bars"]), cut["joiners"], cut["kerf_mm"]) == (9, 8, 3)
    # 9 x 15.80 + 8 x 3.10; nothing costs less: 28.416 m need 9 sticks of 3.3 m
    assert (cut["cost"], cut["bound"]) == (16700, 16700)
    assert [bar["number"] for bar in cut["bars"]] == list(range(1, 10))
    assert EstimateJson.loads(estimate.dumps()) == estimate


def test_an_estimate_kept_before_cuts_were_told_still_reads(estimate: EstimateJson) -> None:
    old = json.loads(estimate.dumps())
    del old["cuts"]
    old["schema_version"] = "1.1"
    assert EstimateJson.loads(json.dumps(old)).cuts == ()


def test_the_sheet_has_a_row_for_each_bar_with_its_saw_marks(estimate: EstimateJson) -> None:
    held = values(bill_workbook(estimate))
    rows = {held[at]: at[1][1:] for at in held if at[0] == BOOK and at[1].startswith("A")}
    last = rows[9]
    # 504, then a saw cut of 3 mm before each next 504; 3300 - 2025 - 3 = 1272 is kept
    assert held[(BOOK, f"D{last}")] == "504, 1011, 1518, 2025"
    assert held[(BOOK, f"F{last}")] == "1272 mm, back to the store, marked"
    assert held[(BOOK, f"D{rows[1]}")] == "not sawn"
    assert all(number in rows for number in range(1, 10))


def test_the_sheet_says_how_lines_are_joined_and_what_guards_the_hands(
    estimate: EstimateJson,
) -> None:
    book = bill_workbook(estimate)
    at = row_of(book, BOOK, "B", "row 2, upper rail")
    assert values(book)[(BOOK, f"E{at}")] == "7.1 (3300) + 8.1 (3300) + 9.4 (504)"
    text = " ".join(str(value) for (sheet, _), value in values(book).items() if sheet == BOOK)
    for word in ("Gloves", "eye", "Secure the bar", "never on the roof or a ladder", "Deburr",
                 "makers' manuals"):
        assert word in text
    assert "£" not in text


def test_text_that_looks_like_a_formula_stays_text(estimate: EstimateJson) -> None:
    book = bill_workbook(estimate)
    written = {at: text for at, text in formulas(book).items() if at[0] == BOOK}
    at = row_of(book, BOOK, "B", HOSTILE)  # a name that begins with an equals sign
    assert written[(BOOK, f"B{at}")] == HOSTILE
    # the reader types a cell: "f" would be a formula
    opened = openpyxl.load_workbook(io.BytesIO(book))
    assert {cell.data_type for row in opened[BOOK].iter_rows() for cell in row} <= {"s", "n"}


def test_the_drawing_is_well_formed_to_scale_and_drawn_without_colour(
    estimate: EstimateJson,
) -> None:
    svg = cuts_svg(estimate)
    root = ET.fromstring(svg)
    assert root.find(f"{SVG}title") is not None
    assert root.get("width") == "297mm"
    assert root.get("viewBox", "").startswith("0 0 297 ")
    texts = [element.text or "" for element in root.iter(f"{SVG}text")]
    assert any(HOSTILE in text for text in texts)
    assert not list(root.iter("script"))
    paints = {element.get(name) for element in root.iter() for name in ("fill", "stroke")}
    assert paints <= {None, "white", "black", "url(#offcut)"}
    assert "2025" in texts
    # one offcut: that of the shared bar, 1272 of 3300 mm on a bar drawn 273 mm long
    (offcut,) = [box for box in root.iter(f"{SVG}rect") if box.get("fill") == "url(#offcut)"]
    assert float(offcut.get("width", "0")) == pytest.approx(1272 / 3300 * 273, abs=0.01)


def test_nothing_drawn_lies_off_the_page(estimate: EstimateJson) -> None:
    root = ET.fromstring(cuts_svg(estimate))
    high = float(root.get("viewBox", "").split()[3])
    for box in root.iter(f"{SVG}rect"):
        if box.get("x") is not None:
            assert float(box.get("x", "0")) + float(box.get("width", "0")) <= 285.01
            assert float(box.get("y", "0")) + float(box.get("height", "0")) < high
    assert all(float(text.get("y", "0")) < high for text in root.iter(f"{SVG}text"))


def test_the_text_names_each_piece_and_says_how_good_the_cut_is(estimate: EstimateJson) -> None:
    text = cut_list(estimate)
    assert "saw at: 504, 1011, 1518, 2025; offcut: 1272 mm, back to the store, marked" in text
    assert f"{Money(16700)}; no lawful way costs less" in text


def test_a_job_without_bars_and_drums_says_so_and_has_no_sheet() -> None:
    made = sample.firm_estimate()
    plain = EstimateJson.of(replace(made, bill=replace(made.bill, lines=())), 1)
    assert "Nothing on this job is cut from bars or drums." in cut_list(plain)
    assert "Nothing on this job is cut from bars or drums." in cuts_svg(plain)
    assert not [at for at in values(bill_workbook(plain)) if at[0] == BOOK]


def test_the_same_estimate_gives_the_same_drawing(estimate: EstimateJson) -> None:
    again = cut_estimate(HOSTILE, "row 1, upper rail", "row 2, lower rail", "row 2, upper rail")
    assert cuts_svg(estimate) == cuts_svg(again)


def test_the_json_form_has_every_drum_with_the_marks_of_its_runs_and_reads_back() -> None:
    # By hand: drums of 50 m hold 42 (+ nothing: 8 m are left, the run of 8.4 m does not fit) and
    # 31.5 + 8.4 or 21 + 8.4; so three drums, and 21 m alone or with 8.4.
    made = cable_estimate(drum(50, 5200))
    (cable,) = json.loads(made.dumps())["cables"]
    assert [each["length_mm"] for each in cable["drums"]] == [50_000] * 3
    for each in cable["drums"]:
        marks = [(run["from_mm"], run["to_mm"]) for run in each["runs"]]
        assert marks[0][0] == 0
        assert [start for start, _ in marks[1:]] == [end for _, end in marks[:-1]]
        assert marks[-1][1] + each["rest_mm"] == each["length_mm"]
    runs = sorted(run["length_mm"] for each in cable["drums"] for run in each["runs"])
    assert runs == [8_400, 21_000, 31_500, 42_000]
    assert EstimateJson.loads(made.dumps()) == made


def test_a_length_cut_to_measure_says_so_and_what_is_paid_for_the_cut() -> None:
    # 102.9 m: 103 x 1.10 + 5.00 = 118.30, against three drums at 156.00
    made = cable_estimate(drum(50, 5200), drum(1, 110, "B", cut_charge=Money(500)))
    (cable,) = made.cables
    (each,) = cable.drums
    assert (each.length_mm, each.cut_to_measure, each.cut_charge, each.rest_mm) == (
        103_000, True, 500, 100)
    assert cable.longest_mm is None
    told = cut_list(made)
    assert "103 m in one length, cut to measure, from B, cut charge £5.00" in told
    assert "rest: 0.1 m, over" in told
    # the crew's sheet and drawing bear no money
    text = " ".join(str(value) for at, value in values(bill_workbook(made)).items()
                    if at[0] == BOOK)
    assert "103 m in one length, cut to measure, from B" in text
    assert "£" not in text + cuts_svg(made)
    by_metre = cut_list(cable_estimate(drum(1, 110)))
    assert "from A, sold by the metre" in by_metre


def test_a_run_that_no_drum_holds_stands_as_a_stop_on_list_sheet_and_drawing() -> None:
    made = cable_estimate(drum(40, 4000))
    (cable,) = made.cables
    assert [(run.length_mm, run.from_mm) for run in cable.too_long] == [(42_000, None)]
    says = "42 m, longer than the longest length on offer (40 m)"
    assert f"STOP: pv trench cable, {HOSTILE}, 1 of 4: {says}" in cut_list(made)
    assert says in cuts_svg(made)
    assert any(says in str(value) for value in values(bill_workbook(made)).values())


def test_the_sheet_has_a_row_for_each_drum_and_run_and_leaves_text_as_text() -> None:
    book = bill_workbook(cable_estimate(drum(50, 5200), option=True))
    held = values(book)
    at = row_of(book, BOOK, "B", "length 1: drum of 50 m, from A")
    assert held[(BOOK, f"C{at}")] == 50_000
    assert held[(BOOK, f"D{at + 1}")] == "0 to 42 m"
    assert held[(BOOK, f"E{at + 1}")] == f"C1.1 = pv trench cable, {HOSTILE}, 1 of 4"
    row_of(book, BOOK, "A", "=armoured cable (C6), option")  # a band that begins with "="
    opened = openpyxl.load_workbook(io.BytesIO(book))
    assert {cell.data_type for row in opened[BOOK].iter_rows() for cell in row} <= {"s", "n"}
    assert not [text for (sheet, _), text in formulas(book).items()
                if sheet == BOOK and str(text).startswith("=") and "armoured" not in str(text)]


def test_the_drawing_shows_runs_to_scale_and_what_is_left_on_the_drum() -> None:
    root = ET.fromstring(cuts_svg(cable_estimate(drum(50, 5200), held="stock")))
    texts = [element.text or "" for element in root.iter(f"{SVG}text")]
    assert "Length 1: drum of 50 m, from the shelf; rest: 8 m, left on the drum, marked" in texts
    assert "C1.1" in texts
    boxes = [float(box.get("width", "0")) for box in root.iter(f"{SVG}rect")
             if box.get("fill") in ("white", "url(#offcut)")]
    # 42 of 50 m on a drum drawn 273 mm wide
    assert any(abs(wide - 42 / 50 * 273) < 0.01 for wide in boxes)


def test_an_estimate_kept_before_runs_were_laid_out_still_reads_and_prints() -> None:
    old = json.loads(cable_estimate(drum(50, 5200)).dumps())
    del old["cables"]
    old["schema_version"] = "1.2"
    kept = EstimateJson.loads(json.dumps(old))
    assert kept.cables == ()
    assert "Nothing on this job is cut" in cut_list(kept)
    assert EstimateJson.loads(kept.dumps()).schema_version == "1.4"


KEEPING = Keeping(1000, 500, 5000, F(1, 2))
DRUM_ON_HAND = [("C6", HandPiece("lot 7", 45_000))]


def test_a_drum_on_hand_takes_the_place_of_a_new_drum_where_that_leaves_most() -> None:
    # By hand. Three drums of 50 m at 52.00, 0.52 a metre on hand; rests 47.1 m of 5 m and more:
    # 15600 - 2449.2 = 13150.8. With 45 m on hand two drums: 45 m serve 42 (3 m scrap), or 31.5 +
    # 8.4 or 21 + 8.4, which leave 42.1 m in all: 10400 + 2340 - 2189.2 = 10550.8.
    made = cable_estimate(drum(50, 5200))
    cable, line = relaid_cable(made, made.cables[0], DRUM_ON_HAND, KEEPING, 1)
    assert (line.before.net, line.now.net) == (F("13150.8"), F("10550.8"))
    assert line.saved_minor == 2600
    first, *new = cable.drums
    assert (first.on_hand, [each.on_hand for each in new]) == ("lot 7", ["", ""])
    runs = sorted(run.length_mm for each in cable.drums for run in each.runs)
    assert runs == [8_400, 21_000, 31_500, 42_000]
    for each in cable.drums:
        assert sum(run.length_mm for run in each.runs) + each.rest_mm == each.length_mm


def test_runs_that_are_not_on_hand_are_still_bought_in_whole_metres_with_one_cut_charge() -> None:
    # By hand. 103 m x 1.10 + 5.00 = 11830. 45 m on hand at 0.55: for 31.5 + 8.4 they leave 5.1 m,
    # 280.5, and 63 m are bought: 6930 + 500 + 2475 - 280.5 = 9624.5; for 42 m 61 m are: 9685.
    made = cable_estimate(drum(1, 110, cut_charge=Money(500)))
    cable, line = relaid_cable(made, made.cables[0], DRUM_ON_HAND, KEEPING, 1)
    assert (line.before.net, line.now.net) == (11830, F("9624.5"))
    assert [(each.on_hand, each.length_mm, each.rest_mm) for each in cable.drums] == [
        ("lot 7", 45_000, 5_100), ("", 63_000, 0)]


def test_a_length_on_hand_shorter_than_every_run_is_left_where_it_is() -> None:
    # The shortest run is 8.4 m.
    made = cable_estimate(drum(50, 5200))
    short = [("C6", HandPiece("lot 8", 8_000))]
    cable, line = relaid_cable(made, made.cables[0], short, KEEPING, 1)
    assert (line.used, line.saved_minor, cable) == ((), 0, made.cables[0])
