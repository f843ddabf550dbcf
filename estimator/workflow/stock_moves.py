"""Make places, take goods in, and move them between the firm's own places.

Codes of the problems, beside those of `stock_told`: Y105 a place that cannot be added, Y106 pieces
that do not add up to the quantity, Y107 serial numbers that are missing, Y108 a batch or serial
number that is known already, Y109 a lot that is not there, Y110 which lot is meant, Y118 a move
that is not between two of the firm's own places.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlalchemy import Connection, func, insert, select

from catalogue.loading import currency_of
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.stock.ledger import OWN_KINDS, Move, MoveKind, Stock
from catalogue.stock_books import AllRefused, Lot, Posted, load_stock, post_moves
from catalogue.stock_reserving import lock_items
from catalogue.tables import LEVEL, LOT, PLACE
from estimator.papers.digits import plain
from estimator.papers.stock import PlaceShown
from estimator.workflow.database import at_work
from estimator.workflow.received_lots import Pieces, by_length, by_serial, ends_of
from estimator.workflow.stock_told import (
    ItemKept,
    items_kept,
    places_there,
    refusals,
    unknown_item,
    unknown_place,
    wrong_end,
    wrong_quantity,
)

SITE = "site "  # a job's site is named with this before its id


@dataclass(frozen=True, slots=True)
class NewPlace:
    """A place to be added."""

    name: str
    kind: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Receiving:
    """Goods that come in, and what was paid for all of them.

    Attributes:
        lengths: of bars or drums that are told apart; they add up to the quantity. Of what is
            counted in sticks: of ends, one for each of the quantity.
        batch: their batch, with the last day on which it may be used.
        serials: serial numbers, one for each piece.
    """

    item: str
    quantity: Decimal
    into: str
    cost_minor: int
    lengths: Sequence[Decimal] = ()
    batch: str = ""
    expires_on: date | None = None
    serials: Sequence[str] = ()
    document: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Moving:
    """Goods that go from one of the firm's own places to another."""

    item: str
    quantity: Decimal
    from_place: str
    to_place: str
    lots: Sequence[str] = ()
    why: str = ""


def places(database: str | None, new: NewPlace | None = None) -> list[PlaceShown]:
    """Return every place with how many items lie there, after adding one if asked.

    Raises:
        ProblemsFound: Y105 for a place that is there already, or whose name is a site's.
    """
    with at_work(database, write=new is not None) as work:
        if new is not None:
            _check_new(new, places_there(work))
            work.execute(insert(PLACE).values(
                name=new.name.strip(), kind=new.kind, note=new.note.strip()))
            work.commit()
        lying = func.count(LEVEL.c.item_code.distinct())
        return [PlaceShown(*row) for row in work.execute(
            select(PLACE.c.name, PLACE.c.kind, PLACE.c.note, lying)
            .outerjoin(LEVEL, LEVEL.c.place == PLACE.c.name)
            .group_by(PLACE.c.name, PLACE.c.kind, PLACE.c.note).order_by(PLACE.c.name))]


def _check_new(new: NewPlace, kinds: Mapping[str, str]) -> None:
    name, where = new.name.strip(), Place("--add")
    if name in kinds:
        raise ProblemsFound([Problem(
            "Y105", where, f"the place '{name}' is there already, a {kinds[name]}",
            "take another name")])
    if not name or name.startswith(SITE):
        raise ProblemsFound([Problem(
            "Y105", where, f"'{name}' is no name for a place of the firm's own",
            f"names that begin with '{SITE}' are those of jobs; take another")])


def receive(database: str | None, wanted: Receiving, posted: Posted) -> list[Move]:
    """Take goods in, all or none, and return the moves with their values.

    Raises:
        ProblemsFound: Y102 to Y104, Y106 to Y108, Y118: every mistake at once.
    """
    with at_work(database, write=True) as work:
        lock_items(work, [wanted.item])
        item = items_kept(work, [wanted.item]).get(wanted.item)
        problems = list(_wrong_to_receive(work, wanted, item))
        if problems or item is None:
            raise ProblemsFound(problems)
        known = set(work.scalars(select(LOT.c.id).where(LOT.c.item_code == item.code)))
        lots, pieces = _pieces(wanted, item, known)
        costs = Money(wanted.cost_minor, currency_of(work)).share([n for _, n in pieces])
        moves = [
            Move("receive", item.code, quantity, to_place=wanted.into, lot=lot,
                 document=wanted.document, value_minor=cost.minor, why=wanted.why)
            for (lot, quantity), cost in zip(pieces, costs, strict=True)]
        done = post_moves(work, moves, posted, lots)
        work.commit()
    return done


