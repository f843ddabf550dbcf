"""The ledger of stock: what each move does to what lies where and to what it is worth.

The firm's own places are store, van, supplier's counter and quarantine. What goes from them to a
site, or out altogether, leaves the stock at its share of the moving average and is the job's cost;
what comes back from a site comes back at the share of what it left with. What is bought for a job
and received at its site never was in the stock: it is the job's cost at what was paid. A move
between own places carries no value. So value in = value out + value held, to the penny.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.money import round_half_up
from catalogue.stock.valuation import Held, Layer, Receipt, issued, received

PlaceKind = Literal["store", "van", "site", "counter", "quarantine"]
MoveKind = Literal[
    "receive", "pick", "load", "return", "send back", "count", "cut", "scrap", "move"]
OWN_KINDS = frozenset({"store", "van", "counter", "quarantine"})
OUTSIDE = ""
Spot = tuple[str, str, str]  # item, place, lot


@dataclass(frozen=True, slots=True)
class Move:
    """So much of an item goes from one place to another.

    Attributes:
        from_place, to_place: "" is outside: a supplier, or used up, lost, found.
        lot: which length, batch or serial number; "" is not told apart.
        job: for which job.
        document: order, sheet or count that it stands on.
        value_minor: what is paid for a receipt; worked out for the rest that crosses the border.
    """

    kind: MoveKind
    item: str
    quantity: Decimal
    from_place: str = OUTSIDE
    to_place: str = OUTSIDE
    lot: str = ""
    job: str = ""
    document: str = ""
    value_minor: int | None = None
    why: str = ""


class Refused(ValueError):  # noqa: N818  (it says what is the matter)
    """A move that the ledger does not take; nothing has changed."""


class Short(Refused):
    """Less lies there than is to be moved."""

    def __init__(self, move: Move, there: Decimal) -> None:
        lot = f" of {move.lot}" if move.lot else ""
        super().__init__(f"{there} {move.item}{lot} lie in '{move.from_place}', "
                         f"{move.quantity} are wanted")
        self.move = move
        self.there = there


@dataclass
class Stock:
    """What lies where, what it is worth, and what each job holds; built up move by move.

    Attributes:
        kinds: place -> its kind.
        levels: (item, place, lot) -> quantity, above zero.
        worth: item -> quantity and value in the firm's own places.
        with_jobs: (job, item) -> quantity and value that left for the job, or was received at its
            site, and has not come back.
        ends: lot -> length in mm of each end of a stick; see `catalogue.stock.ends`.
    """

    kinds: Mapping[str, PlaceKind]
    levels: dict[Spot, Decimal] = field(default_factory=dict)
    worth: dict[str, Layer] = field(default_factory=dict)
    with_jobs: dict[tuple[str, str], Layer] = field(default_factory=dict)
    ends: dict[str, int] = field(default_factory=dict)

    def owns(self, place: str) -> bool:
        """Return whether a place is the firm's own; outside and sites are not."""
        return place != OUTSIDE and self.kinds[place] in OWN_KINDS

    def on_hand(self, item: str) -> Decimal:
        """Return how much of an item lies in the firm's own places but quarantine; no ends."""
        return sum((n for (each, place, lot), n in self.levels.items()
                    if each == item and lot not in self.ends and self.owns(place)
                    and self.kinds[place] != "quarantine"),
                   Decimal(0))

    def post(self, move: Move) -> Move:
        """Carry out a move and return it with its value.

        Raises:
            Short: if less lies there.
            Refused: for a move that is none, to an unknown place, of more than a job holds, or a
                receipt without a value.
        """
        self._check(move)
        here, there = self.owns(move.from_place), self.owns(move.to_place)
        done = move
        if move.kind != "cut" and here != there:
            done = replace(move, value_minor=self._out(move) if here else self._in(move))
        elif self._for_a_job(move):
            self._now_with_job(move, self._value_in(move))
        self._put(move.from_place, move, -move.quantity)
        self._put(move.to_place, move, move.quantity)
        return done

    def _check(self, move: Move) -> None:
        if move.quantity <= 0:
            raise Refused(f"{move.quantity} {move.item} is no quantity to move")
        if move.from_place == move.to_place:
            raise Refused(f"{move.item} goes from '{move.from_place}' to the same place")
        for place in (move.from_place, move.to_place):
            if place != OUTSIDE and place not in self.kinds:
                raise Refused(f"there is no place '{place}'")
        if move.from_place != OUTSIDE:
            lying = self.levels.get((move.item, move.from_place, move.lot), Decimal(0))
            if lying < move.quantity:
                raise Short(move, lying)
            if move.lot in self.ends and lying != move.quantity:
                raise Refused(f"'{move.lot}' is one piece: {lying} {move.item} lie in "
                              f"'{move.from_place}', and it goes whole or is sawn")

    def _out(self, move: Move) -> int:
        layer = self.worth.get(move.item, Layer(Decimal(0), 0))
        cost, held = issued(Held((layer,)), move.quantity, "moving average")
        self._now_worth(move.item, held)
        if move.job:
            self._now_with_job(move, cost)
        return cost

    def _for_a_job(self, move: Move) -> bool:
        """Return whether a supplier brings it to a job's site."""
        return bool(move.kind == "receive" and move.from_place == OUTSIDE and move.job
                    and self.kinds.get(move.to_place) == "site")

    def _now_with_job(self, move: Move, value_minor: int) -> None:
        key = move.job, move.item
        before = self.with_jobs.get(key, Layer(Decimal(0), 0))
        self.with_jobs[key] = Layer(
            before.quantity + move.quantity, before.value_minor + value_minor)

    def _in(self, move: Move) -> int:
        value = self._value_in(move)
        before = self.worth.get(move.item)
        held = Held(() if before is None else (before,))
        self._now_worth(
            move.item, received(held, Receipt(move.quantity, value), "moving average"))
        return value

    def _value_in(self, move: Move) -> int:
        if move.kind == "return":
            return self._back_from_job(move)
        if move.kind == "count" and move.value_minor is None:
            held = self.worth.get(move.item)  # found: worth what the rest is worth
            return round_half_up(Fraction(held.value_minor) * Fraction(move.quantity) / Fraction(
                held.quantity)) if held else 0
        if move.value_minor is None or move.value_minor < 0:
            raise Refused(f"{move.quantity} {move.item} come in without a value")
        return move.value_minor

    def _back_from_job(self, move: Move) -> int:
        held = self.with_jobs.get((move.job, move.item), Layer(Decimal(0), 0))
        if move.quantity > held.quantity:
            raise Refused(f"job '{move.job}' was given {held.quantity} {move.item} that have not "
                          f"come back, {move.quantity} are said to")
        value, left = issued(Held((held,)), move.quantity, "moving average")
        if left.layers:
            self.with_jobs[move.job, move.item] = left.layers[0]
        else:
            del self.with_jobs[move.job, move.item]
        return value

    def _now_worth(self, item: str, held: Held) -> None:
        if held.layers:
            self.worth[item] = held.layers[0]
        else:
            self.worth.pop(item, None)

    def _put(self, place: str, move: Move, change: Decimal) -> None:
        if place == OUTSIDE:
            return
        spot = move.item, place, move.lot
        now = self.levels.get(spot, Decimal(0)) + change
        if now:
            self.levels[spot] = now
        else:
            self.levels.pop(spot, None)


