"""Reads the tables into one frozen price book, in a handful of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import Connection, Row, select

from catalogue.items import BoxPart, Item, Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.specs import FAMILIES
from catalogue.tables import BOX_PART, FIRM_META, ITEM, ITEM_ROLE, OFFER, SUPPLIER

DEFAULT_CURRENCY = "GBP"


def load_price_book(work: Connection, on: date) -> PriceBook:
    """Return every item, box content and offer in force on a day."""
    return PriceBook.of(on, load_items(work), load_offers(work, on), currency_of(work))


def currency_of(work: Connection) -> str:
    """Return the currency of the catalogue."""
    found = work.execute(select(FIRM_META.c.value).where(FIRM_META.c.name == "currency")).scalar()
    return found or DEFAULT_CURRENCY


def load_items(work: Connection, codes: Iterable[str] | None = None) -> list[Item]:
    """Return the items by code, with roles and box contents; only those named, if any are."""
    roles: dict[str, list[str]] = defaultdict(list)
    contents: dict[str, list[BoxPart]] = defaultdict(list)
    packed, served = BOX_PART.c, ITEM_ROLE.c
    asked = select(served.item_code, served.role).order_by(served.item_code, served.position)
    boxes = select(
        packed.box_code, packed.item_code, packed.quantity, packed.from_date, packed.to_date,
    ).order_by(packed.box_code, packed.from_date, packed.item_code)
    items = select(ITEM).order_by(ITEM.c.code)
    if codes is not None:
        wanted = list(codes)
        asked = asked.where(served.item_code.in_(wanted))
        boxes = boxes.where(packed.box_code.in_(wanted))
        items = items.where(ITEM.c.code.in_(wanted))
    for code, role in work.execute(asked).all():
        roles[code].append(role)
    for box, *part in work.execute(boxes).all():
        contents[box].append(BoxPart(*part))
    return [_item(row, roles[row.code], contents[row.code]) for row in work.execute(items).all()]


def _item(row: Row[Any], roles: list[str], contents: list[BoxPart]) -> Item:
    return Item(
        code=row.code, name=row.name, family=row.family, roles=tuple(roles), unit=row.unit,
        spec=FAMILIES[row.family].model_validate_json(row.spec), head=row.head, held=row.held,
        bin=row.bin, mass_kg=row.mass_kg, length_mm=row.length_mm, width_mm=row.width_mm,
        height_mm=row.height_mm, waste=row.waste, vat_class=row.vat_class,
        serialised=row.serialised, sold_apart=row.sold_apart, contents=tuple(contents),
        note=row.note,
    )


def load_offers(work: Connection, on: date | None = None, code: str | None = None) -> list[Offer]:
    """Return offers, oldest first: those in force on a day, of one item, or all not withdrawn."""
    asked = (
        select(
            OFFER.c.item_code, OFFER.c.supplier, OFFER.c.pack, OFFER.c.price_minor,
            OFFER.c.currency, OFFER.c.from_date, OFFER.c.to_date, OFFER.c.lead_days,
            OFFER.c.supplier_code, SUPPLIER.c.lead_days.label("usual_days"),
        )
        .join(SUPPLIER, SUPPLIER.c.name == OFFER.c.supplier)
        .where(OFFER.c.withdrawn_at.is_(None))
        .order_by(OFFER.c.item_code, OFFER.c.from_date, OFFER.c.supplier, OFFER.c.pack)
    )
    if on is not None:
        asked = asked.where(
            OFFER.c.from_date <= on, OFFER.c.to_date.is_(None) | (OFFER.c.to_date >= on))
    if code is not None:
        asked = asked.where(OFFER.c.item_code == code)
    return [
        Offer(
            item=item, supplier=supplier, pack=pack, price=Money(minor, currency), from_date=start,
            to_date=end, lead_days=usual if days is None else days, supplier_code=their_code,
        )
        for item, supplier, pack, minor, currency, start, end, days, their_code, usual
        in work.execute(asked).all()
    ]
