"""The price build-up, from the bill's heads to the price with tax; for the office only."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from estimator.cost import (
    BOUGHT_IN_HEADS,
    CARRIAGE_HEAD,
    CONTINGENCY_HEAD,
    LABOUR_HEAD,
    WARRANTY_HEAD,
    WASTE_HEAD,
)
from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.digits import plain
from estimator.papers.workbook.bill_sheet import BillCells
from estimator.papers.workbook.pen import Cell, Column, Formula, Kind, Page, Pence

COLUMNS = (Column("Amount", 14, "money"), Column("What", 34, "wrap"), Column("Note", 50, "wrap"))


@dataclass
class _Ladder:
    """Rows of the build-up; `open` are the cells that the next sum takes in."""

    page: Page
    open: list[str] = field(default_factory=list)

    def step(self, amount: Cell, what: str, note: str = "") -> str:
        cell = self.aside(amount, what, note)
        self.open.append(cell)
        return cell

    def aside(self, amount: Cell, what: str, note: str = "", kind: Kind = "money") -> str:
        return f"A{self.page.row([amount, what, note], kinds={0: kind})}"

    def sum(self, minor: int, what: str, note: str = "") -> str:
        text = "=" + ("+".join(self.open) or "0")
        cell = f"A{self.page.row([Formula(text, Pence(minor)), what, note], 'sum')}"
        self.open = [cell]
        return cell


_NOTES = {
    CARRIAGE_HEAD: "of the goods bought for the job; shelf stock comes with the store's orders",
    WARRANTY_HEAD: "provision for return visits",
}


def write_price(page: Page, estimate: EstimateJson, bill: BillCells, risks: str) -> None:
    """Write the build-up of cost and price.

    Args:
        page: the sheet.
        estimate: what to write.
        bill: where the bill's subtotals stand.
        risks: the cell in which the open risks are summed, or "" if there are none.
    """
    page.header()
    ladder = _Ladder(page)
    _direct(ladder, estimate, bill, risks)
    direct = ladder.sum(estimate.cost.direct, "Direct cost")
    ladder.step(Pence(estimate.cost.overhead), "overhead", "recovered on person-hours")
    cost = ladder.sum(estimate.cost.total, "Full cost")
    page.gap()
    net = _net(ladder, estimate)
    _tax(ladder, estimate, net)
    page.gap()
    _margins(ladder, estimate, net, cost, direct)
    _sign_off(page, estimate)


def _direct(ladder: _Ladder, estimate: EstimateJson, bill: BillCells, risks: str) -> None:
    for each in estimate.cost.heads:
        amount = Pence(each.amount)
        if each.head in bill.heads:
            bought = "bought in" if each.head in BOUGHT_IN_HEADS else "material"
            ladder.step(Formula(f"={bill.heads[each.head]}", amount), each.head, bought)
        elif each.head == WASTE_HEAD:
            ladder.step(Formula(f"={bill.waste}", amount), each.head,
                        "what is cut off, broken or spilt")
        elif each.head == CONTINGENCY_HEAD and risks:
            ladder.step(Formula(f"={risks}", amount), each.head, "chance times cost, see To settle")
        elif each.head.startswith(LABOUR_HEAD):
            ladder.step(amount, each.head, "mean person-hours at the cost rate")
        else:
            ladder.step(amount, each.head, _NOTES.get(each.head, ""))


def _net(ladder: _Ladder, estimate: EstimateJson) -> str:
    price = estimate.price
    ladder.open = []
    ladder.step(Pence(price.list_net), "List price, net", "full cost at the firm's margin, raised "
                "to the price step")
    if price.discount is not None:
        note = f"{price.discount.reason}; allowed by {price.discount.name}"
        ladder.step(Pence(-price.discount.amount), "discount", note)
    return ladder.sum(price.net, "PRICE, net", words.KIND[estimate.kind])


def _tax(ladder: _Ladder, estimate: EstimateJson, net: str) -> None:
    ladder.open = [net]
    for each in estimate.price.vat:
        part = ladder.aside(Pence(each.net), f"of this at {words.rate(each.rate)}", each.because)
        ladder.step(
            Formula(f"=ROUND({part}*{plain(each.rate)},2)", Pence(each.vat)),
            f"VAT at {words.rate(each.rate)}",
        )
    ladder.sum(estimate.price.gross, "PRICE with VAT")
    if estimate.kind == "budget":
        span = estimate.price_range
        more = "some answers cannot be priced yet, it may be more" if span.open_ended else ""
        ladder.aside(Pence(span.high), "with VAT, if every open question is answered the dear way",
                     more)


def _margins(
    ladder: _Ladder, estimate: EstimateJson, net: str, cost: str, direct: str
) -> None:
    price = estimate.price
    rows: tuple[tuple[str, Decimal, str, str], ...] = (
        (f"=({net}-{cost})/{net}", price.margin, "net margin", "(price - full cost) / price"),
        (f"=({net}-{cost})/{cost}", price.markup, "markup", "(price - full cost) / full cost"),
        (f"=({net}-{direct})/{net}", price.contribution, "contribution",
         "(price - direct cost) / price"),
    )
    for text, value, what, note in rows:
        ladder.aside(Formula(text, value), what, note, "share")
    ladder.aside(
        Pence(estimate.cost.p80_reserve), "reserve, not in the price",
        "what the hours cost between the mean and those not exceeded in 80 of 100 such jobs",
    )


def _sign_off(page: Page, estimate: EstimateJson) -> None:
    price = estimate.price
    page.gap()
    page.row([None, "Who may let it go", words.SIGNED_BY.get(price.signed_by, price.signed_by)])
    page.row([None, "Valid until", f"{words.day(price.valid_until)}: {price.valid_because}"])
    page.row([None, "Let go by, name and date", "." * 40])
