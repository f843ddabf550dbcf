"""The day, data sheets, prices, substitutes and the discount, where they differ."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import fields, replace
from datetime import date
from typing import Any

from catalogue.items import Carriage, Item, Offer
from estimator.buying.swaps import Swap
from estimator.difference.change import (
    DATA_SHEET,
    DAY,
    DISCOUNT,
    PRICE,
    SUBSTITUTE,
    Change,
    in_words,
)
from estimator.difference.inputs import Inputs
from estimator.price import Discount

_IDLE = frozenset({"name", "bin", "note", "serialised"})  # of an item: these decide nothing
_FIELDS = tuple(each.name for each in fields(Item) if each.name not in _IDLE)

Offers = Mapping[str, tuple[Offer, ...]]


def day_change(was: date, now: date) -> Iterator[Change]:
    """Yield the day, if it moved: practice values, taxes and contents of boxes are dated."""
    if was != now:
        yield Change(DAY, "day of rules and practice values", str(was), str(now),
                     lambda inputs: replace(inputs, on=now))


def item_changes(was: Mapping[str, Item], now: Mapping[str, Item]) -> Iterator[Change]:
    """Yield each item whose data sheet, box, waste, unit, head, size or mass differs."""
    for code in sorted({*was, *now}):
        before, after = was.get(code), now.get(code)
        if before is after:
            continue
        old, new = _sheet(before), _sheet(after)
        if old != new:
            differing = [name for name in dict.fromkeys((*new, *old))
                         if old.get(name) != new.get(name)]
            named = after or before
            yield Change(DATA_SHEET, f"{code} {named.name if named else ''}",
                         _named(old, differing) if before else "",
                         _named(new, differing) if after else "taken away",
                         _item_put(code, after))


def _sheet(item: Item | None) -> dict[str, Any]:
    if item is None:
        return {}
    held = {name: getattr(item, name) for name in _FIELDS if name != "spec"}
    return {**held, **item.spec.model_dump()}


def _named(sheet: Mapping[str, Any], names: Sequence[str]) -> str:
    return in_words("; ".join(
        f"{name} {'other contents' if name == 'contents' else in_words(sheet.get(name))}"
        for name in names))


def _item_put(code: str, item: Item | None) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = {key: each for key, each in inputs.items.items() if key != code or item}
        return replace(inputs, items=held if item is None else {**held, code: item})

    return put


def price_changes(
    was: Inputs, now: Inputs, on_a_bill: Collection[str]
) -> Iterator[Change]:
    """Yield each price that differs: item by item of those on a bill, all others at once.

    Another item's price moves money only where it changes which item is chosen.
    """
    moved = [code for code in sorted({*was.offers, *now.offers})
             if _asked(was.offers.get(code, ())) != _asked(now.offers.get(code, ()))]
    for code in (code for code in moved if code in on_a_bill):
        item = now.items.get(code) or was.items.get(code)
        yield Change(PRICE, f"{code} {item.name if item else ''}".rstrip(),
                     _offer_words(was.offers.get(code, ()), now.offers.get(code, ())),
                     _offer_words(now.offers.get(code, ()), was.offers.get(code, ())),
                     _offers_put([code], now.offers))
    others = [code for code in moved if code not in on_a_bill]
    if others:
        yield Change(PRICE, f"{len(others)} items on neither bill", "", "other prices",
                     _offers_put(others, now.offers))
    if _charges(was.carriage) != _charges(now.carriage):
        yield Change(PRICE, "carriage of suppliers", "", "other charges",
                     lambda inputs: replace(inputs, carriage=now.carriage))


def _asked(offers: Sequence[Offer]) -> list[tuple[Any, ...]]:
    return [_key(each) for each in offers]


def _key(each: Offer) -> tuple[Any, ...]:
    return (each.supplier, each.pack, each.price, each.per, each.least, each.cut_charge,
            each.carriage_class)


def _charges(carriage: Mapping[str, tuple[Carriage, ...]]) -> list[tuple[Any, ...]]:
    return [(each.supplier, each.carriage_class, each.charge, each.free_from, each.least_order)
            for charges in carriage.values() for each in charges]


def _offer_words(offers: Sequence[Offer], others: Sequence[Offer]) -> str:
    """Return the cheapest of the offers that the other revision does not have, in words."""
    if not offers:
        return "no offer"
    elsewhere = _asked(others)
    own = [each for each in offers if _key(each) not in elsewhere]
    if not own:
        return ""
    first = own[0]
    units = first.pack if first.per is None else first.per
    per = "" if units == 1 else f" for {in_words(units)}"
    least = f" from {in_words(first.least)} on" if first.least > first.pack else ""
    more = f" and {len(own) - 1} more" if len(own) > 1 else ""
    return f"{first.price}{per}{least}, {first.supplier}{more}"


def _offers_put(codes: Sequence[str], offers: Offers) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = dict(inputs.offers)
        for code in codes:
            held.pop(code, None)
            if code in offers:
                held[code] = offers[code]
        return replace(inputs, offers=held)

    return put


def swap_changes(was: Sequence[Swap], now: Sequence[Swap]) -> Iterator[Change]:
    """Yield each substitute that only one of the two has."""
    old = {(each.original, each.substitute): each for each in was}
    new = {(each.original, each.substitute): each for each in now}
    for original, substitute in sorted(set(old) - set(new)):
        yield Change(SUBSTITUTE, original, substitute, original,
                     _swap_put((original, substitute), None))
    for key in sorted(set(new) - set(old)):
        yield Change(SUBSTITUTE, key[0], key[0], key[1], _swap_put(key, new[key]))


def _swap_put(key: tuple[str, str], swap: Swap | None) -> Any:
    def put(inputs: Inputs) -> Inputs:
        held = tuple(each for each in inputs.swaps if (each.original, each.substitute) != key)
        return replace(inputs, swaps=held if swap is None else (*held, swap))

    return put


def discount_change(was: Discount | None, now: Discount | None) -> Iterator[Change]:
    """Yield the discount, if another amount or none is given."""
    if (was.amount if was else None) != (now.amount if now else None):
        yield Change(DISCOUNT, "money off", _off(was), _off(now),
                     lambda inputs: replace(inputs, discount=now))


def _off(discount: Discount | None) -> str:
    return "none" if discount is None else f"{discount.amount} ({in_words(discount.reason)})"
