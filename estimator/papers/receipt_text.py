"""What came of an order: the moves it makes, price variance, what is still to come."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from catalogue.stock.ledger import Move
from estimator.buying.receiving import Delivery, Placed, variance
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.order_text import placed_data, variance_words
from estimator.papers.terminal import INDENT, clean, table, wrapped


@dataclass(frozen=True)
class Received:
    """A delivery with its moves, and how the order stands after it; or would, if not written."""

    placed: Placed
    delivery: Delivery
    moves: tuple[Move, ...]
    written: bool

    @property
    def variance_minor(self) -> Fraction:
        """Return the price variance of this delivery, exact."""
        lines = {line.line: line for line in self.placed.order.lines}
        return sum((variance(lines[came.line], came) for came in self.delivery.came), Fraction(0))


def receipt_text(received: Received) -> str:
    """Return what came for people."""
    placed, order = received.placed, received.placed.order
    units = {line.item: line.unit for line in order.lines}
    lines = [f"Order {order.number} to {order.supplier}: came on "
             f"{words.day(received.delivery.on)}"]
    lines += table([
        (words.count(move.quantity, units[move.item]), move.item, move.lot or "",
         move.to_place, words.money(move.value_minor or 0, order.currency), move.why)
        for move in received.moves
    ], "rlllrl", ("units", "item", "lot", "to", "value", ""))
    lines.append(variance_words(received.variance_minor, order.currency))
    if any(came.damaged for came in received.delivery.came):
        lines += wrapped("Damaged goods lie in quarantine at what was paid: photograph them, tell "
                         f"{order.supplier} today, and order anew what they were to replace.", "")
    rest = [(words.count(placed.open(line), line.unit), line.item, line.name,
             words.day(order.comes_on(line))) for line in order.lines if placed.open(line)]
    lines += ["still to come:", *table(rest, "rlll")] if rest else ["nothing more is to come"]
    lines.append(f"the order is {placed.state}" if received.written else
                 f"{INDENT}nothing is written yet")
    return clean("\n".join(lines)) + "\n"


def receipt_data(received: Received) -> dict[str, Any]:
    """Return what came as plain data; the variance is exact, as text."""
    return {
        "written": received.written, "price_variance": str(received.variance_minor),
        "moves": [
            {"item": move.item, "quantity": plain(move.quantity), "lot": move.lot,
             "to": move.to_place, "job": move.job, "value": move.value_minor, "why": move.why}
            for move in received.moves],
        "order": placed_data(received.placed),
    }