def stock_after(kinds: Mapping[str, PlaceKind], moves: Iterable[Move]) -> Stock:
    """Return what all moves come to, in their order.

    Raises:
        Refused: for the first move that the ledger does not take.
    """
    stock = Stock(kinds)
    for move in moves:
        stock.post(move)
    return stock


def cut(stock: Stock, spot: Spot, lengths: Mapping[str, Decimal], document: str) -> list[Move]:
    """Cut a length into others and return the moves; what is left over stays under its new name.

    Args:
        stock: changed in place.
        spot: item, place and lot that is cut up.
        lengths: new lot -> its length; they add up to the old one, saw cuts and scrap included.
        document: sheet that asks for it.

    Raises:
        Refused: if the lengths do not add up to what lies there.
    """
    item, place, lot = spot
    whole = stock.levels.get(spot, Decimal(0))
    if sum(lengths.values(), Decimal(0)) != whole or not lengths:
        raise Refused(f"{lot} is {whole} long, and its cuts add up to "
                      f"{sum(lengths.values(), Decimal(0))}")
    moves = [Move("cut", item, whole, place, OUTSIDE, lot, document=document)]
    moves += [Move("cut", item, length, OUTSIDE, place, new, document=document)
              for new, length in sorted(lengths.items())]
    return [stock.post(move) for move in moves]
