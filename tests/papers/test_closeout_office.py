"""A close-out sheet that a spreadsheet program saved says what was written on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from estimator.workflow.closeout_back import read_close_out
from tests.closing.site import DB, EVENING, issued, put, sound
from tests.van.desk import fill
from tests.van.desks import desk, stocked_template

__all__ = ["desk", "stocked_template"]


@pytest.mark.office
def test_a_sheet_saved_by_a_spreadsheet_program_says_the_same(
    desk: Path, saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]]
) -> None:
    made = issued()
    marks = sound(made.sheet)
    put(marks, made.sheet, "tariff", "=night")
    filled = fill(made.file.read_bytes(), marks)
    Path("filled.xlsx").write_bytes(filled)
    wanted = read_close_out(DB, Path("filled.xlsx"), EVENING).new
    assert len(wanted) == len(made.sheet.rows)
    saved = saved_as({"sheet": filled}, "ods")["sheet"]
    assert read_close_out(DB, saved, EVENING).new == wanted
