"""The call list and what breaks a quote, as text, CSV, JSON and picture."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ET
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from catalogue.money import Money
from estimator.papers.asking import (
    BARS,
    break_json,
    break_table,
    call_list,
    call_list_csv,
    call_list_json,
    tornado_svg,
)
from estimator.questions.breaking import Broken, Change
from estimator.questions.worth import Tried, Worth

SVG = "{http://www.w3.org/2000/svg}"


def worth(fact: str, low: str, high: str, loss: str, photo: str = "", on: str = "") -> Worth:
    tried = tuple(
        Tried(value, Fraction(1, 2), Money.of(price), Money(0), frozenset(), frozenset())
        for value, price in ((True, low), (False, high)))
    return Worth(fact, "Is it so?", on, "unknown", Money.of(low), Money.of(low), Money.of(high),
                 Fraction(0), Money.of(loss), Decimal(2), photo, tried)


def change(fact: str, more: str, *, breaks: bool = False, stops: tuple[str, ...] = ()) -> Change:
    return Change(fact, "", 1, 2, Money.of(more), Fraction(1, 20), stops, not stops, breaks)


FOUND = (worth("roof.a", "100", "180", "40", "roof"), worth("roof.b", "100", "120", "5", "roof"),
         worth("c", "100", "130", "3", on="=1+1"), worth("idle", "100", "100", "0"))


def test_what_one_photograph_answers_stands_together_and_idle_questions_at_the_end() -> None:
    text = call_list(FOUND, "GBP")
    assert text.count("one photograph: roof") == 1
    assert "£100.00 to £180.00, likely £100.00; expected loss £40.00" in text
    assert text.index("roof.a") < text.index("roof.b") < text.index("change neither")
    assert text.index("change neither") < text.index("idle")
    assert "4 questions, about 8 minutes" in text


def test_with_nothing_open_the_list_says_so() -> None:
    assert call_list((), "GBP").startswith("Nothing to ask")


def test_the_csv_has_a_row_for_each_question_and_no_formula() -> None:
    rows = list(csv.DictReader(io.StringIO(call_list_csv(FOUND))))
    assert [row["fact"] for row in rows] == ["roof.a", "roof.b", "c", "idle"]
    assert (rows[0]["highest price"], rows[0]["expected loss"]) == ("180", "40")
    assert rows[2]["about"] == "'=1+1"
    assert {row["answer"] for row in rows} == {""}


def test_the_json_gives_money_in_minor_units_with_every_answer() -> None:
    (first, *_) = call_list_json(FOUND)
    assert (first["low"], first["high"], first["spread"], first["loss"]) == (
        10_000, 18_000, 8_000, 4_000)
    assert [(each["value"], each["price"]) for each in first["answers"]] == [
        ("yes", 10_000), ("no", 18_000)]


BROKEN = Broken(Money.of("1000"), Fraction(15, 100), Fraction(1, 10), (
    change("dear", "80", breaks=True), change("stop", "0", breaks=True, stops=("place",)),
    change("cheap", "-30"), change("cheap", "20"), change("same", "0"),
))


def test_the_table_tells_what_breaks_and_leaves_out_what_changes_nothing() -> None:
    text = break_table(BROKEN)
    assert "5 changes tried, one fact at a time: 2 break the quote" in text
    assert [line.split()[0] for line in text.splitlines() if "->" in line] == [
        "dear", "stop", "cheap", "cheap"]
    assert "place" in text


def test_the_picture_has_a_bar_for_each_fact_that_moves_the_widest_first() -> None:
    root = ET.fromstring(tornado_svg(BROKEN))
    bars = [each for each in root.iter(f"{SVG}rect") if each.get("stroke")]
    widths = [int(each.get("width", "0")) for each in bars]
    assert len(bars) == 3  # dear, cheap and stop; what changes nothing has none
    assert widths == sorted(widths, reverse=True)
    said = [each.text or "" for each in root.iter(f"{SVG}text")]
    assert sum("breaks it" in each for each in said) == 2


def test_a_fact_taken_away_is_no_saving_and_has_no_bar() -> None:
    gone = Change("gone", "", 3, None, Money.of("-900"), Fraction(1, 2), (), False, False)
    picture = tornado_svg(replace(BROKEN, changes=(*BROKEN.changes, gone)))
    assert "gone" not in picture
    assert picture == tornado_svg(BROKEN)


def test_bars_lie_on_one_scale() -> None:
    """80 dearer against 30 cheaper and 20 dearer: widths as 80 to 50, to a unit of the picture."""
    root = ET.fromstring(tornado_svg(BROKEN))
    wide, narrow = [int(each.get("width", "0")) for each in root.iter(f"{SVG}rect")
                    if each.get("stroke")][:2]
    assert abs(narrow - wide * 50 / 80) <= 1.5


def test_a_picture_of_many_facts_keeps_the_widest_and_one_of_none_is_a_picture() -> None:
    many = Broken(Money.of("1000"), Fraction(1, 5), Fraction(1, 10),
                  tuple(change(f"fact{i}", str(i + 1)) for i in range(50)))
    root = ET.fromstring(tornado_svg(many))
    assert len([each for each in root.iter(f"{SVG}rect") if each.get("stroke")]) == BARS
    assert "fact49" in tornado_svg(many)
    assert ET.fromstring(tornado_svg(Broken(Money(0), Fraction(0), Fraction(0), ()))) is not None


def test_the_json_of_changes_says_was_and_now_in_words() -> None:
    (first, *_) = break_json(BROKEN)["changes"]
    assert (first["was"], first["now"]) == ("1", "2")
    assert (first["cost_more"], first["breaks"]) == (8000, True)