def _wrong_to_receive(
    work: Connection, wanted: Receiving, item: ItemKept | None
) -> Iterator[Problem]:
    kinds = places_there(work)
    if item is None:
        yield unknown_item(work, wanted.item, Place("ITEM"))
    else:
        yield from wrong_quantity(wanted.quantity, item, Place("QUANTITY"))
        yield from _wrong_pieces(wanted, item)
        yield from _known_lots(work, wanted)
    yield from _not_own(wanted.into, kinds, Place("--into"))


def _wrong_pieces(wanted: Receiving, item: ItemKept) -> Iterator[Problem]:
    told_apart = [name for name, given in (
        ("--length", wanted.lengths), ("--batch", wanted.batch), ("--serial", wanted.serials))
        if given]
    if len(told_apart) > 1:
        yield Problem("Y106", Place(told_apart[1]), f"{told_apart[0]} is given too",
                      "goods are told apart by length, by batch or by serial number")
    whole = sum(wanted.lengths, Decimal(0))
    if wanted.lengths and item.stick_mm is not None:
        yield from _wrong_ends(wanted, item, item.stick_mm)
    elif wanted.lengths and (whole != wanted.quantity or min(wanted.lengths) <= 0):
        yield Problem("Y106", Place("--length"), f"the lengths add up to {plain(whole)} "
                      f"{item.unit}, and the quantity is {plain(wanted.quantity)} {item.unit}",
                      "give the length of each, above 0")
    if wanted.expires_on is not None and not wanted.batch:
        yield Problem("Y106", Place("--expires"), "only a batch has a last day",
                      "name the batch: --batch")
    if item.serialised and not wanted.serials:
        yield Problem("Y107", Place("--serial"), f"each {item.code} has a serial number",
                      f"give --serial for each of the {plain(wanted.quantity)}")
    if wanted.serials and len(set(wanted.serials)) != wanted.quantity:
        yield Problem("Y107", Place("--serial"), f"{plain(wanted.quantity)} pieces come in, and "
                      f"serial numbers for {len(set(wanted.serials))} are given",
                      "give each piece its own")


def _wrong_ends(wanted: Receiving, item: ItemKept, stick_mm: int) -> Iterator[Problem]:
    if len(wanted.lengths) != wanted.quantity:
        yield Problem("Y121", Place("--length"), f"{plain(wanted.quantity)} {item.code} come in, "
                      f"and {len(wanted.lengths)} lengths are given",
                      "give --length for each end; whole sticks are taken in without it")
    for each in dict.fromkeys(wanted.lengths):
        problem = wrong_end(each, item.code, stick_mm, Place("--length"))
        if problem is not None:
            yield problem


def _known_lots(work: Connection, wanted: Receiving) -> Iterator[Problem]:
    names = sorted({*wanted.serials, *([wanted.batch] if wanted.batch else [])})
    for row in work.execute(select(LOT).where(LOT.c.id.in_(names)).order_by(LOT.c.id)):
        same = row.item_code == wanted.item and row.kind == "batch" and row.id == wanted.batch
        if same and row.expires_on == wanted.expires_on:
            continue
        until = f", good until {row.expires_on}" if row.expires_on else ""
        what = "serial number" if row.kind == "serial" else row.kind
        yield Problem("Y108", Place("--batch" if row.id == wanted.batch else "--serial"),
                      f"'{row.id}' is known already: a {what} of {row.item_code}{until}",
                      "check the number; if two makers use the same one, put the item before it")


