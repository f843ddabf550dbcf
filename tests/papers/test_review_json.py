"""The published form of a review: valid by its own schema, and every figure is the report's."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.papers.review_json import ReviewJson, review_json
from estimator.review.report import Cell, Report, ReportColumn
from tests.papers.review_sample import LAST_YEAR, REVIEW, WALLS

SCHEMA = Path(__file__).parents[2] / "docs" / "review.schema.json"
cells: dict[str, st.SearchStrategy[Cell]] = {
    "text": st.text(max_size=8), "money": st.integers(-10**12, 10**12),
    "share": st.fractions(-2, 2) | st.floats(-2, 2), "count": st.integers(0, 10**9),
    "hours": st.decimals(-10_000, 10_000, places=3), "date": st.dates(),
    "number": st.floats(-10**6, 10**6) | st.decimals(-100, 100, places=6),
}


def one_cell(kind: str, cell: Cell) -> Report:
    return Report("one", "One?", (), (ReportColumn("it", "It", kind),),  # type: ignore[arg-type]
                  ((cell,),), "GBP", 1)


def test_a_review_is_valid_by_its_published_schema() -> None:
    data = json.loads(json.dumps(review_json(REVIEW)))
    jsonschema.validate(data, json.loads(SCHEMA.read_text(encoding="utf-8")))
    assert ReviewJson.model_validate_json(json.dumps(data)) == ReviewJson.of(REVIEW)


def test_it_holds_period_filters_answers_and_the_compared_review() -> None:
    data = review_json(REVIEW)
    assert data["period"] == {"first": "2026-01-01", "last": "2026-12-31"}
    assert data["filters"] == {"crew": "North", "wall": "=brick"}
    assert data["reports"][0]["answer"] == list(WALLS.answer)
    assert data["reports"][0]["chart"] == {
        "picture": "bars with interval", "by": "wall", "values": ["margin_share"],
        "low": "low_share", "high": "high_share"}
    assert data["compared"] == review_json(LAST_YEAR)


def test_cells_are_written_as_the_form_says() -> None:
    # By hand: a sixth to six places is 0.166667; whole numbers are integers.
    first = review_json(REVIEW)["reports"][0]["rows"][0]
    assert (first["margin_minor"], first["margin_share"], first["hours_h"]) == (
        4_210_055, "0.166667", "-12.5")
    assert (first["jobs_count"], first["low_share"]) == (31, "0.121")
    assert review_json(REVIEW)["reports"][0]["rows"][3]["low_share"] is None
    assert review_json(REVIEW)["reports"][4]["rows"][0]["week"] == "2026-01-01"


@given(st.data())
def test_every_figure_is_the_report_s_to_six_places(data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from(sorted(cells)))
    cell = data.draw(cells[kind])
    review = replace(REVIEW, reports=(one_cell(kind, cell),), compared=None)
    told = review_json(review)["reports"][0]["rows"][0]["it"]
    if isinstance(cell, date):
        assert date.fromisoformat(told) == cell
    elif isinstance(cell, str) or kind == "money":
        assert told == cell
    else:
        assert isinstance(cell, int | float | D | F)
        assert abs(F(D(told)) - F(cell)) <= F(1, 2_000_000)


@pytest.mark.parametrize("cell", [1.5, D("1.00"), F(1, 2)])
def test_money_that_is_no_whole_number_of_pence_is_refused(cell: Cell) -> None:
    broken = replace(REVIEW, reports=(one_cell("money", cell),), compared=None)
    with pytest.raises(TypeError, match="whole number of minor units"):
        review_json(broken)
