"""Loads a catalogue of CSV files: the starter catalogue that comes with the program.

One file per family, `suppliers.csv`, `boxes.csv`, and `about.toml` with its version and the day
from which its prices hold.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from sqlalchemy import Connection, select

from catalogue.csv_sheets import read_csv_sheet
from catalogue.entering import Entered
from catalogue.listing import Listing, read_listing
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.recording import record, remember
from catalogue.references import check_listing
from catalogue.tables import ITEM, ITEM_ROLE, SUPPLIER
from catalogue.toml_source import read_toml
from catalogue.validation import problems_from

FOLDER = Path(__file__).resolve().parent / "starter"
ABOUT = "about.toml"


class About(BaseModel):
    """What `about.toml` says of a catalogue folder."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    version: str = Field(min_length=1)
    prices_from: date
    currency: str = Field(default="GBP", pattern=r"^[A-Z]{3}$")
    note: str = ""


def load_starter(work: Connection, folder: Path = FOLDER) -> Listing:
    """Write a catalogue folder into an empty catalogue; the caller commits.

    Raises:
        ProblemsFound: every mistake of every file, with file, line and column.
    """
    about, listing = read_folder(folder)
    if listing.problems:
        raise ProblemsFound(listing.problems)
    record(work, listing, Entered(about.prices_from, f"starter catalogue {about.version}"))
    remember(work, "starter catalogue", about.version)
    remember(work, "currency", about.currency)
    return listing


def missing_from(work: Connection, folder: Path = FOLDER) -> tuple[About, Listing]:
    """Return what the starter catalogue has for roles that no item of this catalogue serves.

    With a newer program come rules that ask for items an older catalogue lacks. Suppliers and
    items that are there are left alone; an item whose code is taken is a problem (L133).
    """
    about, whole = read_folder(folder)
    roles = select(ITEM.c.family, ITEM_ROLE.c.role).join_from(ITEM_ROLE, ITEM)
    served = {(family, role) for family, role in work.execute(roles)}
    taken = set(work.scalars(select(ITEM.c.code)))
    listing = Listing()
    for code, entry in whole.items.items():
        if served.issuperset((entry.item.family, role) for role in entry.item.roles):
            continue
        if code in taken:
            listing.refuse([Problem(
                "L133", entry.place, f"code: {code} is another item in this catalogue",
                f"add an item of your own that serves as: {', '.join(entry.item.roles)}")])
        else:
            listing.items[code] = entry
    known = set(work.scalars(select(SUPPLIER.c.name)))
    for entry in listing.items.values():
        if entry.offer is not None and entry.offer.supplier not in known:
            supplier = whole.suppliers[entry.offer.supplier]
            listing.suppliers[supplier.name] = supplier
    there = taken | set(listing.items)
    listing.boxes = {
        key: box for key, box in whole.boxes.items()
        if {box.box, box.item} <= there and {box.box, box.item} & set(listing.items)
    }
    return about, listing


def read_folder(folder: Path) -> tuple[About, Listing]:
    """Return what a catalogue folder holds, with the mistakes of its rows.

    Raises:
        ProblemsFound: if `about.toml` or a file as a whole cannot be read.
    """
    shown = folder.name
    source = read_toml(folder / ABOUT, f"{shown}/{ABOUT}")
    try:
        about = About.model_validate(source.data)
    except ValidationError as error:
        raise ProblemsFound(problems_from(error, source, "L130", About)) from error
    files = sorted(folder.glob("*.csv"))
    if not files:
        raise ProblemsFound([Problem("L120", Place(shown), "there is no CSV file in this folder",
                                     "put one file per family there, such as panel.csv")])
    sheets = [read_csv_sheet(file, file.stem, f"{shown}/{file.name}") for file in files]
    listing = read_listing(sheets, about.currency)
    check_listing(listing)
    return about, listing
