"""Read a pick sheet that came back: what was picked, short, swapped, written in; then the moves.

All is shown first and written in one transaction. A sheet that was read already changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

from catalogue.problems import Place
from catalogue.stock.allocating import Need, allocate
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.substitutes import judge, may_stand_in
from estimator.papers.digits import plain
from estimator.papers.sheets.marks import Mark
from estimator.papers.sheets.pages import ALL
from estimator.papers.sheets.pick_pages import BOXES, PICK, SIGNED, WRITE_INS
from estimator.van.sheet_model import PickRow, PickSheet
from estimator.workflow.database import at_work
from estimator.workflow.firm import here
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.marked_moves import Gathered, place_of_kind, post_all, signed_by
from estimator.workflow.reserving import let_go_of_sticks
from estimator.workflow.sheet_back import CameBack, mark_as_read, opened
from estimator.workflow.stock_shelves import shelves_for, site_of

PICKED, INSTEAD, LOT, FROM, ITEM = (
    "Picked", "Instead", "Serial, batch or drum", "From", "Item")


@dataclass(frozen=True, slots=True)
class ShortOf:
    """A row of which less was picked than is needed."""

    row: PickRow
    picked: Decimal

    @property
    def lacking(self) -> Decimal:
        """Return how much is still to be had."""
        return self.row.pick - self.picked


@dataclass(frozen=True)
class Read:
    """What a sheet that came back says.

    Attributes:
        before: who read it already and when; then there are no moves.
        moves: with their values, in the order in which they are written.
        swapped: item of the bill -> item that was picked instead, and how many.
        unchecked: rows that nobody has checked.
        boxes: parts of which fewer were found in a box than expected: part, expected, found.
    """

    name: str
    job: str
    by: str
    before: tuple[str, datetime] | None
    moves: tuple[Move, ...] = ()
    short: tuple[ShortOf, ...] = ()
    swapped: tuple[tuple[str, str, Decimal], ...] = ()
    unchecked: int = 0
    boxes: tuple[tuple[str, Decimal, Decimal], ...] = ()
    written: bool = False


def read_picked(
    database: str | None, path: Path, at: datetime, name: str = "", *, write: bool = False
) -> Read:
    """Read a filled pick sheet and return its moves; they are written if asked.

    Raises:
        ProblemsFound: as `sheet_back.opened`; Y217 to Y223, Y225, Y227 for what is written on it.
            Nothing is moved then.
    """
    with at_work(here(database), write=True) as work:
        back = opened(work, path, "pick")
        if back.before is not None:
            return Read(back.issued.name, back.sheet.job, back.before[0], back.before)
        sheet = back.sheet
        assert isinstance(sheet, PickSheet)
        by = signed_by(back, PICK, SIGNED[0], "What", name)
        place_of_kind(work, site_of(sheet.job), "site")
        gathered = Gathered(work, back)
        picking = _Picking(gathered, sheet)
        picking.all()
        posted = Posted(by, at.astimezone(UTC).replace(microsecond=0))
        moves = post_all(gathered, posted, lambda: "count again, and write what was picked")
        let_go_of_sticks(work, kept_estimate(work, sheet.job, sheet.revision), posted)
        if write:
            mark_as_read(work, back, by, at)
            work.commit()
        return Read(back.issued.name, sheet.job, by, None, tuple(moves), tuple(picking.short),
                    tuple(picking.swapped), picking.unchecked, tuple(_boxes(back, sheet)), write)


def _boxes(back: CameBack, sheet: PickSheet) -> Iterator[tuple[str, Decimal, Decimal]]:
    for box in sheet.boxes:
        mark = back.marks.get(BOXES, box.key, "Found")
        if mark is not None and isinstance(mark.value, Decimal) and mark.value != box.expected:
            yield box.item, box.expected, mark.value


class _Picking:
    """Goes through the rows of a pick sheet."""

    def __init__(self, gathered: Gathered, sheet: PickSheet) -> None:
        self.g = gathered
        self.sheet = sheet
        self.marks = gathered.back.marks
        self.short: list[ShortOf] = []
        self.swapped: list[tuple[str, str, Decimal]] = []
        self.unchecked = 0

    def all(self) -> None:
        for row in self.sheet.rows:
            if row.short:
                self.short.append(ShortOf(row, Decimal(0)))
            else:
                self.row(row)
        for n in range(1, WRITE_INS + 1):
            self.written_in(f"+{n}")

    def mark(self, key: str, title: str) -> Mark | None:
        return self.marks.get(PICK, key, title)

    def cell(self, key: str, title: str) -> Place:
        return self.marks.place(PICK, key, title)

    def row(self, row: PickRow) -> None:
        mark, cell = self.mark(row.key, PICKED), self.cell(row.key, PICKED)
        if mark is None:
            self.g.tell("Y217", cell, f"nothing is said of line {row.line}, {row.name}",
                        "write how many were picked, 0 for none")
            return
        quantity = row.pick if mark.value == ALL else Decimal(mark.value)
        item = self.item(row, quantity)
        if item is None or not self.g.counted(item, quantity, cell):
            return
        if self.serials(row, item, quantity) and quantity > 0 and not row.serials:
            self.loose(row, item, quantity)
        if quantity < row.pick:
            self.short.append(ShortOf(row, quantity))
        self.unchecked += quantity > 0 and self.mark(row.key, "Checked") is None

    def item(self, row: PickRow, quantity: Decimal) -> str | None:
        """Return which item was picked; None if it may not stand in."""
        mark = self.mark(row.key, INSTEAD)
        if mark is None:
            return row.item
        code, where = str(mark.value), self.cell(row.key, INSTEAD)
        if quantity == 0:
            self.g.tell("Y218", where, f"{code} is named instead, and nothing was picked",
                        "write how many were picked, or clear this cell")
            return None
        original, other = self.g.items.get(row.item), self.g.items.get(code)
        if original is None or other is None or not may_stand_in(judge(original, other)):
            self.g.tell("Y218", where, f"{code} may not stand in for {row.item} any more: its "
                        "data sheet was changed",
                        f"estimator catalogue substitutes {row.item} says what may")
            return None
        self.swapped.append((row.item, code, quantity))
        return code

    def serials(self, row: PickRow, item: str, quantity: Decimal) -> bool:
        """Note each thing that has a serial number; return whether all is sound."""
        keys = [f"{row.key}#{n}" for n in range(1, row.serials + 1)]
        given = [(key, mark) for key in keys if (mark := self.mark(key, LOT)) is not None]
        wanted = int(quantity) if row.serials else 0
        if len(given) != wanted:
            self.g.tell("Y219", self.cell(row.key, PICKED),
                        f"{wanted} {item} were picked, and {len(given)} serial numbers are "
                        "written below", "write one number for each")
            return False
        for key, mark in given:
            place = row.place if item == row.item else self.where(str(mark.value), item, row.place)
            self.g.serial_from(str(mark.value), item, place, self.cell(key, LOT))
        return True

    def where(self, lot: str, item: str, else_: str) -> str:
        """Return the place in which a lot of another item lies that may be picked from."""
        there = sorted(self.g.stock.levels)
        spots = [place for wanted in ((item, lot), (item, "")) for code, place, name in there
                 if (code, name) == wanted and place in self.sheet.places]
        return spots[0] if spots else else_

    def loose(self, row: PickRow, item: str, quantity: Decimal) -> None:
        """Note the pick of what has no serial number."""
        cell, mark = self.cell(row.key, PICKED), self.mark(row.key, LOT)
        why = "" if item == row.item else f"instead of {row.item}"
        if mark is not None:
            lot, where = str(mark.value), self.cell(row.key, LOT)
            if self.g.is_lot_of(lot, item, where):
                self.g.pick(item, quantity, self.where(lot, item, row.place), lot, cell, why)
        elif item == row.item:
            self.g.pick(item, quantity, row.place, row.lot, cell, why)
        else:
            self.from_shelves(row, item, quantity, cell)

    def from_shelves(self, row: PickRow, item: str, quantity: Decimal, cell: Place) -> None:
        """Note the pick of a substitute from where the rules of allocation take it."""
        site = shelves_for(self.g.work, self.sheet.job, [item], self.sheet.van, self.sheet.on)
        found = allocate([Need("1", item, quantity, row.kind == "length")], site.shelves.lying,
                         site.shelves.places, self.sheet.on, site.shelves.free)
        for short in found.short:
            self.g.tell("Y223", cell, f"{plain(quantity - short.lacking)} {item} are free, "
                        f"{plain(quantity)} are written here",
                        "count again, and write what was picked")
        for take in found.takes:
            self.g.pick(item, take.quantity, take.place, take.lot, cell, f"instead of {row.item}")

    def written_in(self, key: str) -> None:
        """Note what was taken beside the lines of the sheet."""
        item, quantity, place = (self.mark(key, title) for title in (ITEM, PICKED, FROM))
        lot = self.mark(key, LOT)
        if item is None and quantity is None and place is None and lot is None:
            return
        for title, mark in ((ITEM, item), (PICKED, quantity), (FROM, place)):
            if mark is None:
                self.g.tell("Y222", self.cell(key, title),
                            f"'{title}' is blank in a row that is written in",
                            "write item, how many and from where, or clear the row")
        if item is None or quantity is None or place is None:
            return
        code, count = str(item.value), Decimal(quantity.value)
        if code not in self.g.items:
            self.g.tell("Y222", self.cell(key, ITEM), f"there is no item '{code}' in the catalogue",
                        "find its code: estimator catalogue find WORDS")
            return
        cell = self.cell(key, PICKED)
        if not self.g.counted(code, count, cell) or count == 0:
            return
        self.taken(key, code, count, str(place.value), lot)

    def taken(self, key: str, code: str, count: Decimal, place: str, lot: Mark | None) -> None:
        cell = self.cell(key, PICKED)
        if self.g.items[code].serialised:
            if lot is None or count != 1:
                self.g.tell("Y219", cell, f"{plain(count)} {code} were picked, and "
                            f"{0 if lot is None else 1} serial numbers are written here",
                            "one row and one number for each")
            else:
                self.g.serial_from(str(lot.value), code, place, self.cell(key, LOT))
        elif lot is None or self.g.is_lot_of(str(lot.value), code, self.cell(key, LOT)):
            self.g.pick(code, count, place, str(lot.value) if lot else "", cell, "written in")
