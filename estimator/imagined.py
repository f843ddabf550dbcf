"""Imagined changes of buying prices: "storage +9 %", "head:cable -3.5 %", "supplier:NAME +2 %".

Codes of the problems: H106 not a change, H107 names nothing that is offered, H108 too large.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal, get_args

from catalogue.items import Item, Offer
from catalogue.money import Money, round_half_up
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound, suggestion

Kind = Literal["family", "head", "item", "supplier"]
KINDS: tuple[Kind, ...] = get_args(Kind)
MOST_PERCENT = 1000

_WRITTEN = re.compile(
    r"(?:(?P<kind>family|head|item|supplier)\s*:)?\s*(?P<name>\S.*?)\s*"
    r"(?P<sign>[+\-−])\s*(?P<percent>[0-9]{1,6}(?:\.[0-9]{1,6})?)\s*%")


@dataclass(frozen=True, slots=True)
class PriceChange:
    """Prices of a family, a cost head, an item or a supplier move by a share of themselves.

    Attributes:
        share: 9/100 for nine per cent dearer.
    """

    kind: Kind
    name: str
    share: Fraction

    def hits(self, offer: Offer, item: Item) -> bool:
        """Return whether the price of this offer moves."""
        return self.name == {
            "family": item.family, "head": item.head, "item": item.code,
            "supplier": offer.supplier,
        }[self.kind]

    def __str__(self) -> str:
        """Return the change in words: "family storage +9 %"."""
        percent = self.share * 100
        as_typed = Decimal(percent.numerator) / percent.denominator
        return f"{self.kind} {self.name} {as_typed:+f} %"


def changes_from(texts: Iterable[str], prices: PriceBook) -> tuple[PriceChange, ...]:
    """Return the changes as they were typed.

    A name without its kind is a family if there is one of that name, else a cost head, else an
    item's code, else a supplier.

    Raises:
        ProblemsFound: with every mistake: H106, H107, H108.
    """
    read = [_read(text.strip(), prices) for text in texts]
    problems = [each for each in read if isinstance(each, Problem)]
    if problems:
        raise ProblemsFound(problems)
    return tuple(each for each in read if isinstance(each, PriceChange))


def _read(text: str, prices: PriceBook) -> PriceChange | Problem:
    where = Place(f"what if {text}")
    written = _WRITTEN.fullmatch(text)
    if written is None:
        return Problem("H106", where, "this is no change of prices",
                       "write for example 'storage +9 %' or 'head:cable -3.5 %'")
    percent = Fraction(written["percent"]) * (1 if written["sign"] == "+" else -1)
    if not -100 < percent <= MOST_PERCENT:
        return Problem(
            "H108", where, f"a change of {written['sign']}{written['percent']} % leaves no price "
            "that anybody would ask", f"give more than -100 % and at most +{MOST_PERCENT} %")
    name, known = written["name"], _known(prices)
    kinds = [kind for kind in KINDS if written["kind"] in (None, kind)]
    for kind in kinds:
        if name in known[kind]:
            return PriceChange(kind, name, percent / 100)
    names = set().union(*(known[kind] for kind in kinds))
    return Problem(
        "H107", where, f"'{name}' is no {' or '.join(kinds)} of what is offered on {prices.on}",
        suggestion(name, names) or "look it up: estimator catalogue find WORDS")


def _known(prices: PriceBook) -> dict[Kind, set[str]]:
    """Return every name of each kind that an offer in force has."""
    items = [prices.items[code] for code in prices.offers]
    return {
        "family": {item.family for item in items}, "head": {item.head for item in items},
        "item": set(prices.offers),
        "supplier": {offer.supplier for each in prices.offers.values() for offer in each},
    }


def imagined(prices: PriceBook, changes: Sequence[PriceChange]) -> PriceBook:
    """Return the price book in which the changes have come true.

    Where several changes name one offer, their factors multiply. Each price is multiplied exactly
    and rounded once, halves away from zero, to a whole minor unit for the quantity it is for. Cut
    charges and carriage stay.
    """
    return prices.with_offers(
        _moved(offer, prices.items[code], changes)
        for code, each in prices.offers.items() for offer in each)


def _moved(offer: Offer, item: Item, changes: Sequence[PriceChange]) -> Offer:
    factor = Fraction(1)
    for change in changes:
        if change.hits(offer, item):
            factor *= 1 + change.share
    price = Money(round_half_up(offer.price.minor * factor), offer.price.currency)
    return replace(offer, price=price)
