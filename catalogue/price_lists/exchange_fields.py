"""Reads the fields of one line of an exchange file, and gathers what is wrong with them by line."""

from __future__ import annotations

from datetime import date
from math import prod

from catalogue.price_lists import dates, texts
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.numbers import of_plain
from catalogue.price_lists.prices import PLACES, Finer, meant
from catalogue.price_lists.quantities import ONE
from catalogue.price_lists.quantities import PLACES as QUANTITY_PLACES
from catalogue.price_lists.xml_records import Element

# Codes of UN/ECE recommendation 20, and PCE, which older files write for a piece.
UNIT_CODES = {
    "C62": "each", "H87": "each", "EA": "each", "PCE": "each", "PR": "pair",
    "NPR": "pair", "SET": "set", "MTR": "m", "MTK": "m2", "KGM": "kg", "LTR": "l", "DAY": "day",
    "WEE": "week",
}
MOST = 1_000_000 * ONE
_TRUE = ("true", "1")


class Fields:
    """The fields of one line, and what is wrong with them."""

    def __init__(self, line: Element, column_map: ColumnMap) -> None:
        self.line, self.map = line, column_map
        self.faults: list[tuple[int, Fault]] = []

    def wrong(self, element: Element | None, fault: Fault) -> None:
        """Note what is wrong with an element, or with the line where the element is missing."""
        self.faults.append(((element or self.line).line, fault))

    def code(self, path: str) -> str:
        """Return the part number under a path."""
        read = texts.code(self.line.says(path), False)
        if isinstance(read, Fault):
            self.wrong(self.line.first(path), read)
            return ""
        return read

    def name(self, *paths: str) -> str:
        """Return the first text that one of the paths has, or ""."""
        path = next((path for path in paths if self.line.says(path)), paths[0])
        read = texts.name(self.line.says(path))
        if isinstance(read, Fault):
            self.wrong(self.line.first(path), read)
            return ""
        return read

    def quantity(self, element: Element | None, default: int) -> int:
        """Return a quantity above nought in thousandths."""
        if element is None or not element.text.strip():
            return default
        read = of_plain(element.text, QUANTITY_PLACES)
        if isinstance(read, int) and not 0 < read <= MOST:
            read = Fault("A116", f"the quantity {told(element.text)} cannot be meant",
                         "ask the supplier about it")
        if isinstance(read, Fault):
            self.wrong(element, Fault("A116", read.says, read.mend))
            return default
        return read

    def product(self, element: Element | None, *milli: int) -> int:
        """Return the product of quantities in thousandths."""
        scale: int = ONE ** (len(milli) - 1)
        whole, rest = divmod(prod(milli), scale)
        if rest:
            self.wrong(element, Fault("A116", "the quantities multiply to less than a thousandth "
                                      "of a unit", "ask the supplier about it"))
        return whole

    def day(self, element: Element | None) -> date | None:
        """Return the day of an element; a time of day beside it is passed over."""
        text = element.text.strip().partition("T")[0].partition("+")[0].rstrip("Z") if (
            element) else ""
        if not text:
            return None
        read = dates.day(text, "year month day")
        if isinstance(read, Fault):
            self.wrong(element, read)
            return None
        return read

    def price(
        self, amount: Element | None, currency: str, factor: int = 1, of: int = 1
    ) -> int | Finer | None:
        """Return a price times factor / of; None, and a fault, if there is none."""
        if amount is None or not amount.text.strip():
            self.wrong(amount, Fault("A112", "the price is missing", "ask the supplier for it"))
            return None
        if currency and currency != self.map.currency:
            self.wrong(amount, Fault("A115", f"the price is in {told(currency)}, the list in "
                                     f"{self.map.currency}",
                                     "import each currency from a file of its own"))
            return None
        number = of_plain(amount.text, PLACES)
        if isinstance(number, int):
            number, rest = divmod(number * factor, of)
            if rest:
                number = Fault("A113", f"the price {told(amount.text)} times its factor has more "
                               f"than {PLACES} decimal places", "ask for the net price")
        read = number if isinstance(number, Fault) else meant(
            number, amount.text, self.map.free_items)
        if isinstance(read, Fault):
            self.wrong(amount, read)
            return None
        return read


def unit_of(code: str) -> str:
    """Return the unit of a code of UN/ECE recommendation 20, or "" if it is none of ours."""
    return UNIT_CODES.get(code.upper(), "")


def is_true(text: str) -> bool:
    """Return whether a flag of an XML file is set."""
    return text.strip().casefold() in _TRUE
