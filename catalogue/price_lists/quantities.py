"""Quantities and units as price lists write them: "100", "Box of 200", "100m drum", "per 100".

A word is taken only where it can mean one thing. Quantities are thousandths of a unit, as they are
stored.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.numbers import SPACES, of_text, scaled

PLACES = 3
ONE = 10**PLACES
MOST = 1_000_000
_UNITS: Mapping[str, tuple[str, ...]] = {
    "each": ("each", "ea", "pc", "pcs", "pce", "piece", "pieces", "no", "nr", "nos", "off", "item",
             "unit", "units", "c62", "h87", "st", "stk"),
    "m": ("m", "mtr", "mtrs", "metre", "metres", "meter", "meters", "lm"),
    "pair": ("pair", "pairs", "pr", "prs"),
    "set": ("set", "sets", "kit", "kits"),
    "kg": ("kg", "kgs", "kgm"),
    "l": ("l", "ltr", "litre", "litres", "liter", "liters"),
    "m2": ("m2", "m²", "sqm", "mtk"),
    "day": ("day", "days"),
    "week": ("week", "weeks", "wee"),
}
UNIT_WORDS = {word: unit for unit, words in _UNITS.items() for word in words}
PACK_WORDS = frozenset((
    "pack", "packs", "pk", "pkt", "packet", "box", "boxes", "bx", "bag", "carton", "ctn", "ct",
    "drum", "drm", "roll", "reel", "coil", "tub", "tube", "bundle", "bdl", "length", "lgth", "bar",
    "pallet"))
_CONTAINER = "|".join(sorted(PACK_WORDS, key=len, reverse=True))
_UNIT = "|".join(sorted(map(re.escape, UNIT_WORDS), key=len, reverse=True))
_PACK = re.compile(
    rf"(?:(?P<before>{_CONTAINER})\s*(?:of|/|:|-)?\s*)?(?P<number>[0-9][0-9., ]*)\s*"
    rf"(?P<unit>{_UNIT})?\s*(?:/|per)?\s*(?P<after>{_CONTAINER})?")
_PER = re.compile(rf"(?:per\s+|/\s*|price\s+per\s+)?(?P<number>[0-9][0-9., ]*)?\s*"
                  rf"(?P<unit>{_UNIT}|{_CONTAINER})?\.?")


class Counted(NamedTuple):
    """A quantity and what it counts ("" if that is not said); `milli` None is one pack."""

    milli: int | None
    unit: str


def quantity(cell: Any, mark: str) -> int | Fault:
    """Return a quantity above nought in thousandths."""
    number = scaled(cell, PLACES, mark)
    return _within(number, cell) if not isinstance(number, Fault) else Fault(
        "A116", number.says, number.mend)


def _within(milli: int, cell: Any) -> int | Fault:
    if milli <= 0:
        return Fault("A116", f"a quantity is above nought, not {told(cell)}", "ask the supplier")
    if milli > MOST * ONE:
        return Fault("A116", f"the quantity {told(cell)} is above {MOST:,}", "look it over")
    return milli


def pack(cell: Any, mark: str) -> Counted | Fault:
    """Return what is sold together: a number, or words such as "Box of 200" and "100m drum"."""
    if not isinstance(cell, str):
        number = quantity(cell, mark)
        return number if isinstance(number, Fault) else Counted(number, "")
    text = _plain(cell)
    if text in UNIT_WORDS:
        return Counted(ONE, UNIT_WORDS[text])
    match = _PACK.fullmatch(text)
    if match is None or (match["before"] and match["after"]):
        return Fault("A116", f"{told(cell)} does not say how many are sold together",
                     "write the number, such as 100")
    number = _number(match["number"], cell, mark)
    if isinstance(number, Fault):
        return number
    return Counted(number, UNIT_WORDS.get(match["unit"] or "", ""))


def per(cell: Any, mark: str) -> Counted | Fault:
    """Return what a price is for: a number, a unit, "per 100", "100 m" or a pack."""
    if not isinstance(cell, str):
        number = quantity(cell, mark)
        return number if isinstance(number, Fault) else Counted(number, "")
    match = _PER.fullmatch(_plain(cell))
    if match is None or not (match["number"] or match["unit"]):
        return Fault("A117", f"{told(cell)} is no unit known here",
                     "write each, m, per 100 or pack; or leave this column out of the column map "
                     "and say price_per there")
    counted = _number(match["number"], cell, mark) if match["number"] else ONE
    if isinstance(counted, Fault):
        return counted
    word = match["unit"] or ""
    if word not in PACK_WORDS:
        return Counted(counted, UNIT_WORDS.get(word, ""))
    if counted != ONE:
        return Fault("A117", f"{told(cell)} counts packs", "give the price for one pack")
    return Counted(None, "")


def _plain(cell: str) -> str:
    return " ".join(cell.translate(SPACES).casefold().split())


def _number(text: str, cell: str, mark: str) -> int | Fault:
    number = of_text(text.strip(), PLACES, mark)
    return _within(number, cell) if not isinstance(number, Fault) else Fault(
        "A116", number.says, number.mend)
