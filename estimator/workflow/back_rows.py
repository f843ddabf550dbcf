"""What lies at the site of a job and may come back: line by line, lot by lot."""

from __future__ import annotations

from decimal import Decimal

from sqlalchemy import Connection, select

from catalogue.items import Item
from catalogue.loading import load_items
from catalogue.stock.ends import share_of_stick
from catalogue.stock.ledger import Stock
from catalogue.stock_books import load_stock
from catalogue.tables import LOT
from estimator.papers.contract import EstimateJson
from estimator.van.pick_sheet import END, walk_key
from estimator.van.sheet_model import BackRow
from estimator.workflow.stock_shelves import site_of

ONE = Decimal(1)

def back_rows(
    work: Connection, estimate: EstimateJson
) -> tuple[tuple[BackRow, ...], tuple[str, ...]]:
    """Return the rows of a sheet for what comes back, by bin, and the stores it may go to.

    What was picked instead of an item of the bill stands without a line.
    """
    stock, site = load_stock(work), site_of(estimate.job.id)
    there = {(item, lot): quantity for (item, place, lot), quantity in stock.levels.items()
             if place == site}
    items = {item.code: item for item in load_items(work, {item for item, _ in there})}
    there = {spot: quantity for spot, quantity in there.items()
             if not _is_sawn(stock, items[spot[0]], spot[1], quantity)}
    kinds = {row.id: row.kind for row in work.execute(select(LOT))}
    lines: dict[str, int] = {}
    for line in estimate.lines:
        if not line.option:
            lines.setdefault(line.item, line.line)
    spots = sorted(there.items(), key=lambda spot: (walk_key(items[spot[0][0]].bin), *spot[0]))
    rows = [
        BackRow(key=f"{number}", line=lines.get(code, 0), bin=items[code].bin, item=code,
                name=items[code].name, unit=items[code].unit, lot=lot,
                out=ONE if lot in stock.ends else quantity,
                kind=END if lot in stock.ends else kinds.get(lot, ""),
                stick_mm=stock.ends.get(lot, items[code].stick_mm))
        for number, ((code, lot), quantity) in enumerate(spots, 1)]
    stores = tuple(sorted(name for name, kind in stock.kinds.items() if kind == "store"))
    return tuple(rows), stores


def _is_sawn(stock: Stock, item: Item, lot: str, quantity: Decimal) -> bool:
    """Return whether it is what stayed of an end, of which something came back already."""
    length_mm = stock.ends.get(lot)
    return length_mm is not None and quantity < share_of_stick(
        length_mm, item.stick_mm or length_mm + 1)
