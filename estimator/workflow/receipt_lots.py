"""What is said to have come of an order, and how it is told apart: serials, batches, lengths.

Codes of the problems: Y316 serial numbers, Y318 batches.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, select

from catalogue.problems import Place, Problem
from catalogue.stock_books import Lot
from catalogue.tables import LOT
from estimator.buying.ordering import OrderLine
from estimator.buying.receiving import Came, Placed
from estimator.papers.digits import plain
from estimator.workflow.received_lots import by_length, by_serial


@dataclass(frozen=True)
class Arrival:
    """What somebody says came of an order.

    Attributes:
        good, damaged: pairs of a line and the units that came.
        prices: pairs of a line and what was charged for as many units as the ordered price is
            for, in major units.
        serials: pairs of a line and the serial number of one good unit.
        batches: line, batch and the last day on which it may be used, if it has one.
        everything: whether all that was still open came, beside what is named.
        note: number of the supplier's delivery note.
        name: who took it in; the user of this machine if None.
    """

    number: int
    good: tuple[tuple[int, Decimal], ...]
    damaged: tuple[tuple[int, Decimal], ...]
    prices: tuple[tuple[int, Decimal], ...]
    serials: tuple[tuple[int, str], ...]
    everything: bool
    on: date
    note: str = ""
    name: str | None = None
    batches: tuple[tuple[int, str, date | None], ...] = ()


def wrong_lots(
    work: Connection, placed: Placed, said: Arrival, came: Sequence[Came]
) -> Iterator[Problem]:
    """Yield what is wrong with serial numbers and batches."""
    yield from _wrong_serials(placed, said, came)
    yield from _known_serials(work, said)
    yield from _wrong_batches(work, placed, said, came)


def _wrong_serials(
    placed: Placed, said: Arrival, came: Sequence[Came]
) -> Iterator[Problem]:
    arrived = {each.line: each for each in came}
    for line in placed.order.lines:
        given = [serial for at, serial in said.serials if at == line.line]
        good = arrived[line.line].good if line.line in arrived else Decimal(0)
        place = Place(f"--serial {line.line}")
        if given and not line.serials:
            yield Problem("Y316", place, f"{line.item} has no serial numbers",
                          "leave --serial out for it")
        elif line.serials and len(set(given)) != good:
            count = len(set(given))
            yield Problem(
                "Y316", place, f"each {line.item} has a serial number: {plain(good)} came in good "
                f"order, and {count} number{'s are' if count != 1 else ' is'} given",
                "give each good piece its own: --serial LINE=SERIAL")


def _known_serials(work: Connection, said: Arrival) -> Iterator[Problem]:
    serials = sorted({serial for _, serial in said.serials})
    for row in work.execute(select(LOT).where(LOT.c.id.in_(serials)).order_by(LOT.c.id)):
        yield Problem("Y316", Place(f"--serial {row.id}"), f"'{row.id}' is known already: a "
                      f"{row.kind} of {row.item_code}", "check the number; if two makers use the "
                      "same one, put the item's code before it")


def _wrong_batches(
    work: Connection, placed: Placed, said: Arrival, came: Sequence[Came]
) -> Iterator[Problem]:
    lines = {line.line: line for line in placed.order.lines}
    good = {each.line for each in came if each.good}
    seen: set[int] = set()
    for number, batch, until in said.batches:
        place, line = Place(f"--batch {number}"), lines.get(number)
        if line is None:
            continue
        if line.serials or line.unit == "m":
            yield Problem("Y318", place, f"{line.item} is told apart by "
                          f"{'serial number' if line.serials else 'length'}",
                          "leave --batch out for it")
        elif number in seen or number not in good:
            yield Problem(
                "Y318", place, "two batches are given for one line" if number in seen else
                f"nothing of line {number} came in good order",
                "take in what came of each batch by itself: --line N=QUANTITY --batch N=BATCH")
        else:
            yield from _other_batch(work, place, line, (batch, until))
        seen.add(number)


def _other_batch(
    work: Connection, place: Place, line: OrderLine, batch: tuple[str, date | None]
) -> Iterator[Problem]:
    """Yield what is wrong if the name is known already and is not this batch."""
    there = work.execute(select(LOT).where(LOT.c.id == batch[0])).first()
    if there is not None and (there.item_code, there.kind, there.expires_on) != (
            line.item, "batch", batch[1]):
        until = f", good until {there.expires_on}" if there.expires_on else ""
        yield Problem("Y318", place, f"'{batch[0]}' is known already: a {there.kind} of "
                      f"{there.item_code}{until}", "check name and last day of the batch")


def pieces_of(
    work: Connection, line: OrderLine, came: Came, said: Arrival
) -> tuple[list[Lot], list[tuple[str, Decimal]]]:
    """Return the lots that are new, and each lot of the good goods with its quantity.

    Told apart are serial numbers, batches, and drums and bars by their length.
    """
    if not came.good:
        return [], []
    if came.serials:
        return by_serial(line.item, came.serials)
    if line.unit != "m":
        return _batch(work, line, came, said)
    lengths = _lengths(line, came.good)
    known = set(work.scalars(select(LOT.c.id).where(LOT.c.item_code == line.item)))
    return by_length(line.item, lengths, known)


def _batch(
    work: Connection, line: OrderLine, came: Came, said: Arrival
) -> tuple[list[Lot], list[tuple[str, Decimal]]]:
    named = [(batch, until) for number, batch, until in said.batches if number == line.line]
    if not named:
        return [], [("", came.good)]
    batch, until = named[0]
    known = work.execute(select(LOT.c.id).where(LOT.c.id == batch)).first() is not None
    return ([] if known else [Lot(batch, line.item, "batch", until)]), [(batch, came.good)]


def _lengths(line: OrderLine, good: Decimal) -> list[Decimal]:
    """Return the lengths that came: whole packs and a rest, or one length if it is cut to order."""
    if line.pack <= 1 or line.cut_charge_minor:
        return [good]
    whole, rest = divmod(good, line.pack)
    return [line.pack] * int(whole) + ([rest] if rest else [])
