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
    wrong_quantity,
)

LotKind = Literal["length", "batch", "serial"]


@dataclass(frozen=True, slots=True)
class Counting:
    """So much of an item was counted in a place.

    Attributes:
        lot: which length, batch or serial number.
        kind: what the lot is, if it is a new one.
        expires_on: last day of a new batch.
        cost_minor: what all that was found beyond the books is worth; None = as the rest is.
        where: where that is said.
    """

    item: str
    place: str
    quantity: Decimal
    lot: str = ""
    kind: LotKind | None = None
    expires_on: date | None = None
    cost_minor: int | None = None
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
            new = [Lot(each.lot, each.item, each.kind, each.expires_on) for each in counted
                   if each.lot and each.lot not in lots and each.kind]
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
        line = Counted(each.item, items[each.item].name, items[each.item].unit, each.place,
                       each.lot, there, each.quantity)
        if line.difference:
            found = line.difference > 0
            wanted = Move(
                "count", each.item, abs(line.difference), OUTSIDE if found else each.place,
                each.place if found else OUTSIDE, each.lot, document="count",
                value_minor=each.cost_minor if found else None, why=why)
            value = stock.post(wanted).value_minor or 0
            moves.append(wanted)
            line = replace(line, value_minor=value if found else -value)
        lines.append(line)
    return lines, moves


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
    """Yield where one piece with a serial number would lie in two places."""
    after = {spot: n for spot, n in stock.levels.items() if spot[2]}
    after |= {(each.item, each.place, each.lot): each.quantity for each in counted if each.lot}
    for each in counted:
        elsewhere = [place for (item, place, lot), n in sorted(after.items())
                     if n and (item, lot) == (each.item, each.lot) and place != each.place]
        serial = "serial" in (each.kind, lots.get(each.lot, ("", ""))[1])
        if serial and each.quantity and elsewhere:
            yield Problem("Y112", each.where, f"'{each.lot}' lies in '{elsewhere[0]}' already",
                          "move it: estimator stock move; or count it as 0 there")


def _wrong_lot(
    each: Counting, item: ItemKept, stock: Stock, lots: dict[str, tuple[str, str]]
) -> Iterator[Problem]:
    lying = sorted(lot for (code, place, lot) in stock.levels
                   if lot and code == item.code and place == each.place)
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
    elif "serial" in (each.kind, known and known[1]) and each.quantity not in (0, 1):
        yield Problem("Y104", each.where, f"'{each.lot}' is the serial number of one piece, and "
                      f"{plain(each.quantity)} were counted", "give 1 or 0")


def _no_worth(each: Counting, stock: Stock) -> Iterator[Problem]:
    there = stock.levels.get((each.item, each.place, each.lot), Decimal(0))
    if each.quantity > there and each.cost_minor is None and each.item not in stock.worth:
        yield Problem("Y111", each.where, f"{plain(each.quantity - there)} {each.item} were found, "
                      "and none is held by which they could be valued",
                      "say what they are worth: --cost, or the column cost")


def counted_in(path: Path) -> list[Counting]:
    """Return the rows of a file (.csv or .xlsx) with the columns of a count.

    The columns are item, place, quantity and, if need be, lot, kind, expires_on, cost.

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
    cost = values.get("cost")
    return Counting(
        values["item"], values["place"], Decimal(values["quantity"]), values.get("lot", ""),
        values.get("kind"), values.get("expires_on"),
        None if cost is None else int(Decimal(cost) * 100), where)
