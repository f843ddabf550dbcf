"""Book suppliers' bills: a dry run first, then all of it in one transaction.

Codes of the problems: Z250 bills are refused and all are to be booked.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.money import Money
from catalogue.price_lists.faults import Fault
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import INVOICE
from estimator.actuals.bill_costs import Costed, costed, faults_of
from estimator.actuals.bill_rows import Usual
from estimator.actuals.bills import Bill
from estimator.workflow.bill_books import hold_bills, load_books, write_bill
from estimator.workflow.files import digest_of
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.price_columns import EXCHANGE, Chosen, Layout, choose_columns

Advance = Callable[[int, int], None]
_READ = 50  # of a hundred parts of the work


@dataclass(frozen=True)
class BillsWanted:
    """What the user wants of a file of bills.

    Attributes:
        today: no bill is of a later day.
        layout: how a table is laid out.
        usual: what holds for lines that do not say it themselves.
        write: whether anything is to be booked.
        skip_refused: whether the sound bills are booked though others are refused.
        again: whether a file that was read in before is gone through once more.
    """

    file: Path
    today: date
    layout: Layout = field(default_factory=Layout)
    usual: Usual = field(default_factory=Usual)
    write: bool = False
    skip_refused: bool = False
    again: bool = False


@dataclass(frozen=True)
class BillsImport:
    """What a file of bills books, or has booked.

    Attributes:
        bills: the sound ones as they are booked.
        already: how many were booked from this file before.
        refused: what is wrong with others; `refused_bills` is how many they are.
        skipped: rows that hold no line, by reason.
        before: when and by whom the same file was read in; nothing else is said then.
    """

    columns: Chosen
    currency: str
    bills: tuple[Costed, ...] = ()
    already: int = 0
    refused: tuple[Problem, ...] = ()
    refused_bills: int = 0
    skipped: dict[str, int] = field(default_factory=dict)
    cautions: tuple[Problem, ...] = ()
    before: tuple[datetime, str] | None = None
    written: bool = False

    @property
    def net(self) -> Money:
        """Return what the sound bills charge without tax."""
        return Money(sum(each.bill.net_minor for each in self.bills), self.currency)

    @property
    def cost(self) -> Money:
        """Return what of it is a cost beside the ledger of stock, of jobs and firm."""
        return Money(sum(each.cost_minor for each in self.bills), self.currency)


@dataclass
class _File:
    """The bills of a file, with where their lines stand and what is wrong with others."""

    bills: list[Bill]
    place: Callable[[int, str], tuple[Place, str]]
    tell: Callable[[int, str, Fault], None]
    refused: Callable[[], Sequence[Problem]]
    cautions: tuple[Problem, ...] = ()
    wrong: set[tuple[str, str]] = field(default_factory=set)
    skipped: dict[str, int] = field(default_factory=dict)


def import_bills(
    database: str | None, wanted: BillsWanted, advance: Advance = lambda done, of: None
) -> BillsImport:
    """Read a file of bills and, if asked, book what is sound.

    Raises:
        ProblemsFound: Z250 with all that is refused, if all is to be booked; as the reading of the
            file, its column map and the firm's settings.
    """
    from estimator.actuals.bill_fields import BILLS

    files = firm_files()
    currency = firm_settings(files).firm.currency
    columns = choose_columns(wanted.layout, wanted.file, None, currency, BILLS)
    read = _read(wanted, columns, currency)
    digest = digest_of(wanted.file)
    advance(_READ, 100)
    engine = db.open_database(database_of(database, files))
    try:
        with db.session(engine, write=wanted.write) as work:
            if wanted.write:
                hold_bills(work)
            before = work.execute(select(INVOICE).where(INVOICE.c.digest == digest)).first()
            if before is not None and not wanted.again:
                return BillsImport(columns, currency, before=(before.at, before.by))
            done = _booked(work, wanted, (read, digest), BillsImport(columns, currency))
            if wanted.write and done.refused and not wanted.skip_refused:
                raise ProblemsFound([*done.refused, Problem(
                    "Z250", Place(wanted.file.as_posix()), f"{done.refused_bills} bills are "
                    "refused, and none is booked",
                    "put them right, or book the others: --skip-refused")])
            if wanted.write and done.bills:
                for number, each in enumerate(done.bills, 1):
                    write_bill(work, each, (wanted.file.name, digest))
                    advance(_READ + number * (100 - _READ) // len(done.bills), 100)
                work.commit()
                done = replace(done, written=True)
    finally:
        engine.dispose()
    return done


def _read(wanted: BillsWanted, columns: Chosen, currency: str) -> _File:
    from catalogue.price_lists.reading import form_of

    shown = wanted.file.as_posix()
    if form_of(wanted.file, shown) == EXCHANGE:
        from estimator.actuals.bill_ubl import read_bill

        bill = read_bill(wanted.file, currency, wanted.usual, wanted.today, shown)
        told: list[Problem] = []
        return _File([bill], lambda row, name: (Place(shown, row or None), ""),
                     lambda row, name, fault: told.append(fault.at(Place(shown, row or None))),
                     lambda: told)
    return _read_table(wanted, columns)


def _read_table(wanted: BillsWanted, columns: Chosen) -> _File:
    from catalogue.price_lists.field_rows import read_field_rows
    from estimator.actuals.bill_fields import BILLS
    from estimator.actuals.bill_rows import BillReader

    table = read_field_rows(wanted.file, columns.columns, BILLS)
    reader = BillReader(columns.columns, wanted.usual)
    for row in table.rows:
        reader.read(row)
    gathered = reader.gathered(wanted.today)
    for number, name, fault in gathered.refused:
        table.refuse(number, name, fault)
    return _File(gathered.bills, table.cells, table.refuse, table.all_told,
                 (*table.table.cautions, *table.hidden_columns()),
                 gathered.wrong, dict(sorted(table.skipped.items())))


def _booked(
    work: Connection, wanted: BillsWanted, file: tuple[_File, str], done: BillsImport
) -> BillsImport:
    """Return what the sound bills of a file book."""
    read, digest = file
    books = load_books(work, read.bills, to_write=wanted.write)
    sound: list[Costed] = []
    cautions = list(read.cautions)
    wrong = set(read.wrong)
    already = 0
    for bill in read.bills:
        if bill.key in books.booked and books.booked[bill.key].digest == digest:
            already += 1
            continue
        faults = list(faults_of(bill, books))
        for row, name, fault in faults:
            read.tell(row, name, fault)
        wrong |= {bill.key} if faults else set()
        if bill.key in wrong:
            continue
        each = costed(bill, books)
        sound.append(each)
        for row, fault in each.cautions:
            place, before = read.place(row, "name")
            cautions.append(Problem(fault.code, place, f"{before}{fault.says}", fault.mend,
                                    "caution"))
    return replace(done, bills=tuple(sound), already=already, refused=tuple(read.refused()),
                   refused_bills=len(wrong), skipped=read.skipped, cautions=tuple(cautions))
