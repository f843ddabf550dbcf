"""Whom the rows of a listing name: a row that names nobody's code or supplier is refused.

Codes of the problems: L111 a code of another family, L112 an unknown supplier, L113 an unknown
item, L114 cells of a row that contradict each other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from catalogue.listing import BoxEntry, CarriageEntry, ItemEntry, Listing, OfferEntry
from catalogue.problems import Problem, suggestion


def check_listing(
    listing: Listing, suppliers: Iterable[str] = (), families: Mapping[str, str] | None = None
) -> None:
    """Refuse the rows that name a supplier or an item that is nowhere, and dates out of order.

    Args:
        listing: what was read; changed in place.
        suppliers: names that the database knows.
        families: family by code of the items that the database knows.
    """
    known = dict(families or {})
    sellers = {*suppliers, *listing.suppliers}

    def item(entry: ItemEntry) -> Iterator[Problem]:
        yield from _wrong_family(entry, known)
        if entry.offer is not None:
            yield from _unknown_seller(entry.offer, sellers)

    _sift(listing, listing.items, item)
    codes = {*known, *listing.items}

    def partners(entry: ItemEntry) -> Iterator[Problem]:
        for code in getattr(entry.item.spec, "storage_allowed", ()):
            yield from _unknown(code, entry, codes, listing, "storage_allowed: ")

    _sift(listing, listing.items, partners)
    codes = {*known, *listing.items}

    def box(entry: BoxEntry) -> Iterator[Problem]:
        yield from _unknown(entry.box, entry, codes, listing, "box: ")
        yield from _unknown(entry.item, entry, codes, listing, "item: ")
        yield from _dates(entry)
        if entry.box == entry.item:
            yield Problem("L114", entry.place, f"item: {entry.box} cannot lie in its own box")

    def offer(entry: OfferEntry) -> Iterator[Problem]:
        yield from _unknown(entry.item, entry, codes, listing, "item: ")
        yield from _unknown_seller(entry, sellers)
        yield from _dates(entry)

    def charge(entry: CarriageEntry) -> Iterator[Problem]:
        yield from _unknown_seller(entry, sellers)
        yield from _dates(entry)

    _sift(listing, listing.boxes, box)
    _sift(listing, listing.offers, offer)
    _sift(listing, listing.carriage, charge)


def _sift(
    listing: Listing, entries: dict[Any, Any], check: Callable[[Any], Iterator[Problem]]
) -> None:
    """Take the entries with a problem out of the listing and count each as refused."""
    for key, entry in list(entries.items()):
        problems = list(check(entry))
        if problems:
            del entries[key]
            listing.refuse(problems)
            if isinstance(entry, ItemEntry):
                listing.refused_codes.add(entry.item.code)


def _wrong_family(entry: ItemEntry, known: Mapping[str, str]) -> Iterator[Problem]:
    there = known.get(entry.item.code, entry.item.family)
    if there != entry.item.family:
        yield Problem("L111", entry.place, f"code: {entry.item.code} is already an item of the "
                      f"family '{there}'", "give this item another code")


def _unknown_seller(
    entry: OfferEntry | CarriageEntry, sellers: set[str]
) -> Iterator[Problem]:
    if entry.supplier not in sellers:
        yield Problem("L112", entry.place, f"supplier: '{entry.supplier}' is not known",
                      suggestion(entry.supplier, sellers) or "add the supplier first")


def _unknown(
    code: str, entry: Any, codes: set[str], listing: Listing, column: str
) -> Iterator[Problem]:
    if code in codes:
        return
    if code in listing.refused_codes:
        yield Problem("L113", entry.place, f"{column}the row of item {code} is refused itself",
                      "mend that row first")
    else:
        yield Problem("L113", entry.place, f"{column}there is no item {code}",
                      suggestion(code, codes) or "check the code")


def _dates(entry: Any) -> Iterator[Problem]:
    if entry.to_date is not None and entry.to_date < entry.from_date:
        yield Problem("L114", entry.place, f"to: {entry.to_date} is before from, "
                      f"{entry.from_date}", "change one of the two dates")
