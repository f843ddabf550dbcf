"""Writes typed cells on a sheet that prints well on A4.

Text goes out as text and never as a formula, whatever it starts with. Numbers become binary
fractions in a cell, as every spreadsheet holds them: pence divided by a hundred give the nearest
one, and each shown amount rounds back to the engine's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal

from estimator.papers import words
from estimator.papers.contract import EstimateJson

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

Kind = Literal[
    "text", "wrap", "number", "minutes", "hours", "money", "unit money", "share", "tick"
]
LEFT_KINDS = ("text", "wrap", "tick")
Style = Literal["plain", "sum", "faint"]
MINOR_PER_MAJOR = 100
A4 = 9
LINE_PT = 13.5  # height of one line of text
SITE_ROW_PT = 21.0  # rows that are ticked and written on by hand, in gloves
# A column is measured in digits, and words run narrower than digits; a machine without the font
# takes a wider one, so not all of the gain is counted on.
LETTERS_PER_DIGIT = 1.1


@dataclass(frozen=True, slots=True)
class Pence:
    """An amount in minor units, written in major units."""

    minor: int


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula with the engine's figure as its cached value."""

    text: str
    value: Decimal | Pence


Cell = str | int | Decimal | Pence | Formula | None


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading, width in characters, and how its cells are shown."""

    title: str
    width: float
    kind: Kind = "text"


class Inks:
    """The formats of one workbook, made once each."""

    def __init__(self, book: Workbook, currency: str) -> None:
        self._book = book
        self._sign = words.symbol(currency)
        self._made: dict[tuple[str, str], Format] = {}

    @property
    def money_sign(self) -> str:
        """Return what stands before an amount, as a number format quotes it."""
        return f'"{self._sign}"'

    def of(self, kind: str, style: str = "plain") -> Format:
        """Return the format of a kind of cell in a style."""
        key = (kind, style)
        if key not in self._made:
            self._made[key] = self._book.add_format(self._properties(kind, style))
        return self._made[key]

    def _properties(self, kind: str, style: str) -> dict[str, Any]:
        money = f"{self.money_sign}#,##0"
        kinds: dict[str, dict[str, Any]] = {
            "text": {"quote_prefix": True, "indent": 1, "align": "left"},
            "wrap": {"text_wrap": True, "quote_prefix": True, "indent": 1, "align": "left"},
            "plain text": {"quote_prefix": True},
            "number": {"align": "right"},
            "minutes": {"num_format": "#,##0.0"},
            "hours": {"num_format": "#,##0.00"},
            "money": {"num_format": f"{money}.00"},
            "unit money": {"num_format": f"{money}.00##"},
            "share": {"num_format": "0.0%"},
            "tick": {"border": 1},
            "count": {"num_format": "#,##0"},
            "decimal": {"num_format": "#,##0.00"},
            "date": {"num_format": "yyyy-mm-dd", "align": "left", "indent": 1},
            "link": {"underline": 1, "font_color": "#1F4E5F", "text_wrap": True},
            "title": {"bold": True, "font_size": 14, "quote_prefix": True},
            "office": {"bold": True, "font_color": "#FFFFFF", "bg_color": "#333333"},
            "site": {"bold": True, "font_color": "#000000", "bg_color": "#D9E7D9"},
            "header": {"bold": True, "text_wrap": True, "bottom": 2, "bg_color": "#E6E6E6",
                       "indent": 1, "align": "left"},
            "header right": {"bold": True, "text_wrap": True, "bottom": 2, "bg_color": "#E6E6E6",
                             "align": "right"},
            "band": {"bold": True, "bg_color": "#F2F2F2", "quote_prefix": True},
            "band money": {"bold": True, "bg_color": "#F2F2F2", "num_format": f"{money}.00"},
        }
        styles: dict[str, dict[str, Any]] = {
            "plain": {}, "sum": {"bold": True, "top": 1}, "faint": {"italic": True},
        }
        base = {"font_name": "Arial", "font_size": 10, "valign": "top"}
        return {**base, **kinds[kind], **styles[style]}


class Page:
    """One sheet, written from the top down."""

    def __init__(
        self, book: Workbook, inks: Inks, name: str, columns: Sequence[Column],
        estimate: EstimateJson, *, office: bool, upright: bool = False,
    ) -> None:
        self.name = name
        self.sheet: Worksheet = book.add_worksheet(name)
        self.columns = tuple(columns)
        self.inks = inks
        self.at = 0
        self._office = office
        self._set_up(estimate, upright)
        self._head(estimate)

    def _set_up(self, estimate: EstimateJson, upright: bool) -> None:
        sheet, marking = self.sheet, words.OFFICE_ONLY if self._office else words.SITE_COPY
        for at, column in enumerate(self.columns):
            sheet.set_column(at, at, column.width, self.inks.of("text"))
        sheet.set_paper(A4)
        if not upright:
            sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.5, right=0.5, top=0.7, bottom=0.8)
        sheet.set_header(f"&L&8{marking}&R&8{self.name}")
        sheet.set_footer(
            f"&L&8Job {estimate.job.id}, revision {estimate.revision}\n{words.DEFERRAL}"
            "&R&8page &P of &N"
        )
        sheet.set_tab_color("#333333" if self._office else "#8FBC8F")

    def _head(self, estimate: EstimateJson) -> None:
        """Write the marking, what the sheet is, and the job; nothing of it may be a formula."""
        sheet, width = self.sheet, len(self.columns)
        marking = words.OFFICE_ONLY if self._office else words.SITE_COPY
        ink = self.inks.of("office" if self._office else "site")
        for column in range(width):
            sheet.write_blank(0, column, None, ink)
        sheet.write_string(0, 0, marking, ink)
        title = f"{self.name} - job {estimate.job.id}, revision {estimate.revision}"
        sheet.write_string(1, 0, title, self.inks.of("title"))
        about = ", ".join(
            part for part in (
                estimate.job.title, estimate.job.address, words.day(estimate.on),
                words.KIND[estimate.kind],
            ) if part
        )
        sheet.write_string(2, 0, about, self.inks.of("plain text"))
        sheet.set_row_pixels(1, 26)
        self.at = 3

    def header(self) -> None:
        """Write the headings; they stay in sight on screen and repeat on every printed page."""
        for at, column in enumerate(self.columns):
            ink = self.inks.of("header" if column.kind in LEFT_KINDS else "header right")
            self.sheet.write_string(self.at, at, column.title, ink)
        lines = max(lines_of(column.title, column.width) for column in self.columns)
        self.sheet.set_row(self.at, LINE_PT * lines + 3)
        self.sheet.repeat_rows(self.at)
        self.at += 1
        self.sheet.freeze_panes(self.at, 0)

    def band(self, text: str, sums: Mapping[int, Formula] | None = None) -> int:
        """Write a line that heads a group of rows, with the group's sums; return its row."""
        ink = self.inks.of("band")
        for column in range(len(self.columns)):
            self.sheet.write_blank(self.at, column, None, ink)
        self.sheet.write_string(self.at, 0, text, ink)
        for column, formula in (sums or {}).items():
            self._write(column, formula, self.inks.of("band money"))
        self.sheet.set_row(self.at, LINE_PT + 3)
        self.at += 1
        return self.at

    def gap(self) -> None:
        """Leave a row free."""
        self.at += 1

    def note(self, text: str) -> None:
        """Write a line of text that runs over the columns."""
        self.sheet.write_string(self.at, 0, text, self.inks.of("plain text", "faint"))
        self.at += 1

    def row(
        self, cells: Sequence[Cell], style: Style = "plain", kinds: dict[int, Kind] | None = None
    ) -> int:
        """Write one row and return its number as a spreadsheet counts, from 1."""
        lines = 1
        for at, cell in enumerate(cells):
            column = self.columns[at]
            kind = (kinds or {}).get(at, column.kind)
            self._write(at, cell, self.inks.of(kind, style))
            if kind == "wrap" and isinstance(cell, str):
                lines = max(lines, lines_of(cell, column.width))
        least = LINE_PT if self._office else SITE_ROW_PT
        self.sheet.set_row(self.at, max(least, LINE_PT * lines))
        self.at += 1
        return self.at

    def _write(self, column: int, cell: Cell, ink: Format) -> None:
        if cell is None or cell == "":
            self.sheet.write_blank(self.at, column, None, ink)
        elif isinstance(cell, str):
            self.sheet.write_string(self.at, column, cell, ink)
        elif isinstance(cell, Formula):
            self.sheet.write_formula(self.at, column, cell.text, ink, _number(cell.value))
        else:
            self.sheet.write_number(self.at, column, _number(cell), ink)

    def done(self) -> None:
        """Close the sheet: what is printed ends with the last row written."""
        self.sheet.print_area(0, 0, max(self.at - 1, 0), len(self.columns) - 1)


def lines_of(text: str, width: float) -> int:
    """Return how many lines a text takes in a column so many characters wide, at the most."""
    room = int(width * LETTERS_PER_DIGIT)
    if len(text) <= room:
        return 1
    lines, used = 1, 0
    for word in text.split():
        if used and used + 1 + len(word) > room:
            lines, used = lines + 1, 0
        lines += len(word) // (room + 1)  # a word longer than the column is broken
        used += len(word) % (room + 1) + (1 if used else 0)
    return lines


def _number(value: int | Decimal | Pence) -> int | float:
    if isinstance(value, Pence):
        return value.minor / MINOR_PER_MAJOR
    if isinstance(value, int):
        return value
    return int(value) if value == value.to_integral_value() else float(value)
