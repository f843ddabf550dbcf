"""Compares a listing with the tables and writes the difference, all in the caller's transaction.

An item is written anew where it differs. A price is never overwritten: an offer that differs is
added and holds from its own day on; one that started on the same day is marked withdrawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from catalogue.entering import Entered, put
from catalogue.items import Carriage, Item, holding_on
from catalogue.listing import BoxEntry, CarriageEntry, Listing, OfferEntry, SupplierEntry
from catalogue.loading import load_carriage, load_items
from catalogue.money import Money
from catalogue.tables import (
    BOX_PART,
    CARRIAGE,
    FIRM_META,
    ITEM,
    ITEM_ROLE,
    OFFER,
    SUPPLIER,
)


@dataclass
class Plan:
    """What a listing would change: names of rows that are new, changed and unchanged."""

    new: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    unchanged: list[str] = field(default_factory=list)
    suppliers: list[SupplierEntry] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    boxes: list[BoxEntry] = field(default_factory=list)
    offers: list[OfferEntry] = field(default_factory=list)
    carriage: list[CarriageEntry] = field(default_factory=list)

    def count(self, name: str, entry: Any, there: Any, into: list[Any]) -> None:
        """Put an entry under new, changed or unchanged, and keep it if it is to be written."""
        if there == entry:
            self.unchanged.append(name)
            return
        (self.new if there is None else self.changed).append(name)
        into.append(entry)


def compare(work: Connection, listing: Listing, entered: Entered) -> Plan:
    """Return what the listing would change in the tables; nothing is written."""
    plan = Plan()
    sellers = {row.name: SupplierEntry(row.name, row.lead_days, row.note)
               for row in work.execute(select(SUPPLIER))}
    for supplier in listing.suppliers.values():
        plan.count(f"supplier {supplier.name}", supplier, sellers.get(supplier.name),
                   plan.suppliers)
    there = {item.code: replace(item, contents=()) for item in load_items(work)}
    in_use = _offers_in_use(work)
    listed = [replace(o, from_date=o.from_date or entered.prices_from)
              for o in listing.offers.values()]
    for code, entry in listing.items.items():
        own = entry.offer
        if own is None or _is_told(own, listed):
            plan.count(code, entry.item, there.get(code), plan.items)
            continue
        dated = replace(own, from_date=entered.prices_from)
        if _is_told(own, holding_on(in_use.get(code, ()), entered.prices_from)):
            plan.count(code, entry.item, there.get(code), plan.items)
            continue
        (plan.changed if code in there else plan.new).append(code)
        plan.offers.append(dated)
        if there.get(code) != entry.item:
            plan.items.append(entry.item)
    for offer in listed:
        same = [o for o in in_use.get(offer.item, ()) if o.key == offer.key]
        plan.count(f"offer of {offer.supplier} for {offer.item} from {offer.from_date}", offer,
                   same[0] if same else None, plan.offers)
    boxes = {box.key: box for box in stored_boxes(work)}
    for box in listing.boxes.values():
        plan.count(f"{box.item} in the box of {box.box} from {box.from_date}", box,
                   boxes.get(box.key), plan.boxes)
    charges = {entry.key: entry for entry in map(CarriageEntry, load_carriage(work))}
    for charge in listing.carriage.values():
        plan.count(charge.name, charge, charges.get(charge.key), plan.carriage)
    return plan


def stored_boxes(work: Connection) -> list[BoxEntry]:
    """Return all box contents in order."""
    box = BOX_PART.c
    rows = work.execute(
        select(box.box_code, box.item_code, box.quantity, box.from_date, box.to_date)
        .order_by(box.box_code, box.item_code, box.from_date))
    return [BoxEntry(*row) for row in rows]


def stored_offers(work: Connection) -> list[OfferEntry]:
    """Return all offers that are not withdrawn, in order."""
    o = OFFER.c
    rows = work.execute(
        select(o.item_code, o.supplier, o.pack, o.price_minor, o.currency, o.lead_days,
               o.supplier_code, o.from_date, o.to_date, o.per, o.least, o.cut_charge_minor,
               o.carriage_class)
        .where(o.withdrawn_at.is_(None))
        .order_by(o.item_code, o.from_date, o.supplier, o.pack, o.least))
    return [
        OfferEntry(item, supplier, pack, Money(minor, currency), days, their_code, start, end,
                   per, least, None if cut is None else Money(cut, currency), carriage_class)
        for item, supplier, pack, minor, currency, days, their_code, start, end, per, least, cut,
        carriage_class in rows
    ]


def _offers_in_use(work: Connection) -> dict[str, list[OfferEntry]]:
    found: dict[str, list[OfferEntry]] = {}
    for offer in stored_offers(work):
        found.setdefault(offer.item, []).append(offer)
    return found


def _is_told(own: OfferEntry, others: Iterable[OfferEntry]) -> bool:
    """Return whether the offer of an item's row stands among others that carry dates."""
    return any(
        (own.item, own.supplier, own.pack, own.price, own.lead_days)
        == (o.item, o.supplier, o.pack, o.price, o.lead_days)
        for o in others
    )


