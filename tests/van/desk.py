"""A storekeeper's desk: job D-101 accepted, its goods on the shelves, and sheets filled in.

Prices are invented: what is not named in `SHELVES` lies there as often as it is needed, at 1.00.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from sqlalchemy import Connection, insert

from catalogue.db import load_price_book, open_database, session
from catalogue.problems import Problem, ProblemsFound
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import Lot, ledger_faults, load_stock, post_moves, stored_moves
from catalogue.tables import PLACE
from estimator.papers.sheets.pages import KEY
from estimator.workflow.job_states import Said, record
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.pick_needs import needs_of
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.stock_sheet import SheetAsked, SheetMade, issue_sheet

ROOT = Path(__file__).parents[2]
SURVEY = ROOT / "demo_jobs" / "storage-outside" / "survey.toml"
JOB = "D-101"
QUOTED, WORK = date(2026, 11, 2), date(2026, 11, 16)
NOON = datetime(2026, 11, 12, 12, tzinfo=UTC)
STOREKEEPER = Posted("storekeeper", NOON)
PLACES = (("store", "store"), ("van 1", "van"), ("quarantine", "quarantine"))

CONVERTER, MODULE, TWIN, DATA, CLIP, SEALANT, CONDUIT, METER, ALARM, ISOLATOR, SCREW = (
    "01136-OU", "01505-WF", "03040-TE", "03901-SP", "08410-CC", "15010", "08220-CD", "06101-DM",
    "11503-HB", "051220-O", "09053")
BETTER_ISOLATOR = "051232-O"  # 32 A where 20 A is asked for, else the same
# Item, how many, paid in pence, place, lot, kind of lot, last day.
SHELVES: tuple[tuple[str, str, int, str, str, str, date | None], ...] = (
    (CONVERTER, "1", 98_000, "store", "C-77", "serial", None),
    (MODULE, "3", 435_000, "store", "", "", None),
    (TWIN, "30", 2_400, "store", "drum 1", "length", None),
    (TWIN, "20", 1_600, "store", "drum 2", "length", None),
    (DATA, "100", 8_800, "store", "drum 3", "length", None),
    (CLIP, "10", 30, "van 1", "", "", None),
    (CLIP, "100", 300, "store", "", "", None),
    (SEALANT, "2", 800, "store", "B-8", "batch", date(2027, 6, 1)),
    (SEALANT, "5", 2_000, "store", "B-7", "batch", date(2027, 3, 1)),
    (SEALANT, "4", 1_600, "store", "B-1", "batch", date(2026, 11, 15)),
    (CONDUIT, "3", 600, "store", "bar 1", "length", None),
    (SCREW, "100", 250, "store", "", "", None),
    (BETTER_ISOLATOR, "2", 4_400, "store", "", "", None),
)
NONE_THERE = (ALARM, "12060")


def quoted_and_accepted(database: str) -> None:
    """Quote the demo job and accept it."""
    quote(QuoteRequest(SURVEY, QUOTED, database, write_papers=False))
    record(database, "accepted", Said(JOB, "R. Owner"), NOON)


def put_on_shelves(work: Connection) -> None:
    """Receive the goods of the job."""
    work.execute(insert(PLACE), [{"name": n, "kind": k, "note": ""} for n, k in PLACES])
    named = {row[0] for row in SHELVES}
    moves = [Move("receive", item, D(n), to_place=place, lot=lot, value_minor=pence)
             for item, n, pence, place, lot, _, _ in SHELVES]
    for need in needs_of(kept_estimate(work, JOB, 1), load_price_book(work, WORK), {}):
        if need.item not in named and need.item not in NONE_THERE and need.quantity:
            moves.append(Move("receive", need.item, need.quantity, to_place="store",
                              value_minor=int(need.quantity * 100)))
    post_moves(work, moves, STOREKEEPER, [
        Lot(lot, item, kind, until)  # type: ignore[arg-type]
        for item, _, _, _, lot, kind, until in SHELVES if lot])


def make_desk(database: str) -> None:
    """Make the whole desk in a database that has the starter catalogue."""
    quoted_and_accepted(database)
    engine = open_database(database)
    with session(engine) as work:
        put_on_shelves(work)
        work.commit()
    engine.dispose()


def issued(database: str, out: Path, **more: Any) -> SheetMade:
    return issue_sheet(database, SheetAsked(JOB, WORK, **more), NOON, out)


# -- written on, as a person would -----------------------------------------------------------------

Marks = Mapping[tuple[str, str], Any]  # key of the row and heading -> what is written there


def cell_at(sheet: Any, key: str, title: str) -> Any:
    """Return the cell of a row, by its key, under a heading."""
    header = next(row for row in range(1, 12) if any(
        cell.value == KEY for cell in sheet[row]))
    columns = {cell.value: cell.column for cell in sheet[header]}
    for row in range(header + 1, sheet.max_row + 1):
        if sheet.cell(row, columns[KEY]).value == key:
            return sheet.cell(row, columns[title])
    raise LookupError(key)


def fill(book: bytes, marks: Mapping[str, Marks], change: Callable[[Any], Any] | None = None,
         ) -> bytes:
    """Return a sheet with marks by page, row and heading, then changed as wished."""
    opened = openpyxl.load_workbook(io.BytesIO(book))
    for page, on_page in marks.items():
        for (key, title), value in on_page.items():
            cell = cell_at(opened[page], key, title)
            cell.value = value
            if isinstance(value, str) and value.startswith(("=", "+", "-", "@")):
                cell.data_type = "s"
    if change is not None:
        change(opened)
    held = io.BytesIO()
    opened.save(held)
    return held.getvalue()


def all_picked(made: SheetMade, **serials: str) -> dict[tuple[str, str], Any]:
    """Return marks that say all was picked and checked, by M. Fitter."""
    marks: dict[tuple[str, str], Any] = {("picked by", "What"): "M. Fitter"}
    for row in made.sheet.rows:
        if not row.short:
            marks[row.key, "Picked"] = "all"
            marks[row.key, "Checked"] = "yes"
            for n in range(1, row.serials + 1):
                marks[f"{row.key}#{n}", "Serial, batch or drum"] = (
                    row.lots[n - 1] if row.lots else f"{row.item}-{n}")
    return marks


def key_of(made: SheetMade, item: str, part: int = 1) -> str:
    """Return the key of an item's row; of a sheet of what comes back, too."""
    return [row.key for row in made.sheet.rows if row.item == item][part - 1]


