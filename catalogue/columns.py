"""The columns of a family's sheet: those of every item, then one per field of its specification.

The starter catalogue, the workbook to fill, import and export all have the same columns. A
specification field that every item has too (`width_mm` of a panel) is one column that fills both.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import get_args

from catalogue.answers import Asked, asked_for
from catalogue.items import UNITS, Held, VatClass
from catalogue.specs import FAMILIES, HEADS

YES_NO = ("yes", "no")
_COUNT = Asked("whole number", least=Decimal(0), most=Decimal(100_000))
_SIZE = Asked("whole number", "mm", above=Decimal(0), most=Decimal(100_000))
_TEXT = Asked("text")
_VALUE = Asked("number", above=Decimal(0), most=Decimal(10_000_000), decimals=2)


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a sheet.

    Attributes:
        name: its header; ends in the unit where it has one.
        asked: what a cell must be.
        needed: whether a blank cell is a mistake.
        default: what a blank cell means, in words; "" if it means nothing known.
        meaning: what it says, in a few words.
        of_item, of_spec: whether it fills a field of the item, of the specification.
        whole_words: whether its vocabulary is of whole numbers (1, 3).
    """

    name: str
    asked: Asked
    needed: bool = False
    default: str = ""
    meaning: str = ""
    of_item: bool = True
    of_spec: bool = False
    whole_words: bool = False

    @property
    def is_text(self) -> bool:
        """Return whether a number in a cell would be text that has lost something."""
        return not self.whole_words and self.asked.kind in ("text", "word")

    @property
    def header(self) -> str:
        """Return the header of a workbook: the name and the unit."""
        return f"{self.name} [{self.asked.unit}]" if self.asked.unit else self.name


_ITEM = (
    Column("code", _TEXT, True, meaning="the firm's part number; always text"),
    Column("name", _TEXT, True, meaning="what the bill calls it"),
    Column("roles", replace(_TEXT, is_list=True), True,
           meaning="what it can serve as, parted by ';'; rules ask for a role"),
    Column("unit", Asked("word", words=UNITS), True, meaning="how it is counted"),
    Column("head", _TEXT, default="the family's", meaning="cost head its money is shown under"),
    Column("held", Asked("word", words=get_args(Held)), default="stock",
           meaning="kept on the shelf, or bought for the job"),
    Column("bin", _TEXT, meaning="where it lies in the store"),
    Column("mass_kg", Asked("number", "kg", above=Decimal(0), most=Decimal(100_000), decimals=3),
           meaning="mass of one unit"),
    Column("length_mm", _SIZE, meaning="length"),
    Column("width_mm", _SIZE, meaning="width"),
    Column("height_mm", _SIZE, meaning="height"),
    Column("waste", Asked("number", least=Decimal(0), below=Decimal(1), decimals=3), default="0",
           meaning="share cut off, broken or spilt (0.05 = 5 %)"),
    Column("vat_class", Asked("word", words=get_args(VatClass)), default="energy saving",
           meaning="class for the tax relief"),
    Column("serialised", Asked("yes or no"), default="no", meaning="each has a serial number"),
    Column("sold_apart", Asked("yes or no"), default="yes",
           meaning="no: comes only in another item's box, and has no price"),
    Column("supplier", _TEXT, meaning="who sells it; blank = no price known"),
    Column("pack", Asked("number", above=Decimal(0), most=Decimal(1_000_000), decimals=3),
           meaning="units in the pack that is sold"),
    Column("price", Asked("number", least=Decimal(0), most=Decimal(10_000_000), decimals=2),
           meaning="price of one pack without tax"),
    Column("lead_days", Asked("whole number", least=Decimal(0), most=Decimal(1000)),
           default="the supplier's", meaning="days from order to delivery"),
    Column("note", _TEXT, meaning="for the buyer"),
)
ITEM_COLUMNS = tuple(column.name for column in _ITEM)
OFFER_COLUMNS = ("supplier", "pack", "price", "lead_days")

