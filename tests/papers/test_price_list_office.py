"""A spreadsheet program that saves a dirty price list as .ods changes nothing of what is read."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from catalogue.price_lists.column_map import parse_column_map
from catalogue.price_lists.reading import read_price_list
from catalogue.problems import Problem
from tests.catalogue.price_lists.dirt import COLUMN_MAP
from tests.catalogue.price_lists.test_dirty_lists import write_workbook

pytestmark = pytest.mark.office

# The program saves yes as a formula, and a currency by its code.
SAID_OTHERWISE = {
    ("A124", "the cell holds yes or no"):
        ("A120", "the cell holds a formula, and what it shows was computed elsewhere"),
    ("A115", "the cell's format shows €, and the list is in GBP"):
        ("A115", "the cell's format shows EUR, and the list is in GBP"),
}


def told(problem: Problem) -> tuple[str, tuple[str, str]]:
    return problem.where.cell, (problem.code, problem.says)


def test_a_dirty_list_reads_the_same_as_ods(
    saved_as: Callable[[Mapping[str, bytes], str], dict[str, Path]], tmp_path: Path
) -> None:
    path = tmp_path / "list.xlsx"
    write_workbook(path)
    columns = parse_column_map(COLUMN_MAP)
    as_xlsx = read_price_list(path, columns)
    as_ods = read_price_list(saved_as({"list": path.read_bytes()}, "ods")["list"], columns)
    assert as_ods.form == "ods"
    assert as_ods.rows == as_xlsx.rows
    assert as_ods.skipped == as_xlsx.skipped
    assert [told(problem) for problem in as_ods.refused] == [
        (cell, SAID_OTHERWISE.get(said, said)) for cell, said in map(told, as_xlsx.refused)]
