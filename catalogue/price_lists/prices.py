"""A price cell as whole minor units, or as so many of a finer unit where it is finer.

A price has at most four decimal places. One that is no whole number of minor units is never
rounded: it becomes the price of ten or a hundred times the quantity (`Finer`).
"""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.numbers import SPACES, scaled

PLACES = 4
MOST = 10_000_000  # major units; dearer is a slip of the decimal mark or a sum of the list
MINOR = 100  # units to the major one
_STEP: int = 10 ** (PLACES - 2)  # of a minor unit
# Signs that stand for a currency; a sign shared by several agrees with each of them.
SIGNS: dict[str, tuple[str, ...]] = {
    "£": ("GBP",), "€": ("EUR",), "$": ("USD", "AUD", "CAD", "NZD", "SGD", "HKD"),
    "a$": ("AUD",), "us$": ("USD",), "nz$": ("NZD",), "c$": ("CAD",),
    "kr": ("SEK", "NOK", "DKK"), "kr.": ("DKK",), "zł": ("PLN",), "kč": ("CZK",),
    "fr.": ("CHF",), "¥": ("JPY", "CNY"), "₹": ("INR",),
}
_SIGN = r"[£€$¥₹]|[Aa]\$|US\$|NZ\$|C\$|[Kk]r\.?|zł|Kč|Fr\.|[A-Z]{3}"
_WITH_SIGN = re.compile(
    rf"([-\u2212(]?)\s*(?:({_SIGN})\s*(.*?[0-9].*?)|(.*?[0-9].*?)\s*({_SIGN}))\s*(\)?)")
_NO_PRICE = re.compile(
    r"(p\.?o\.?a\.?|poa|price on (application|request)|on (application|request)|call|ask|"
    r"please (call|ask)|enquire|n/?a|n\.a\.|t\.?b\.?[acd]\.?|-+|\u2013|\u2014|\?+|nil|none|"
    r"discontinued|obsolete|deleted)", re.IGNORECASE)


class Finer(NamedTuple):
    """A price that is no whole number of minor units: `minor` for `times` the quantity."""

    minor: int
    times: int


class Prices(dict[Any, Any]):
    """Cell -> minor units, `Finer` or `Fault`; each content is read once."""

    def __init__(self, currency: str, mark: str, free_items: bool) -> None:
        super().__init__()
        self.currency, self.mark, self.free_items = currency, mark, free_items

    def __missing__(self, cell: Any) -> int | Finer | Fault:
        read = self[cell] = self._read(cell)
        return read

    def _read(self, cell: Any) -> int | Finer | Fault:
        if isinstance(cell, str):
            bare = self.without_sign(cell)
            if isinstance(bare, Fault):
                return bare
            number = scaled(bare, PLACES, self.mark)
        else:
            number = scaled(cell, PLACES, self.mark)
        if isinstance(number, Fault):
            return number
        return meant(number, cell, self.free_items)

    def without_sign(self, cell: str) -> str | Fault:
        """Return the text without a sign that agrees with the currency; a fault without any."""
        text = cell.translate(SPACES).strip()
        if not text:
            return Fault("A112", "the price is missing", "ask the supplier for it")
        if _NO_PRICE.fullmatch(text):
            return Fault("A112", f"there is no price but {told(text)}", "ask the supplier for it")
        match = _WITH_SIGN.fullmatch(text)
        if match is None:
            return text
        before, sign, first, second, after, behind = match.groups()
        sign = sign or after
        if self.currency not in SIGNS.get(sign.lower(), (sign,)):
            return Fault("A115", f"the price {told(text)} is not in {self.currency}",
                         "import each currency from a file of its own")
        return f"{before}{first or second}{behind}"


def meant(number: int, cell: Any, free_items: bool) -> int | Finer | Fault:
    """Return a price of `PLACES` places in minor units, if it can be meant.

    Args:
        cell: what it was read from, for the message.
        free_items: whether nought is a price.
    """
    if number < 0:
        return Fault("A114", f"the price {told(cell)} is below nought",
                     "a credit is no price; ask the supplier")
    if number == 0 and not free_items:
        return Fault("A114", "the price is nought",
                     "ask the supplier; if it is free, the column map says free_items = true")
    if number > MOST * 10**PLACES:
        return Fault("A114", f"the price {told(cell)} is above {MOST:,}",
                     "look whether a decimal mark is lost")
    minor, rest = divmod(number, _STEP)
    if not rest:
        return minor
    return Finer(number // 10, 10) if rest % 10 == 0 else Finer(number, _STEP)
