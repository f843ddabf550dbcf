"""Find, show, add and exchange items of the catalogue; each use case is one transaction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.columns import columns_of
from catalogue.entering import Entered
from catalogue.exchange import files_of, read_file, read_into, sheets_of
from catalogue.forms import KnownWords, form_bytes
from catalogue.item_file import item_sheets
from catalogue.items import BoxPart, Item
from catalogue.listing import Listing
from catalogue.loading import load_items, load_price_book
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.recording import Plan, compare, record
from catalogue.rows import RawSheet
from catalogue.specs import FAMILIES
from catalogue.tables import BOX_PART, ITEM, ITEM_ROLE, SUPPLIER
from catalogue.toml_source import read_toml
from catalogue.workbook_sheets import OutSheet
from estimator.workflow.database import at_work
from estimator.workflow.files import write_all
from estimator.workflow.offers import OfferShown, no_such_item, offers_of


@dataclass(frozen=True)
class Found:
    """One item in a list, with its cheapest offer of the day."""

    code: str
    name: str
    family: str
    roles: tuple[str, ...]
    unit: str
    supplier: str = ""
    pack: Decimal | None = None
    price: Money | None = None


@dataclass(frozen=True)
class Shown:
    """All that is known of one item.

    Attributes:
        spec: field, value, unit; value None where the data sheet says nothing.
        in_boxes_of: (code, quantity) of the items in whose boxes it lies on the day.
    """

    item: Item
    on: date
    spec: tuple[tuple[str, object, str], ...]
    contents: tuple[BoxPart, ...]
    in_boxes_of: tuple[tuple[str, int], ...]
    offers: tuple[OfferShown, ...]


@dataclass(frozen=True)
class Import:
    """What a file would change, or has changed.

    Attributes:
        refused: number of rows with a problem.
        written: whether the changes are in the database.
    """

    new: tuple[str, ...]
    changed: tuple[str, ...]
    unchanged: tuple[str, ...]
    refused: int
    problems: tuple[Problem, ...] = field(default=())
    written: bool = False

    @property
    def changes(self) -> bool:
        """Return whether there is anything to write."""
        return bool(self.new or self.changed)


def find_items(
    database: str | None, words: Sequence[str], on: date, family: str | None = None,
    role: str | None = None,
) -> list[Found]:
    """Return the items whose code, name, roles or note hold all the words, by family and code.

    Raises:
        ProblemsFound: L110 for an unknown family, L131 for a role that no item has.
    """
    _check_family(family)
    with at_work(database) as work:
        book = load_price_book(work, on)
    known = {each for of, each in book.roles() if family in (None, of)}
    if role is not None and role not in known:
        raise ProblemsFound([Problem("L131", Place("--role"), f"no item has the role '{role}'",
                                     suggestion(role, known))])
    wanted = [word.casefold() for word in words]
    found = []
    for item in book.items.values():
        text = " ".join((item.code, item.name, item.family, *item.roles, item.note)).casefold()
        if family in (None, item.family) and (role is None or role in item.roles) and all(
            word in text for word in wanted
        ):
            offer = book.offer(item.code)
            priced = (offer.supplier, offer.pack, offer.price) if offer else ()
            found.append(Found(item.code, item.name, item.family, item.roles, item.unit, *priced))
    order = list(FAMILIES)
    return sorted(found, key=lambda each: (order.index(each.family), each.code))


def _check_family(family: str | None) -> None:
    if family is not None and family not in FAMILIES:
        raise ProblemsFound([Problem(
            "L110", Place("--family"), f"'{family}' is no family of items",
            suggestion(family, FAMILIES) or "the families are: " + ", ".join(FAMILIES))])


def show_item(database: str | None, code: str, on: date) -> Shown:
    """Return all that is known of one item.

    Raises:
        ProblemsFound: L132 if there is no such item.
    """
    with at_work(database) as work:
        items = load_items(work, [code])
        if not items:
            raise no_such_item(work, code, db.shown(database))
        item = items[0]
        boxes = work.execute(
            select(BOX_PART.c.box_code, BOX_PART.c.quantity).where(
                BOX_PART.c.item_code == code, BOX_PART.c.from_date <= on,
                BOX_PART.c.to_date.is_(None) | (BOX_PART.c.to_date >= on),
            ).order_by(BOX_PART.c.box_code))
        in_boxes = tuple((box, quantity) for box, quantity in boxes)
        offers = tuple(offers_of(work, code, on))
    spec = tuple((c.name, getattr(item.spec, c.name), c.asked.unit)
                 for c in columns_of(item.family) if c.of_spec)
    return Shown(item, on, spec, item.contents, in_boxes, offers)


def add_item(database: str | None, path: Path, on: date) -> Found:
    """Add the item of a TOML file; its price holds from the day.

    Raises:
        ProblemsFound: every mistake in the file; L133 if the code is taken.
    """
    source = read_toml(path)
    sheets = item_sheets(source)
    with at_work(database, write=True) as work:
        code = source.data.get("code")
        taken = select(ITEM.c.code).where(ITEM.c.code == code)
        if isinstance(code, str) and work.scalar(taken) is not None:
            raise ProblemsFound([Problem(
                "L133", source.place(["code"]), f"code: {code} is in the catalogue already",
                "to change an item, export it, edit the file and import it")])
        listing = read_into(work, sheets)
        if listing.problems:
            raise ProblemsFound(listing.problems)
        record(work, listing, Entered(on, f"file {path.name}"))
        work.commit()
    (entry,) = listing.items.values()
    item, offer = entry.item, entry.offer
    priced = (offer.supplier, offer.pack, offer.price) if offer else ()
    return Found(item.code, item.name, item.family, item.roles, item.unit, *priced)


def export_catalogue(
    database: str | None, out: Path, on: date, family: str | None = None, overwrite: bool = False
) -> tuple[Path, ...]:
    """Write the catalogue to a workbook (.xlsx) or a folder of CSV files; return the files.

    Raises:
        ProblemsFound: L134 if something of that name is there, unless it may be overwritten.
    """
    _check_family(family)
    with at_work(database) as work:
        files = files_of(sheets_of(work, on, family), out)
    others = sorted(set(out.glob("*.csv")) - set(files)) if out.is_dir() else []
    if others:  # an import of the folder would read them as part of this export
        raise ProblemsFound(
            Problem("L134", Place(path.as_posix()), "another CSV file is in this folder",
                    "name a folder that is empty or not there yet") for path in others)
    return _write(files, overwrite)


def _write(files: dict[Path, bytes], overwrite: bool) -> tuple[Path, ...]:
    there = [path for path in files if path.exists()]
    if there and not overwrite:
        raise ProblemsFound(
            Problem("L134", Place(path.as_posix()), "this file is there already",
                    "choose another name, or add --overwrite") for path in there)
    write_all(files)
    return tuple(files)


def write_form(
    database: str | None, families: Sequence[str], out: Path, on: date, overwrite: bool = False
) -> tuple[Path, ...]:
    """Write the workbook to fill in new items of some families.

    Raises:
        ProblemsFound: L110 for an unknown family, L134 if the file is there.
    """
    for family in families:
        _check_family(family)
    with at_work(database) as work:
        filled = {sheet.name: sheet for sheet in sheets_of(work, on)}
        roles: dict[str, list[str]] = {family: [] for family in families}
        for family, role in work.execute(
            select(ITEM.c.family, ITEM_ROLE.c.role).join(ITEM).distinct()
            .where(ITEM.c.family.in_(families)).order_by(ITEM_ROLE.c.role)
        ):
            roles[family].append(role)
        known = KnownWords(list(work.scalars(select(SUPPLIER.c.name))), roles)
    sheets = [OutSheet(family, columns_of(family), filled[family].rows if family in filled else [])
              for family in dict.fromkeys(families)]
    return _write({out: form_bytes(sheets, known)}, overwrite)


def import_file(
    database: str | None, path: Path, prices_from: date, family: str | None = None, *,
    write: bool = False, skip_refused: bool = False,
) -> Import:
    """Compare a file with the catalogue and, if asked, write the difference in one transaction.

    Nothing is written while any row is refused, unless refused rows are to be skipped.

    Raises:
        ProblemsFound: if the file cannot be read at all.
    """
    _check_family(family)
    sheets: list[RawSheet] = read_file(path, family)
    with at_work(database, write=write) as work:
        listing = read_into(work, sheets)
        return taken_in(work, listing, Entered(prices_from, f"import of {path.name}"),
                        write and (skip_refused or not listing.problems))


def taken_in(work: Connection, listing: Listing, entered: Entered, write: bool) -> Import:
    """Return what a listing changes; written and committed if asked."""
    plan: Plan = (record if write else compare)(work, listing, entered)
    if write:
        work.commit()
    return Import(tuple(plan.new), tuple(plan.changed), tuple(plan.unchanged), listing.refused,
                  tuple(listing.problems), write)
