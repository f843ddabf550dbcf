"""Reads the tables into one frozen price book, in a handful of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, Table, select

from catalogue.items import BoxPart, Carriage, Item, Offer, holding_on
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.tables import (
    BOX_PART,
    CARRIAGE,
    FIRM_META,
    ITEM,
    ITEM_ROLE,
    OFFER,
    SUPPLIER,
)

DEFAULT_CURRENCY = "GBP"


def load_price_book(work: Connection, on: date, known_at: datetime | None = None) -> PriceBook:
    """Return every item, box content, offer and carriage charge that holds on a day.

    Args:
        work: the unit of work.
        on: the day.
        known_at: leave out prices that were entered later, and take those that were put right
            later as they stood; None = all that is known now.
    """
    return PriceBook.of(
        on, load_items(work), load_offers(work, on, known_at=known_at), currency_of(work),
        load_carriage(work, on, known_at))


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
    from catalogue.specs import FAMILIES  # where a command reads no item, it is not loaded

    return Item(
        code=row.code, name=row.name, family=row.family, roles=tuple(roles), unit=row.unit,
        spec=FAMILIES[row.family].model_validate_json(row.spec), head=row.head, held=row.held,
        bin=row.bin, mass_kg=row.mass_kg, length_mm=row.length_mm, width_mm=row.width_mm,
        height_mm=row.height_mm, waste=row.waste, vat_class=row.vat_class,
        serialised=row.serialised, sold_apart=row.sold_apart, contents=tuple(contents),
        note=row.note,
    )


def load_offers(
    work: Connection, on: date | None = None, code: str | None = None,
    known_at: datetime | None = None,
) -> list[Offer]:
    """Return offers, oldest first: those that hold on a day, of one item, or all in use."""
    o = OFFER.c
    asked = (
        select(
            o.item_code, o.supplier, o.pack, o.price_minor, o.currency, o.from_date, o.to_date,
            o.lead_days, o.supplier_code, o.per, o.least, o.cut_charge_minor, o.carriage_class,
            SUPPLIER.c.lead_days.label("usual_days"),
        )
        .join(SUPPLIER, SUPPLIER.c.name == o.supplier)
        .where(_in_use(OFFER, known_at))
        .order_by(o.item_code, o.from_date, o.supplier, o.pack, o.least)
    )
    if on is not None:
        asked = asked.where(o.from_date <= on)
    if code is not None:
        asked = asked.where(o.item_code == code)
    found = [
        Offer(
            item=item, supplier=supplier, pack=pack, price=Money(minor, currency), from_date=start,
            to_date=end, lead_days=usual if days is None else days, supplier_code=their_code,
            per=per, least=least, cut_charge=None if cut is None else Money(cut, currency),
            carriage_class=carriage_class,
        )
        for item, supplier, pack, minor, currency, start, end, days, their_code, per, least, cut,
        carriage_class, usual in work.execute(asked).all()
    ]
    return found if on is None else holding_on(found, on)


def load_carriage(
    work: Connection, on: date | None = None, known_at: datetime | None = None
) -> list[Carriage]:
    """Return what suppliers charge for bringing an order: on a day, or all in use."""
    c = CARRIAGE.c
    rows = work.execute(
        select(c.supplier, c.carriage_class, c.charge_minor, c.currency, c.from_date, c.to_date,
               c.free_from_minor, c.least_order_minor)
        .where(_in_use(CARRIAGE, known_at))
        .order_by(c.supplier, c.carriage_class, c.from_date))
    found = [
        Carriage(
            supplier, carriage_class, Money(minor, currency), start, end,
            None if free is None else Money(free, currency),
            None if least is None else Money(least, currency))
        for supplier, carriage_class, minor, currency, start, end, free, least in rows
    ]
    return found if on is None else holding_on(found, on)


def _in_use(table: Table, known_at: datetime | None) -> ColumnElement[bool]:
    """Return the condition that a row is not withdrawn, or was not yet at a moment."""
    if known_at is None:
        return table.c.withdrawn_at.is_(None)
    later = table.c.withdrawn_at.is_(None) | (table.c.withdrawn_at > known_at)
    return later & (table.c.entered_at <= known_at)
