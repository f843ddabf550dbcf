"""A desk with five items, two suppliers and some prices, and the commands typed there."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from shutil import copy
from typing import Any

import pytest
from click.testing import CliRunner, Result

from estimator.cli import main

SUPPLIER, OTHER = "Counter North", "Roof Merchant"
DAY, NEXT = "2026-11-02", "2026-12-01"
COLUMNS = ("--columns", "code=Part no", "--columns", "name=Description", "--columns", "pack=Pack",
           "--columns", "price=Net", "--columns", "price_per=pack")
HEADER = "Part no,Description,Pack,Net\n"
# Part number A5 is known by its earlier price alone, A4 is an item that is never sold apart.
ITEMS = [("I1", "each", 1), ("I2", "each", 1), ("I3", "m", 1), ("I4", "each", 0),
         ("I5", "each", 1)]
LINKS = [("A1", "I1"), ("A2", "I2"), ("A3", "I3"), ("A4", "I4")]
HELD = [("I1", "A1", 1000), ("I2", "A2", 2000), ("I5", "A5", 500)]  # item, part number, pence
STATEMENT = (
    "INSERT INTO offer (item_code, supplier, supplier_code, pack, price_minor, currency,"
    " lead_days, from_date, entered_at, entered_by, entered_from)"
    " VALUES (?, ?, ?, 1000, ?, 'GBP', ?, '2026-09-01', '2026-09-01T12:00:00.000000+00:00', 'me',"
    " 'by hand')")
OFFERS = (
    "SELECT item_code, pack, least, price_minor, from_date, to_date, withdrawn_at IS NOT NULL,"
    " lead_days, supplier_code, supplier FROM offer ORDER BY id")


@dataclass
class Desk:
    """A folder with a database."""

    folder: Path

    @property
    def database(self) -> Path:
        return self.folder / "estimator.db"

    def file(self, name: str, text: str) -> str:
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    def run(self, *typed: str, expect: int = 0) -> Result:
        result = CliRunner().invoke(main, ["prices", *typed, "--db", str(self.database)])
        assert result.exit_code == expect, result.output
        return result

    def data(self, *typed: str, expect: int = 0) -> Any:
        return json.loads(self.run(*typed, "--json", expect=expect).stdout)

    def read_in(self, text: str, *more: str, name: str = "list.csv", expect: int = 0) -> Any:
        """Import a list with the usual columns from the second of November on."""
        return self.data("import", self.file(name, text), "--supplier", SUPPLIER, "--from", DAY,
                         *COLUMNS, *more, expect=expect)

    def rows(self, statement: str = OFFERS, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        work = sqlite3.connect(self.database)
        try:
            return list(work.execute(statement, values))
        finally:
            work.close()

    def change(self, statement: str, rows: Sequence[Sequence[Any]]) -> None:
        work = sqlite3.connect(self.database)
        with work:
            work.executemany(statement, rows)
        work.close()

    def everything(self) -> list[str]:
        """Return every row of the database, so that two states can be compared."""
        work = sqlite3.connect(self.database)
        try:
            return list(work.iterdump())
        finally:
            work.close()


def fill(desk: Desk) -> None:
    desk.change("INSERT INTO supplier VALUES (?, 3, '')", [(SUPPLIER,), (OTHER,)])
    desk.change(
        "INSERT INTO item (code, name, family, unit, spec, head, held, bin, waste, vat_class,"
        " serialised, sold_apart, note) VALUES (?, 'a thing', 'fixing', ?, '{}', 'fixings',"
        " 'stock', '', 0, 'standard', 0, ?, '')", ITEMS)
    desk.change("INSERT INTO supplier_item VALUES (?, ?, ?)",
                [(SUPPLIER, code, item) for code, item in LINKS])
    desk.change(STATEMENT, [(item, SUPPLIER, code, price, 5) for item, code, price in HELD])


@pytest.fixture
def desk(empty_template: Path, tmp_path: Path) -> Desk:
    made = Desk(tmp_path)
    copy(empty_template, made.database)
    fill(made)
    return made
