"""What is wrong with what somebody wants of the stock, in words.

Codes of the problems: Y101 less lies there than is wanted, Y102 a place that is not there, Y103 an
item that is not there, Y104 no quantity, Y113 the books do not take a move for another reason, Y121
what is no end of a stick.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import Connection, select

from catalogue.items import COUNTED_UNITS
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.stock.ends import MM_PER_M, share_of_stick, stick_mm_of
from catalogue.stock.ledger import Refused, Short
from catalogue.stock_books import AllRefused
from catalogue.tables import ITEM, PLACE
from estimator.papers.digits import plain

MOST = Decimal(10_000_000)


@dataclass(frozen=True, slots=True)
class ItemKept:
    """What the stock has to know of an item; `stick_mm` is the length of what comes in sticks."""

    code: str
    name: str
    unit: str
    bin: str
    serialised: bool
    stick_mm: int | None = None

    @property
    def counted(self) -> bool:
        """Return whether it is counted in whole pieces."""
        return self.unit in COUNTED_UNITS


def items_kept(work: Connection, codes: Iterable[str] | None = None) -> dict[str, ItemKept]:
    """Return items by code, those named or all."""
    i = ITEM.c
    query = select(i.code, i.name, i.unit, i.bin, i.serialised, i.spec)
    if codes is not None:
        query = query.where(i.code.in_(sorted(set(codes))))
    return {row.code: ItemKept(*row[:-1], stick_mm_of(row.unit, row.spec))
            for row in work.execute(query)}


def places_there(work: Connection) -> dict[str, str]:
    """Return the kind of each place by its name."""
    return {row.name: row.kind for row in work.execute(select(PLACE.c.name, PLACE.c.kind))}


def unknown_item(work: Connection, code: str, where: Place) -> Problem:
    """Return what to tell of an item that is not there."""
    return Problem("Y103", where, f"there is no item '{code}'",
                   suggestion(code, work.scalars(select(ITEM.c.code)))
                   or "look for it: estimator catalogue find WORDS")


def unknown_place(name: str, kinds: Mapping[str, str], where: Place) -> Problem:
    """Return what to tell of a place that is not there."""
    return Problem("Y102", where, f"there is no place '{name}'",
                   suggestion(name, kinds)
                   or "make it first: estimator stock places --add NAME --kind store")


def wrong_quantity(quantity: Decimal, item: ItemKept, where: Place, least: int = 1
                   ) -> Iterator[Problem]:
    """Yield why a quantity cannot be one of an item; `least` is 0 where none at all is one."""
    if quantity < 0 or (least and not quantity) or quantity > MOST:
        yield Problem("Y104", where, f"{plain(quantity)} {item.code} is no quantity",
                      f"give a number {'above' if least else 'from'} 0, at most {MOST:,}")
    elif item.counted and quantity != int(quantity):
        yield Problem("Y104", where, f"{item.code} comes in whole pieces, and "
                      f"{plain(quantity)} is no whole number", "give a whole number")
    elif quantity != round(quantity, 3):
        yield Problem("Y104", where, f"{plain(quantity)} {item.code} is finer than a thousandth",
                      "give at most three decimal places")


def wrong_end(length_m: Decimal, item: str, stick_mm: int, where: Place) -> Problem | None:
    """Return why a length can be no end of a stick, if it cannot."""
    try:
        share_of_stick(int(length_m * MM_PER_M), stick_mm)
    except ValueError:
        return Problem("Y121", where, f"{plain(length_m)} m is no end of {item}, whose sticks are "
                       f"{plain(Decimal(stick_mm) / MM_PER_M)} m long",
                       "an end is shorter than a stick; whole sticks are counted, not measured")
    return None


def refusals(found: AllRefused, where: Callable[[int], Place]) -> ProblemsFound:
    """Return every move that the books do not take as a problem; `where` tells where one stands."""
    return ProblemsFound(refusal(why, where(number)) for number, why in found.refused)


def refusal(why: Refused, where: Place) -> Problem:
    """Return why the books do not take a move."""
    if not isinstance(why, Short):
        return Problem("Y113", where, str(why), "see what lies where: estimator stock show ITEM")
    move, lot = why.move, f" of {why.move.lot}" if why.move.lot else ""
    return Problem(
        "Y101", where, f"{plain(move.quantity)} {move.item}{lot} are wanted from "
        f"'{move.from_place}', and {_lie(why.there)} there: "
        f"{plain(move.quantity - why.there)} short",
        "somebody may have been quicker; see where there is more: estimator stock show "
        f"{move.item}")


def _lie(there: Decimal) -> str:
    return "none lies" if not there else f"{plain(there)} lie{'s' if there == 1 else ''}"

