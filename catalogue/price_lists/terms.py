"""The terms of a row: everything but part number, name and price, which many rows share.

Rows of a list have few different packs, units and dates, so the cells of all these columns
together are read once and looked up after that.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from catalogue.price_lists import dates, quantities, texts
from catalogue.price_lists.column_map import PACK, ColumnMap
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.listed import ListedPrice
from catalogue.price_lists.prices import Finer, Prices
from catalogue.price_lists.quantities import ONE, Counted

FIELDS = ("unit", "pack", "per", "least", "currency", "cut_charge", "carriage_class", "lead_days",
          "from_date", "to_date")
LONGEST_LEAD_DAYS = 730
_LEAD = re.compile(r"(?:[0-9]{1,3} ?(?:-|to) ?)?([0-9]{1,3}) ?(working days?|days?|d|weeks?|wks?)?")
_STOCK = ("stock", "ex stock", "ex-stock", "in stock", "from stock")
_WEEKS = ("week", "weeks", "wk", "wks")
_PER_WEEK = 7


class Terms(NamedTuple):
    """The fields of `ListedPrice` that rows share, as they stand before and after the price.

    Attributes:
        before: unit, pack, per and least, quantities in thousandths.
        after: charge for a cut, class of carriage, days of lead, first and last day.
    """

    before: tuple[str, int, int | None, int]
    after: tuple[int | None, str, int | None, date | None, date | None]


def priced(
    number: int, words: tuple[str, str, str], terms: Terms, price: int | Finer
) -> ListedPrice:
    """Return a price with its terms; words are part number, the firm's code, and name."""
    unit, pack, per, least = terms.before
    if isinstance(price, Finer):
        per, price = (per or pack) * price.times, price.minor
    return ListedPrice._make((number, *words, unit, pack, per, least, price, *terms.after))