def _pieces(wanted: Receiving, item: ItemKept, known: set[str]) -> Pieces:
    if wanted.serials:
        return by_serial(item.code, sorted(wanted.serials))
    if wanted.lengths and item.stick_mm is not None:
        return ends_of(item.code, wanted.lengths, item.stick_mm, known)
    if wanted.lengths:
        return by_length(item.code, wanted.lengths, known)
    new = [Lot(wanted.batch, item.code, "batch", wanted.expires_on)] if (
        wanted.batch and wanted.batch not in known) else []
    return new, [(wanted.batch, wanted.quantity)]


def _not_own(name: str, kinds: Mapping[str, str], where: Place) -> Iterator[Problem]:
    if name not in kinds:
        yield unknown_place(name, kinds, where)
    elif kinds[name] not in OWN_KINDS:
        yield Problem("Y118", where, f"'{name}' is a job's site",
                      "goods go to a site and come back from it by the job's sheets")


def move(database: str | None, wanted: Moving, posted: Posted) -> list[Move]:
    """Move goods between two of the firm's own places, all or none, and return the moves.

    Raises:
        ProblemsFound: Y101 to Y104, Y109, Y110, Y118: every mistake at once.
    """
    with at_work(database, write=True) as work:
        lock_items(work, [wanted.item])
        item, kinds = items_kept(work, [wanted.item]).get(wanted.item), places_there(work)
        problems = [*_not_own(wanted.from_place, kinds, Place("--from")),
                    *_not_own(wanted.to_place, kinds, Place("--to"))]
        if wanted.from_place == wanted.to_place:
            problems.append(Problem("Y118", Place("--to"), "that is where it lies already",
                                    "name another place"))
        if item is None:
            problems.append(unknown_item(work, wanted.item, Place("ITEM")))
        else:
            problems += wrong_quantity(wanted.quantity, item, Place("QUANTITY"))
        if problems or item is None:
            raise ProblemsFound(problems)
        kind: MoveKind = "load" if kinds[wanted.to_place] == "van" else "move"
        moves = [Move(kind, item.code, quantity, wanted.from_place, wanted.to_place, lot,
                      why=wanted.why)
                 for lot, quantity in lots_meant(load_stock(work, [item.code]), wanted)]
        try:
            done = post_moves(work, moves, posted)
        except AllRefused as found:
            raise refusals(found, lambda number: Place("QUANTITY")) from found
        work.commit()
    return done


def lots_meant(stock: Stock, wanted: Moving) -> list[tuple[str, Decimal]]:
    """Return which lots are meant, and how much of each.

    Without a name: what is not told apart, if anything is, else the only lot that lies there. Of
    ends of sticks the quantity is how many.

    Raises:
        ProblemsFound: Y109 for a lot that does not lie there, Y110 if several lots are there and
            none is named, or several are named that are not one piece each; Y121 if ends are
            named that are not as many as are moved.
    """
    lying = {lot: n for (item, place, lot), n in stock.levels.items()
             if item == wanted.item and place == wanted.from_place}
    unknown = [Problem("Y109", Place("--lot"), f"no '{lot}' of {wanted.item} lies in "
                       f"'{wanted.from_place}'", suggestion(lot, [each for each in lying if each])
                       or "see what does: estimator stock show ITEM")
               for lot in dict.fromkeys(wanted.lots) if lot not in lying]
    if unknown:
        raise ProblemsFound(unknown)
    apart = sorted(lying.keys() - stock.ends.keys())
    there = [""] if "" in lying or not apart else apart
    named = list(dict.fromkeys(wanted.lots)) or there
    if wanted.lots and stock.ends.keys() & set(named):
        if len(named) != wanted.quantity or not set(named) <= stock.ends.keys():
            raise ProblemsFound([Problem(
                "Y121", Place("--lot"), f"{plain(wanted.quantity)} {wanted.item} are to be moved, "
                f"and ends are named: {', '.join(named)}",
                "name each end once, as many as are moved; whole sticks go without --lot")])
        return [(lot, lying[lot]) for lot in named]
    if len(named) == 1:
        return [(named[0], wanted.quantity)]
    if wanted.lots and sum(lying[lot] for lot in named) == wanted.quantity:
        return [(lot, lying[lot]) for lot in named]
    raise ProblemsFound([Problem(
        "Y110", Place("--lot"), f"{wanted.item} lies in '{wanted.from_place}' in several lots",
        "name one, or several that are moved whole: " + ", ".join(sorted(filter(None, lying))))])
