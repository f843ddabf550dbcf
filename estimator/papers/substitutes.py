"""What may stand in for an item, for the terminal and for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Protocol

from catalogue.items import Item, Offer
from catalogue.money import Money, round_half_up
from catalogue.substitutes import Candidate, FieldVerdict, shown
from estimator.papers.terminal import INDENT, clean, wrapped

_NAMED = 10  # most of those that may not stand in that the terminal shows; --json has all


class Listed(Protocol):
    """An item and what might stand in for it."""

    @property
    def item(self) -> Item: ...  # noqa: D102
    @property
    def role(self) -> str: ...  # noqa: D102
    @property
    def offer(self) -> Offer | None: ...  # noqa: D102
    @property
    def candidates(self) -> Sequence[Candidate]: ...  # noqa: D102


def substitutes_text(found: Listed) -> str:
    """Return the list: those that may stand in, then the nearest misses with what they lack."""
    return clean("\n".join(_lines(found)))


def _lines(found: Listed) -> Iterator[str]:
    item = found.item
    yield f"{item.code}  {item.name}, as {found.role or ' and '.join(item.roles)}"
    yield INDENT + _price(found.offer, item)
    good = [each for each in found.candidates if each.passes]
    yield "MAY STAND IN" if good else "NOTHING MAY STAND IN"
    for each in good:
        yield f"{INDENT}{each.item.code}  {each.item.name}, {_price(each.offer, each.item)}"
        better = [f"{one.field} {_value(one.candidate)}" for one in each.verdicts
                  if one.verdict == "better"]
        yield from wrapped("better: " + ", ".join(better), INDENT * 3) if better else ()
    bad = [each for each in found.candidates if not each.passes]
    if bad:
        yield "MAY NOT, nearest first"
    for each in bad[:_NAMED]:
        yield f"{INDENT}{each.item.code}  {each.item.name}"
        for one in each.failing:
            yield from wrapped(f"{one.field}: {one.says} ({one.why})", INDENT * 3)
    if len(bad) > _NAMED:
        yield f"{INDENT}and {len(bad) - _NAMED} more"


def _price(offer: Offer | None, item: Item) -> str:
    if offer is None:
        return "no price"
    unit = Money(round_half_up(offer.unit_price_minor), offer.price.currency)
    return f"{unit} a {item.unit}" if item.unit != "each" else f"{unit} each"


def _value(value: Any) -> str:
    return shown(value) if value not in (None, "", ()) else "blank"


def substitutes_data(found: Listed) -> dict[str, Any]:
    """Return the same for machines; values of fields are text, as shown."""
    return {
        "item": found.item.code, "role": found.role,
        "candidates": [
            {"item": each.item.code, "name": each.item.name, "may_stand_in": each.passes,
             "offer": _offer(each.offer), "fields": [_field(one) for one in each.verdicts]}
            for each in found.candidates
        ],
    }


def _offer(offer: Offer | None) -> dict[str, Any] | None:
    return None if offer is None else {
        "supplier": offer.supplier, "pack": offer.pack, "minor": offer.price.minor,
        "currency": offer.price.currency}


def _field(one: FieldVerdict) -> dict[str, str]:
    return {
        "field": one.field, "verdict": one.verdict, "must": one.must, "says": one.says,
        "original": _value(one.original), "candidate": _value(one.candidate),
        "why": one.why, "source": one.source,
    }
