"""Products of a BMEcat catalogue.

BMEcat 2005, and what version 1.2 calls articles. The meaning of the elements is taken from public
guides to the format and in part from memory (`VALID_START_DATE`, `DELIVERY_TIME`), not from the
text of the specification; a supplier's first catalogue deserves a look at its dry run.

`ORDER_UNIT` is what is ordered, `NO_CU_PER_OU` how many `CONTENT_UNIT` are in one,
`PRICE_QUANTITY` how many order units a price is for, `QUANTITY_MIN`, `QUANTITY_INTERVAL` and
`LOWER_BOUND` count order units, and `PRICE_FACTOR` multiplies the amount.

A catalogue may hold several kinds of price. Net prices are read (`net_list`, `net_customer`); one
with tax or a recommended retail price only where the column map names it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.exchange_fields import Fields, is_true, unit_of
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.listed import ListedPrice
from catalogue.price_lists.numbers import of_plain
from catalogue.price_lists.prices import Finer
from catalogue.price_lists.quantities import ONE
from catalogue.price_lists.terms import Terms, priced
from catalogue.price_lists.xml_records import Element

ROOT = "BMECAT"
LINES = frozenset({"PRODUCT", "ARTICLE"})
LIST = frozenset({"CATALOG"})
NET = ("net_customer", "net_list")
_FACTOR_PLACES = 6


def skipped(line: Element) -> str:
    """Return why a product holds no price of ours, or ""."""
    return "withdrawn" if line.given.get("mode") == "delete" else ""


def currency_of(catalogue: Element) -> str:
    """Return the currency of a catalogue's prices that say none themselves."""
    return catalogue.says("CURRENCY")


def prices(
    number: int, line: Element, column_map: ColumnMap, fields: Fields, currency: str
) -> Iterator[tuple[str, ListedPrice]]:
    """Yield the kind and the price of each price of a product; faults are noted in `fields`.

    Args:
        currency: of the catalogue.
    """
    what, pid = ("PRODUCT", "PID") if line.name == "PRODUCT" else ("ARTICLE", "AID")
    words = (fields.code(f"SUPPLIER_{pid}"), fields.name(f"{what}_DETAILS/BUYER_{pid}"),
             fields.name(f"{what}_DETAILS/DESCRIPTION_SHORT"))
    order = line.first(f"{what}_ORDER_DETAILS") or Element("", {}, line.line)
    content = order.first("NO_CU_PER_OU")
    held = fields.quantity(content, ONE)
    unit = unit_of(order.says("CONTENT_UNIT") or order.says("ORDER_UNIT"))
    interval = order.first("QUANTITY_INTERVAL")
    pack = fields.product(interval, held, fields.quantity(interval, ONE))
    minimum = fields.product(content, held, fields.quantity(order.first("QUANTITY_MIN"), ONE))
    for_units = order.first("PRICE_QUANTITY")
    per = fields.product(for_units, held, fields.quantity(for_units, ONE))
    days = _lead_days(line.first(f"{what}_DETAILS/DELIVERY_TIME"), fields)
    found = 0
    for details in line.all(f"{what}_PRICE_DETAILS"):
        first, last = (_day(details, fields, "start"), _day(details, fields, "end"))
        for price in details.all(f"{what}_PRICE"):
            found += 1
            least = _least(price, minimum, held, fields)
            minor = _price(details, price, currency, fields)
            if isinstance(minor, int | Finer):
                yield price.given.get("price_type", ""), priced(number, words, Terms(
                    (unit, pack, None if per == pack else per, least if least > pack else 0),
                    (None, "", days, first, last)), minor)
    if not found:
        fields.wrong(None, Fault("A112", "the price is missing", "ask the supplier for it"))


def _price(
    details: Element, price: Element, currency: str, fields: Fields
) -> int | Finer | None:
    if is_true(details.says("DAILY_PRICE")) or price.first("PRICE_FORMULA"):
        fields.wrong(price, Fault("A112", "the price is asked for each day, or worked out by a "
                                  "formula", "ask the supplier for it"))
        return None
    factor, given = 10**_FACTOR_PLACES, price.first("PRICE_FACTOR")
    if given:
        read = of_plain(given.text, _FACTOR_PLACES)
        if isinstance(read, Fault) or read <= 0:
            fields.wrong(given, Fault("A113", f"{told(given.text)} is no factor of a price",
                                      "ask the supplier about it"))
            return None
        factor = read
    return fields.price(price.first("PRICE_AMOUNT"), price.says("PRICE_CURRENCY") or currency,
                        factor, 10**_FACTOR_PLACES)


def _least(price: Element, minimum: int, held: int, fields: Fields) -> int:
    """Return the quantity of units from which a price holds; no order is below the minimum."""
    bound = price.first("LOWER_BOUND")
    return max(minimum, fields.product(bound, held, fields.quantity(bound, ONE)))


def _day(details: Element, fields: Fields, which: str) -> date | None:
    """Return the first or last day of prices, as either version writes it."""
    named = details.first(f"VALID_{which.upper()}_DATE")
    for each in details.all("DATETIME"):
        if each.given.get("type") == f"valid_{which}_date":
            named = named or each.first("DATE")
    return fields.day(named)


def _lead_days(element: Element | None, fields: Fields) -> int | None:
    if element is None or not element.text.strip().isdigit():
        return None
    return int(element.text) if len(element.text.strip()) <= 3 else None
