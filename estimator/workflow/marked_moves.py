"""Gathers the moves that marks on a sheet ask for, each with the cell that asks for it.

Things with serial numbers, lengths and batches are told apart as the books have them: a serial
number that is new is made a lot of what lies there and is not told apart yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, insert, select

from catalogue.items import Item
from catalogue.loading import load_items
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.stock.ledger import OUTSIDE, Move, PlaceKind, Short, Stock
from catalogue.stock.posting import Posted
from catalogue.stock_books import AllRefused, Lot, load_stock, post_moves
from catalogue.tables import LOT, PLACE
from estimator.papers.digits import plain
from estimator.workflow.sheet_back import CameBack
from estimator.workflow.stock_shelves import site_of

ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class KnownLot:
    """A lot of the books: of which item, of which kind, and until when it may be used."""

    item: str
    kind: str
    expires_on: date | None


@dataclass
class Gathered:
    """Moves with their cells, new lots, and every mistake."""

    work: Connection
    back: CameBack
    moves: list[Move] = field(default_factory=list)
    cells: list[Place] = field(default_factory=list)
    lots: list[Lot] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    items: Mapping[str, Item] = field(default_factory=dict)
    known: Mapping[str, KnownLot] = field(default_factory=dict)
    stock: Stock = field(default_factory=lambda: Stock({}))
    seen: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.items = {item.code: item for item in load_items(self.work)}
        self.known = {row.id: KnownLot(row.item_code, row.kind, row.expires_on)
                      for row in self.work.execute(select(LOT))}
        self.stock = load_stock(self.work)

    @property
    def job(self) -> str:
        """Return the job of the sheet."""
        return self.back.sheet.job

    @property
    def site(self) -> str:
        """Return the place that is the job's site."""
        return site_of(self.job)

    def tell(self, code: str, where: Place, says: str, mend: str) -> None:
        """Note a mistake."""
        self.problems.append(Problem(code, where, says, mend))

    def move(self, move: Move, cell: Place) -> None:
        """Note a move, and the cell that asks for it."""
        self.moves.append(move)
        self.cells.append(cell)

    def name_of(self, item: str) -> str:
        """Return the name of an item."""
        return self.items[item].name

    def counted(self, item: str, quantity: Decimal, cell: Place) -> bool:
        """Return whether a quantity suits the item; tell if a counted one has a fraction."""
        if not self.items[item].counted or quantity == quantity.to_integral_value():
            return True
        self.tell("Y227", cell, f"{plain(quantity)} of {item}: it is counted in whole pieces",
                  "write a whole number")
        return False

    def is_lot_of(self, lot: str, item: str, cell: Place) -> bool:
        """Return whether a lot is known and of an item; tell if it is not."""
        there = self.known.get(lot)
        if there is None:
            self.tell("Y221", cell, f"no drum, batch or serial number '{lot}' is known",
                      "write it as the store has it: estimator stock show")
        elif there.item != item:
            self.tell("Y221", cell, f"'{lot}' is of item {there.item}, not of {item}",
                      "look at the label again")
        elif there.expires_on is not None and there.expires_on < self.back.sheet.on:
            self.tell("Y221", cell, f"batch '{lot}' was to be used by {there.expires_on}",
                      "take another batch; what is past its day is not fitted")
        else:
            return True
        return False

    def serial_from(self, serial: str, item: str, place: str, cell: Place) -> None:
        """Note the pick of one thing by its serial number; it is made a lot if it is none yet."""
        if serial in self.seen:
            self.tell("Y220", cell, f"serial number '{serial}' stands twice; the first is "
                      f"{self.seen[serial]}", "each thing has a number of its own")
            return
        self.seen[serial] = cell.cell
        if serial in self.known:
            if self.is_lot_of(serial, item, cell):
                self._known_serial(serial, item, place, cell)
            return
        loose = self.stock.levels.get((item, place, ""), Decimal(0))
        new = sum(1 for lot in self.lots if lot.item == item and lot.kind == "serial")
        if loose <= new:
            self.tell("Y221", cell, f"no {item} with serial number '{serial}' lies in '{place}'",
                      "look at the label again; numbers there: " + (
                          ", ".join(self._serials_in(item, place)) or "none"))
            return
        document = self.back.document
        self.lots.append(Lot(serial, item, "serial"))
        self.move(Move("cut", item, ONE, place, OUTSIDE, document=document, why="told apart"), cell)
        self.move(Move("cut", item, ONE, OUTSIDE, place, serial, document=document,
                       why="told apart"), cell)
        self.pick(item, ONE, place, serial, cell)

    def _known_serial(self, serial: str, item: str, place: str, cell: Place) -> None:
        if (item, place, serial) in self.stock.levels:
            self.pick(item, ONE, place, serial, cell)
            return
        where = [spot for _, spot, lot in sorted(self.stock.levels) if lot == serial]
        self.tell("Y221", cell, f"serial number '{serial}' lies in '{where[0]}', not in '{place}'"
                  if where else f"serial number '{serial}' has left the stock",
                  "look at the label again")

    def _serials_in(self, item: str, place: str) -> list[str]:
        return sorted(lot for each, spot, lot in self.stock.levels
                      if (each, spot) == (item, place) and lot)

    def pick(
        self, item: str, quantity: Decimal, place: str, lot: str, cell: Place, why: str = ""
    ) -> None:
        """Note that so much goes to the site; of an end of a stick, one: that is all of it."""
        if lot in self.stock.ends:
            there = self.stock.levels.get((item, place, lot))
            if quantity != ONE:
                self.tell("Y227", cell, f"'{lot}' is one end of {item}, and {plain(quantity)} are "
                          "written here", "write 1 for an end, and whole sticks in a row of theirs")
                return
            if there is None:
                self.tell("Y223", cell, f"the end '{lot}' of {item} does not lie in '{place}' any "
                          "more", "issue the sheet again, or write which end was taken")
                return
            quantity = there
        self.move(Move("pick", item, quantity, place, self.site, lot, self.job,
                       self.back.document, why=why), cell)


