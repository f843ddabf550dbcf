"""What the firm's stock would be worth if what was received first were issued first (FIFO).

Worked out from the moves, to stand beside the moving average that the books are kept in. What
comes back from a job comes back at the share of what it left with; what is found at a count is
worth what the books say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal

from catalogue.stock.ledger import Move
from catalogue.stock.valuation import Held, Layer, Receipt, issued, received


def first_in_first_out(
    moves: Iterable[Move], owns: Callable[[str], bool]
) -> dict[str, Held]:
    """Return the layers that are held of each item, oldest first.

    Args:
        moves: all moves of the books in their order, with their values.
        owns: whether a place is the firm's own.

    Raises:
        NotHeld: if more is issued than was there, which sound books never say.
    """
    held: dict[str, Held] = {}
    with_jobs: dict[tuple[str, str], Layer] = {}
    for move in moves:
        here, there = owns(move.from_place), owns(move.to_place)
        now = held.get(move.item, Held())
        key = move.job, move.item
        if move.kind == "cut" or (here == there and move.value_minor is None):
            continue
        if here:
            cost, held[move.item] = issued(now, move.quantity, "fifo")
            _add(with_jobs, key, move.quantity, cost)
        elif not there:  # brought to a site
            _add(with_jobs, key, move.quantity, move.value_minor or 0)
        else:
            value = move.value_minor or 0
            if move.kind == "return" and key in with_jobs:
                value, left = issued(Held((with_jobs[key],)), move.quantity, "moving average")
                with_jobs[key] = left.layers[0] if left.layers else Layer(Decimal(0), 0)
            held[move.item] = received(now, Receipt(move.quantity, value), "fifo")
    return {item: layers for item, layers in sorted(held.items()) if layers.quantity}


def _add(
    with_jobs: dict[tuple[str, str], Layer], key: tuple[str, str], quantity: Decimal, value: int
) -> None:
    before = with_jobs.get(key, Layer(Decimal(0), 0))
    with_jobs[key] = Layer(before.quantity + quantity, before.value_minor + value)
