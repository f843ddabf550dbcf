"""A timesheet with every kind of dirt: what is sound comes in, the rest is named by its cell.

As a workbook and, where a text file can hold it, as a text file.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest
from openpyxl import Workbook

from estimator.workflow.hours import HoursImport, HoursWanted, import_hours
from tests.actuals.firm import TODAY, make_firm
from tests.actuals.hours_dirt import DIRT, HEADER, LETTERS, Dirt, cells_of
from tests.catalogue.price_lists.test_dirty_lists import write_cell

FIRST = 2  # row of the first stretch of work
NUMBERED = list(enumerate(DIRT, FIRST))


def _write_workbook(path: Path) -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Week"
    sheet.append(HEADER)
    for number, dirt in NUMBERED:
        for letter, value in zip(LETTERS.values(), cells_of(dirt, number), strict=True):
            write_cell(sheet[f"{letter}{number}"], value)
    book.save(path)


def _write_text(path: Path) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADER)
        for number, dirt in NUMBERED:
            cells = cells_of(dirt, number) if dirt.in_text else []
            writer.writerow(["" if cell is None else cell for cell in cells])


@pytest.fixture(scope="module")
def read(
    starter_template: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[dict[str, HoursImport]]:
    folder = tmp_path_factory.mktemp("hours")
    database = make_firm(starter_template, folder)
    _write_workbook(folder / "week.xlsx")
    _write_text(folder / "week.csv")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        yield {ending: import_hours(database, HoursWanted(Path(f"week.{ending}"), TODAY))
               for ending in ("xlsx", "csv")}


def test_there_are_many_kinds_each_once() -> None:
    kinds = [dirt.kind for dirt in DIRT]
    assert len(set(kinds)) == len(kinds) >= 60


@pytest.mark.parametrize(("number", "dirt"), NUMBERED, ids=[dirt.kind for dirt in DIRT])
@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_a_row_comes_in_or_is_named(
    read: dict[str, HoursImport], ending: str, number: int, dirt: Dirt
) -> None:
    if ending == "csv" and not dirt.in_text:
        return
    done = read[ending]
    found = {row.number: row for row in done.rows}
    told = [each for each in done.refused
            if number in (each.where.line, int("0" + each.where.cell.strip("Wek!ABCDEFGHIJKL")))]
    if dirt.minutes is not None:
        assert told == []
        row = found[number]
        assert row.minutes == dirt.minutes
        assert {name: getattr(row, name) for name in dirt.more} == dirt.more
        return
    assert number not in found
    if dirt.refused is None:
        assert dirt.skipped in done.skipped
        assert told == []
        return
    title, code, says = dirt.refused
    says = says.format(before=number - 1)
    (first, *_) = [each for each in told if each.code == code]
    if ending == "csv":
        assert str(first).startswith(f"week.csv:{number}: error {code}: {title.lower()}: {says}")
    else:
        assert str(first).startswith(
            f"week.xlsx:Week!{LETTERS[title]}{number}: error {code}: {says}")
    assert first.mend or code == "Z204"
    if not dirt.whole:
        assert len(told) == 1


def test_no_row_is_lost(read: dict[str, HoursImport]) -> None:
    for done in read.values():
        of_text = done is read["csv"]
        blank = sum(not dirt.in_text for dirt in DIRT) if of_text else 0
        assert done.already == ()
        assert len(done.rows) + done.refused_rows + sum(done.skipped.values()) == len(DIRT)
        assert done.skipped["blank"] == blank + 1