def place_of_kind(work: Connection, name: str, kind: PlaceKind) -> str:
    """Return the first place of a kind, by name; make one of this name if there is none."""
    found = sorted(work.scalars(select(PLACE.c.name).where(PLACE.c.kind == kind)))
    if found and kind != "site":
        return str(found[0])
    if name not in found:
        work.execute(insert(PLACE).values(name=name, kind=kind, note=""))
    return name


def post_all(gathered: Gathered, posted: Posted, on_refused: Callable[[], str]) -> list[Move]:
    """Write the moves that were gathered, all or none; the caller commits.

    Raises:
        ProblemsFound: with every mistake that was gathered, else Y223 for each move that the
            ledger refuses, with its cell.
    """
    if gathered.problems:
        raise ProblemsFound(gathered.problems)
    try:
        return post_moves(gathered.work, gathered.moves, posted, gathered.lots)
    except AllRefused as error:
        problems: dict[str, Problem] = {}
        for number, why in error.refused:
            where = gathered.cells[number]
            says = str(why)
            if isinstance(why, Short):
                lot = f" of '{why.move.lot}'" if why.move.lot else ""
                says = (f"{plain(why.there)} {why.move.item}{lot} lie in '{why.move.from_place}', "
                        f"{plain(why.move.quantity)} are written here")
            problems.setdefault(where.cell, Problem("Y223", where, says, on_refused()))
        raise ProblemsFound(problems.values()) from error


def signed_by(back: CameBack, page: str, row: str, column: str, named: str) -> str:
    """Return who did it: the name on the sheet, else the one given.

    Raises:
        ProblemsFound: Y225 if nobody has put a name to it.
    """
    mark = back.marks.get(page, row, column)
    name = str(mark.value) if mark is not None else named
    if not name.strip():
        raise ProblemsFound([Problem(
            "Y225", back.marks.place(page, row, column), "nobody has put a name to the sheet",
            "write who it was into this cell, or say --name")])
    return name.strip()


