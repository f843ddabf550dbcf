"""The bill: how many of what, what it costs, head by head, with formulas that recalculate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import LineJson
from estimator.papers.digits import plain
from estimator.papers.workbook.bought_cells import BoughtCells, bought_cells
from estimator.papers.workbook.pen import Cell, Column, Formula, Kind, Page, Pence

NAME = "Bill"
COLUMNS = (
    Column("To buy", 7, "number"), Column("Unit", 6), Column("What", 40, "wrap"),
    Column("Item", 11, "wrap"), Column("Needed", 8, "number"), Column("From boxes", 7, "number"),
    Column("Waste", 7, "number"), Column("Left over", 7, "number"), Column("Packs", 9, "number"),
    Column("Pack of", 6, "number"), Column("Supplier", 17, "wrap"),
    Column("Pack price", 10, "money"), Column("Unit cost", 10, "unit money"),
    Column("Cost", 11, "money"),
    Column("Waste cost", 8, "money"), Column("Line", 5, "number"),
)
NO_PRICE = "NO PRICE"


@dataclass(frozen=True)
class BillCells:
    """Where the money of the bill stands, for the price sheet: head -> cell, and the waste."""

    heads: Mapping[str, str]
    waste: str


def write_bill(page: Page, estimate: EstimateJson) -> BillCells:
    """Write the bill and return where its subtotals stand."""
    page.note(
        "To buy = needed less from boxes. Left over = packs less to buy and waste. Shelf stock "
        "costs what is used, its waste apart; an item bought for the job costs its whole packs."
    )
    page.header()
    _gaps(page, estimate)
    lines = [line for line in estimate.lines if not line.option]
    cells = {
        head: _group(page, head, list(group))
        for head, group in groupby(lines, key=lambda line: line.head)
    }
    waste = _totals(page, cells, estimate, lines)
    _options(page, [line for line in estimate.lines if line.option])
    return BillCells({head: f"{NAME}!$N${row}" for head, row in cells.items()}, waste)


def _gaps(page: Page, estimate: EstimateJson) -> None:
    if not estimate.gaps:
        return
    page.band("NOT IN THE CATALOGUE: not priced, must be settled first")
    for gap in estimate.gaps:
        page.row([gap.quantity, "", gap.wants, "no item", gap.quantity, None, None, None, None,
                  None, gap.because, None, None, NO_PRICE], kinds={13: "text"})


def _group(page: Page, head: str, lines: Sequence[LineJson]) -> int:
    """Write one head, its subtotal beside its name, and return the subtotal's row."""
    first, last = page.at + 2, page.at + 1 + len(lines)
    row = page.band(head, {
        13: Formula(f"=SUM(N{first}:N{last})", Pence(sum(line.cost for line in lines))),
        14: Formula(f"=SUM(O{first}:O{last})", Pence(sum(line.waste_cost for line in lines))),
    })
    for line in lines:
        _line(page, line)
    return row


def _line(page: Page, line: LineJson) -> int:
    r = page.at + 1
    bought = bought_cells(line, r)
    kinds: dict[int, Kind] = {13: "text"} if _unpriced(line) else {}
    return page.row([
        Formula(f"=E{r}-F{r}", line.buy), line.unit, line.name, line.item, line.need,
        line.boxed or None, _waste(line, r), bought.left_over, bought.packs, bought.pack,
        bought.supplier, bought.pack_price, bought.unit_cost, *_money(line, r, bought), line.line,
    ], kinds={**kinds, **bought.kinds})


def _unpriced(line: LineJson) -> bool:
    return line.offer is None and line.buy > 0


def _waste(line: LineJson, r: int) -> Decimal | Formula | None:
    if not line.waste_share:
        return line.allowance or None
    return Formula(f"=A{r}*{plain(line.waste_share)}", line.allowance)


def _money(line: LineJson, r: int, bought: BoughtCells) -> tuple[Cell, Cell]:
    """Return cost and waste cost as the engine charges them: by the unit, or by whole packs."""
    waste: Cell = Pence(line.waste_cost) if line.waste_cost else None
    if line.offer is None:
        return (NO_PRICE if _unpriced(line) else Pence(line.cost)), waste
    if line.held == "job":
        return Formula(bought.cost, Pence(line.cost)), waste
    if line.waste_share:
        waste = Formula(f"=ROUND(G{r}*L{r}/J{r},2)", Pence(line.waste_cost))
    return Formula(f"=ROUND(A{r}*L{r}/J{r},2)", Pence(line.cost)), waste


def _totals(
    page: Page, cells: Mapping[str, int], estimate: EstimateJson, lines: Sequence[LineJson]
) -> str:
    """Write the sums of the whole bill and return the cell of the waste."""
    costs = "+".join(f"N{row}" for row in cells.values()) or "0"
    wastes = "+".join(f"O{row}" for row in cells.values()) or "0"
    bought = sum(line.cost for line in lines)
    waste = sum(line.waste_cost for line in lines)
    page.gap()
    row = page.row(
        [None, None, "All heads", *[None] * 10, Formula(f"={costs}", Pence(bought)),
         Formula(f"={wastes}", Pence(waste)), None],
        "sum",
    )
    page.row(
        [None, None, "THE BILL, with waste", *[None] * 10,
         Formula(f"=N{row}+O{row}", Pence(bought + waste)), None, None],
        "sum",
    )
    return f"{NAME}!$O${row}"


def _options(page: Page, lines: Sequence[LineJson]) -> None:
    if not lines:
        return
    page.gap()
    page.band("options: priced apart, not in the bill above")
    for line in lines:
        _line(page, line)
