"""Count what lies there: the difference is shown first, and written as moves.

Codes of the problems, beside those of `stock_told` and `stock_moves`: Y109 a lot that is not known,
Y110 which lot was counted, Y111 found goods whose worth nobody knows, Y112 the same thing counted
twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal, get_args

from sqlalchemy import Connection, select

from catalogue.loading import currency_of
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.stock.ends import MM_PER_M, share_of_stick
from catalogue.stock.ledger import OUTSIDE, OWN_KINDS, Move, Stock
from catalogue.stock_books import Lot, Posted, load_stock, post_moves
from catalogue.stock_reserving import lock_items
from catalogue.tables import LOT
from estimator.papers.digits import plain
from estimator.papers.stock import Count, Counted
from estimator.workflow.database import at_work
from estimator.workflow.stock_told import (
    ItemKept,
    items_kept,
    places_there,
    unknown_item,
    unknown_place,
    wrong_end,
    wrong_quantity,
)

LotKind = Literal["length", "batch", "serial"]


@dataclass(frozen=True, slots=True)
class Counting:
    """So much of an item was counted in a place.

    Attributes:
        lot: which length, batch or serial number. An end of a stick is counted as 1, or 0.
        kind: what the lot is, if it is a new one.
        expires_on: last day of a new batch.
        cost_minor: what all that was found beyond the books is worth; None = as the rest is.
        length_m: of a new end of a stick.
        where: where that is said.
    """

    item: str
    place: str
    quantity: Decimal
    lot: str = ""
    kind: LotKind | None = None
    expires_on: date | None = None
    cost_minor: int | None = None
    length_m: Decimal | None = None
    where: Place = field(default_factory=lambda: Place("estimator stock count"))


def count(
    database: str | None, counted: Sequence[Counting], posted: Posted, write: bool, why: str = ""
) -> Count:
    """Compare what was counted with the books and, if asked, write the differences, all or none.

    Raises:
        ProblemsFound: Y102 to Y104, Y109 to Y112, every mistake at once.
    """
    with at_work(database, write=write) as work:
        codes = sorted({each.item for each in counted})
        if write:
            lock_items(work, codes)
        stock, items = load_stock(work, codes), items_kept(work, codes)
        lots = {row.id: (row.item_code, row.kind) for row in work.execute(
            select(LOT.c.id, LOT.c.item_code, LOT.c.kind))}
        problems = list(_wrong(work, counted, stock, items, lots))
        if problems:
            raise ProblemsFound(problems)
        lines, moves = _differences(counted, stock, items, why)
        done = Count(tuple(lines), currency_of(work))
        if write and moves:
            new = [Lot(each.lot, each.item, each.kind, each.expires_on, length_mm=_new_end(each))
                   for each in counted if each.lot and each.lot not in lots and each.kind]
            post_moves(work, moves, posted, new)
            work.commit()
    return replace(done, written=write and bool(moves))


def _differences(
    counted: Sequence[Counting], stock: Stock, items: dict[str, ItemKept], why: str
) -> tuple[list[Counted], list[Move]]:
    """Return the lines of a count, and the moves that put the books right."""
    lines, moves = [], []
    for each in counted:
        there = stock.levels.get((each.item, each.place, each.lot), Decimal(0))
        item, length_mm = items[each.item], stock.ends.get(each.lot, _new_end(each))
        share = Decimal(1) if length_mm is None else (
            share_of_stick(length_mm, item.stick_mm or length_mm))
        unit = item.unit if length_mm is None else (
            f"end of {plain(Decimal(length_mm) / MM_PER_M)} m")
        line = Counted(each.item, item.name, unit, each.place, each.lot,
                       there if length_mm is None else Decimal(there > 0), each.quantity)
        if line.difference:
            found = line.difference > 0
            wanted = Move(
                "count", each.item, abs(line.difference) * share, OUTSIDE if found else each.place,
                each.place if found else OUTSIDE, each.lot, document="count",
                value_minor=each.cost_minor if found else None, why=why)
            value = stock.post(wanted).value_minor or 0
            moves.append(wanted)
            line = replace(line, value_minor=value if found else -value)
        lines.append(line)
    return lines, moves


def _new_end(each: Counting) -> int | None:
    """Return the length in mm of a new end of a stick."""
    return None if each.length_m is None else int(each.length_m * MM_PER_M)


def _wrong(
    work: Connection, counted: Sequence[Counting], stock: Stock, items: dict[str, ItemKept],
    lots: dict[str, tuple[str, str]],
) -> Iterator[Problem]:
    kinds = places_there(work)
    seen: set[tuple[str, str, str]] = set()
    for each in counted:
        item = items.get(each.item)
        if item is None:
            yield unknown_item(work, each.item, each.where)
        else:
            yield from wrong_quantity(each.quantity, item, each.where, least=0)
            yield from _wrong_lot(each, item, stock, lots)
            yield from _no_worth(each, stock)
        if each.place not in kinds:
            yield unknown_place(each.place, kinds, each.where)
        elif kinds[each.place] not in OWN_KINDS:
            yield Problem("Y118", each.where, f"'{each.place}' is a job's site",
                          "what lies at a site is counted by the job's sheets")
        spot = each.item, each.place, each.lot
        if spot in seen:
            yield Problem("Y112", each.where, f"{' '.join(filter(None, spot))} is counted twice",
                          "add the two up, or leave one out")
        seen.add(spot)
    yield from _in_two_places(counted, stock, lots)


def _in_two_places(
    counted: Sequence[Counting], stock: Stock, lots: dict[str, tuple[str, str]]
) -> Iterator[Problem]:
    """Yield where one piece, with a serial number or an end, would lie in two places."""
    after = {spot: n for spot, n in stock.levels.items() if spot[2]}
    after |= {(each.item, each.place, each.lot): each.quantity for each in counted if each.lot}
    for each in counted:
        elsewhere = [place for (item, place, lot), n in sorted(after.items())
                     if n and (item, lot) == (each.item, each.lot) and place != each.place]
        single = "serial" in (each.kind, lots.get(each.lot, ("", ""))[1]) or (
            each.lot in stock.ends)
        if single and each.quantity and elsewhere:
            yield Problem("Y112", each.where, f"'{each.lot}' lies in '{elsewhere[0]}' already",
                          "move it: estimator stock move; or count it as 0 there")


def _wrong_lot(
    each: Counting, item: ItemKept, stock: Stock, lots: dict[str, tuple[str, str]]
) -> Iterator[Problem]:
    lying = sorted(lot for (code, place, lot) in stock.levels if lot and lot not in stock.ends
                   and code == item.code and place == each.place)
    known, apart = lots.get(each.lot), (each.item, each.place, "") not in stock.levels
    if not each.lot and (lying or item.serialised) and each.quantity and apart:
        yield Problem("Y110", each.where, f"{item.code} is told apart by lots in '{each.place}'",
                      "count each lot: " + (", ".join(lying) or "by its serial number"))
    elif each.lot and known is None and each.kind is None:
        own = [lot for lot, (code, _) in lots.items() if code == item.code]
        yield Problem("Y109", each.where, f"no lot '{each.lot}' of {item.code} is known",
                      suggestion(each.lot, own) or "a new one is given in a file of a count, with "
                      "its kind: length, batch or serial")
    elif known is not None and known[0] != item.code:
        yield Problem("Y109", each.where, f"'{each.lot}' belongs to {known[0]}, not to "
                      f"{item.code}", "check the number")
    elif each.length_m is not None or each.lot in stock.ends:
        yield from _wrong_end(each, item, stock, known is not None)
    elif item.stick_mm is not None and "length" in (each.kind, known and known[1]):
        yield Problem("Y121", each.where, f"'{each.lot}' is an end of {item.code}, and its length "
                      "is not given", "give it in metres: --length, or the column length")
    elif "serial" in (each.kind, known and known[1]) and each.quantity not in (0, 1):
        yield Problem("Y104", each.where, f"'{each.lot}' is the serial number of one piece, and "
                      f"{plain(each.quantity)} were counted", "give 1 or 0")


def _wrong_end(
    each: Counting, item: ItemKept, stock: Stock, known: bool
) -> Iterator[Problem]:
    if item.stick_mm is None or (each.kind or "length") != "length" or not each.lot:
        yield Problem("Y121", each.where, "a length is given of what is no end of a stick",
                      "leave the length out; that of a drum or bar is its quantity")
    elif each.quantity not in (0, 1):
        yield Problem("Y104", each.where, f"'{each.lot}' is one end, and {plain(each.quantity)} "
                      "were counted", "give 1 or 0")
    elif known and each.length_m is not None and stock.ends.get(each.lot) != _new_end(each):
        there = plain(Decimal(stock.ends.get(each.lot, 0)) / MM_PER_M)
        yield Problem("Y121", each.where, f"'{each.lot}' is {there} m long in the books, and "
                      f"{plain(each.length_m)} m are given",
                      "count it as 0, and what was cut from it under a new name")
    elif not known and each.length_m is not None:
        problem = wrong_end(each.length_m, item.code, item.stick_mm, each.where)
        if problem is not None:
            yield problem


def _no_worth(each: Counting, stock: Stock) -> Iterator[Problem]:
    there = stock.levels.get((each.item, each.place, each.lot), Decimal(0))
    if each.lot in stock.ends:
        there = Decimal(there > 0)
    if each.quantity > there and each.cost_minor is None and each.item not in stock.worth:
        yield Problem("Y111", each.where, f"{plain(each.quantity - there)} {each.item} were found, "
                      "and none is held by which they could be valued",
                      "say what they are worth: --cost, or the column cost")


def counted_in(path: Path) -> list[Counting]:
    """Return the rows of a file (.csv or .xlsx) with the columns of a count.

    The columns are item, place, quantity and, if need be, lot, kind, expires_on, cost, length.

    Raises:
        ProblemsFound: L101 to L104, L120, L121 for what is wrong with the file.
    """
    from catalogue.answers import Asked
    from catalogue.columns import Column
    from catalogue.csv_sheets import read_csv_sheet
    from catalogue.rows import header_problems, read_row
    from catalogue.workbook_sheets import read_workbook

    text, number = Asked("text"), Asked("number", least=Decimal(0), most=Decimal(10_000_000),
                                        decimals=3)
    columns = (
        Column("item", text, True, meaning="the part number"),
        Column("place", text, True, meaning="the place where it was counted"),
        Column("quantity", number, True, meaning="what was counted"),
        Column("lot", text, meaning="length, batch or serial number"),
        Column("kind", Asked("word", words=get_args(LotKind)), meaning="what a new lot is"),
        Column("expires_on", Asked("date"), meaning="last day of a new batch"),
        Column("cost", replace(number, decimals=2), meaning="worth of what was found"),
        Column("length", number, meaning="length in metres of a new end of a stick"),
    )
    sheet = (read_workbook(path)[0] if path.suffix.lower() == ".xlsx"
             else read_csv_sheet(path, path.stem))
    read = [read_row(row, columns) for row in sheet.rows]
    problems = [*sheet.problems, *header_problems(sheet, columns),
                *(each for row in read for each in row.problems)]
    if problems:
        raise ProblemsFound(problems)
    return [_counting(row.values, row.row.place("quantity")) for row in read]


def _counting(values: dict[str, Any], where: Place) -> Counting:
    cost, length = values.get("cost"), values.get("length")
    return Counting(
        values["item"], values["place"], Decimal(values["quantity"]), values.get("lot", ""),
        values.get("kind"), values.get("expires_on"),
        None if cost is None else int(Decimal(cost) * 100),
        None if length is None else Decimal(length), where)
