"""Writes the pages of a sheet as a workbook that prints in black and white on A4.

What may be written on is unlocked and has a thick edge, all else is locked; cells in which nothing
is asked are shaded. Nothing is said by colour alone. Text goes out as text, whatever it starts
with. The same sheet gives the same bytes.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date, datetime, time
from typing import TYPE_CHECKING, Any, Protocol

from estimator.papers import words
from estimator.papers.sheets.pages import IDENTITY, Box, Content, Page, Row, Sum, letter
from estimator.papers.sheets.pick_pages import Issued
from estimator.papers.workbook.pen import A4, LINE_PT, lines_of

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

ROW_PT = 24.0  # room for a pen in a glove
_QR_MM = 21
_HEAD_PT = (24.0, 18.0)


class AnySheet(Protocol):
    """What the workbook itself takes of a sheet; the pages have the rest."""

    @property
    def kind(self) -> str:
        """Return what it is for."""

    @property
    def layout(self) -> int:
        """Return by which lay-out it is read."""

    @property
    def on(self) -> date:
        """Return its day."""


def sheet_workbook(sheet: AnySheet, issued: Issued, pages: Sequence[Page]) -> bytes:
    """Return the workbook of a sheet as the bytes of an .xlsx file."""
    import xlsxwriter

    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    book.set_properties({
        "title": f"Sheet {issued.name}", "comments": words.DEFERRAL,
        "created": datetime.combine(sheet.on, time()),
    })
    pen = _Pen(book, issued)
    for page in pages:
        pen.page(page)
    pen.identity(sheet)
    book.close()
    return held.getvalue()


class _Pen:
    def __init__(self, book: Workbook, issued: Issued) -> None:
        self.book = book
        self.issued = issued
        self.inks: dict[str, Format] = {
            name: book.add_format({"font_name": "Arial", "font_size": 10, "valign": "top", **more})
            for name, more in _INKS.items()
        }
        self.ranges: dict[tuple[str, ...], str] = {}

    def page(self, page: Page) -> None:
        sheet = self.book.add_worksheet(page.name)
        self.set_up(sheet, page)
        at = self.head(sheet, page)
        for row in page.rows:
            self.row(sheet, page, at, row)
            at += 1
        sheet.print_area(0, 0, at - 1, len(page.headings) - 1)
        if page.written_on:
            sheet.protect("", {"format_columns": True, "format_rows": True})

    def set_up(self, sheet: Worksheet, page: Page) -> None:
        for at, column in enumerate(page.headings):
            sheet.set_column(at, at, column.width)
        sheet.set_paper(A4)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.4, right=0.4, top=0.6, bottom=0.7)
        name = self.issued.name.replace("&", "&&")
        sheet.set_header(f"&L&9{words.SITE_COPY}&R&9{page.name}")
        sheet.set_footer(f"&L&9Sheet {name}. {words.DEFERRAL}&R&9page &P of &N")

    def head(self, sheet: Worksheet, page: Page) -> int:
        """Write the lines above the headings, the code and the headings; return the next row."""
        for at, text in enumerate(page.head()):
            sheet.write_string(at, 0, text, self.inks["title" if at == 0 else "note"])
            sheet.set_row(at, _HEAD_PT[at] if at < len(_HEAD_PT) else LINE_PT)
        if page.written_on:
            self.code(sheet, page)
        at = page.header_row - 1
        for number, column in enumerate(page.headings):
            sheet.write_string(at, number, column.title, self.inks["header"])
        sheet.set_row(at, LINE_PT * max(lines_of(c.title, c.width) for c in page.headings) + 3)
        sheet.repeat_rows(at)
        sheet.freeze_panes(at + 1, 0)
        return at + 1

    def code(self, sheet: Worksheet, page: Page) -> None:
        """Draw the code that names job and sheet, at the right end of the head."""
        import segno

        drawn = io.BytesIO()
        segno.make(self.issued.code, error="m", micro=False).save(
            drawn, kind="png", scale=8, border=2)
        wide = segno.make(self.issued.code, error="m", micro=False).symbol_size(8, 2)[0]
        size = _QR_MM / 25.4 * 96 / wide
        sheet.insert_image(0, len(page.headings) - 3, "code.png", {
            "image_data": drawn, "x_scale": size, "y_scale": size, "object_position": 3,
            "description": f"code of sheet {self.issued.code}"})

    def row(self, sheet: Worksheet, page: Page, at: int, row: Row) -> None:
        lines = 1
        for number, content in enumerate(page.cells(row)):
            self.cell(sheet, page, (at, number), content, row)
            if isinstance(content, str) and row.style == "row":
                width = page.headings[number].width
                lines = max(lines, sum(lines_of(each, width) for each in content.split("\n")))
        least = ROW_PT if row.key else LINE_PT + 3
        sheet.set_row(at, max(least, LINE_PT * lines + 3))

    def cell(
        self, sheet: Worksheet, page: Page, at: tuple[int, int], content: Content, row: Row
    ) -> None:
        if row.style == "band":
            self.band(sheet, at, content)
        elif isinstance(content, Box):
            sheet.write_blank(*at, None, self.inks[_BOXES[content.kind]])
            self.choices(sheet, at, content)
        elif isinstance(content, Sum):
            sheet.write_formula(*at, page.formula(content, at[0] + 1), self.inks["locked"], "")
        elif content is None or content == "":
            sheet.write_blank(*at, None, self.inks["nothing" if row.key else "locked"])
        elif isinstance(content, str):
            sheet.write_string(*at, content, self.inks["locked"])
        else:
            sheet.write_number(*at, float(content), self.inks["locked number"])

    def band(self, sheet: Worksheet, at: tuple[int, int], content: Content) -> None:
        if content:
            sheet.write_string(*at, str(content), self.inks["band"])
        else:
            sheet.write_blank(*at, None, self.inks["band"])

    def choices(self, sheet: Worksheet, at: tuple[int, int], box: Box) -> None:
        """Offer what may be chosen, and say what may be written."""
        cell = f"{letter(at[1])}{at[0] + 1}"
        if box.kind == "number":
            sheet.data_validation(*at, *at, {
                "validate": "custom", "error_title": "Not a number",
                "value": f'=OR({cell}="{box.words[0] if box.words else ""}",'
                         f"AND(ISNUMBER({cell}),{cell}>=0))",
                "error_message": "A number, 0 or above"
                                 + (f", or the word {box.words[0]}." if box.words else "."),
            })
        elif box.kind == "word":
            sheet.data_validation(*at, *at, {
                "validate": "list", "source": self.range_of(box.words),
                "error_title": "Not one of the words",
                "error_message": f"May be: {', '.join(box.words)}"[:250],
            })

    def range_of(self, of: tuple[str, ...]) -> str:
        """Return where a list of words will stand on the hidden page."""
        if of not in self.ranges:
            column = letter(len(self.ranges) + 3)
            self.ranges[of] = f"={IDENTITY}!${column}$1:${column}${len(of)}"
        return self.ranges[of]

    def identity(self, sheet: AnySheet) -> None:
        """Write which sheet it is on a hidden page, and the words that may be chosen."""
        hidden = self.book.add_worksheet(IDENTITY)
        for at, (name, value) in enumerate((
            ("sheet", self.issued.name), ("kind", sheet.kind), ("digest", self.issued.digest),
            ("layout", str(sheet.layout)),
        )):
            hidden.write_string(at, 0, name, self.inks["word"])
            hidden.write_string(at, 1, value, self.inks["word"])
        for column, of in enumerate(self.ranges, 3):
            for at, word in enumerate(of):
                hidden.write_string(at, column, word, self.inks["word"])
        hidden.protect("")
        hidden.hide()


_CELL: dict[str, Any] = {"border": 1, "text_wrap": True, "align": "left"}
_BOXES = {"text": "text box", "lengths": "text box", "word": "box", "number": "box",
          "reading": "box", "day": "day box"}
_GREY = "#EDEDED"
_INKS: dict[str, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 14, "quote_prefix": True},
    "note": {"quote_prefix": True},
    "header": {"bold": True, "text_wrap": True, "border": 1, "bottom": 2, "bg_color": "#D9D9D9"},
    "band": {"bold": True, "top": 1, "bottom": 1, "bg_color": _GREY, "quote_prefix": True},
    "locked": {**_CELL, "quote_prefix": True},
    "locked number": {**_CELL, "align": "center"},
    "nothing": {"border": 1, "bg_color": _GREY},
    "box": {**_CELL, "border": 2, "locked": False},
    "day box": {**_CELL, "border": 2, "locked": False, "num_format": "yyyy-mm-dd"},
    "text box": {**_CELL, "border": 2, "locked": False, "num_format": "@"},
    "word": {"num_format": "@", "quote_prefix": True},
}
