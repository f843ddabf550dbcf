"""Lines of a UBL Catalogue.

OASIS Universal Business Language 2.1 (OASIS Standard, 4 November 2013; ISO/IEC 19845:2015),
document type Catalogue, and as its users' guides read it (EHF and Peppol Catalogue, transaction
T19): `OrderableUnit` is what is ordered, `ContentUnitQuantity` how many units are in one of them,
`OrderQuantityIncrementNumeric` and `MinimumOrderQuantity` count orderable units, and
`Price/BaseQuantity` is the quantity to which `PriceAmount` applies.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.exchange_fields import Fields, is_true, unit_of
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.listed import ListedPrice
from catalogue.price_lists.prices import Finer
from catalogue.price_lists.quantities import ONE
from catalogue.price_lists.terms import Terms, priced
from catalogue.price_lists.xml_records import Element

ROOT = "Catalogue"
LINE = "CatalogueLine"
LIST = frozenset({"ValidityPeriod"})  # of the whole catalogue
_DAYS = {"DAY": 1, "WEE": 7}


def skipped(line: Element) -> str:
    """Return why a line holds no price of ours, or ""."""
    if line.says("ActionCode").casefold() in ("delete", "3"):
        return "withdrawn"
    orderable = line.says("OrderableIndicator")
    return "not orderable" if orderable and not is_true(orderable) else ""


def validity(period: Element, fields: Fields) -> tuple[date | None, date | None]:
    """Return first and last day of a period."""
    return fields.day(period.first("StartDate")), fields.day(period.first("EndDate"))


def prices(
    number: int, line: Element, column_map: ColumnMap, fields: Fields
) -> Iterator[tuple[str, ListedPrice]]:
    """Yield the kind and the price of each price of a line; what is wrong is noted in `fields`."""
    words = (fields.code("Item/SellersItemIdentification/ID"),
             fields.name("Item/BuyersItemIdentification/ID"),
             fields.name("Item/Name", "Item/Description"))
    orderable = line.says("OrderableUnit")
    content = line.first("ContentUnitQuantity")
    held = _Held(orderable, content.given.get("unitCode", "") if content else orderable,
                 fields.quantity(content, ONE))
    increment = line.first("OrderQuantityIncrementNumeric")
    pack = fields.product(increment, held.content, fields.quantity(increment, ONE))
    minimum = line.first("MinimumOrderQuantity")
    least = held.units(fields, minimum, fields.quantity(minimum, 0))
    found = line.all("RequiredItemLocationQuantity")
    if not any(each.first("Price") for each in found):
        fields.wrong(None, Fault("A112", "the price is missing", "ask the supplier for it"))
    for each in found:
        bound = each.first("MinimumQuantity")
        from_quantity = max(least, held.units(fields, bound, fields.quantity(bound, 0)))
        days = _lead_days(each.first("LeadTimeMeasure"), fields)
        for price in each.all("Price"):
            amount = price.first("PriceAmount")
            minor = fields.price(amount, amount.given.get("currencyID", "") if amount else "")
            per = held.per(fields, price.first("BaseQuantity"), pack)
            first, last = _days(price, line, fields)
            if isinstance(minor, int | Finer):
                yield price.says("PriceTypeCode"), priced(number, words, Terms(
                    (unit_of(held.unit), pack, per, from_quantity if from_quantity > pack else 0),
                    (None, "", days, first, last)), minor)


class _Held:
    """What one orderable unit holds: `content` thousandths of the unit whose code is `unit`."""

    def __init__(self, orderable: str, unit: str, content: int) -> None:
        self.orderable, self.unit, self.content = orderable, unit or orderable, content

    def units(self, fields: Fields, element: Element | None, quantity: int) -> int:
        """Return a quantity in units; it counts orderable units unless its code is the unit's."""
        code = element.given.get("unitCode", "") if element else ""
        if code and code != self.orderable:
            if code == self.unit:
                return quantity
            fields.wrong(element, Fault(
                "A117", f"the quantity is in {told(code)}, which is neither what is ordered "
                f"({told(self.orderable)}) nor what is in it ({told(self.unit)})",
                "ask the supplier about it"))
        return fields.product(element, quantity, self.content)

    def per(self, fields: Fields, base: Element | None, pack: int) -> int | None:
        """Return what a price is for; None is one pack."""
        per = self.units(fields, base, fields.quantity(base, ONE))
        return None if per == pack else per


def _lead_days(measure: Element | None, fields: Fields) -> int | None:
    if measure is None or not measure.text.strip():
        return None
    times = _DAYS.get(measure.given.get("unitCode", "DAY").upper())
    days = fields.quantity(measure, 0) if measure.text.strip(" 0.") else 0
    if times is None or days % ONE:
        fields.wrong(measure, Fault("A119", f"{told(measure.text)} is no whole number of days or "
                                    "weeks", "ask the supplier about it"))
        return None
    return int(days // ONE * times)


def _days(price: Element, line: Element, fields: Fields) -> tuple[date | None, date | None]:
    """Return the days of a price, or those of its line."""
    period = price.first("ValidityPeriod") or line.first("LineValidityPeriod")
    return validity(period, fields) if period else (None, None)
