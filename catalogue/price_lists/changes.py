"""What a price list would change: values that `comparing` makes and the recording writes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from typing import Any, NamedTuple

from catalogue.price_lists.listed import ListedPrice
from catalogue.problems import Problem

Series = tuple[str, int, int]  # item, pack and least quantity in thousandths
ADDED = -1  # the offer_id of a price that is not stored yet


class Price(NamedTuple):
    """A price of the supplier, stored or to be added, in the plain values in which it is stored.

    Attributes:
        item: the firm's code.
        pack_milli, least_milli: units sold together, and units from which on it holds, in
            thousandths.
        from_day, to_day: first and last day as text 2026-11-02, which sorts by day; None is open.
        price_minor: whole minor units for `per_milli`.
        per_milli: units that the price is for, in thousandths; None is one pack.
        cut_charge_minor: for each length cut to measure; None is no such charge.
        lead_days: None is the supplier's own.
        offer_id: row of a stored price.
    """

    item: str
    pack_milli: int
    least_milli: int
    from_day: str
    price_minor: int
    per_milli: int | None
    cut_charge_minor: int | None
    carriage_class: str
    lead_days: int | None
    supplier_code: str
    to_day: str | None
    currency: str
    offer_id: int = ADDED

    @property
    def series(self) -> Series:
        """Return what tells it apart from the supplier's other prices in the same currency."""
        return self.item, self.pack_milli, self.least_milli

    def holds_on(self, day: str) -> bool:
        """Return whether it has not ended by a day that is not before its first."""
        return self.to_day is None or day <= self.to_day


as_price: Callable[[Iterable[Any]], Price] = partial(tuple.__new__, Price)  # `_make`, compiled


class Move(NamedTuple):
    """How the price of one unit changed; in parts of a million, None from a price of nought."""

    before: Price
    now: Price
    change_ppm: int | None


class Unknown(NamedTuple):
    """A sound row whose item is not known, and why not."""

    row: ListedPrice
    why: str


@dataclass(slots=True)
class Known:
    """What the catalogue holds of one supplier's prices in one currency.

    Attributes:
        units: unit of each item that may be bought; "" for one that is not sold apart.
        links: part number of the supplier -> item.
        torn: part numbers that earlier prices give to several items.
        held: of each series the price that began last on or before the day of the list.
        later: of each series those that begin after it, oldest first.
    """

    units: dict[str, str]
    links: dict[str, str]
    torn: frozenset[str] = frozenset()
    held: dict[Series, Price] = field(default_factory=dict)
    later: dict[Series, list[Price]] = field(default_factory=dict)


@dataclass(slots=True)
class PriceChanges:
    """What a price list would change.

    Attributes:
        day: first day of the list.
        currency: of every price.
        new, changed: prices to be added; a changed one follows a price that holds.
        put_right: rows of the prices that began on the same day and are withdrawn.
        unchanged: how many rows say what holds already.
        past: how many rows had ended, or were followed by another row, before the day.
        unknown: rows whose item is not known.
        refused: what is wrong with the rows that contradict the catalogue or each other.
        refused_rows: how many rows these are.
        missing: prices that hold on the day and stand nowhere in the list.
        to_come: how many listed series have prices that begin after the list's day and that the
            list does not speak of; they stay.
        moves: the changed prices of a unit, the largest change first; only the largest.
        dearer, cheaper: how many prices of a unit rose and fell.
    """

    day: date
    currency: str
    new: list[Price] = field(default_factory=list)
    changed: list[Price] = field(default_factory=list)
    put_right: list[int] = field(default_factory=list)
    unchanged: int = 0
    past: int = 0
    unknown: list[Unknown] = field(default_factory=list)
    refused: list[Problem] = field(default_factory=list)
    refused_rows: int = 0
    missing: list[Price] = field(default_factory=list)
    to_come: int = 0
    moves: list[Move] = field(default_factory=list)
    dearer: int = 0
    cheaper: int = 0
