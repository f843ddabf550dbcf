"""Purchase orders for the terminal and as data: those just made, one, all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, Protocol

from catalogue.money import round_half_up
from estimator.buying.basket import Split
from estimator.buying.ordering import OrderLine, PurchaseOrder, cautions_of, warnings_of
from estimator.buying.receiving import Placed
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.terminal import INDENT, clean, table, wrapped

NOTHING_ORDERED = "Nothing has been ordered yet: estimator orders place"


class Made(Protocol):
    """Orders that were made; see `estimator.workflow.placing.Ordered`."""

    @property
    def orders(self) -> tuple[PurchaseOrder, ...]: ...  # noqa: D102
    @property
    def split(self) -> Split: ...  # noqa: D102
    @property
    def on(self) -> date: ...  # noqa: D102
    @property
    def written(self) -> bool: ...  # noqa: D102
    @property
    def skipped(self) -> tuple[tuple[str, Decimal, tuple[int, ...]], ...]: ...  # noqa: D102
    @property
    def in_stock(self) -> tuple[tuple[str, Decimal], ...]: ...  # noqa: D102


def title_of(order: PurchaseOrder) -> str:
    """Return how an order is named; without a number it is not kept."""
    return f"Order {order.number}" if order.number else "Order (not kept yet)"


def orders_text(made: Made) -> str:
    """Return the orders just made, or that would be made."""
    blocks = [list(_order(order, made.on)) for order in made.orders]
    total = sum(order.total_minor for order in made.orders)
    currency = made.orders[0].currency
    count = len(made.orders)
    end = [f"{count} order{'s' if count != 1 else ''}, {words.money(total, currency)} without VAT"]
    saved = made.split.saved_on_single_minor
    if saved:
        end.append(f"{words.money(saved, currency)} less than everything from one supplier")
    for item, quantity, numbers in made.skipped:
        end += wrapped(f"{plain(quantity)} {item} on order for the job already: order "
                       + ", ".join(map(str, numbers)), "")
    end += [f"{plain(quantity)} {item} there for the job already, or picked"
            for item, quantity in made.in_stock]
    if made.written:
        end += ["kept; nothing was sent. What goes to the suppliers:",
                *(f"{INDENT}estimator orders papers {order.number}" for order in made.orders)]
    blocks += [list(_cautions(made.orders)), end]
    return clean("\n\n".join("\n".join(block) for block in blocks)) + "\n"


def placed_text(placed: Placed, today: date) -> str:
    """Return a kept order with what came of it."""
    order = placed.order
    blocks = [list(_order(order, today if placed.state in ("placed", "part received") else order.on,
                          state=placed.state)),
              list(_came(placed)) or list(_cautions([order]))]
    if placed.cancelled is not None:
        why = f": {placed.cancelled}" if placed.cancelled else ""
        blocks.append(wrapped(f"cancelled, what has not come is not wanted any more{why}", ""))
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def order_list(orders: Sequence[Placed], today: date) -> str:
    """Return one line for each order."""
    if not orders:
        return NOTHING_ORDERED
    rows = []
    for placed in orders:
        order = placed.order
        still = [order.comes_on(line) for line in order.lines if placed.open(line)]
        due = max(still, default=None)
        late = " (overdue)" if due is not None and due < today else ""
        jobs = sorted({each.job for line in order.lines for each in line.jobs})
        rows.append((
            str(order.number), words.day(order.on), order.supplier, ", ".join(jobs) or "shelf",
            order.to.place, words.money(order.total_minor, order.currency), placed.state,
            f"{words.day(due)}{late}" if due else ""))
    headings = ("order", "of", "supplier", "for", "to", "without VAT", "state", "all there on")
    return clean("\n".join(table(rows, "rllllrll", headings)))


def _order(order: PurchaseOrder, today: date, state: str = "") -> Iterator[str]:
    yield from wrapped(f"{title_of(order).upper()} to {order.supplier}, {words.day(order.on)}"
                       f"{f': {state}' if state else ''}", "")
    to = order.to
    where = f"the site of job {to.job}" if to.job else to.place
    yield from wrapped(", ".join(part for part in (
        f"deliver to {where}", to.address, f"received by {to.receiver}" if to.receiver else "",
        f"wanted on {words.day(order.wanted_on)}" if order.wanted_on else "",
    ) if part), INDENT)
    yield from table(
        [_line(order, line) for line in order.lines], "rrlllrrl",
        ("line", "units", "packs", "our code", "their code", "price", "cost", "there on"))
    for line in order.lines:
        yield from wrapped(f"{line.name}: {about(line)}", f"{INDENT}{line.line} ")
    yield from table([
        (words.money(minor, order.currency), says) for minor, says in (
            (order.goods_minor, "goods"), (order.carriage_minor, "carriage"),
            (order.total_minor, "in all, without VAT"))
    ], "rl")
    for says in (*warnings_of(order, today), *advice(order)):
        yield from wrapped(says, f"{INDENT}! ")


def _cautions(orders: Sequence[PurchaseOrder]) -> Iterator[str]:
    yield "TAKING IT IN"
    for says in dict.fromkeys(each for order in orders for each in cautions_of(order)):
        yield from wrapped(says, f"{INDENT}- ")


def _line(order: PurchaseOrder, line: OrderLine) -> tuple[str, ...]:
    return (
        str(line.line), words.count(line.quantity, line.unit), packs_of(line), line.item,
        line.supplier_code or "-", price_of(line, order.currency),
        words.money(line.cost_minor, order.currency), words.day(order.comes_on(line)))


def packs_of(line: OrderLine) -> str:
    """Return packs and what is in one: "2 of 100"."""
    return f"{plain(line.packs)} of {plain(line.pack)}"


def price_of(line: OrderLine, currency: str) -> str:
    """Return the price as it was quoted: "£14.50 each", "£3.45 for 100"."""
    price = words.money(line.price_minor, currency)
    return f"{price} each" if line.per == 1 else f"{price} for {plain(line.per)}"


def about(line: OrderLine) -> str:
    """Return what an order says of a line beside its figures."""
    until = f"to {words.day(line.price_until)}" if line.price_until else "until further notice"
    days = f"{line.lead_days} day{'s' if line.lead_days != 1 else ''}"
    return "; ".join(part for part in (
        f"{line.quoted} {until}", days,
        f"order by {words.day(line.order_by)}" if line.order_by else "",
        "serial numbers asked for" if line.serials else "",
        "for " + ", ".join(f"{each.job} ({plain(each.quantity)})" for each in line.jobs)
        if line.jobs else "",
    ) if part)


def advice(order: PurchaseOrder) -> Iterator[str]:
    """Yield what goods beyond the need would be good for."""
    if order.advised_minor:
        yield (f"goods for {words.money(order.advised_minor, order.currency)} more would "
               + ("reach the least order of "
                  f"{words.money(order.least_minor, order.currency)}"
                  if order.goods_minor < order.least_minor else "save carriage"))


def _came(placed: Placed) -> Iterator[str]:
    if not placed.deliveries:
        return
    order = placed.order
    yield "CAME"
    yield from table([
        (str(line.line), plain(line.quantity),
         plain(sum((each.good for each in placed.came(line.line)), Decimal(0))),
         plain(sum((each.damaged for each in placed.came(line.line)), Decimal(0))),
         plain(placed.open(line)), line.name)
        for line in order.lines
    ], "rrrrrl", ("line", "ordered", "good", "damaged", "open", "what"))
    for each in placed.deliveries:
        note = f", delivery note {each.note}" if each.note else ""
        by = f", taken in by {each.by}" if each.by else ""
        yield from wrapped(f"{words.day(each.on)}{note}{by}", INDENT)
    yield f"{INDENT}{variance_words(placed.variance_minor, order.currency)}"


def variance_words(variance_minor: Fraction, currency: str) -> str:
    """Return a price variance in words; above zero is dearer than ordered."""
    shown = words.money(abs(round_half_up(variance_minor)), currency)
    if not variance_minor:
        return "price variance: none"
    return (f"price variance: {shown} adverse, dearer than ordered" if variance_minor > 0 else
            f"price variance: {shown} favourable, cheaper than ordered")


def orders_data(made: Made) -> dict[str, Any]:
    """Return the orders just made as plain data."""
    return {
        "written": made.written, "on": made.on.isoformat(),
        "orders": [order_data(order, made.on) for order in made.orders],
        "total": sum(order.total_minor for order in made.orders),
        "on_order_already": [
            {"item": item, "quantity": plain(quantity), "orders": list(numbers)}
            for item, quantity, numbers in made.skipped],
        "there_already": [{"item": item, "quantity": plain(quantity)}
                          for item, quantity in made.in_stock],
    }


def order_data(order: PurchaseOrder, today: date) -> dict[str, Any]:
    """Return an order as plain data: money in minor units, quantities and days as text."""
    return {
        "number": order.number or None, "supplier": order.supplier, "on": order.on.isoformat(),
        "currency": order.currency, "to": order.to.place, "job": order.to.job or None,
        "address": order.to.address, "receiver": order.to.receiver, "note": order.note,
        "wanted_on": _day(order.wanted_on), "order_by": _day(order.order_by),
        "price_until": _day(order.price_until), "goods": order.goods_minor,
        "carriage": order.carriage_minor, "total": order.total_minor,
        "least_order": order.least_minor, "advised": order.advised_minor,
        "warnings": list(warnings_of(order, today)), "cautions": list(cautions_of(order)),
        "lines": [_line_data(order, line) for line in order.lines],
    }


def _line_data(order: PurchaseOrder, line: OrderLine) -> dict[str, Any]:
    return {
        "line": line.line, "item": line.item, "supplier_code": line.supplier_code,
        "name": line.name, "unit": line.unit, "quantity": plain(line.quantity),
        "packs": plain(line.packs), "pack": plain(line.pack), "price": line.price_minor,
        "per": plain(line.per), "cut_charge": line.cut_charge_minor, "cost": line.cost_minor,
        "quoted": line.quoted, "price_until": _day(line.price_until),
        "lead_days": line.lead_days, "needed_on": _day(line.needed_on),
        "order_by": _day(line.order_by), "comes_on": order.comes_on(line).isoformat(),
        "serials": line.serials,
        "jobs": [{"job": each.job, "quantity": plain(each.quantity)} for each in line.jobs],
    }


def placed_data(placed: Placed) -> dict[str, Any]:
    """Return a kept order with what came of it as plain data; the variance is exact, as text."""
    return {
        **order_data(placed.order, placed.order.on), "state": placed.state,
        "cancelled": placed.cancelled,
        "open": {str(line.line): plain(placed.open(line)) for line in placed.order.lines},
        "deliveries": [
            {"on": each.on.isoformat(), "note": each.note, "by": each.by, "came": [
                {"line": came.line, "good": plain(came.good), "damaged": plain(came.damaged),
                 "price": came.price_minor, "serials": list(came.serials)}
                for came in each.came]}
            for each in placed.deliveries],
        "price_variance": str(placed.variance_minor),
    }


def _day(on: date | None) -> str | None:
    return on.isoformat() if on else None
