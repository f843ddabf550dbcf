"""What comes out of a price list: its sound rows, and by cell and reason those that are refused.

`column_map` says how the file is laid out, `reading.read_price_list` reads it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from catalogue.problems import Place, Problem


class ListedPrice(NamedTuple):
    """One sound price of a list. A named tuple, since a list may hold a hundred thousand.

    Attributes:
        row: row of the sheet, line of the text file, or place of the line in an exchange file,
            counted from 1.
        supplier_code: the supplier's part number; always text, never blank.
        item: the firm's own code if the list carries it, else "".
        name: the supplier's words for it, on one line; "" if the list has none.
        unit: what the numbers count, one of `catalogue.items.UNITS`, if the list says so, else "".
        pack_milli: units sold together, in thousandths.
        per_milli: units that the price is for, in thousandths; None is one pack.
        least_milli: the price holds from this quantity of units ordered on, in thousandths.
        price_minor: whole minor units for `per`. A price finer than a minor unit is never rounded:
            price and quantity are both raised tenfold until it is whole (0.0345 each is 345 minor
            units per 100; 0.5 minor units a pack of 10 is 5 per 100 units).
        cut_charge_minor: charge for each length cut to measure; None is no such charge.
        carriage_class: "" ordinary, else the firm's name of the class.
        lead_days: None if the list does not say.
        from_date, to_date: when the price holds, both days included; None is the day and the end
            of the list itself.
    """

    row: int
    supplier_code: str
    item: str
    name: str
    unit: str
    pack_milli: int
    per_milli: int | None
    least_milli: int
    price_minor: int
    cut_charge_minor: int | None
    carriage_class: str
    lead_days: int | None
    from_date: date | None
    to_date: date | None


@dataclass(slots=True)
class ReadPriceList:
    """A whole price list as read.

    Attributes:
        form: "xlsx", "ods", "csv", "UBL catalogue" or "BMEcat".
        currency: three capital letters; of every price in it.
        rows: the sound prices, in the order of the file.
        refused: what is wrong with the others, by cell, in the order of the file; a row may have
            several problems, and a run of hidden rows has one.
        refused_rows: how many rows of the file are refused.
        skipped: rows that hold no price and are none of anybody's mistakes, by reason ("blank",
            "title", "heading", "repeated header", "total", "repeated row").
        cautions: what was read and should be looked at; all of level "caution".
        from_date, to_date: the days between which the whole list holds, where the file says them.
        cell: row and fields -> place of the first field that has a column, and what is to stand
            before the words; None for an exchange file, which has lines only.
    """

    form: str
    currency: str
    rows: list[ListedPrice] = field(default_factory=list)
    refused: list[Problem] = field(default_factory=list)
    refused_rows: int = 0
    skipped: dict[str, int] = field(default_factory=dict)
    cautions: list[Problem] = field(default_factory=list)
    from_date: date | None = None
    to_date: date | None = None
    cell: Callable[..., tuple[Place, str]] | None = None
