"""The starter catalogue as items and offers, read once for the tests about its data."""

from __future__ import annotations

from dataclasses import replace

from catalogue.items import BoxPart, Item, Offer
from catalogue.listing import ItemEntry
from catalogue.starter import FOLDER, read_folder

ABOUT, LISTING = read_folder(FOLDER)
SUPPLIERS = frozenset(LISTING.suppliers)


def with_contents(item: Item) -> Item:
    """Return an item with what lies in its box."""
    return replace(item, contents=tuple(
        BoxPart(box.item, box.quantity, box.from_date, box.to_date)
        for box in LISTING.boxes.values() if box.box == item.code
    ))


def offers_of(entry: ItemEntry) -> list[Offer]:
    """Return the offer in an item's own row, in force from the catalogue's day."""
    offer = entry.offer
    if offer is None:
        return []
    days = LISTING.suppliers[offer.supplier].lead_days if offer.lead_days is None \
        else offer.lead_days
    return [Offer(offer.item, offer.supplier, offer.pack, offer.price, ABOUT.prices_from,
                  lead_days=days)]


ITEMS = tuple(with_contents(entry.item) for entry in LISTING.items.values())
OFFERS = tuple(offer for entry in LISTING.items.values() for offer in offers_of(entry))
