"""A purchase order as a page to print and send: no network, no script, A4."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.buying.ordering import OrderLine, PurchaseOrder, terms_of_delivery
from estimator.papers import words
from estimator.papers.order_text import packs_of, price_of
from estimator.papers.page_templates import page_template
from estimator.settings import Firm


@dataclass(frozen=True, slots=True)
class LineView:
    """A line as the supplier reads it."""

    line: int
    theirs: str
    ours: str
    name: str
    units: str
    packs: str
    price: str
    cut: str
    cost: str
    quoted: str
    wanted: str
    serials: bool


@dataclass(frozen=True)
class OrderView:
    """Everything on the page; nothing of the firm's own sums or of the job's price is in it."""

    firm: Firm
    number: int
    supplier: str
    on: str
    wanted: str
    place: str
    address: str
    receiver: str
    note: str
    lines: tuple[LineView, ...]
    goods: str
    carriage: str
    total: str
    terms: tuple[str, ...]


def order_page(order: PurchaseOrder, firm: Firm) -> str:
    """Return the order as HTML; everything that a person typed is escaped."""
    return page_template("order.html").render(order=_view(order, firm))


def _view(order: PurchaseOrder, firm: Firm) -> OrderView:
    def shown(minor: int) -> str:
        return words.money(minor, order.currency)

    return OrderView(
        firm, order.number, order.supplier, words.day(order.on),
        words.day(order.wanted_on) if order.wanted_on else "",
        f"site of job {order.to.job}" if order.to.job else order.to.place, order.to.address,
        order.to.receiver, order.note, tuple(_line(order, line) for line in order.lines),
        shown(order.goods_minor), shown(order.carriage_minor), shown(order.total_minor),
        tuple(terms_of_delivery(order)))


def _line(order: PurchaseOrder, line: OrderLine) -> LineView:
    until = f" to {words.day(line.price_until)}" if line.price_until else ""
    return LineView(
        line.line, line.supplier_code, line.item, line.name,
        words.count(line.quantity, line.unit), packs_of(line) if line.pack != 1 else "",
        price_of(line, order.currency),
        words.money(line.cut_charge_minor, order.currency) if line.cut_charge_minor else "",
        words.money(line.cost_minor, order.currency), f"{line.quoted}{until}",
        words.day(line.needed_on) if line.needed_on else "", line.serials)
