"""Say which item of the firm a supplier's part number is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import insert, select

from catalogue.csv_sheets import read_csv_sheet
from catalogue.entering import put
from catalogue.problems import Problem, ProblemsFound, suggestion
from catalogue.rows import RawRow, RawSheet
from catalogue.tables import ITEM, SUPPLIER_ITEM
from estimator.workflow.database import at_work
from estimator.workflow.suppliers import known_supplier

CODE, ITEM_COLUMN = "supplier_code", "item"


@dataclass(frozen=True)
class Linked:
    """What a file of links said: part numbers newly linked, linked otherwise, as before, blank."""

    new: int
    changed: int
    unchanged: int
    blank: int


def link_items(database: str | None, file: Path, supplier: str) -> Linked:
    """Link part numbers to items, as a CSV file with the columns supplier_code and item says.

    A row without an item is left for later. All links are written, or none.

    Raises:
        ProblemsFound: A212 for an unknown supplier, A220 for a missing column, A221 for an item
            that is not there, A222 for a part number that is given two items; L120 or L121 if the
            file cannot be read.
    """
    sheet = read_csv_sheet(file, file.stem)
    missing = [name for name in (CODE, ITEM_COLUMN) if name not in sheet.header]
    if missing:
        raise ProblemsFound(Problem(
            "A220", sheet.place(""), f"the file has no column '{name}'",
            "take the file that estimator prices import --unknown writes") for name in missing)
    with at_work(database, write=True) as work:
        known_supplier(work, supplier)
        apart = {code: bool(flag) for code, flag in work.execute(
            select(ITEM.c.code, ITEM.c.sold_apart))}
        problems = list(sheet.problems)
        wanted = _wanted(sheet, apart, problems)
        if problems:
            raise ProblemsFound(problems)
        there = {code: str(item) for code, item in work.execute(
            select(SUPPLIER_ITEM.c.supplier_code, SUPPLIER_ITEM.c.item_code)
            .where(SUPPLIER_ITEM.c.supplier == supplier))}
        new = {code: item for code, item in wanted.items() if code not in there}
        changed = {code: item for code, item in wanted.items() if there.get(code, item) != item}
        if new:
            work.execute(insert(SUPPLIER_ITEM), [
                {"supplier": supplier, "supplier_code": code, "item_code": item}
                for code, item in new.items()])
        for code, item in changed.items():
            put(work, SUPPLIER_ITEM, {"supplier": supplier, "supplier_code": code},
                {"item_code": item})
        work.commit()
    blank = sum(1 for row in sheet.rows if not _cell(row, ITEM_COLUMN))
    return Linked(len(new), len(changed), len(wanted) - len(new) - len(changed), blank)


def _wanted(sheet: RawSheet, apart: Mapping[str, bool], problems: list[Problem]) -> dict[str, str]:
    """Return the item of each part number, and tell what is wrong with a row."""
    found: dict[str, str] = {}
    first: dict[str, str] = {}
    for row in sheet.rows:
        code, item = _cell(row, CODE), _cell(row, ITEM_COLUMN)
        if not item:
            continue
        if not code:
            problems.append(Problem(
                "A220", row.place(CODE), f"{CODE}: the part number of item {item} is missing",
                "write it, or leave the item blank too"))
        elif item not in apart:
            problems.append(Problem(
                "A221", row.place(ITEM_COLUMN), f"{ITEM_COLUMN}: there is no item {item}",
                suggestion(item, apart) or "look for it: estimator catalogue find WORDS"))
        elif not apart[item]:
            problems.append(Problem(
                "A221", row.place(ITEM_COLUMN), f"{ITEM_COLUMN}: {item} comes in the box of "
                "another item and is never sold apart, so it can have no price",
                "link the part number to the item in whose box it lies, or leave it blank"))
        elif found.setdefault(code, item) != item:
            problems.append(Problem(
                "A222", row.place(ITEM_COLUMN), f"{ITEM_COLUMN}: part number {code} is item "
                f"{found[code]} in row {first[code]}, and {item} here",
                "leave one of the two rows, and blank the item of the other"))
        else:
            first.setdefault(code, str(row.place(ITEM_COLUMN).line))
    return found


def _cell(row: RawRow, column: str) -> str:
    return str(row.cells.get(column) or "").strip()
