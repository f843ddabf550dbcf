"""Writes a large price list as a workbook: invented articles, the same bytes every time.

`python bench/big_price_list.py FILE [ROWS]`. Ten columns as a wholesaler's list has them; texts lie
in one table of shared texts, as spreadsheet programs save them.
"""

from __future__ import annotations

import sys
from datetime import date, datetime
from pathlib import Path

ROWS = 100_000
SUPPLIER = "Counter North"
HEADER = ("Part no", "Description", "Pack qty", "Price per", "Net price", "Unit", "Min qty",
          "Cut charge", "Carriage", "Lead days")
CURRENCY = "GBP"
CREATED = datetime(2026, 1, 1)  # noqa: DTZ001 a workbook holds no time zone
DAY = date(2026, 11, 2)
_KINDS = ("Gland", "Trunking lid", "Saddle", "Armoured cable", "Isolator", "Enclosure", "Clamp")
_PACKS = (1, 1, 1, 5, 10, 50, 100)

COLUMN_MAP = """\
currency = "GBP"

[columns]
code = "Part no"
name = "Description"
pack = "Pack qty"
per = "Price per"
price = "Net price"
unit = "Unit"
least = "Min qty"
cut_charge = "Cut charge"
carriage_class = "Carriage"
lead_days = "Lead days"
"""


def row(number: int, rise_minor: int = 0) -> tuple[str | float | None, ...]:
    """Return the cells of one article; prices from pennies to some thousands."""
    pack = _PACKS[number % len(_PACKS)]
    price_minor = 7 + number * 7919 % 400_000 + rise_minor
    cable = number % 7 == 3
    return (
        f"{number:07d}", f"{_KINDS[number % len(_KINDS)]} size {number % 83} no {number}",
        pack, 100 if number % 11 == 0 else 1, price_minor / 100,
        "m" if cable else "each", pack, 2.5 if cable else None,
        "long" if number % 13 == 0 else None, number % 5,
    )


def write(path: Path, rows: int = ROWS, rise_minor: int = 0) -> None:
    """Write the workbook."""
    import xlsxwriter

    # "constant_memory" writes a row at a time, but then texts stand in their cells, unshared,
    # which no spreadsheet program does and which reads faster.
    book = xlsxwriter.Workbook(str(path))
    book.set_properties({"created": CREATED})
    sheet = book.add_worksheet("Prices")
    sheet.write_row(0, 0, HEADER)
    for number in range(1, rows + 1):
        for column, cell in enumerate(row(number, rise_minor)):
            if isinstance(cell, str):
                sheet.write_string(number, column, cell)
            elif cell is not None:
                sheet.write_number(number, column, cell)
    book.close()


if __name__ == "__main__":
    write(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else ROWS)
