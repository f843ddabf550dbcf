"""A review on the terminal: what it says, that it fits, and the drawings in plain signs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from estimator.papers.review_cells import sums
from estimator.papers.review_signs import drawing
from estimator.papers.review_text import review_text
from estimator.review.report import Chart, Report, ReportColumn, Review
from tests.approved import check_approved
from tests.papers.review_sample import EVERY, HEADS, REVIEW, UNDER_WATER, column

YEAR = (date(2026, 1, 1), date(2026, 12, 31))


def test_a_review_is_as_approved() -> None:
    check_approved("papers/review.txt", review_text(REVIEW))


def test_every_question_answer_and_caution_is_told() -> None:
    said = " ".join(review_text(REVIEW).split())
    for report in EVERY:
        assert report.question.upper() in said
        for sentence in (*report.answer, *report.cautions):
            assert sentence in said


def test_a_waterfall_in_signs_steps_from_where_the_last_one_ended() -> None:
    # By hand, 36 letters from -1500 to 1000 (a letter is 71.43): zero is letter 21; the loss goes
    # from 35 down to 0, the rescue from 0 up to 13, and the end from 21 down to 13.
    assert drawing(UNDER_WATER, 36) == [
        " " * 21 + "|" + "#" * 14,
        "#" * 21 + "|" + "#" * 14,
        "#" * 14 + " " * 7 + "|",
        " " * 13 + "#" * 8 + "|",
    ]


def test_an_interval_is_drawn_round_its_point() -> None:
    # By hand, 21 letters from 0 to 2: 1.0 is letter 10, 0.5 is letter 5, 2.0 is letter 20.
    report = Report(
        "norms", "?", (), (column("a", "A"), column("v", "V", "number"),
                           column("l", "L", "number"), column("h", "H", "number")),
        (("x", 1, D("0.5"), 2), ("y", None, None, None)), "GBP", 2,
        Chart("points", "a", ("v",), "l", "h"))
    assert drawing(report, 21) == ["|    -----o----------", "|"]


def test_sums_stand_under_columns_that_add_up_and_under_no_other() -> None:
    assert sums(EVERY[0]) == (None, 55, 5_139_606, None, None, None, D("48.75"))
    assert sums(HEADS) is None


names = st.text(max_size=60)
kinds = st.sampled_from(["text", "money", "share", "hours", "number", "count"])


@given(st.data())
def test_no_line_is_longer_than_100_letters_and_no_name_moves_the_cursor(
    data: st.DataObject,
) -> None:
    columns = tuple(
        ReportColumn(f"k{at}", data.draw(names), data.draw(kinds), data.draw(st.booleans()))
        for at in range(data.draw(st.integers(1, 14))))
    columns = tuple(replace(each, total=each.total and each.kind != "text") for each in columns)
    rows = tuple(
        tuple(data.draw(names) if each.kind == "text"
              else data.draw(st.none() | st.integers(-10**11, 10**11)) for each in columns)
        for _ in range(data.draw(st.integers(0, 3))))
    chart = None
    if columns[0].kind != "text":
        chart = Chart("bars", "k0", ("k0",))
    report = Report("any-name", data.draw(names), (data.draw(names),), columns, rows, "GBP", 3,
                    chart, (data.draw(names),))
    text = review_text(Review(data.draw(names), YEAR, {"crew": data.draw(names)}, (report,)))
    assert all(len(line) <= 100 for line in text.splitlines())
    assert all(sign == "\n" or sign.isprintable() for sign in text)
