"""Every kind of dirt in one table: what stands in a row, and what must become of it.

Values are worked out by hand: a price is in pennies for `per` thousandths of a unit, so 0.0345 each
is 345 pennies for 100 (100,000 thousandths).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

HEADER = ("Part no", "Description", "Pack", "Unit", "Net price", "Min qty", "Cut charge",
          "Carriage", "Lead time", "Valid from", "Valid to", "Currency")
LETTERS = dict(zip(HEADER, "ABCDEFGHIJKL", strict=True))
COLUMN_MAP = """\
currency = "GBP"
date_order = "day month year"

[columns]
code = "Part no"
name = "Description"
pack = "Pack"
unit = "Unit"
price = "Net price"
least = "Min qty"
cut_charge = "Cut charge"
carriage_class = "Carriage"
lead_days = "Lead time"
from_date = "Valid from"
to_date = "Valid to"
currency = "Currency"
"""
MORNING = datetime(2026, 3, 1, 9, 30)  # noqa: DTZ001 a cell holds no time zone
EACH = {"unit": "each", "pack_milli": 1_000, "per_milli": 1_000}


class Formula(str):
    """Written as a formula."""

    __slots__ = ()


class Error(str):
    """Written as an error."""

    __slots__ = ()


@dataclass(frozen=True)
class Formatted:
    """A number with a number format."""

    number: float
    number_format: str


@dataclass(frozen=True)
class Dirt:
    """One row: what is odd about it, its cells, and what becomes of it.

    Attributes:
        cells: by header; the others are those of a plain row, of the part number `code`.
        becomes: fields of the row that comes in; None for one that does not.
        refused: header of a cell -> code and words of its problem.
        skipped: why the row is passed over.
        in_text: whether a text file can hold it too, with the same end.
        whole: whether the cells are all there is, with nothing of a plain row.
        hidden, merged: of a workbook's row.
    """

    kind: str
    cells: dict[str, Any] = field(default_factory=dict)
    becomes: dict[str, Any] | None = None
    refused: dict[str, tuple[str, str]] = field(default_factory=dict)
    skipped: str = ""
    in_text: bool = True
    whole: bool = False
    hidden: bool = False
    merged: bool = False


def _in(kind: str, cells: dict[str, Any], becomes: dict[str, Any], in_text: bool = True) -> Dirt:
    return Dirt(kind, cells, {"price_minor": 1_250, **EACH, **becomes}, in_text=in_text)


def _out(kind: str, cells: dict[str, Any], at: str, code: str, says: str,
         in_text: bool = True) -> Dirt:
    return Dirt(kind, cells, refused={at: (code, says)}, in_text=in_text)


PART_NUMBERS = (
    _in("a plain row", {}, {}),
    _in("leading zeros in a text", {"Part no": "00420"}, {"supplier_code": "00420"}),
    _out("a part number that became a number", {"Part no": 420}, "Part no", "A110",
         "the part number 420 is a number here, so leading zeros may be lost", in_text=False),
    _in("no-break and needless spaces in a part number", {"Part no": "  AB\u00a012  X "},
        {"supplier_code": "AB 12 X"}),
    _out("no part number", {"Part no": None}, "Part no", "A110", "the part number is missing"),
    _out("an unseen character in a part number", {"Part no": "AB\u200b12"}, "Part no", "A110",
         "the part number 'AB·12' has a hidden character in it"),
    _out("an endless part number", {"Part no": "A" * 65}, "Part no", "A110",
         "the part number has 65 characters"),
    _out("a part number that became a date", {"Part no": date(2026, 3, 1)}, "Part no", "A110",
         "2026-03-01 is no part number", in_text=False),
    _in("a part number that begins like a formula", {"Part no": "=A1+1"},
        {"supplier_code": "=A1+1"}),
)
NAMES = (
    _in("a name that would run as a formula", {"Description": "=cmd|' /C calc'!A0"},
        {"name": "=cmd|' /C calc'!A0"}),
    _in("a line break in a name", {"Description": "Gland\nM20,  brass"},
        {"name": "Gland M20, brass"}),
    _in("a name that is a number", {"Description": 42}, {"name": "42"}),
    _out("an endless name", {"Description": "x" * 501}, "Description", "A111",
         "the text has 501 characters"),
    _out("a name that turns the direction of reading", {"Description": "Gland \u202e02M"},
         "Description", "A111", "'Gland ·02M' has a hidden character in it"),
)
PRICES = (
    _in("a currency sign", {"Net price": "£12.50"}, {}),
    _in("a currency code behind", {"Net price": "12.50 GBP"}, {}),
    _in("spaces round a price", {"Net price": " 12.50\u00a0"}, {}),
    _out("the sign of another currency", {"Net price": "€12.50"}, "Net price", "A115",
         "the price '€12.50' is not in GBP"),
    _out("the code of another currency", {"Net price": "USD 9"}, "Net price", "A115",
         "the price 'USD 9' is not in GBP"),
    _in("groups of thousands", {"Net price": "1,234.50"}, {"price_minor": 123_450}),
    _in("groups parted by narrow no-break spaces", {"Net price": "1\u202f234.50"},
        {"price_minor": 123_450}),
    _out("a decimal comma against the declared point", {"Net price": "1,23"}, "Net price", "A113",
         "'1,23' is not a number with the decimal mark '.'"),
    _out("two decimal points", {"Net price": "12.5.0"}, "Net price", "A113",
         "'12.5.0' is not a number with the decimal mark '.'"),
    _out("an exponent", {"Net price": "1E+3"}, "Net price", "A113",
         "'1E+3' is not a number with the decimal mark '.'"),
    _out("digits of another script", {"Net price": "１２.50"}, "Net price", "A113",
         "'１２.50' is not a number with the decimal mark '.'"),
    _out("a price below nought", {"Net price": -5}, "Net price", "A114",
         "the price -5 is below nought", in_text=False),
    _out("a price below nought in brackets", {"Net price": "(5.00)"}, "Net price", "A114",
         "the price '(5.00)' is below nought"),
    _out("a price of nought", {"Net price": 0}, "Net price", "A114", "the price is nought"),
    _out("a huge price", {"Net price": 12_500_000}, "Net price", "A114",
         "the price 12500000 is above 10,000,000", in_text=False),
    _out("a price on application", {"Net price": "P.O.A."}, "Net price", "A112",
         "there is no price but 'P.O.A.'"),
    _out("not available", {"Net price": "n/a"}, "Net price", "A112", "there is no price but 'n/a'"),
    _out("no price", {"Net price": None}, "Net price", "A112", "the price is missing"),
    _in("a price finer than a penny", {"Net price": 0.0345},
        {"price_minor": 345, "per_milli": 100_000}),
    _in("a price of a tenth of a penny", {"Net price": 0.125},
        {"price_minor": 125, "per_milli": 10_000}),
    _out("a price finer than is kept", {"Net price": 0.00345}, "Net price", "A113",
         "0.00345 has more than 4 decimal places", in_text=False),
    _in("the noise of binary fractions", {"Net price": 0.1 + 0.2}, {"price_minor": 30},
        in_text=False),
    _out("a formula", {"Net price": Formula("=1+1")}, "Net price", "A120",
         "the cell holds a formula, and what it shows was computed elsewhere", in_text=False),
    _out("an error", {"Net price": Error("#N/A")}, "Net price", "A121", "the cell shows an error",
         in_text=False),
    _out("a percentage", {"Net price": Formatted(0.2, "0%")}, "Net price", "A124",
         "the cell is a percentage", in_text=False),
    _out("yes instead of a price", {"Net price": True}, "Net price", "A124",
         "the cell holds yes or no", in_text=False),
    _out("a format that shows another currency", {"Net price": Formatted(9.0, "[$€-407] #,##0.00")},
         "Net price", "A115", "the cell's format shows €, and the list is in GBP", in_text=False),
    _in("a format that shows the list's currency", {"Net price": Formatted(9.0, '"£"#,##0.00')},
        {"price_minor": 900}, in_text=False),
    _out("a row in another currency", {"Currency": "EUR"}, "Currency", "A115",
         "the row is in 'EUR', the list in GBP"),
)
QUANTITIES = (
    _in("a drum", {"Pack": "100m drum", "Unit": "drum"},
        {"unit": "m", "pack_milli": 100_000, "per_milli": None}),
    _in("a box of so many", {"Pack": "Box of 200", "Unit": "per 100"},
        {"unit": "", "pack_milli": 200_000, "per_milli": 100_000}),
    _in("a pack in letters and digits", {"Pack": "PK10"}, {"pack_milli": 10_000}),
    _in("each, in words", {"Pack": "Each", "Unit": "EA"}, {}),
    _out("a pack without a number", {"Pack": "as required"}, "Pack", "A116",
         "'as required' does not say how many are sold together"),
    _out("a pack of packs", {"Pack": "10 x 100"}, "Pack", "A116",
         "'10 x 100' does not say how many are sold together"),
    _out("a pack of none", {"Pack": 0}, "Pack", "A116", "a quantity is above nought, not 0",
         in_text=False),
    _out("a pack of half a thousandth", {"Pack": 2.0005}, "Pack", "A116",
         "2.0005 has more than 3 decimal places", in_text=False),
    _out("a unit that nobody knows", {"Unit": "jug"}, "Unit", "A117",
         "'jug' is no unit known here"),
    _out("a unit that contradicts the pack", {"Pack": "Box of 10 pcs", "Unit": "m"}, "Unit", "A117",
         "the row counts in each and in m"),
    _out("a pack whose price is for nobody knows what", {"Pack": 10, "Unit": None}, "Unit", "A117",
         "it is not said how many the price is for"),
    _in("a least quantity as text", {"Min qty": "25"}, {"least_milli": 25_000}),
    _in("a least quantity of one pack, which says nothing", {"Min qty": 10, "Pack": 10},
        {"least_milli": 0, "pack_milli": 10_000}),
    _out("a least quantity in words", {"Min qty": "some"}, "Min qty", "A116",
         "'some' is not a number with the decimal mark '.'"),
    _in("a charge for a cut", {"Cut charge": "£1.50"}, {"cut_charge_minor": 150}),
    _out("a charge finer than a penny", {"Cut charge": "0.005"}, "Cut charge", "A114",
         "the charge for a cut is finer than a minor unit"),
    _in("a class of carriage", {"Carriage": " Long "}, {"carriage_class": "Long"}),
)
DAYS = (
    _in("a date cell", {"Valid from": date(2026, 3, 1)}, {"from_date": date(2026, 3, 1)},
        in_text=False),
    _in("a date as text in the declared order", {"Valid from": "03/04/2026"},
        {"from_date": date(2026, 4, 3)}),
    _in("a date with the year first", {"Valid to": "2026-12-31"}, {"to_date": date(2026, 12, 31)}),
    _in("a date with a month's name", {"Valid from": "1 Mar 2026"},
        {"from_date": date(2026, 3, 1)}),
    _out("a day that is not there", {"Valid from": "31/02/2026"}, "Valid from", "A118",
         "there is no day '31/02/2026' in the order day month year"),
    _out("a date in another order", {"Valid from": "12/31/2026"}, "Valid from", "A118",
         "there is no day '12/31/2026' in the order day month year"),
    _out("a year of two digits", {"Valid from": "01/02/26"}, "Valid from", "A118",
         "'01/02/26' is not a date of the order day month year"),
    _out("a date with a time of day", {"Valid from": MORNING}, "Valid from",
         "A118", "2026-03-01 09:30:00 has a time of day", in_text=False),
    _out("a last day before the first", {"Valid from": "02/04/2026", "Valid to": "01/04/2026"},
         "Valid to", "A118", "the last day 2026-04-01 lies before the first, 2026-04-02"),
    _in("ex stock", {"Lead time": "Ex stock"}, {"lead_days": 0}),
    _in("weeks", {"Lead time": "2 weeks"}, {"lead_days": 14}),
    _in("a span of days, of which the longer counts", {"Lead time": "3-5 days"}, {"lead_days": 5}),
    _out("no number of days", {"Lead time": "soon"}, "Lead time", "A119",
         "'soon' is no number of days up to 730"),
)
ROWS = (
    Dirt("a blank row", {}, skipped="blank", whole=True),
    Dirt("a heading", {"Part no": "GLANDS AND ENTRIES"}, skipped="heading", whole=True),
    Dirt("a heading over merged cells", {"Part no": "CABLES"}, skipped="heading", whole=True,
         in_text=False, merged=True),
    Dirt("the header once more", {name: name for name in HEADER}, skipped="repeated header",
         whole=True),
    Dirt("a hidden row", {}, refused={"": ("A122", "the row is hidden")}, in_text=False,
         hidden=True),
    _out("a part number twice with different prices", {"Part no": "TWICE", "Net price": 1},
         "Part no", "A123", "the part number 'TWICE' stands in rows {row} and {next}, with another "
         "price"),
    _out("its second row", {"Part no": "TWICE", "Net price": 2}, "Part no", "A123",
         "the part number 'TWICE' stands in rows {previous} and {row}, with another price"),
    _in("a row that comes again", {"Part no": "AGAIN"}, {"supplier_code": "AGAIN"}),
    Dirt("the row once more", {"Part no": "AGAIN"}, skipped="repeated row"),
    _in("a price break: the same part number from a greater quantity on",
        {"Part no": "AGAIN", "Min qty": 50, "Net price": 11},
        {"supplier_code": "AGAIN", "least_milli": 50_000, "price_minor": 1_100}),
    Dirt("two wrong cells", {"Net price": "call", "Unit": "jug"}, refused={
        "Net price": ("A112", "there is no price but 'call'"),
        "Unit": ("A117", "'jug' is no unit known here")}),
    Dirt("a total of formulas", {"Part no": "Total", "Net price": Formula("=SUM(E6:E70)")},
         skipped="total", whole=True, in_text=False),
    Dirt("a sub-total", {"Description": "Sub-total:", "Net price": "9,999.00"}, skipped="total",
         whole=True),
)
DIRT = (*PART_NUMBERS, *NAMES, *PRICES, *QUANTITIES, *DAYS, *ROWS)


def cells_of(dirt: Dirt, number: int) -> list[Any]:
    """Return the cells of a row, plain where nothing odd is said."""
    plain: dict[str, Any] = {} if dirt.whole else {
        "Part no": f"P-{number:03}", "Description": "Gland", "Pack": 1, "Unit": "each",
        "Net price": 12.5}
    return [(plain | dirt.cells).get(name) for name in HEADER]
