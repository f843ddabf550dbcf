"""Broken catalogue files beside the exact words that each must get.

`tests/errors/catalogue/NAME.csv` is read as a file of the family before the dash; `NAME.txt` holds
what is told. The words were written by hand, as the person who reads them needs them.
"""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path
from shutil import copytree

import pytest
from sqlalchemy import Engine, func, select

from catalogue.columns import columns_of, unit_of
from catalogue.csv_sheets import read_csv_sheet
from catalogue.db import session
from catalogue.listing import Listing, read_listing
from catalogue.problems import ProblemsFound
from catalogue.references import check_listing
from catalogue.specs import FAMILIES
from catalogue.starter import FOLDER, load_starter, read_folder
from catalogue.tables import ITEM, OFFER

CASES = sorted((Path(__file__).parent.parent / "errors" / "catalogue").glob("*.csv"))
KNOWN = {"01505-WF": "storage", "09010": "fixing"}


def told(file: Path) -> str:
    try:
        sheet = read_csv_sheet(file, file.stem.split("-")[0], file.name)
    except ProblemsFound as found:
        return f"{found}\n"
    listing = read_listing([sheet], "GBP")
    check_listing(listing, ["Counter North", "Roof Merchant"], KNOWN)
    plural = "s" if listing.refused != 1 else ""
    lines = [*map(str, listing.problems), f"{listing.refused} row{plural} refused"]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_a_broken_file_is_told_in_these_words(file: Path) -> None:
    assert told(file) == file.with_suffix(".txt").read_text(encoding="utf-8")


def test_there_are_cases() -> None:
    assert len(CASES) >= 8


def test_a_good_row_among_bad_ones_is_read(tmp_path: Path) -> None:
    listing = read_listing([read_csv_sheet(CASES[0].with_name("cable-cells.csv"), "cable")], "GBP")
    assert list(listing.items) == ["00025"]


def broken_starter(folder: Path, name: str, old: str, new: str) -> Path:
    copied = folder / "starter"
    copytree(FOLDER, copied)
    file = copied / name
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")
    return copied


def test_the_starter_catalogue_itself_has_no_mistake() -> None:
    about, listing = read_folder(FOLDER)
    assert listing.problems == []
    assert {entry.item.family for entry in listing.items.values()} == set(FAMILIES)
    assert about.prices_from == date(2026, 9, 1)


def test_a_mistake_in_the_starter_names_file_line_and_column(
    tmp_path: Path, engine: Engine
) -> None:
    folder = broken_starter(tmp_path, "panel.csv", "00420-BK,", "00420-BK,A name with, a comma,")
    with session(engine) as work, pytest.raises(ProblemsFound, match=r"starter/panel.csv:\d+: "):
        load_starter(work, folder)
    with session(engine) as work:
        assert work.scalar(select(func.count(ITEM.c.code))) == 0


def test_a_refused_item_is_named_where_a_box_holds_it(tmp_path: Path) -> None:
    folder = broken_starter(tmp_path, "storage.csv", "01505-WF,", "01505-WF,")
    file = folder / "storage.csv"
    file.write_text(file.read_text("utf-8").replace(",each,,job,,60.0,", ",each,,job,,heavy,"),
                    "utf-8")
    _, listing = read_folder(folder)
    says = [problem.says for problem in listing.problems]
    assert "mass_kg: 'heavy' is not a number" in says
    assert "box: the row of item 01505-WF is refused itself" in says


def test_about_is_checked_too(tmp_path: Path) -> None:
    folder = broken_starter(tmp_path, "about.toml", "prices_from", "price_from")
    with pytest.raises(ProblemsFound) as found:
        read_folder(folder)
    assert {(p.where.line is not None, p.says) for p in found.value.problems} == {
        (True, "price_from: there is no such key"), (False, "prices_from: this value is missing")}


def test_a_price_of_the_starter_is_the_one_in_the_file(engine: Engine) -> None:
    with (FOLDER / "panel.csv").open(encoding="utf-8", newline="") as file:
        written = next(row for row in csv.DictReader(file) if row["code"] == "00420-BK")
    pounds, pence = written["price"].split(".")
    with session(engine) as work:
        load_starter(work)
        row = work.execute(select(OFFER).where(
            OFFER.c.item_code == "00420-BK", OFFER.c.supplier == written["supplier"])).one()
        assert row.price_minor == int(pounds) * 100 + int(pence)
        assert (row.pack, row.from_date) == (int(written["pack"]), date(2026, 9, 1))


def test_a_shared_column_fills_item_and_specification() -> None:
    _, listing = read_folder(FOLDER)
    panel = listing.items["00420-BK"].item
    # panel.csv: width 1134, height 1722
    assert (panel.width_mm, panel.height_mm) == (1134, 1722)
    assert (panel.spec.width_mm, panel.spec.height_mm) == (1134, 1722)  # type: ignore[attr-defined]


@pytest.mark.parametrize("family", FAMILIES)
def test_every_field_of_a_specification_has_one_column(family: str) -> None:
    names = [column.name for column in columns_of(family)]
    assert len(names) == len(set(names))
    assert set(FAMILIES[family].model_fields) == {
        column.name for column in columns_of(family) if column.of_spec}


@pytest.mark.parametrize(
    ("name", "unit"),
    [("voc_v", "V"), ("voc_pct_per_k", "%/K"), ("size_mm2", "mm²"), ("mv_per_a_m", "mV/(A m)"),
     ("usable_kwh", "kWh"), ("stick_m", "m"), ("charge_min_c", "°C"), ("colour", ""),
     ("max_per_stack", ""), ("wall_holes", "")],
)
def test_a_name_says_its_unit(name: str, unit: str) -> None:
    assert unit_of(name) == unit


def test_an_empty_listing_changes_nothing() -> None:
    assert read_listing([], "GBP") == Listing()
