"""A full cost by its parts, so that two costs of one job can be held against each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from catalogue.money import Money
from estimator.cost import WASTE_HEAD

OVERHEAD = "overhead"


@dataclass(frozen=True, slots=True)
class Charged:
    """What one item of a bill costs the job, and its allowance for waste."""

    item: str
    name: str
    head: str
    cost: Money
    waste: Money


@dataclass(frozen=True, slots=True)
class Costed:
    """The cost of a job and what it is made of.

    Attributes:
        direct, full: without and with overhead.
        parts: (item code or "", name) -> money: every item with its waste, then what no item
            accounts for (labour by group, open risks, warranty, overhead). They add up to `full`.
    """

    direct: Money
    full: Money
    parts: Mapping[tuple[str, str], Money]


@dataclass(frozen=True, slots=True)
class Moved:
    """How much a part of the cost has moved; `item` is "" where it is no item of the bill."""

    item: str
    name: str
    change: Money


def costed(
    lines: Iterable[Charged], heads: Iterable[tuple[str, Money]], direct: Money, full: Money
) -> Costed:
    """Return a cost by its parts.

    Args:
        lines: the items charged to the job, options left out.
        heads: the cost heads, which add up to `direct`.
        direct: the cost without overhead.
        full: the cost with it.
    """
    parts: dict[tuple[str, str], Money] = {}
    left = dict(heads)
    for line in lines:
        key = (line.item, line.name)
        parts[key] = parts.get(key, Money(0, full.currency)) + line.cost + line.waste
        for head, amount in ((line.head, line.cost), (WASTE_HEAD, line.waste)):
            left[head] = left.get(head, Money(0, full.currency)) - amount
    for head, amount in left.items():
        if amount.minor:
            parts["", head] = amount
    parts["", OVERHEAD] = full - direct
    return Costed(direct, full, parts)


def moves(then: Costed, now: Costed) -> tuple[Moved, ...]:
    """Return what every part moved by, the most first; an item goes by its newer name."""
    names = {code: name for parts in (then.parts, now.parts) for code, name in parts if code}

    def by_part(costs: Costed) -> dict[tuple[str, str], int]:
        return {(code, names.get(code, name)): money.minor
                for (code, name), money in costs.parts.items()}

    before, after = by_part(then), by_part(now)
    changes = [
        Moved(*key, Money(after.get(key, 0) - before.get(key, 0), now.full.currency))
        for key in sorted({*before, *after})
    ]
    return tuple(sorted(
        (each for each in changes if each.change.minor),
        key=lambda each: (-abs(each.change.minor), each.item, each.name)))