class TermsOf(dict[tuple[Any, ...], "Terms | tuple[tuple[str, Fault], ...]"]):
    """Cells of the term columns -> terms, or each fault with the field whose cell has it."""

    def __init__(self, column_map: ColumnMap, fields: Sequence[str]) -> None:
        """Take the fields whose cells a key holds, in their order."""
        super().__init__()
        self.map, self.fields = column_map, tuple(fields)
        mark, order = column_map.decimal_mark, column_map.date_order
        self.classes = {texts.clean(word).casefold(): kept
                        for word, kept in column_map.carriage_classes.items()}
        charges = Prices(column_map.currency, mark, True)
        self.readers: dict[str, Callable[[Any], Any]] = {
            "unit": lambda cell: quantities.per(cell, mark),
            "per": lambda cell: quantities.per(cell, mark),
            "pack": lambda cell: quantities.pack(cell, mark),
            "least": lambda cell: _least(cell, mark),
            "currency": self._currency,
            "cut_charge": lambda cell: _whole_minor(charges[cell]),
            "carriage_class": self._carriage_class,
            "lead_days": _lead_days,
            "from_date": lambda cell: dates.day(cell, order),
            "to_date": lambda cell: dates.day(cell, order),
        }
        self.known: dict[tuple[str, Any], Any] = {}

    def __missing__(self, cells: tuple[Any, ...]) -> Terms | tuple[tuple[str, Fault], ...]:
        read = self[cells] = self.read(cells)
        return read

    def read(self, cells: Sequence[Any]) -> Terms | tuple[tuple[str, Fault], ...]:
        """Return the terms of the cells, or every fault of them."""
        values: dict[str, Any] = {}
        faults = []
        for field, cell in zip(self.fields, cells, strict=True):
            value = self._value(field, cell)
            if isinstance(value, Fault):
                faults.append((field, value))
            else:
                values[field] = value
        if not faults:
            faults = list(self._crossed(values))
        return tuple(faults) if faults else self._terms(values)

    def _value(self, field: str, cell: Any) -> Any:
        """Return what a cell says; None for a blank one."""
        if cell is None or (isinstance(cell, str) and not cell.strip()):
            return None
        key = (field, cell)
        if key not in self.known:
            self.known[key] = self.readers[field](cell)
        return self.known[key]

    def _crossed(self, values: dict[str, Any]) -> list[tuple[str, Fault]]:
        """Return what single cells do not show: what contradicts or is not said."""
        faults = []
        first, last = values.get("from_date"), values.get("to_date")
        if first and last and last < first:
            faults.append(("to_date", Fault(
                "A118", f"the last day {last} lies before the first, {first}", "look them over")))
        counted = [values[name] for name in ("pack", "per", "unit") if values.get(name)]
        units = list(dict.fromkeys(each.unit for each in counted if each.unit))
        if len(units) > 1:
            where = "unit" if values.get("unit") else "per"
            faults.append((where, Fault(
                "A117", f"the row counts in {units[0]} and in {units[1]}",
                "ask the supplier what the price is for")))
        faults += self._per_unclear(values)
        return faults

    def _per_unclear(self, values: dict[str, Any]) -> list[tuple[str, Fault]]:
        """Return the fault of a row that says twice, or not at all, what its price is for."""
        unit, said = values.get("unit"), values.get("per") or self._declared()
        if unit and said and unit.milli != ONE and unit.milli != said.milli:
            return [("unit", Fault(
                "A117", "the unit and what the price is for contradict each other",
                "ask the supplier what the price is for"))]
        if unit or said or not ({"unit", "per"} & set(self.fields)):
            return []
        if self._pack(values) == ONE:
            return []
        where = "per" if "per" in self.fields else "unit"
        return [(where, Fault("A117", "it is not said how many the price is for",
                              "write the number, or pack"))]

    def _declared(self) -> Counted | None:
        """Return what the column map says every price is for."""
        text = self.map.price_per
        if not text:
            return None
        return Counted(None if text == PACK else int(Decimal(text) * ONE), "")

    def _pack(self, values: dict[str, Any]) -> int:
        counted = values.get("pack")
        return counted.milli if counted else int(self.map.pack * ONE)

    def _terms(self, values: dict[str, Any]) -> Terms:
        said = values.get("per") or self._declared() or values.get("unit")
        counted = [values[name] for name in ("unit", "per", "pack") if values.get(name)]
        pack = self._pack(values)
        least = values.get("least") or 0
        return Terms(
            (next((each.unit for each in counted if each.unit), ""), pack,
             said.milli if said else None,
             least if least > pack else 0),  # no order is for less than a pack
            (values.get("cut_charge"), values.get("carriage_class") or "",
             values.get("lead_days"), values.get("from_date"), values.get("to_date")))

    def _currency(self, cell: Any) -> str | Fault:
        if isinstance(cell, str) and cell.strip().upper() == self.map.currency:
            return self.map.currency
        return Fault("A115", f"the row is in {told(cell)}, the list in {self.map.currency}",
                     "import each currency from a file of its own")

    def _carriage_class(self, cell: Any) -> str | Fault:
        word = texts.name(cell)
        if isinstance(word, Fault) or not self.classes:
            return word
        if word.casefold() not in self.classes:
            return Fault("A111", f"the class of carriage {told(word)} is not in the column map",
                         "add it to carriage_classes there")
        return self.classes[word.casefold()]


def _least(cell: Any, mark: str) -> int | Fault:
    return 0 if cell == 0 else quantities.quantity(cell, mark)


def _whole_minor(price: int | Finer | Fault) -> int | Fault:
    if isinstance(price, Finer):
        return Fault("A114", "the charge for a cut is finer than a minor unit",
                     "ask the supplier for a whole one")
    return price


def _lead_days(cell: Any) -> int | Fault:
    """Return days of lead: a number, "5 days", "2 weeks", of "3-5 days" the longer, "ex stock"."""
    text = texts.clean(cell).casefold() if isinstance(cell, str) else told(cell)
    if text in _STOCK:
        return 0
    match = _LEAD.fullmatch(text)
    weeks = match is not None and (match[2] or "") in _WEEKS
    days = int(match[1]) * (_PER_WEEK if weeks else 1) if match else LONGEST_LEAD_DAYS + 1
    if days > LONGEST_LEAD_DAYS:
        return Fault("A119", f"{told(cell)} is no number of days up to {LONGEST_LEAD_DAYS}",
                     "write whole days, or leave it blank")
    return days
