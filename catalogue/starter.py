"""Loads a catalogue of CSV files: the starter catalogue that comes with the program.

One file per family, `suppliers.csv`, `boxes.csv`, and `about.toml` with its version and the day
from which its prices hold.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from sqlalchemy import Connection

from catalogue.csv_sheets import read_csv_sheet
from catalogue.listing import Listing, read_listing
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.recording import Entered, record, remember
from catalogue.references import check_listing
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
