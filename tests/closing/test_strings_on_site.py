"""Strings are read under the sky of the day, through the workbook; job D-102 of the demo jobs."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from estimator.papers.sheets import closeout_pages as pages
from estimator.workflow.closeout_back import CloseOutRead, read_close_out
from estimator.workflow.closeout_sheet import CloseOutMade, issue_close_out
from estimator.workflow.job_states import Said, record
from estimator.workflow.quote import QuoteRequest, quote
from tests.closing.site import DB, EVENING, TESTED, head, put
from tests.van.desk import QUOTED, fill

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "panels-and-storage" / "survey.toml"
STRING = "rear, string 1"


@pytest.fixture
def made(starter_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CloseOutMade:
    shutil.copy(starter_template, tmp_path / DB)
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    quote(QuoteRequest(SURVEY, QUOTED, DB, write_papers=False))
    record(DB, "accepted", Said("D-102", "R. Owner"), datetime(2026, 11, 12, 12, tzinfo=UTC))
    return issue_close_out(DB, "D-102", TESTED, EVENING, Path("site.xlsx"))


def read(made: CloseOutMade, said: dict[str, Any]) -> CloseOutRead:
    marks: dict[str, dict[tuple[str, str], Any]] = {
        pages.WITH: head(), pages.READINGS: {}, pages.HANDING: {}}
    for code, value in said.items():
        put(marks, made.sheet, code, value)
    Path("filled.xlsx").write_bytes(fill(made.file.read_bytes(), marks))
    return read_close_out(DB, Path("filled.xlsx"), EVENING, write=True)


def test_volts_and_current_are_held_against_the_sky_that_was_read(made: CloseOutMade) -> None:
    """By hand: twelve panels of 41 V and 13.64 A, -0.26 %/K, at 45 degrees and 700 W/m2.

    492 V x (1 - 0.0026 x 20) = 466.4 V, 5 % of it 23.3 V; 13.64 A x 0.7 = 9.548 A.
    """
    found = read(made, {
        "string-polarity": "correct", "irradiance": 700, "cell-temperature": 45,
        "string-voc": 461.8, "string-isc": 9.4, "string-insulation-plus": ">200",
        "string-insulation-minus": 0.8, "array-earth": "not bonded"})
    told = {each.code: each for each in found.new}
    assert told["string-voc"].conditions == "700 W/m2; 45 degC; clear, light wind"
    assert {code: each.verdict for code, each in told.items()} == {
        "string-polarity": "as expected", "irradiance": "noted", "cell-temperature": "noted",
        "string-voc": "as expected", "string-isc": "as expected", "array-earth": "noted",
        "string-insulation-plus": "as expected", "string-insulation-minus": "not as expected"}
    assert {each.subject for each in found.new} == {STRING, "job"}
    # A panel less is 427.5 V: the same sheet with that volt is not as expected.
    again = read(made, {"irradiance": 700, "cell-temperature": 45, "string-voc": 427.5})
    assert [(each.code, each.verdict) for each in again.new] == [
        ("string-voc", "not as expected")]
