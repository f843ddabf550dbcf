"""Survey forms filled in as a person would, for the tests."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl

from estimator.papers.survey_form import survey_form
from estimator.survey.form_lines import FACT_HEADERS
from estimator.survey.model import Survey
from estimator.workflow.survey_form import read_form

DEMOS = Path(__file__).parents[2] / "demo_jobs"
COLUMN = {header: number for number, header in enumerate(FACT_HEADERS, 1)}


def cell_of(book: Any, path: str, sheet: Any = None, header: str = "Answer") -> Any:
    """Return the cell of a fact: the first of that path, on a sheet or anywhere."""
    for each in [sheet] if sheet is not None else book.worksheets:
        for row in range(1, each.max_row + 1):
            if each.cell(row, COLUMN["Path"]).value == path:
                return each.cell(row, COLUMN[header])
    raise LookupError(path)


@cache
def blank() -> bytes:
    """Return the blank form; it is the same each time."""
    return survey_form()


def filled(
    answers: Mapping[tuple[str, str], Any], change: Callable[[Any], None] | None = None
) -> bytes:
    """Return a form of job J-1 with answers by path and header, then changed as wished."""
    book = openpyxl.load_workbook(io.BytesIO(blank()))
    least = {("job.id", "Answer"): "J-1", ("job.parts", "Answer"): "storage"}
    for (path, header), value in {**least, **answers}.items():
        cell = cell_of(book, path, header=header)
        cell.value = value
        if isinstance(value, str):
            cell.data_type = "s"
    if change is not None:
        change(book)
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def read_back(book: bytes, folder: Path, name: str = "form.xlsx") -> Survey:
    """Return the survey that a form holds."""
    (folder / name).write_bytes(book)
    return read_form(folder / name).survey


def without_places(survey: Survey) -> Any:
    """Return a survey as data, without where each fact stands."""
    return _drop(survey.model_dump())


def _drop(value: Any) -> Any:
    if isinstance(value, dict):
        is_fact = "evidence" in value and "words" in value
        return {name: _drop(each) for name, each in value.items()
                if not (is_fact and name == "place")}
    return [_drop(each) for each in value] if isinstance(value, tuple) else value
