"""Take in what comes of an order, and cancel what does not.

Codes of the problems: Y311 nothing of the order is open, Y312 a line that the order has not, Y313
more than is on order, Y314 a quantity that cannot come, Y315 a price of a line that did not come,
Y317 nothing is said to have come, Y321 nothing is left to cancel; Y316 and Y318: `receipt_lots`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from decimal import Decimal

from sqlalchemy import Connection, insert, select

from catalogue.entering import user
from catalogue.items import COUNTED_UNITS
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.stock.ledger import Move
from catalogue.stock_books import Posted, post_moves
from catalogue.stock_reserving import lock_items
from catalogue.tables import PLACE
from estimator.buying.ordering import OrderLine
from estimator.buying.receiving import Came, Delivery, Placed, too_much, value_of
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.receipt_text import Received
from estimator.workflow.database import at_work
from estimator.workflow.order_records import keep_cancelled, keep_delivery, kept_order
from estimator.workflow.receipt_lots import Arrival, pieces_of, wrong_lots

QUARANTINE = "quarantine"


def receive_order(
    database: str | None, said: Arrival, at: datetime, *, write: bool
) -> Received:
    """Return the moves of a delivery and how the order stands after it; write both if wished.

    Raises:
        ProblemsFound: Y301 for the order, every mistake of Y311 to Y317. Nothing is written then.
    """
    by = user() if said.name is None else said.name
    with at_work(database, write=True) as work:
        placed = kept_order(work, said.number, to_change=True)
        lock_items(work, {line.item for line in placed.order.lines})
        came = tuple(_came(placed, said))
        problems = [*_wrong(placed, said, came), *wrong_lots(work, placed, said, came)]
        if problems:
            raise ProblemsFound(problems)
        delivery = Delivery(said.on, said.note, came, by)
        keep_delivery(work, said.number, delivery, at)
        moves = _moves(work, placed, delivery, said, Posted(by, at))
        after = kept_order(work, said.number)
        if write:
            work.commit()
    return Received(after, delivery, tuple(moves), write)


def cancel_order(
    database: str | None, number: int, name: str | None, why: str, at: datetime
) -> Placed:
    """Record that what has not come of an order is not wanted any more, and return the order.

    Raises:
        ProblemsFound: Y301 for the order; Y321 if all of it came or it is cancelled.
    """
    with at_work(database, write=True) as work:
        placed = kept_order(work, number, to_change=True)
        if placed.state in ("received", "cancelled"):
            raise ProblemsFound([Problem(
                "Y321", Place(f"order {number}"), f"the order is {placed.state} already",
                "there is nothing left to cancel")])
        keep_cancelled(work, number, user() if name is None else name, why, at)
        work.commit()
        return kept_order(work, number)


def _came(placed: Placed, said: Arrival) -> Iterator[Came]:
    """Yield what came of each line that the order has."""
    good, damaged = _sums(said.good), _sums(said.damaged)
    prices = {line: Money.of(amount, placed.order.currency).minor
              for line, amount in said.prices}
    for line in placed.order.lines:
        of_good, of_damaged = good.get(line.line), damaged.get(line.line, Decimal(0))
        if of_good is None:
            rest = placed.open(line) - of_damaged
            of_good = max(rest, Decimal(0)) if said.everything else Decimal(0)
        if of_good or of_damaged:
            yield Came(line.line, of_good, of_damaged, prices.get(line.line, line.price_minor),
                       tuple(serial for at, serial in said.serials if at == line.line))


def _sums(pairs: Sequence[tuple[int, Decimal]]) -> dict[int, Decimal]:
    found: dict[int, Decimal] = {}
    for line, quantity in pairs:
        found[line] = found.get(line, Decimal(0)) + quantity
    return found


def _wrong(placed: Placed, said: Arrival, came: Sequence[Came]) -> Iterator[Problem]:
    here = Place(f"order {said.number}")
    if placed.state in ("received", "cancelled"):
        yield Problem("Y311", here, f"the order is {placed.state}: nothing is to come of it",
                      f"see it: estimator orders show {said.number}; what came without an order is "
                      "taken in with estimator stock receive")
        return
    known = {line.line for line in placed.order.lines}
    for option, numbers in (
        ("--line", [line for line, _ in said.good]),
        ("--damaged", [line for line, _ in said.damaged]),
        ("--price", [line for line, _ in said.prices]),
        ("--serial", [line for line, _ in said.serials]),
        ("--batch", [line for line, *_ in said.batches]),
    ):
        for number in dict.fromkeys(numbers):
            if number not in known:
                yield Problem("Y312", Place(f"{option} {number}"), f"order {said.number} has no "
                              f"line {number}", f"its lines are 1 to {max(known)}")
    for each in came:
        yield from _wrong_quantity(placed.order.lines[each.line - 1], each)
    for line, comes, is_open in too_much(placed, came):
        yield Problem(
            "Y313", Place(f"order {said.number}, line {line.line}"),
            f"{words.count(comes, line.unit)} of {line.item} came, {plain(is_open)} "
            f"{'is' if is_open == 1 else 'are'} on order: {plain(comes - is_open)} too many",
            "take in what was ordered and refuse the rest, or take the rest in with estimator "
            "stock receive at the price agreed for it")
    arrived = {each.line for each in came}
    for number in dict.fromkeys(number for number, _ in said.prices):
        if number in known - arrived:
            yield Problem("Y315", Place(f"--price {number}"), f"nothing of line {number} came",
                          "say how much came: --line N=QUANTITY or --damaged N=QUANTITY")
    if not came:
        yield Problem("Y317", here, "nothing is said to have come",
                      "say what did: --line N=QUANTITY, --damaged N=QUANTITY, or --all")


def piece(unit: str) -> str:
    """Return what a counted unit is called where one is spoken of."""
    return "piece" if unit == "each" else unit


def _wrong_quantity(line: OrderLine, came: Came) -> Iterator[Problem]:
    for option, quantity in (("--line", came.good), ("--damaged", came.damaged)):
        place = Place(f"{option} {line.line}")
        if line.unit in COUNTED_UNITS and quantity != int(quantity):
            yield Problem("Y314", place, f"{line.item} is counted by the {piece(line.unit)}, and "
                          f"{plain(quantity)} is no whole number", "give a whole number")
        elif quantity != round(quantity, 3):
            yield Problem("Y314", place, f"{plain(quantity)} is finer than a thousandth of a "
                          "unit", "give at most three decimal places")


def _moves(
    work: Connection, placed: Placed, delivery: Delivery, said: Arrival, posted: Posted
) -> list[Move]:
    """Write the moves of a delivery into the ledger and return them."""
    order, moves, lots = placed.order, [], []
    document = f"order {order.number}" + (f", {delivery.note}" if delivery.note else "")
    for came in delivery.came:
        line = order.lines[came.line - 1]
        good, damaged = value_of(line, placed.came(line.line), came)
        new, pieces = pieces_of(work, line, came, said)
        lots += new
        values = Money(good, order.currency).share([n for _, n in pieces]) if pieces else ()
        moves += [
            Move("receive", line.item, quantity, to_place=order.to.place, lot=lot,
                 job=order.to.job, document=document, value_minor=value.minor)
            for (lot, quantity), value in zip(pieces, values, strict=True)]
        if came.damaged:
            moves.append(Move("receive", line.item, came.damaged, to_place=_quarantine(work),
                              document=document, value_minor=damaged, why="came damaged"))
    return post_moves(work, moves, posted, lots)


def _quarantine(work: Connection) -> str:
    """Return the place where damaged goods lie; the first such goods make it."""
    found = work.scalar(
        select(PLACE.c.name).where(PLACE.c.kind == QUARANTINE).order_by(PLACE.c.name).limit(1))
    if found is None:
        work.execute(insert(PLACE).values(name=QUARANTINE, kind=QUARANTINE, note=""))
        return QUARANTINE
    return str(found)
