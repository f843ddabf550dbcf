"""The whole catalogue out to a file, and a file in: the same columns both ways, nothing lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, select

from catalogue.columns import OTHER_SHEETS, columns_of
from catalogue.csv_sheets import csv_text, guarded, read_csv_sheet
from catalogue.items import Carriage, Item, holding_on
from catalogue.listing import Listing, OfferEntry, read_listing
from catalogue.loading import currency_of, load_carriage, load_items
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.recording import stored_boxes, stored_offers
from catalogue.references import check_listing
from catalogue.rows import RawSheet
from catalogue.specs import FAMILIES
from catalogue.tables import ITEM, SUPPLIER
from catalogue.workbook_sheets import OutSheet, read_workbook, text_rows, workbook_bytes

WORKBOOK = ".xlsx"


def read_file(path: Path, family: str | None = None) -> list[RawSheet]:
    """Return the sheets of a workbook, a CSV file, or a folder of CSV files.

    Args:
        path: what to read.
        family: family of a CSV file, or of the only sheet of a workbook, not named after it.

    Raises:
        ProblemsFound: L120 if a file cannot be read, L110 if a CSV file's family is not known.
    """
    if path.is_dir():
        return [read_csv_sheet(file, file.stem) for file in sorted(path.glob("*.csv"))]
    if path.suffix.lower() == WORKBOOK:
        sheets = read_workbook(path)
        return [replace(sheets[0], name=family)] if family and len(sheets) == 1 else sheets
    if path.suffix.lower() != ".csv":
        raise ProblemsFound([Problem(
            "L120", Place(path.as_posix()), "only .xlsx and .csv files can be read",
            "save it as one of the two in the spreadsheet program")])
    name = family or path.stem
    if name not in FAMILIES and name not in OTHER_SHEETS:
        raise ProblemsFound([Problem(
            "L110", Place(path.as_posix()), f"'{name}' is no family of items",
            suggestion(name, FAMILIES) or "name the family with --family")])
    return [read_csv_sheet(path, name)]


def read_into(work: Connection, sheets: Sequence[RawSheet]) -> Listing:
    """Return what the sheets hold, checked against the suppliers and items of the database."""
    listing = read_listing(sheets, currency_of(work))
    families = {row.code: row.family for row in work.execute(
        select(ITEM.c.code, ITEM.c.family))}
    check_listing(listing, work.scalars(select(SUPPLIER.c.name)), families)
    return listing


def sheets_of(work: Connection, on: date, family: str | None = None) -> list[OutSheet]:
    """Return the catalogue as sheets: suppliers, a sheet per family, boxes, offers, carriage.

    The row of an item shows its cheapest offer in force on the day; the sheet of offers has all.
    """
    items = [item for item in load_items(work) if family in (None, item.family)]
    codes = {item.code for item in items}
    offers = [offer for offer in stored_offers(work) if offer.item in codes]
    shown = _cheapest(offers, on)
    rows = work.execute(select(SUPPLIER).order_by(SUPPLIER.c.name))
    sheets = [OutSheet("suppliers", OTHER_SHEETS["suppliers"],
                       [dict(row._mapping) for row in rows])]
    for name in FAMILIES:
        listed = [_item_row(i, shown.get(i.code)) for i in items if i.family == name]
        if listed:
            sheets.append(OutSheet(name, columns_of(name), listed))
    boxes = [
        {"box": box.box, "item": box.item, "quantity": box.quantity, "from": box.from_date,
         "to": box.to_date}
        for box in stored_boxes(work) if box.box in codes
    ]
    return [*sheets, OutSheet("boxes", OTHER_SHEETS["boxes"], boxes),
            OutSheet("offers", OTHER_SHEETS["offers"], [_offer_row(offer) for offer in offers]),
            OutSheet("carriage", OTHER_SHEETS["carriage"],
                     [_carriage_row(charge) for charge in load_carriage(work)])]


def _cheapest(offers: Sequence[OfferEntry], on: date) -> dict[str, OfferEntry]:
    found: dict[str, OfferEntry] = {}
    for offer in holding_on(offers, on):
        best = found.get(offer.item)
        if offer.plain and (best is None or _rank(offer) < _rank(best)):
            found[offer.item] = offer
    return found


def _rank(offer: OfferEntry) -> tuple[Any, ...]:
    return (Fraction(offer.price.minor) / Fraction(offer.pack), offer.supplier, offer.pack)


def _item_row(item: Item, offer: OfferEntry | None) -> Mapping[str, Any]:
    row: dict[str, Any] = {}
    for column in columns_of(item.family):
        row[column.name] = (
            getattr(item, column.name, None) if column.of_item
            else getattr(item.spec, column.name))
    if offer is not None:
        row |= {"supplier": offer.supplier, "pack": offer.pack, "price": major(offer.price),
                "lead_days": offer.lead_days}
    return row


def _offer_row(offer: OfferEntry) -> Mapping[str, Any]:
    return {
        "item": offer.item, "supplier": offer.supplier, "supplier_code": offer.supplier_code,
        "pack": offer.pack, "price": major(offer.price), "currency": offer.price.currency,
        "per": offer.per, "least": offer.least or None,
        "cut_charge": None if offer.cut_charge is None else major(offer.cut_charge),
        "carriage_class": offer.carriage_class, "lead_days": offer.lead_days,
        "from": offer.from_date, "to": offer.to_date,
    }


def _carriage_row(charge: Carriage) -> Mapping[str, Any]:
    return {
        "supplier": charge.supplier, "carriage_class": charge.carriage_class,
        "charge": major(charge.charge), "currency": charge.charge.currency,
        "free_from": None if charge.free_from is None else major(charge.free_from),
        "least_order": None if charge.least_order is None else major(charge.least_order),
        "from": charge.from_date, "to": charge.to_date,
    }


def major(price: Money) -> Decimal:
    """Return an amount in major units, exact, with two places ("12.50")."""
    return Decimal(price.minor).scaleb(-2)


def files_of(sheets: Sequence[OutSheet], out: Path) -> dict[Path, bytes]:
    """Return the files of an export: one workbook, or a folder with a CSV file per sheet."""
    if out.suffix.lower() == WORKBOOK:
        return {out: workbook_bytes(sheets)}
    return dict(_csv_files(sheets, out))


def _csv_files(sheets: Sequence[OutSheet], folder: Path) -> Iterator[tuple[Path, bytes]]:
    for sheet in sheets:
        header = [column.name for column in sheet.columns]
        text = csv_text(header, text_rows(sheet, guarded))
        yield folder / f"{sheet.name}.csv", text.encode()
