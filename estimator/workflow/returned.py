"""Read a sheet of what comes back: good and damaged, offcuts, what was fitted, what was bought.

Good ones go back to the store, damaged ones into quarantine, an offcut as a length of its own. What
was bought on the way is the job's at what was paid. What is left with the job is used.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal, InvalidOperation
from pathlib import Path

from catalogue.problems import Place
from catalogue.stock.ends import MM_PER_M, share_of_stick
from catalogue.stock.ledger import OUTSIDE, Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import Lot
from estimator.papers.digits import plain
from estimator.papers.sheets.back_pages import BACK, BOUGHT, BOUGHT_ROWS, COUNTED_BY
from estimator.papers.sheets.marks import Mark
from estimator.papers.sheets.pages import ALL
from estimator.van.pick_sheet import END
from estimator.van.sheet_model import BackRow, BackSheet
from estimator.workflow.database import at_work
from estimator.workflow.firm import here
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.marked_moves import Gathered, place_of_kind, post_all, signed_by
from estimator.workflow.received_lots import next_names
from estimator.workflow.sheet_back import mark_as_read, opened
from estimator.workflow.used import Used, used_by

GOOD, DAMAGED, OFFCUTS, BECAME = (
    "Back, good", "Back, damaged", "Offcuts in m", "Fitted, back or damaged")
COUNT, PAID = "How many", "Paid in all, without tax"
NOTHING = Decimal(0)
_PENNY = Decimal("0.01")


@dataclass(frozen=True)
class Returned:
    """What a sheet of what comes back says.

    Attributes:
        before: who read it already and when; then there are no moves.
        fitted: serial numbers that stay on site: item, number, where.
        used: what the job has used when the moves are written.
    """

    name: str
    job: str
    by: str
    before: tuple[str, datetime] | None
    used: Used
    moves: tuple[Move, ...] = ()
    fitted: tuple[tuple[str, str, str], ...] = ()
    written: bool = False


def read_returned(
    database: str | None, path: Path, at: datetime, name: str = "", *, write: bool = False
) -> Returned:
    """Read a filled sheet of what comes back and return its moves; they are written if asked.

    Raises:
        ProblemsFound: as `sheet_back.opened`; Y217, Y222 to Y225, Y227 for what is written on it.
            Nothing is moved then.
    """
    with at_work(here(database), write=True) as work:
        back = opened(work, path, "back")
        sheet = back.sheet
        assert isinstance(sheet, BackSheet)
        estimate = kept_estimate(work, sheet.job, sheet.revision)
        if back.before is not None:
            return Returned(back.issued.name, sheet.job, back.before[0], back.before,
                            used_by(work, estimate))
        by = signed_by(back, BACK, COUNTED_BY, "What", name)
        gathered = Gathered(work, back)
        coming = _Coming(gathered, sheet, place_of_kind(work, "store", "store"),
                         place_of_kind(work, "quarantine", "quarantine"))
        coming.all()
        posted = Posted(by, at.astimezone(UTC).replace(microsecond=0))
        moves = post_all(gathered, posted, lambda: "issue a new sheet: what is out has changed")
        if write:
            mark_as_read(work, back, by, at)
            work.commit()
        return Returned(back.issued.name, sheet.job, by, None, used_by(work, estimate),
                        tuple(moves), tuple(coming.fitted), write)


class _Coming:
    """Goes through the rows of a sheet of what comes back."""

    def __init__(self, gathered: Gathered, sheet: BackSheet, store: str, quarantine: str) -> None:
        self.g = gathered
        self.sheet = sheet
        self.marks = gathered.back.marks
        self.store = store
        self.quarantine = quarantine
        self.fitted: list[tuple[str, str, str]] = []

    def all(self) -> None:
        for row in self.sheet.rows:
            {"serial": self.serial, "length": self.length}.get(
                row.kind, self.sticks if row.stick_mm else self.counted)(row)
        for n in range(1, BOUGHT_ROWS + 1):
            self.bought(f"+{n}")

    def mark(self, row: BackRow, title: str) -> Mark | None:
        return self.marks.get(BACK, row.key, title)

    def cell(self, row: BackRow, title: str) -> Place:
        return self.marks.place(BACK, row.key, title)

    def nothing_said(self, row: BackRow, title: str, mend: str) -> None:
        self.g.tell("Y217", self.cell(row, title), f"nothing is said of {row.item}, {row.name}",
                    mend)

    def back(self, row: BackRow, quantity: Decimal, to: str, title: str, lot: str = "") -> None:
        if quantity > 0:
            if row.kind == END and not lot:  # one end, which counts as its share of a stick
                quantity = share_of_stick(row.stick_mm or 0, self.g.items[row.item].stick_mm or 0)
            self.g.move(
                Move("return", row.item, quantity, self.g.site, to, lot or row.lot, self.g.job,
                     self.g.back.document, why="damaged" if to == self.quarantine else ""),
                self.cell(row, title))

    def number(self, row: BackRow, title: str) -> Decimal:
        mark = self.mark(row, title)
        if mark is None:
            return NOTHING
        return row.out if mark.value == ALL else Decimal(mark.value)

    def too_many(self, row: BackRow, back: Decimal, title: str) -> bool:
        """Return whether more is said to be back than was out; tell if so."""
        if back <= row.out:
            return False
        self.g.tell("Y224", self.cell(row, title), f"{plain(back)} {row.item} are said to be back, "
                    f"and {plain(row.out)} were out", "count again")
        return True

    def counted(self, row: BackRow) -> None:
        if self.mark(row, GOOD) is None:
            self.nothing_said(row, GOOD, "write how many good ones are back, 0 for none")
            return
        good, damaged = self.number(row, GOOD), self.number(row, DAMAGED)
        whole = [self.g.counted(row.item, good, self.cell(row, GOOD)),
                 self.g.counted(row.item, damaged, self.cell(row, DAMAGED))]
        if all(whole) and not self.too_many(row, good + damaged, GOOD):
            self.back(row, good, self.store, GOOD)
            self.back(row, damaged, self.quarantine, DAMAGED)

    def sticks(self, row: BackRow) -> None:
        """Note what comes back of whole sticks, or of one end: whole ones, and ends sawn off."""
        mark, stick_mm = self.mark(row, OFFCUTS), row.stick_mm or 0
        lengths = [] if mark is None else self.offcuts(row, str(mark.value))
        if lengths is None:
            return
        good, damaged = self.number(row, GOOD), self.number(row, DAMAGED)
        sawn = row.out - good - damaged
        in_all = sum(lengths, NOTHING)
        if lengths and in_all * MM_PER_M > sawn * stick_mm:
            self.g.tell("Y224", self.cell(row, OFFCUTS),
                        f"{plain(in_all)} m of offcuts are said to be back, and "
                        f"{plain(sawn)} of {plain(Decimal(stick_mm) / MM_PER_M)} m were sawn",
                        "count again")
            return
        whole_mm = self.g.items[row.item].stick_mm or stick_mm
        for each in lengths:
            if each * MM_PER_M >= stick_mm or each * MM_PER_M < whole_mm / MM_PER_M:
                self.g.tell("Y227", self.cell(row, OFFCUTS),
                            f"{plain(each)} m is no offcut of {row.item}",
                            "what came back whole is counted; write what was sawn off")
                return
        self.counted(row)
        self.ends(row, [int(each * MM_PER_M) for each in lengths], whole_mm)

    def ends(self, row: BackRow, lengths: list[int], stick_mm: int) -> None:
        """Note ends that are sawn off on site; what is left of an end stays under its name."""
        document, cell = self.g.back.document, self.cell(row, OFFCUTS)
        names = self.new_names(f"{row.item}/", len(lengths))
        shares = [share_of_stick(each, stick_mm) for each in lengths]
        if not lengths:
            return
        whole = sum(shares, NOTHING)
        if row.lot:
            whole = share_of_stick(row.stick_mm or 0, stick_mm)
        parts = [(row.lot, whole - sum(shares, NOTHING)), *zip(names, shares, strict=True)]
        self.g.move(Move("cut", row.item, whole, self.g.site, OUTSIDE, row.lot,
                         document=document), cell)
        for lot, share in parts:
            if share:
                self.g.move(Move("cut", row.item, share, OUTSIDE, self.g.site, lot,
                                 document=document), cell)
        for name, length, share in zip(names, lengths, shares, strict=True):
            self.g.lots.append(Lot(name, row.item, "length", cut_from=row.lot, length_mm=length))
            self.back(row, share, self.store, OFFCUTS, name)

    def serial(self, row: BackRow) -> None:
        mark = self.mark(row, BECAME)
        if mark is None:
            self.nothing_said(row, BECAME, "choose fitted, back or damaged")
        elif mark.value == "fitted":
            where = self.mark(row, "Where it is fitted, remark")
            self.fitted.append((row.item, row.lot, str(where.value) if where else ""))
        else:
            self.back(row, row.out, self.store if mark.value == "back" else self.quarantine,
                      BECAME)

    def length(self, row: BackRow) -> None:
        mark = self.mark(row, OFFCUTS)
        if mark is None:
            self.nothing_said(row, OFFCUTS, "write the length of each offcut, such as 3.2; 1.5, "
                              "or 0")
            return
        offcuts, damaged = self.offcuts(row, str(mark.value)), self.number(row, DAMAGED)
        if offcuts is None or self.too_many(row, sum(offcuts, damaged), OFFCUTS):
            return
        pieces = [(each, self.store, OFFCUTS) for each in offcuts]
        pieces += [(damaged, self.quarantine, DAMAGED)] if damaged else []
        self.cut(row, pieces)

    def offcuts(self, row: BackRow, text: str) -> list[Decimal] | None:
        """Return the lengths of the offcuts; None if they cannot be read, which is told."""
        found = []
        for part in text.split(";"):
            try:
                length = Decimal(part.strip())
            except InvalidOperation:
                length = Decimal("NaN")
            if not length.is_finite() or length < 0 or length != round(length, 3):
                self.g.tell("Y227", self.cell(row, OFFCUTS),
                            f"'{part.strip()}' is not a length in metres",
                            "write the length of each offcut, such as 3.2; 1.5, or 0")
                return None
            found += [length] if length else []
        return found

    def cut(self, row: BackRow, pieces: list[tuple[Decimal, str, str]]) -> None:
        """Note that a length is cut on site; each piece that comes back is a lot of its own."""
        if not pieces:
            return
        document, cell = self.g.back.document, self.cell(row, OFFCUTS)
        rest = row.out - sum((length for length, _, _ in pieces), NOTHING)
        number = self.g.back.issued.name.rpartition("/")[2]
        names = self.new_names(f"{row.lot}/{number}.", len(pieces))
        self.g.move(Move("cut", row.item, row.out, self.g.site, OUTSIDE, row.lot,
                         document=document), cell)
        parts = [(row.lot, rest)] if rest else []
        parts += [(name, length) for name, (length, _, _) in zip(names, pieces, strict=True)]
        for lot, length in parts:
            self.g.move(Move("cut", row.item, length, OUTSIDE, self.g.site, lot,
                             document=document), cell)
        for name, (length, to, title) in zip(names, pieces, strict=True):
            self.g.lots.append(Lot(name, row.item, "length", cut_from=row.lot))
            self.back(row, length, to, title, name)

    def new_names(self, stem: str, many: int) -> list[str]:
        return next_names(stem, many, {*self.g.known, *(lot.id for lot in self.g.lots)})

    def bought(self, key: str) -> None:
        """Note what was bought on the way and brought straight to the house."""
        marks = {title: self.marks.get(BOUGHT, key, title) for title in (
            "Item", COUNT, PAID, "Supplier", "Remark")}
        if not any(marks.values()):
            return
        item, count, paid = marks["Item"], marks[COUNT], marks[PAID]
        for title in ("Item", COUNT, PAID):
            if marks[title] is None:
                self.g.tell("Y222", self.marks.place(BOUGHT, key, title),
                            f"'{title}' is blank in a row of what was bought",
                            "write item, how many and what was paid, or clear the row")
        if item is None or count is None or paid is None:
            return
        code, quantity, amount = str(item.value), Decimal(count.value), Decimal(paid.value)
        cell = self.marks.place(BOUGHT, key, COUNT)
        if code not in self.g.items:
            self.g.tell("Y222", self.marks.place(BOUGHT, key, "Item"),
                        f"there is no item '{code}' in the catalogue",
                        "find its code: estimator catalogue find WORDS")
        elif amount != round(amount, 2):
            self.g.tell("Y227", self.marks.place(BOUGHT, key, PAID),
                        f"{plain(amount)} is no amount of money", "write it to the penny")
        elif self.g.counted(code, quantity, cell):
            supplier = marks["Supplier"]
            self.g.move(
                Move("receive", code, quantity, OUTSIDE, self.g.site, job=self.g.job,
                     document=self.g.back.document, value_minor=int(amount / _PENNY),
                     why=f"bought from {supplier.value}" if supplier else "bought on the way"),
                cell)
