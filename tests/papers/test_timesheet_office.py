"""A timesheet that a spreadsheet program saved says what was written on it."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from catalogue.price_lists.field_rows import read_field_rows
from estimator.actuals.timesheet import GROUPS, HOURS, HowRead, TimeReader
from estimator.papers.timesheet import timesheet
from estimator.workflow.price_columns import Layout, choose_columns


def filled() -> bytes:
    book = load_workbook(io.BytesIO(timesheet([("00420", "=1+1")], GROUPS, [])))
    sheet = book["Hours"]
    titles = [cell.value for cell in sheet[1]]
    plain = {"Job": "00420", "Task group": "roof", "Day": date(2026, 11, 5)}
    for number, row in enumerate((
        {"Person": "=1+1 Fitter", "Begun": time(22, 0), "Ended": time(2, 0)},
        {"Person": "S. Sparks", "Hours": time(7, 30)},
    ), 2):
        for title, value in {**plain, **row}.items():
            cell: Any = sheet.cell(number, titles.index(title) + 1)
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.mark.office
def test_a_timesheet_saved_by_a_spreadsheet_program_says_the_same(
    saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]]
) -> None:
    saved = saved_as({"sheet": filled()}, "ods")["sheet"]
    columns = choose_columns(Layout(), saved, None, "GBP", HOURS).columns
    table = read_field_rows(saved, columns, HOURS)
    reader = TimeReader(HowRead(columns))
    read = [(reader.read(row), tuple(reader.faults)) for row in table.rows]
    assert [(row.person, row.job, row.on, row.minutes, row.times, faults)
            for row, faults in read] == [
        ("=1+1 Fitter", "00420", date(2026, 11, 5), 240, ("22:00", "02:00"), ()),
        ("S. Sparks", "00420", date(2026, 11, 5), 450, ("", ""), ())]
    assert table.all_told() == []
