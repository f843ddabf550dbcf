"""Take over a supplier's price list: a dry run first, then all of it in one transaction."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from functools import partial
from pathlib import Path

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.entering import Entered, put
from catalogue.loading import currency_of
from catalogue.price_lists.changes import PriceChanges, Unknown
from catalogue.price_lists.comparing import UNSAID, compare
from catalogue.price_lists.listed import ReadPriceList
from catalogue.price_recording import (
    Stored,
    end_prices,
    keep_columns,
    kept_columns,
    known_prices,
    read_in_already,
    record_list,
    record_prices,
    stored_prices,
)
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import SUPPLIER
from catalogue.tables.columns import from_milli
from estimator.workflow.files import all_written, digest_of, refuse_if_taken
from estimator.workflow.price_carriage import unpriced_classes
from estimator.workflow.price_columns import Chosen, Layout, choose_columns
from estimator.workflow.suppliers import unknown_supplier

Advance = Callable[[int, int], None]  # told how much of how much is done
READ, COMPARED = 60, 75  # of a hundred parts of the work
# A file up to this size, some 200,000 rows, is read while the database is; other desks cannot write
# in these seconds. A larger one is read before, so that they need not wait for it.
MOST_BYTES_BESIDE = 10_000_000
UNKNOWN_COLUMNS = ("supplier_code", "item", "name", "unit", "pack", "price", "per", "row", "why")
REFUSED_COLUMNS = ("place", "code", "reason", "remedy")


@dataclass(frozen=True)
class Out:
    """Files for the rows whose item is not known and for the refused ones; None is no such file."""

    unknown: Path | None = None
    refused: Path | None = None
    replace: bool = False


@dataclass(frozen=True)
class Wanted:
    """What the user wants of an import.

    Attributes:
        file: the price list.
        supplier: whose list it is.
        today: first day of a list that does not say it itself.
        from_date: first day of the list, whatever it says.
        layout: how it is laid out.
        new_supplier: lead days of a supplier that is to be added.
        write: whether anything is to be written.
        again: whether a file that was read in before is read in once more.
        expire_missing: whether prices that the list no longer holds are ended.
        out: files to write beside.
    """

    file: Path
    supplier: str
    today: date
    from_date: date | None = None
    layout: Layout = field(default_factory=Layout)
    new_supplier: int | None = None
    write: bool = False
    again: bool = False
    expire_missing: bool = False
    out: Out = field(default_factory=Out)

    def to_be_written(self) -> Wanted:
        """Return the same to be written, after a dry run."""
        return replace(self, write=True, out=Out())


@dataclass(frozen=True)
class Before:
    """When the same file was read in for the same supplier and day, and what was unknown then."""

    at: datetime
    by: str
    day: date
    unknown: int


@dataclass(frozen=True)
class PriceImport:
    """What a price list changes, or has changed.

    Attributes:
        supplier: whose list it is.
        read: the list as read.
        columns: how it was read.
        changes: None if it was read in already.
        before: when it was read in already; with `changes` if it is read in once more.
        written: whether the changes are in the database.
        unpriced: carriage classes of the list that the supplier has no charge for.
    """

    supplier: str
    read: ReadPriceList
    columns: Chosen
    changes: PriceChanges | None = None
    before: Before | None = None
    written: bool = False
    unpriced: tuple[Problem, ...] = ()

    @property
    def cautions(self) -> tuple[Problem, ...]:
        """Return what was read and should be looked at."""
        return (*self.read.cautions, *self.unpriced)

    @property
    def refused(self) -> tuple[Problem, ...]:
        """Return what is wrong with rows, in the list itself and against the catalogue."""
        return (*self.read.refused, *(self.changes.refused if self.changes else ()))

    @property
    def sound(self) -> bool:
        """Return whether any row of the list is sound, whether or not it changes anything."""
        return self.changes is not None and len(self.read.rows) > self.changes.refused_rows

    @property
    def changes_anything(self) -> bool:
        """Return whether there is a price to write."""
        return self.changes is not None and bool(self.changes.new or self.changes.changed)

    @property
    def refused_rows(self) -> int:
        """Return how many rows are refused."""
        return self.read.refused_rows + (self.changes.refused_rows if self.changes else 0)


def import_prices(
    database: str | None, wanted: Wanted, advance: Advance = lambda done, of: None
) -> PriceImport:
    """Compare a price list with what holds and, if asked, write the difference.

    Raises:
        ProblemsFound: F003, F007 or F008 for a file that cannot be written beside; A212 for an
            unknown supplier, A213 for one that is to be added and is there with other lead days,
            A214 for a list that has ended, A215 if what is missing is to be ended though rows are
            refused; as the reading of the list and of its column map.
    """
    from catalogue.price_lists.reading import read_price_list

    for out in (wanted.out.unknown, wanted.out.refused):
        if out is not None:
            refuse_if_taken(out, ".csv", replace=wanted.out.replace)
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            _check_supplier(work, wanted)
            kept, currency = kept_columns(work, wanted.supplier), currency_of(work)
        columns = choose_columns(wanted.layout, wanted.file, kept, currency)
        reading = partial(
            read_price_list, wanted.file, columns.columns, wanted.file.as_posix())
        early = reading() if _is_large(wanted.file) else None
        with db.session(engine, write=wanted.write) as work:
            _check_supplier(work, wanted)  # once more, now that no other desk can change it
            with ThreadPoolExecutor(1) as beside:
                stored = beside.submit(stored_prices, work, wanted.supplier)
                read = early or reading()
            advance(READ, 100)
            done = _compared(
                work, wanted, PriceImport(wanted.supplier, read, columns), stored.result(), advance)
            with all_written(_files(done, wanted.out)):
                if wanted.write and done.sound:
                    _write(work, wanted, done, advance)
                    work.commit()
                    done = replace(done, written=True)
    finally:
        engine.dispose()
    return done


def _is_large(file: Path) -> bool:
    try:
        return file.stat().st_size > MOST_BYTES_BESIDE
    except OSError:  # the reading says what is the matter with it
        return False


def _compared(
    work: Connection, wanted: Wanted, done: PriceImport, stored: Stored, advance: Advance
) -> PriceImport:
    """Return the import with what it changes, unless the file was read in already."""
    read, shown = done.read, wanted.file.as_posix()
    day = wanted.from_date or read.from_date or wanted.today
    if read.to_date is not None and read.to_date < day:
        raise ProblemsFound([Problem(
            "A214", Place(shown), f"the list says that it ended on {read.to_date}, before {day}",
            "ask the supplier for the newest one, or say --from with a day on which it held")])
    found = read_in_already(work, wanted.supplier, digest_of(wanted.file), day)
    if found is not None:
        done = replace(done, before=Before(
            found.imported_at, found.imported_by, found.from_date, found.unknown))
        if not wanted.again:
            return done
    known = known_prices(stored, read.currency, day)
    changes = compare(read, known, day, shown, _says(done.columns))
    done = replace(done, changes=changes,
                   unpriced=tuple(unpriced_classes(work, wanted.supplier, changes, shown)))
    advance(COMPARED, 100)
    if wanted.expire_missing and done.refused_rows:
        raise ProblemsFound([Problem(
            "A215", Place(shown), f"{done.refused_rows} rows are refused, and their prices would "
            "be ended as if the list no longer held them",
            "have the rows mended first, or leave out --expire-missing"), *done.refused])
    return done


def _says(chosen: Chosen) -> frozenset[str]:
    """Return which fields the list has, of those that otherwise stay as they hold."""
    columns = chosen.columns.columns
    return frozenset(UNSAID & columns.keys()) if columns else UNSAID


def _check_supplier(work: Connection, wanted: Wanted) -> None:
    sellers = {row.name: row.lead_days for row in work.execute(select(SUPPLIER))}
    days = sellers.get(wanted.supplier)
    if days is None and wanted.new_supplier is None:
        raise unknown_supplier(
            wanted.supplier, sellers,
            "add it as a new one with the days that its delivery takes: --new-supplier 3")
    if None not in (days, wanted.new_supplier) and days != wanted.new_supplier:
        raise ProblemsFound([Problem(
            "A213", Place("--new-supplier"), f"'{wanted.supplier}' is known already, with "
            f"{days} lead days, not {wanted.new_supplier}",
            "leave out --new-supplier; lead days change by estimator catalogue import")])


def _write(work: Connection, wanted: Wanted, done: PriceImport, advance: Advance) -> None:
    """Write all that an import changes; the caller commits."""
    changes = done.changes
    assert changes is not None
    supplier, day = wanted.supplier, changes.day
    entered = Entered(day, f"price list {wanted.file.name}")
    known = work.scalar(select(SUPPLIER.c.name).where(SUPPLIER.c.name == supplier))
    if known is None:
        put(work, SUPPLIER, {"name": supplier}, {"lead_days": wanted.new_supplier, "note": ""})
    keep_columns(work, supplier, done.columns.columns.to_toml(), entered)
    counts = {"new": len(changes.new), "changed": len(changes.changed),
              "unchanged": changes.unchanged + changes.past, "unknown": len(changes.unknown),
              "refused": done.refused_rows}
    listed = record_list(work, supplier, changes.day, counts,
                         (wanted.file.name, digest_of(wanted.file)), entered)
    if wanted.expire_missing:
        end_prices(work, [(price.offer_id, price.from_day) for price in changes.missing], day,
                   replace(entered, source=f"no longer in price list {wanted.file.name}"))
    record_prices(work, supplier, changes, listed, entered,
                  lambda now, of: advance(COMPARED + now * (100 - COMPARED) // of, 100))


def _files(done: PriceImport, out: Out) -> dict[Path, bytes]:
    """Return the files that are asked for beside an import."""
    files = {}
    if out.unknown is not None and done.changes is not None:
        files[out.unknown] = unknown_csv(done.changes.unknown)
    if out.refused is not None:
        files[out.refused] = refused_csv(done.refused)
    return files


def unknown_csv(unknown: Iterable[Unknown]) -> bytes:
    """Return the rows whose item is not known, to be filled in for `link_items`."""
    from catalogue.csv_sheets import csv_text, guarded

    seen: dict[str, Sequence[str]] = {}
    for row, why in unknown:
        per = from_milli(row.pack_milli if row.per_milli is None else row.per_milli)
        seen.setdefault(row.supplier_code, [
            guarded(row.supplier_code), "", guarded(row.name), row.unit,
            f"{from_milli(row.pack_milli):f}", f"{Decimal(row.price_minor).scaleb(-2):f}",
            f"{per:f}", str(row.row), guarded(why)])
    return csv_text(UNKNOWN_COLUMNS, [seen[code] for code in sorted(seen)]).encode()


def refused_csv(refused: Iterable[Problem]) -> bytes:
    """Return what is wrong with refused rows, a line for each mistake."""
    from catalogue.csv_sheets import csv_text, guarded

    return csv_text(REFUSED_COLUMNS, (
        [guarded(text) for text in (str(each.where), each.code, each.says, each.mend)]
        for each in refused)).encode()
