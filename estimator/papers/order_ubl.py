"""A purchase order as XML that a supplier's program reads: a UBL Order.

OASIS Universal Business Language 2.1 (OASIS Standard, 4 November 2013; ISO/IEC 19845:2015),
document type Order (schema file UBL-Order-2.1.xsd). Elements stand in the order
of the schema. Units are codes of UN/ECE recommendation 20, the currency one of ISO 4217. Amounts
have two decimal places and are without VAT: no tax is stated, and a note says so.

A line is so many units; `Price` is for `BaseQuantity` units, `PackSizeNumeric` says how many are in
a pack. Cut charges and carriage are `AllowanceCharge`s. The same order gives the same bytes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Union
from xml.sax.saxutils import escape, quoteattr

from estimator.buying.ordering import OrderLine, PurchaseOrder, terms_of_delivery
from estimator.papers.digits import plain
from estimator.settings import Firm

NAMESPACE = "urn:oasis:names:specification:ubl:schema:xsd:"
# Our units as codes of UN/ECE recommendation 20.
UNIT_CODES = {
    "each": "EA", "pair": "PR", "set": "SET", "m": "MTR", "m2": "MTK", "kg": "KGM", "l": "LTR",
    "day": "DAY", "week": "WEE",
}
_NO_SIGN = re.compile("[^\t\n\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
NET = "All amounts are without VAT."

Node = tuple[str, Union[str, "list[Node]"], dict[str, str]]


def order_ubl(order: PurchaseOrder, firm: Firm) -> bytes:
    """Return the order as the bytes of an XML file in UTF-8."""
    spaces = {
        "xmlns": f"{NAMESPACE}Order-2", "xmlns:cac": f"{NAMESPACE}CommonAggregateComponents-2",
        "xmlns:cbc": f"{NAMESPACE}CommonBasicComponents-2",
    }
    root: Node = ("Order", list(_order(order, firm)), spaces)
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', *_written(root, 0)]
    return ("\n".join(lines) + "\n").encode("utf-8")


def _order(order: PurchaseOrder, firm: Firm) -> Iterator[Node]:
    yield _text("UBLVersionID", "2.1")
    yield _text("ID", str(order.number))
    yield _text("IssueDate", order.on.isoformat())
    for note in (order.note, NET):
        if note:
            yield _text("Note", note)
    yield _text("DocumentCurrencyCode", order.currency)
    if order.to.job:
        yield _text("CustomerReference", order.to.job)
    yield _text("LineCountNumeric", str(len(order.lines)))
    yield _group("BuyerCustomerParty", [_firm(firm)])
    yield _group("SellerSupplierParty", [_group("Party", [_named(order.supplier)])])
    yield _group("Delivery", list(_delivery(order)))
    terms = [_text("SpecialTerms", says) for says in terms_of_delivery(order)]
    if terms:
        yield _group("DeliveryTerms", terms)
    if order.carriage_minor:
        yield _charge("Carriage", order.carriage_minor, order.currency)
    yield _group("AnticipatedMonetaryTotal", list(_totals(order)))
    for line in order.lines:
        yield _group("OrderLine", [_group("LineItem", list(_line(order, line)))])


def _firm(firm: Firm) -> Node:
    contact = [_text(name, value) for name, value in (
        ("Telephone", firm.phone), ("ElectronicMail", firm.email)) if value]
    return _group("Party", [
        _named(firm.name), *([_address("PostalAddress", firm.address)] if firm.address else []),
        *([_group("Contact", contact)] if contact else [])])


def _named(name: str) -> Node:
    return _group("PartyName", [_text("Name", name)])


def _address(name: str, address: str) -> Node:
    lines = [line.strip() for line in address.splitlines() if line.strip()]
    return _group(name, [_group("AddressLine", [_text("Line", line)]) for line in lines])


def _delivery(order: PurchaseOrder) -> Iterator[Node]:
    to = order.to
    place = f"site of job {to.job}" if to.job else to.place
    yield _group("DeliveryLocation", [
        _text("Description", place), *([_address("Address", to.address)] if to.address else [])])
    if order.wanted_on is not None:
        yield _period("RequestedDeliveryPeriod", None, order.wanted_on)
    if to.receiver:
        yield _group("DeliveryParty", [_named(to.receiver)])


def _totals(order: PurchaseOrder) -> Iterator[Node]:
    currency = order.currency
    yield _amount("LineExtensionAmount", order.goods_minor, currency)
    yield _amount("TaxExclusiveAmount", order.total_minor, currency)
    if order.carriage_minor:
        yield _amount("ChargeTotalAmount", order.carriage_minor, currency)
    yield _amount("PayableAmount", order.total_minor, currency)


def _line(order: PurchaseOrder, line: OrderLine) -> Iterator[Node]:
    currency, code = order.currency, UNIT_CODES[line.unit]
    yield _text("ID", str(line.line))
    if line.serials:
        yield _text("Note", "Please send a list of the serial numbers with the goods.")
    yield _text("Quantity", plain(line.quantity), unitCode=code)
    yield _amount("LineExtensionAmount", line.cost_minor, currency)
    yield _text("PartialDeliveryIndicator", "true")
    if line.needed_on is not None:
        yield _group("Delivery", [_period("RequestedDeliveryPeriod", None, line.needed_on)])
    if line.cut_charge_minor:
        yield _charge("Cutting to length", line.cut_charge_minor, currency)
    yield _group("Price", [
        _amount("PriceAmount", line.price_minor, currency),
        _text("BaseQuantity", plain(line.per), unitCode=code),
        _period("ValidityPeriod", line.price_from, line.price_until),
        *([_group("PriceList", [_text("ID", line.quoted)])] if line.quoted else [])])
    yield _group("Item", [
        _text("PackSizeNumeric", plain(line.pack)), _text("Name", line.name),
        _group("BuyersItemIdentification", [_text("ID", line.item)]),
        *([_group("SellersItemIdentification", [_text("ID", line.supplier_code)])]
          if line.supplier_code else [])])


def _charge(reason: str, minor: int, currency: str) -> Node:
    return _group("AllowanceCharge", [
        _text("ChargeIndicator", "true"), _text("AllowanceChargeReason", reason),
        _amount("Amount", minor, currency)])


def _period(name: str, first: date | None, last: date | None) -> Node:
    return _group(name, [_text(each, day.isoformat()) for each, day in (
        ("StartDate", first), ("EndDate", last)) if day])


def _amount(name: str, minor: int, currency: str) -> Node:
    return _text(name, f"{Decimal(minor).scaleb(-2):.2f}", currencyID=currency)


def _text(name: str, text: str, **given: str) -> Node:
    return f"cbc:{name}", text, given


def _group(name: str, nodes: list[Node]) -> Node:
    return f"cac:{name}", nodes, {}


def _written(node: Node, depth: int) -> Iterator[str]:
    name, content, given = node
    indent = "  " * depth
    about = "".join(f" {key}={quoteattr(value)}" for key, value in given.items())
    if isinstance(content, str):
        yield f"{indent}<{name}{about}>{escape(_sayable(content))}</{name}>"
        return
    yield f"{indent}<{name}{about}>"
    for each in content:
        yield from _written(each, depth + 1)
    yield f"{indent}</{name}>"


def _sayable(text: str) -> str:
    """Return the text with "?" for each sign that XML cannot hold (XML 1.0, production 2, Char)."""
    return _NO_SIGN.sub("?", text)
