"""What prices were, are and will be: of one item, side by side, and which lists they came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from sqlalchemy import select

from catalogue import db
from catalogue.items import Offer
from catalogue.loading import load_offers
from catalogue.tables import ITEM, PRICE_LIST, SUPPLIER
from estimator.workflow.database import at_work
from estimator.workflow.offers import OfferShown, no_such_item, offers_of, share_of_change


@dataclass(frozen=True)
class History:
    """All offers of an item, newest first."""

    code: str
    name: str
    unit: str
    on: date
    offers: tuple[OfferShown, ...]


@dataclass(frozen=True)
class ListRead:
    """A price list that was read in, and what came of its rows."""

    number: int
    supplier: str
    from_date: date
    file: str
    new: int
    changed: int
    unchanged: int
    unknown: int
    refused: int
    imported_at: datetime
    imported_by: str


@dataclass(frozen=True)
class Compared:
    """One supplier's price of an item, on a day and perhaps on another.

    Attributes:
        offer, then: the offers that hold on the two days; None where none does.
        rank: 1 for the cheapest price of a unit on the first day; None where none holds then.
        change: of the price of a unit between the days, as a share.
    """

    code: str
    name: str
    unit: str
    offer: Offer | None
    then: Offer | None = None
    rank: int | None = None
    change: Fraction | None = None


def history(database: str | None, code: str, on: date) -> History:
    """Return every offer that was ever entered for an item.

    Raises:
        ProblemsFound: L132 if there is no such item.
    """
    with at_work(database) as work:
        item = work.execute(select(ITEM.c.name, ITEM.c.unit).where(ITEM.c.code == code)).first()
        if item is None:
            raise no_such_item(work, code, db.shown(database))
        return History(code, item.name, item.unit, on, tuple(offers_of(work, code, on)))


def lists_read(database: str | None, supplier: str | None = None) -> list[ListRead]:
    """Return the price lists that were read in, of one supplier or of all, newest first."""
    p = PRICE_LIST.c
    asked = select(
        p.id, p.supplier, p.from_date, p.file_name, p.new, p.changed, p.unchanged, p.unknown,
        p.refused, p.imported_at, p.imported_by,
    ).order_by(p.from_date.desc(), p.id.desc())
    if supplier is not None:
        asked = asked.where(p.supplier == supplier)
    with at_work(database) as work:
        return [ListRead(*row) for row in work.execute(asked)]


def compare_prices(
    database: str | None, names: Sequence[str], on: date, to: date | None = None
) -> list[Compared]:
    """Return the offers of all suppliers side by side, by item and price of a unit.

    Args:
        database: where the prices are.
        names: codes of items, or a supplier: then the items that he offers on either day.
        on: the day.
        to: another day, to compare with.

    Raises:
        ProblemsFound: L132 for a name that is neither an item nor a supplier.
    """
    with at_work(database) as work:
        sellers = set(work.scalars(select(SUPPLIER.c.name)))
        items = {code: (name, unit) for code, name, unit in work.execute(
            select(ITEM.c.code, ITEM.c.name, ITEM.c.unit))}
        for name in names:
            if name not in sellers and name not in items:
                raise no_such_item(work, name, db.shown(database))
        first = load_offers(work, on)
        second = [] if to is None else load_offers(work, to)
    wanted = {name for name in names if name in items and name not in sellers}
    wanted |= {offer.item for offer in (*first, *second) if offer.supplier in names}
    before, after = _by_series(first, wanted), _by_series(second, wanted)
    return [
        line for code in sorted(wanted) for line in _side_by_side(
            (code, *items[code]), before.get(code, {}), after.get(code, {}))]


def _by_series(
    offers: Sequence[Offer], wanted: Set[str]
) -> dict[str, dict[tuple[object, ...], Offer]]:
    found: dict[str, dict[tuple[object, ...], Offer]] = {}
    for offer in offers:
        if offer.item in wanted:
            found.setdefault(offer.item, {})[offer.series] = offer
    return found


def _side_by_side(
    item: tuple[str, str, str], first: Mapping[tuple[object, ...], Offer],
    second: Mapping[tuple[object, ...], Offer],
) -> Iterator[Compared]:
    """Yield the offers of one item, those that hold on the first day before the others."""
    rank: dict[str, int] = {}
    for offer in sorted(first.values(), key=_cheapest_first):
        currency = offer.price.currency
        rank[currency] = rank.get(currency, 0) + 1
        then = second.get(offer.series)
        change = None if then is None else share_of_change(
            offer.unit_price_minor, then.unit_price_minor)
        yield Compared(*item, offer, then, rank[currency], change)
    for then in sorted(second.values(), key=_cheapest_first):
        if then.series not in first:
            yield Compared(*item, None, then)


def _cheapest_first(offer: Offer) -> tuple[object, ...]:
    return (offer.price.currency, offer.unit_price_minor, offer.supplier, offer.pack, offer.least)