def record(work: Connection, listing: Listing, entered: Entered) -> Plan:
    """Write what the listing changes; the caller commits.

    Args:
        work: the unit of work.
        listing: checked by `catalogue.references.check_listing`.
        entered: from when prices hold, and who enters them.
    """
    plan = compare(work, listing, entered)
    for supplier in plan.suppliers:
        put(work, SUPPLIER, {"name": supplier.name},
             {"lead_days": supplier.lead_days, "note": supplier.note})
    _write_items(work, plan.items)
    for offer in plan.offers:
        _make_room(work, offer, entered)
    if plan.offers:
        work.execute(insert(OFFER), [_offer_row(offer, entered) for offer in plan.offers])
    for box in plan.boxes:
        put(work, BOX_PART,
             {"box_code": box.box, "item_code": box.item, "from_date": box.from_date},
             {"to_date": box.to_date, "quantity": box.quantity})
    for charge in plan.carriage:
        _put_right(work, charge.charge, entered)
    if plan.carriage:
        work.execute(insert(CARRIAGE), [_carriage_row(each.charge, entered)
                                        for each in plan.carriage])
    return plan


def remember(work: Connection, name: str, value: str) -> None:
    """Keep a remark about the database."""
    put(work, FIRM_META, {"name": name}, {"value": value})


def item_values(item: Item) -> dict[str, Any]:
    """Return an item as the columns of its row."""
    return {
        "code": item.code, "name": item.name, "family": item.family, "unit": item.unit,
        "spec": item.spec.model_dump_json(exclude_none=True), "head": item.head,
        "held": item.held, "bin": item.bin, "mass_kg": item.mass_kg, "length_mm": item.length_mm,
        "width_mm": item.width_mm, "height_mm": item.height_mm, "waste": item.waste,
        "vat_class": item.vat_class, "serialised": item.serialised,
        "sold_apart": item.sold_apart, "note": item.note,
    }


def _write_items(work: Connection, items: list[Item]) -> None:
    if not items:
        return
    codes = [item.code for item in items]
    there = set(work.execute(select(ITEM.c.code)).scalars()) & set(codes)
    fresh = [item_values(item) for item in items if item.code not in there]
    if fresh:
        work.execute(insert(ITEM), fresh)
    for item in items:
        if item.code in there:
            values = item_values(item)
            work.execute(update(ITEM).where(ITEM.c.code == values.pop("code")).values(values))
            work.execute(delete(ITEM_ROLE).where(ITEM_ROLE.c.item_code == item.code))
    work.execute(insert(ITEM_ROLE), [
        {"item_code": item.code, "role": role, "position": position}
        for item in items for position, role in enumerate(item.roles)
    ])


def _make_room(work: Connection, offer: OfferEntry, entered: Entered) -> None:
    """Mark the offer that a new one puts right, of the same first day, as withdrawn."""
    work.execute(update(OFFER).where(
        OFFER.c.item_code == offer.item, OFFER.c.supplier == offer.supplier,
        OFFER.c.pack == offer.pack, OFFER.c.least == offer.least,
        OFFER.c.currency == offer.price.currency, OFFER.c.withdrawn_at.is_(None),
        OFFER.c.from_date == (offer.from_date or entered.prices_from),
    ).values(withdrawn_at=entered.at))


def _offer_row(offer: OfferEntry, entered: Entered) -> dict[str, Any]:
    return {
        "item_code": offer.item, "supplier": offer.supplier,
        "supplier_code": offer.supplier_code, "pack": offer.pack, "per": offer.per,
        "least": offer.least, "price_minor": offer.price.minor,
        "currency": offer.price.currency,
        "cut_charge_minor": None if offer.cut_charge is None else offer.cut_charge.minor,
        "carriage_class": offer.carriage_class, "lead_days": offer.lead_days,
        "from_date": offer.from_date, "to_date": offer.to_date,
        "entered_at": entered.at, "entered_by": entered.by, "entered_from": entered.source,
        "withdrawn_at": None,
    }


def _put_right(work: Connection, own: Carriage, entered: Entered) -> None:
    """Mark the charge that a new one puts right, of the same first day, as withdrawn."""
    work.execute(update(CARRIAGE).where(
        CARRIAGE.c.supplier == own.supplier, CARRIAGE.c.carriage_class == own.carriage_class,
        CARRIAGE.c.currency == own.charge.currency, CARRIAGE.c.withdrawn_at.is_(None),
        CARRIAGE.c.from_date == own.from_date,
    ).values(withdrawn_at=entered.at))


def _carriage_row(own: Carriage, entered: Entered) -> dict[str, Any]:
    return {
        "supplier": own.supplier, "carriage_class": own.carriage_class,
        "charge_minor": own.charge.minor,
        "free_from_minor": None if own.free_from is None else own.free_from.minor,
        "least_order_minor": None if own.least_order is None else own.least_order.minor,
        "currency": own.charge.currency, "from_date": own.from_date, "to_date": own.to_date,
        "entered_at": entered.at, "entered_by": entered.by, "entered_from": entered.source,
        "withdrawn_at": None,
    }