def all_used(made: SheetMade) -> dict[tuple[str, str], Any]:
    """Return marks that say nothing comes back, counted by M. Fitter."""
    marks: dict[tuple[str, str], Any] = {("counted by", "What"): "M. Fitter"}
    for row in made.sheet.rows:
        column = {"serial": "Fitted, back or damaged", "length": "Offcuts in m"}.get(
            row.kind, "Back, good")
        marks[row.key, column] = "fitted" if row.kind == "serial" else 0
    return marks


def problems_of(read: Callable[[], Any]) -> tuple[Problem, ...]:
    """Return the problems with which a reading is refused; each has a remedy."""
    with pytest.raises(ProblemsFound) as found:
        read()
    assert all(problem.mend for problem in found.value.problems)
    return found.value.problems


def where(book: bytes, key: str, title: str, page: str = "Pick") -> str:
    """Return the name of a cell of a sheet; without a key, the title is the name."""
    if not key:
        return title
    sheet = openpyxl.load_workbook(io.BytesIO(book))[page]
    return f"{page}!{cell_at(sheet, key, title).coordinate}"


def books(database: str = "estimator.db") -> tuple[list[Move], dict[Any, Any], list[str]]:
    """Return all moves, what lies where, and the faults of the ledger."""
    engine = open_database(database)
    with session(engine, write=False) as work:
        found = stored_moves(work), load_stock(work).levels, ledger_faults(work)
    engine.dispose()
    return found
