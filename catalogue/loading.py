"""Reads the tables into one frozen price book, in a handful of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import Row, select
from sqlalchemy.orm import Session

from catalogue.items import BoxPart, Item, Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.specs import FAMILIES
from catalogue.tables.firm import FirmMeta
from catalogue.tables.items import BoxPartRow, ItemRoleRow, ItemRow
from catalogue.tables.offers import OfferRow, SupplierRow

_ITEM = ItemRow.__table__
_ROLE = ItemRoleRow.__table__
_BOX = BoxPartRow.__table__
_OFFER = OfferRow.__table__
_SUPPLIER = SupplierRow.__table__
_META = FirmMeta.__table__
DEFAULT_CURRENCY = "GBP"


def load_price_book(work: Session, on: date) -> PriceBook:
    """Return every item, box content and offer in force on a day."""
    return PriceBook.of(on, load_items(work), load_offers(work, on), currency_of(work))


def currency_of(work: Session) -> str:
    """Return the currency of the catalogue."""
    found = work.execute(select(_META.c.value).where(_META.c.name == "currency")).scalar()
    return found or DEFAULT_CURRENCY


def load_items(work: Session, codes: Iterable[str] | None = None) -> list[Item]:
    """Return the items by code, with roles and box contents; only those named, if any are."""
    roles: dict[str, list[str]] = defaultdict(list)
    contents: dict[str, list[BoxPart]] = defaultdict(list)
    asked = select(_ROLE.c.item_code, _ROLE.c.role).order_by(_ROLE.c.item_code, _ROLE.c.position)
    boxes = select(
        _BOX.c.box_code, _BOX.c.item_code, _BOX.c.quantity, _BOX.c.from_date, _BOX.c.to_date,
    ).order_by(_BOX.c.box_code, _BOX.c.from_date, _BOX.c.item_code)
    items = select(_ITEM).order_by(_ITEM.c.code)
    if codes is not None:
        wanted = list(codes)
        asked = asked.where(_ROLE.c.item_code.in_(wanted))
        boxes = boxes.where(_BOX.c.box_code.in_(wanted))
        items = items.where(_ITEM.c.code.in_(wanted))
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


def load_offers(work: Session, on: date | None = None, code: str | None = None) -> list[Offer]:
    """Return offers, oldest first: those in force on a day, of one item, or all not withdrawn."""
    asked = (
        select(
            _OFFER.c.item_code, _OFFER.c.supplier, _OFFER.c.pack, _OFFER.c.price_minor,
            _OFFER.c.currency, _OFFER.c.from_date, _OFFER.c.to_date, _OFFER.c.lead_days,
            _OFFER.c.supplier_code, _SUPPLIER.c.lead_days.label("usual_days"),
        )
        .join(_SUPPLIER, _SUPPLIER.c.name == _OFFER.c.supplier)
        .where(_OFFER.c.withdrawn_at.is_(None))
        .order_by(_OFFER.c.item_code, _OFFER.c.from_date, _OFFER.c.supplier, _OFFER.c.pack)
    )
    if on is not None:
        asked = asked.where(
            _OFFER.c.from_date <= on, _OFFER.c.to_date.is_(None) | (_OFFER.c.to_date >= on))
    if code is not None:
        asked = asked.where(_OFFER.c.item_code == code)
    return [
        Offer(
            item=item, supplier=supplier, pack=pack, price=Money(minor, currency), from_date=start,
            to_date=end, lead_days=usual if days is None else days, supplier_code=their_code,
        )
        for item, supplier, pack, minor, currency, start, end, days, their_code, usual
        in work.execute(asked).all()
    ]
