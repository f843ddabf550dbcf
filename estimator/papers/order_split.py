"""Which supplier is to bring what for a job, for the terminal and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.money import round_half_up
from estimator.buying.basket import Single, Split
from estimator.buying.basket_cost import Order
from estimator.buying.basket_values import Choice, Wanted
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.terminal import clean, table, wrapped

_NAMED = 5  # lines that a supplier lacks, named one by one
_PROVEN = {
    "forced": "each line has one way to be bought",
    "searched": "every other split was ruled out",
    "solved": "proven by the solver, and costed again in whole pence",
    "stopped at the limit": "the solver was stopped at its limit",
}


@dataclass(frozen=True, slots=True)
class LineToOrder:
    """A line that is to be ordered; `key` is that of the basket, `needed_on` its own day."""

    key: str
    line: int
    item: str
    name: str
    unit: str
    quantity: Decimal
    locked: bool = False
    needed_on: date | None = None


@dataclass(frozen=True)
class OrderSplit:
    """A split of a job's lines over suppliers, and what was asked.

    Attributes:
        with_stock: whether what lies on the shelf is ordered too.
        left_out: suppliers that may not be taken.
    """

    job: str
    title: str
    revision: int
    currency: str
    wanted: Wanted
    with_stock: bool
    left_out: tuple[str, ...]
    lines: tuple[LineToOrder, ...]
    split: Split


def order_text(orders: OrderSplit) -> str:
    """Return the split for people."""
    blocks = [
        list(_head(orders)), *(list(_order(order, orders)) for order in orders.split.plan.orders),
        list(_total(orders)), list(_saving(orders)),
    ]
    return clean("\n\n".join("\n".join(block) for block in blocks)) + "\n"


def _head(orders: OrderSplit) -> Iterator[str]:
    title = f": {orders.title}" if orders.title else ""
    yield from wrapped(f"Orders for job {orders.job}, revision {orders.revision}{title}", "")
    wanted = orders.wanted
    says = f"prices and day of the order: {words.day(wanted.on)}"
    if wanted.by is not None:
        says += f"; needed by {words.day(wanted.by)}"
        late = wanted.late_per_day_minor
        says += (", not a day later" if late is None else
                 f", each day later costs {_money(late, orders)}")
    yield from wrapped(says, "")
    yield ("goods for the job and for the shelf" if orders.with_stock else
           "goods bought for the job; what the shelf gives comes with the store's own orders")
    if orders.left_out:
        yield from wrapped(f"left out: {', '.join(orders.left_out)}", "")


def _order(order: Order, orders: OrderSplit) -> Iterator[str]:
    by_key = {line.key: line for line in orders.lines}
    late = f", {_days(order.days_late)} late" if order.days_late else ""
    arrives = words.day(_arrives(order, orders.wanted))
    yield f"{order.supplier.upper()}: all there on {arrives}{late}"
    yield from table([
        (words.count(by_key[key].quantity, by_key[key].unit), by_key[key].item, by_key[key].name,
         _packs(choice), _money(choice.goods_minor, orders),
         "locked" if by_key[key].locked else "")
        for key, choice in order.lines
    ], "rllrrl", ("needed", "code", "what", "packs", "cost", ""))
    extras = order.extras
    parts = [("goods", order.goods_minor), ("carriage", extras.carriage_minor)]
    if extras.surplus_minor:
        parts.append((
            f"of {_money(extras.surplus_minor, orders)} goods beyond the need, for the shelf",
            extras.surplus_cost_minor))
    yield from table([
        (_money(minor, orders), says) for says, minor in (*parts, ("order", order.cost_minor))
    ], "rl")


def _total(orders: OrderSplit) -> Iterator[str]:
    plan = orders.split.plan
    yield "TOTAL"
    count = len(plan.orders)
    parts = [(f"{count} order{'s' if count != 1 else ''}",
              sum(order.cost_minor for order in plan.orders))]
    if orders.wanted.by is not None and orders.wanted.late_per_day_minor is not None:
        parts.append((f"waiting {_days(plan.days_late)} for the last goods", plan.lateness_minor))
    yield from table([
        (_money(minor, orders), says)
        for says, minor in (*parts, *([("in all", plan.total_minor)] if parts[1:] else []))
    ], "rl")
    yield f"  {_proof(orders.split)}"


def _proof(split: Split) -> str:
    if not split.gap_minor:
        return f"No split costs less: {_PROVEN[split.how]}."
    share = Decimal(round_half_up(Decimal(split.gap_minor) * 10_000 / split.plan.total_minor))
    return (f"A better split could cost {plain(share.scaleb(-2))} % less at the most: "
            f"{_PROVEN[split.how]}.")


def _saving(orders: OrderSplit) -> Iterator[str]:
    split = orders.split
    yield "SAVED"
    best = split.single
    rows = [(_money(split.saved_on_greedy_minor, orders),
             f"against the cheapest goods line by line ({_money(split.greedy.total_minor, orders)} "
             f"with {len(split.greedy.orders)} orders)")]
    if best is not None and best.plan is not None:
        rows.append((_money(split.saved_on_single_minor or 0, orders),
                     f"against {best.supplier} alone, the cheapest who can bring all "
                     f"({_money(best.plan.total_minor, orders)})"))
    yield from table(rows, "rl")
    if best is None and split.singles:
        yield from wrapped(_nobody(split.singles[0], orders), "  ")


def _nobody(nearest: Single, orders: OrderSplit) -> str:
    names = [line.name for line in orders.lines if line.key in nearest.missing]
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return (f"No supplier can bring all alone; {nearest.supplier} lacks least: "
            f"{', '.join(names[:_NAMED])}{more}.")


def _packs(choice: Choice) -> str:
    return " + ".join(f"{buy.packs} of {plain(buy.offer.pack)}" for buy in choice.bought)


def _days(count: int) -> str:
    return f"{count} day{'s' if count != 1 else ''}"


def _money(minor: int, orders: OrderSplit) -> str:
    return words.money(minor, orders.currency)


def _arrives(order: Order, wanted: Wanted) -> date:
    return max(wanted.arrives(choice) for _, choice in order.lines)


def order_data(orders: OrderSplit) -> dict[str, Any]:
    """Return the split as plain data: money in minor units, quantities and days as text."""
    split, wanted = orders.split, orders.wanted
    best = split.single
    return {
        "job": orders.job, "revision": orders.revision, "currency": orders.currency,
        "on": wanted.on.isoformat(), "needed": wanted.by.isoformat() if wanted.by else None,
        "late_per_day": wanted.late_per_day_minor, "surplus_share": plain(wanted.surplus_share),
        "with_stock": orders.with_stock, "without": list(orders.left_out),
        "orders": [_order_data(order, orders) for order in split.plan.orders],
        "days_late": split.plan.days_late, "lateness": split.plan.lateness_minor,
        "total": split.plan.total_minor, "bound": split.bound_minor, "gap": split.gap_minor,
        "proof": split.how,
        "line_by_line": {"total": split.greedy.total_minor, "saved": split.saved_on_greedy_minor,
                         "suppliers": list(split.greedy.suppliers)},
        "single": None if best is None or best.plan is None else {
            "supplier": best.supplier, "total": best.plan.total_minor,
            "saved": split.saved_on_single_minor},
        "suppliers": [_single_data(each, orders) for each in split.singles],
    }


def _order_data(order: Order, orders: OrderSplit) -> dict[str, Any]:
    by_key = {line.key: line for line in orders.lines}
    return {
        "supplier": order.supplier, "arrives": _arrives(order, orders.wanted).isoformat(),
        "days_late": order.days_late, "goods": order.goods_minor,
        "carriage": order.extras.carriage_minor, "surplus": order.extras.surplus_minor,
        "surplus_cost": order.extras.surplus_cost_minor, "cost": order.cost_minor,
        "lines": [_line_data(by_key[key], choice) for key, choice in order.lines],
    }


def _line_data(line: LineToOrder, choice: Choice) -> dict[str, Any]:
    return {
        "line": line.line, "item": line.item, "name": line.name, "unit": line.unit,
        "quantity": plain(line.quantity), "locked": line.locked, "cost": choice.goods_minor,
        "lead_days": choice.lead_days, "carriage_classes": sorted(choice.classes),
        "buys": [
            {"packs": buy.packs, "pack": plain(buy.offer.pack), "cost": buy.cost.minor,
             "supplier_code": buy.offer.supplier_code}
            for buy in choice.bought
        ],
    }


def _single_data(each: Single, orders: OrderSplit) -> dict[str, Any]:
    missing = {line.key: line.item for line in orders.lines}
    return {
        "supplier": each.supplier, "total": each.plan.total_minor if each.plan else None,
        "lacks": [missing[key] for key in each.missing],
    }
