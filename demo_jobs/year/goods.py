"""Orders, deliveries, bills and moves of the year as rows; the moves by the ledger's own rules."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any

from catalogue.stock.ledger import Move, Stock
from catalogue.tables import (
    DELIVERY,
    DELIVERY_LINE,
    INVOICE,
    INVOICE_LINE,
    LEVEL,
    MOVE,
    PLACE,
    PURCHASE_LINE,
    PURCHASE_LINE_JOB,
    PURCHASE_ORDER,
    WORTH,
)
from demo_jobs.year.buying import line_net
from demo_jobs.year.calendar import LAST, after
from demo_jobs.year.records import Billed, Bought, BoughtLine, Done, Year
from estimator.workflow.stock_shelves import site_of

STORE = "store"
BY = "office"
TAX = Decimal("0.2")
DUE_DAYS = 30
BILL_KINDS = {"plant hire": "plant", "scaffold": "subcontract", "preliminaries": "fees",
              "paperwork": "fees"}
Rows = dict[Any, list[dict[str, Any]]]


def moment(day: date, hour: int = 17) -> datetime:
    """Return when something of a day is written down."""
    return datetime.combine(day, time(hour), UTC)


@dataclass
class Goods:
    """Collects the rows; `moves` are (day, order within the day, move)."""

    rows: Rows = field(default_factory=lambda: defaultdict(list))
    moves: list[tuple[date, int, Move]] = field(default_factory=list)
    orders: int = 0
    bills: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    invoices: int = 0


def goods_rows(year: Year) -> Rows:
    """Return the rows of everything that was bought, moved and charged in a year."""
    goods = Goods()
    sites = [each for each in year.done if each.bought or each.taken]
    goods.rows[PLACE] += [{"name": STORE, "kind": "store", "note": ""}, *(
        {"name": site_of(each.asked.job), "kind": "site", "note": ""} for each in sites)]
    all_bought = [*year.shelf, *(bought for each in year.done for bought in each.bought)]
    for bought in sorted(all_bought, key=lambda each: (each.on, each.job, each.supplier)):
        _order(goods, bought)
    for each in year.done:
        for bill in each.billed:
            _bill(goods, each.asked.job, bill)
        goods.moves += _taken(each)
    _post(goods)
    return goods.rows


def _order(goods: Goods, bought: Bought) -> None:
    goods.orders += 1
    number, at = goods.orders, moment(bought.on)
    lead = max(line.buy.lead_days for line in bought.lines)
    place = site_of(bought.job) if bought.job else STORE
    goods.rows[PURCHASE_ORDER].append({
        "number": number, "supplier": bought.supplier, "on_date": bought.on, "wanted_on": None,
        "currency": "GBP", "carriage_minor": bought.carriage_minor, "least_minor": 0,
        "advised_minor": 0, "to_place": place, "job_id": bought.job or None, "address": "",
        "receiver": "the crew" if bought.job else "", "note": "", "at": at, "by": BY})
    for at_line, line in enumerate(bought.lines, 1):
        goods.rows[PURCHASE_LINE].append(_line(number, at_line, line, bought.on, lead))
        if bought.job:
            goods.rows[PURCHASE_LINE_JOB].append({
                "order_number": number, "line": at_line, "position": 0, "job_id": bought.job,
                "quantity": line.quantity})
    if bought.came_on is not None:
        _delivery(goods, number, bought, bought.came_on, place)
    if bought.came_on is not None and bought.billed_on is not None:
        _goods_bill(goods, number, bought, bought.billed_on)


def _line(number: int, at: int, line: BoughtLine, on: date, lead: int) -> dict[str, Any]:
    goods, buy = line.goods, line.buy
    return {
        "order_number": number, "line": at, "item_code": goods.item, "name": goods.name,
        "unit": goods.unit, "supplier_code": buy.supplier_code, "quantity": line.quantity,
        "pack": buy.pack, "per": buy.per, "price_minor": line.ordered_minor,
        "cut_charge_minor": buy.cut_charge_minor, "carriage_class": buy.carriage_class,
        "quoted": f"price of {buy.price_from}", "price_from": buy.price_from,
        "price_until": buy.price_until, "lead_days": buy.lead_days, "needed_on": None,
        "comes_on": on + timedelta(lead), "serials": False, "family": goods.family}


def _delivery(goods: Goods, number: int, bought: Bought, came: date, place: str) -> None:
    goods.rows[DELIVERY].append({
        "id": len(goods.rows[DELIVERY]) + 1, "order_number": number, "on_date": came, "note": "",
        "at": moment(came, 8), "by": BY})
    for at, line in enumerate(bought.lines, 1):
        goods.rows[DELIVERY_LINE].append({
            "delivery_id": len(goods.rows[DELIVERY]), "order_number": number, "line": at,
            "good": line.quantity, "damaged": Decimal(0), "price_minor": line.ordered_minor,
            "serials": ""})
        goods.moves.append((came, 0, Move(
            "receive", line.goods.item, line.quantity, to_place=place, job=bought.job,
            document=f"order {number}", value_minor=_net(line))))


def _net(line: BoughtLine) -> int:
    return line_net(line.buy, line.quantity, line.ordered_minor)


def _goods_bill(goods: Goods, number: int, bought: Bought, on: date) -> None:
    lines = [{
        "kind": "goods", "head": line.goods.head, "job_id": bought.job or None,
        "order_number": number, "order_line": at, "item_code": line.goods.item,
        "name": line.goods.name, "quantity": line.quantity, "net_minor": line.charged_minor,
        "cost_minor": line.charged_minor - _net(line)} for at, line in enumerate(bought.lines, 1)]
    if bought.carriage_minor:
        lines.append({
            "kind": "carriage", "head": "carriage", "job_id": bought.job or None,
            "order_number": number, "order_line": None, "item_code": None, "name": "carriage",
            "quantity": Decimal(1), "net_minor": bought.carriage_minor,
            "cost_minor": bought.carriage_minor})
    _invoice(goods, bought.supplier, on, lines)


def _bill(goods: Goods, job: str, bill: Billed) -> None:
    _invoice(goods, bill.supplier, bill.on, [{
        "kind": BILL_KINDS[bill.head], "head": bill.head, "job_id": job, "order_number": None,
        "order_line": None, "item_code": bill.item, "name": bill.name, "quantity": bill.quantity,
        "net_minor": bill.net_minor, "cost_minor": bill.net_minor}])


def _invoice(goods: Goods, supplier: str, on: date, lines: Sequence[dict[str, Any]]) -> None:
    goods.invoices += 1
    goods.bills[supplier] += 1
    initials = "".join(word[0] for word in supplier.split())
    net = sum(line["net_minor"] for line in lines)
    number = f"{initials}-{goods.bills[supplier]:04d}"
    goods.rows[INVOICE].append({
        "id": goods.invoices, "kind": "invoice", "supplier": supplier, "number": number,
        "on_date": on, "due_on": on + timedelta(DUE_DAYS), "currency": "GBP", "net_minor": net,
        "tax_minor": round(net * TAX), "file_name": f"{number}.csv",
        "digest": hashlib.sha256(number.encode()).hexdigest(), "at": moment(on), "by": BY})
    goods.rows[INVOICE_LINE] += [
        {"invoice_id": goods.invoices, "line": at, **line} for at, line in enumerate(lines, 1)]


def _taken(done: Done) -> Iterator[tuple[date, int, Move]]:
    job, site = done.asked.job, site_of(done.asked.job)
    for take in done.taken:
        assert done.begun is not None
        yield done.begun, 1, Move("pick", take.goods.item, take.out, STORE, site, job=job,
                                  document=f"sheet {job}/1")
        back = None if done.commissioned is None else after(done.commissioned, 1)
        if take.back and back is not None and back <= LAST:
            yield back, 2, Move("return", take.goods.item, take.back, site, STORE, job=job,
                                document=f"sheet {job}/2")


def _post(goods: Goods) -> None:
    """Carry the moves out in the order of their days, and keep what they come to."""
    kinds = {row["name"]: row["kind"] for row in goods.rows[PLACE]}
    stock = Stock(kinds)
    ordered = sorted(goods.moves, key=lambda each: (each[0], each[1], each[2].job, each[2].item))
    for day, order, move in ordered:
        done = stock.post(move)
        goods.rows[MOVE].append({
            "kind": done.kind, "item_code": done.item, "lot_id": None, "quantity": done.quantity,
            "from_place": done.from_place or None, "to_place": done.to_place or None,
            "job_id": done.job or None, "document": done.document,
            "value_minor": done.value_minor, "at": moment(day, 8 + order), "by": BY, "why": ""})
    goods.rows[LEVEL] += [
        {"item_code": item, "place": place, "lot_id": lot, "quantity": quantity}
        for (item, place, lot), quantity in sorted(stock.levels.items())]
    goods.rows[WORTH] += [
        {"item_code": item, "quantity": layer.quantity, "value_minor": layer.value_minor}
        for item, layer in sorted(stock.worth.items())]