SUPPLIER_COLUMNS = (
    Column("name", _TEXT, True), Column("lead_days", _COUNT, True), Column("note", _TEXT),
)
BOX_COLUMNS = (
    Column("box", _TEXT, True, meaning="code of the item whose box it is"),
    Column("item", _TEXT, True, meaning="code of the item inside"),
    Column("quantity", replace(_COUNT, least=Decimal(1)), True),
    Column("from", Asked("date"), True),
    Column("to", Asked("date"), default="open"),
)
OFFERS_COLUMNS = (
    Column("item", _TEXT, True), Column("supplier", _TEXT, True), Column("supplier_code", _TEXT),
    Column("pack", next(c.asked for c in _ITEM if c.name == "pack"), True),
    Column("price", next(c.asked for c in _ITEM if c.name == "price"), True),
    Column("currency", replace(_TEXT, pattern="^[A-Z]{3}$"), True),
    Column("per", next(c.asked for c in _ITEM if c.name == "pack"), default="one pack",
           meaning="units that the price is for"),
    Column("least", replace(next(c.asked for c in _ITEM if c.name == "pack"), above=None,
                            least=Decimal(0)), default="0",
           meaning="units from which on the price holds"),
    Column("cut_charge", next(c.asked for c in _ITEM if c.name == "price"),
           meaning="for each length cut off to measure"),
    Column("carriage_class", _TEXT, meaning="what brings a carriage charge of its own"),
    Column("lead_days", _COUNT, default="the supplier's"),
    Column("from", Asked("date"), True), Column("to", Asked("date"), default="open"),
)
CARRIAGE_COLUMNS = (
    Column("supplier", _TEXT, True),
    Column("carriage_class", _TEXT, default="the order itself",
           meaning="what brings the charge, on top of the order's; as offers name it"),
    Column("charge", next(c.asked for c in _ITEM if c.name == "price"), True,
           meaning="for bringing an order, without tax"),
    Column("free_from", _VALUE, default="never",
           meaning="value of goods from which on the charge falls away"),
    Column("least_order", _VALUE, default="any",
           meaning="value of goods under which no order is taken; only for the order itself"),
    Column("currency", replace(_TEXT, pattern="^[A-Z]{3}$"), True),
    Column("from", Asked("date"), True), Column("to", Asked("date"), default="open"),
)
# Sheets that are no family, in the order in which they must be written.
OTHER_SHEETS = {
    "suppliers": SUPPLIER_COLUMNS, "boxes": BOX_COLUMNS, "offers": OFFERS_COLUMNS,
    "carriage": CARRIAGE_COLUMNS,
}


@functools.cache
def columns_of(family: str) -> tuple[Column, ...]:
    """Return the columns of a family's sheet.

    Raises:
        KeyError: if there is no such family.
    """
    spec = {column.name: column for column in _spec_columns(family)}
    shared = [_merged(column, spec.pop(column.name, None), family) for column in _ITEM]
    return (*shared, *spec.values())


def _merged(column: Column, other: Column | None, family: str) -> Column:
    if column.name == "head":
        return replace(column, default=HEADS[family])
    if other is None:
        return column
    return replace(column, of_spec=True, needed=column.needed or other.needed)


def _spec_columns(family: str) -> Iterator[Column]:
    for name, field in FAMILIES[family].model_fields.items():
        asked = asked_for(field.annotation, field.metadata, unit_of(name))
        whole_words = any(not isinstance(word, str) for word in asked.words)
        if whole_words:
            asked = replace(asked, words=tuple(str(word) for word in asked.words))
        needed = field.is_required()
        yield Column(
            name, asked, needed, "" if needed else _in_a_cell(field.default),
            of_item=False, of_spec=True, whole_words=whole_words,
        )


def _in_a_cell(default: object) -> str:
    if isinstance(default, bool):
        return "yes" if default else "no"
    if default is None or default == ():
        return ""
    return str(default)


# The end of a name says its unit; the longest that fits counts.
_UNITS = {
    "mv_per_a_m": "mV/(A m)", "pct_per_k": "%/K", "mm2": "mm²", "mm": "mm", "m": "m", "kwh": "kWh",
    "kn": "kN", "kg": "kg", "w": "W", "v": "V", "a": "A", "n": "N", "ml": "ml", "deg": "°",
    "c": "°C", "db": "dB", "min": "min",
}


def unit_of(name: str) -> str:
    """Return the unit that a column's name ends in ("voc_v" -> "V"), or ""."""
    fitting = [end for end in _UNITS if name == end or name.endswith(f"_{end}")]
    return _UNITS[max(fitting, key=len)] if fitting else ""
