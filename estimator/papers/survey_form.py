"""The survey form: a workbook to fill in beside the house, on a laptop, a tablet or on paper.

A sheet for each part of the house, one fact a row. What must be given is said in words, not by
colour, so the form reads in black and white. Text goes out as text, whatever it starts with.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from catalogue.answers import Asked
from catalogue.cells import DIGITS
from estimator.papers.workbook.pen import A4, LINE_PT, lines_of
from estimator.survey import form_lines as form
from estimator.survey.fact import Fact
from estimator.survey.form_lines import FACT_HEADERS, THING_HEADERS, Line
from estimator.survey.model import Survey

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

WIDTHS = (35, 19, 14, 24, 7, 44, 19)
FINE = 1.45  # guidance is set in smaller letters, so more of them go on a line
ROWS_TO_SPARE = {"planes": 6, "legs": 6, "parts": 4, "remarks": 4, "private_remarks": 3,
                 form.THINGS: 4}
ROW_PT = 20.0  # room for a pen or a finger
_LINES_BY_HAND = {"job.address": 3, "job.title": 2, "job.remarks": 3, "job.private_remarks": 3}
_MADE_ON = datetime(2026, 1, 1)  # the same survey gives the same bytes  # noqa: DTZ001
_HOW = (
    "One fact a row. Leave blank what is not known: it is asked back, never taken for no or for "
    "nought. 'How it is known' may be blank where it is what the sheet 'Job' says of most facts."
)
_MORE = {
    "planes": "A further plane: copy this sheet. Planes that stay blank are left out.",
    "legs": "A further leg: copy the rows of a leg, its row of headers with them, to the end.",
}
_PAGE = ("An estimate, not a design: local codes, makers' manuals and licensed practice decide. "
         "Open no cover that needs a tool unless you are licensed to.")


def survey_form(survey: Survey | None = None) -> bytes:
    """Return the form as the bytes of an .xlsx file.

    Args:
        survey: what is known already, to be filled in; None for a blank form.
    """
    import xlsxwriter

    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    title = f"Survey {survey.job.id}" if survey else "Survey"
    book.set_properties({"title": title, "created": _MADE_ON, "comments": _PAGE})
    pen = _Pen(book, title)
    for group, name in form.SHEETS.items():
        entries = _entries(survey, group)
        if group == "planes":
            for number, entry in enumerate(entries, 1):
                pen.sheet(group, f"{name} {number}", [(f"{name} {number}", entry)])
        elif group == "legs":
            pen.sheet(group, name, [(f"Leg {n}", entry) for n, entry in enumerate(entries, 1)])
        else:
            pen.sheet(group, name, [(name, entries[0])])
    pen.words_last()
    book.close()
    return held.getvalue()


def _entries(survey: Survey | None, group: str) -> list[Any]:
    """Return what is known of a part, with blank entries to spare where it may repeat."""
    known = getattr(survey, group) if survey else None
    if group not in ROWS_TO_SPARE:
        return [known]
    return [*(known or ()), *[None] * max(1, ROWS_TO_SPARE[group] - len(known or ()))]


class _Pen:
    """Writes the sheets; keeps the vocabularies on a hidden sheet of their own."""

    def __init__(self, book: Workbook, title: str) -> None:
        self.book = book
        self.title = title
        self.inks: dict[str, Format] = {
            name: book.add_format({"font_name": "Arial", "font_size": 10, "valign": "top", **more})
            for name, more in _INKS.items()
        }
        self.ranges: dict[tuple[str, ...], str] = {}

    def sheet(self, group: str, name: str, blocks: Sequence[tuple[str, Any]]) -> None:
        sheet = self.book.add_worksheet(name)
        self.set_up(sheet, name)
        sheet.write_string(0, 0, f"{self.title}: {name}", self.inks["title"])
        sheet.set_row(0, ROW_PT)
        sheet.write_string(1, 0, _HOW, self.inks["note"])
        if group in _MORE:
            sheet.write_string(2, 0, _MORE[group], self.inks["note"])
        at = 3
        for label, entry in blocks:
            if len(blocks) > 1:
                sheet.write_string(at, 0, label, self.inks["band"])
                at += 1
            at = self.facts(sheet, at, group, entry)
            if f"{form.scope_of(group)}.{form.THINGS}" in form.things_paths():
                at = self.things(sheet, at + 1, group, entry)
            at += 1
        if len(blocks) == 1:
            sheet.freeze_panes(4, 1)
            sheet.repeat_rows(3)
        sheet.print_area(0, 0, at - 1, len(WIDTHS) - 1)

    def set_up(self, sheet: Worksheet, name: str) -> None:
        for at, width in enumerate(WIDTHS):
            sheet.set_column(at, at, width)
        sheet.set_paper(A4)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(left=0.4, right=0.4, top=0.6, bottom=0.7)
        sheet.set_header(f"&L&8{self.title.replace('&', '&&')}&R&8{name}")
        sheet.set_footer(f"&L&8{_PAGE}&R&8page &P of &N")

    def headers(self, sheet: Worksheet, at: int, titles: Sequence[str]) -> int:
        for column, title in enumerate(titles):
            sheet.write_string(at, column, title, self.inks["header"])
        return at + 1

    def facts(self, sheet: Worksheet, at: int, group: str, entry: Any) -> int:
        at = self.headers(sheet, at, FACT_HEADERS)
        for line in form.lines_of(group):
            for value in _answers(line, entry):
                self.fact(sheet, at, line, value)
                at += 1
        return at

    def fact(self, sheet: Worksheet, at: int, line: Line, held: Any) -> None:
        fact = held if isinstance(held, Fact) else None
        shown = str(fact.value if fact else held or "")
        self.label(sheet, at, line.label, line.guidance, line.path)
        lines = max(lines_of(line.label, WIDTHS[0]), lines_of(line.guidance, WIDTHS[5] * FINE),
                    lines_of(shown, WIDTHS[1]), lines_of(fact.words if fact else "", WIDTHS[3]),
                    _LINES_BY_HAND.get(line.path, 1))
        sheet.set_row(at, max(ROW_PT, LINE_PT * lines))
        self.answer(sheet, at, 1, line.asked, fact.value if fact else held)
        for column, asked, value in (
            (2, form.EVIDENCE, str(fact.evidence) if fact and fact.known else None),
            (3, Asked("text"), fact.words if fact else None),
            (4, Asked("text"), fact.photo if fact else None),
        ):
            if line.is_fact:
                self.answer(sheet, at, column, asked, value)
            else:
                sheet.write_blank(at, column, None, self.inks["no answer"])

    def things(self, sheet: Worksheet, at: int, group: str, entry: Any) -> int:
        at = self.headers(sheet, at, THING_HEADERS)
        held = list(getattr(entry, form.THINGS, ()))
        for thing in [*held, *[None] * max(2, ROWS_TO_SPARE[form.THINGS] - len(held))]:
            sheet.set_row(at, LINE_PT * 2)
            self.label(sheet, at, "", _GUIDANCE_OF_THINGS[group == "planes"],
                       f"{form.scope_of(group)}.{form.THINGS}")
            for column, (name, asked) in enumerate(form.things_asked().items()):
                self.answer(sheet, at, column, asked, getattr(thing, name, None))
            at += 1
        return at

    def label(self, sheet: Worksheet, at: int, label: str, guidance: str, path: str) -> None:
        sheet.write_string(at, 0, label, self.inks["label"])
        sheet.write_string(at, 5, guidance, self.inks["guidance"])
        sheet.write_string(at, 6, path, self.inks["path"])

    def answer(self, sheet: Worksheet, at: int, column: int, asked: Asked, value: Any) -> None:
        """Write an answer as the kind of cell that is asked for, and what may be chosen."""
        ink = self.inks[asked.kind if asked.kind in self.inks else "text"]
        if isinstance(value, bool):
            value = "yes" if value else "no"
        if value is None or value == "":
            sheet.write_blank(at, column, None, ink)
        elif isinstance(value, date):
            sheet.write_datetime(at, column, datetime(value.year, value.month, value.day), ink)  # noqa: DTZ001
        elif isinstance(value, int | Decimal) and len(Decimal(value).as_tuple().digits) <= DIGITS:
            sheet.write_number(at, column, float(value), ink)
        else:
            sheet.write_string(at, column, str(value), self.inks["text"])
        words = ("yes", "no") if asked.kind == "yes or no" else asked.words
        if words:
            sheet.data_validation(at, column, at, column, {
                "validate": "list", "source": self.range_of(tuple(words)),
                "error_title": "Not one of the words", "error_message": form.may_be(asked)[:250],
            })

    def range_of(self, words: tuple[str, ...]) -> str:
        """Return where a vocabulary will stand on the hidden sheet."""
        if words not in self.ranges:
            letter = _letter(len(self.ranges))
            self.ranges[words] = f"={form.WORDS_SHEET}!${letter}$1:${letter}${len(words)}"
        return self.ranges[words]

    def words_last(self) -> None:
        sheet = self.book.add_worksheet(form.WORDS_SHEET)
        for column, words in enumerate(self.ranges):
            for row, word in enumerate(words):
                sheet.write_string(row, column, word)
        sheet.hide()


def _answers(line: Line, entry: Any) -> Iterator[Any]:
    """Yield what stands in the rows of a line: one, or more for a list."""
    held = getattr(entry, line.field, None)
    if line.field not in form.LISTED:
        yield held
        return
    yield from held or ()
    yield from [None] * max(1, ROWS_TO_SPARE[line.field] - len(held or ()))


def _letter(number: int) -> str:
    first, last = divmod(number, 26)
    return (chr(ord("A") + first - 1) if first else "") + chr(ord("A") + last)


_GUIDANCE_OF_THINGS = {
    True: "Panels keep clear of it. Its lower left corner, from that of the plane: along the "
          "eaves, up the slope; and its size.",
    False: "Equipment keeps clear of it. Its lower left corner, from the left end of the wall at "
           "the floor; and its size.",
}
_CELL = {"border": 1, "text_wrap": True, "align": "left"}
_INKS: dict[str, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 14},
    "note": {"italic": True},
    "band": {"bold": True, "font_size": 12},
    "header": {"bold": True, "text_wrap": True, "border": 1, "bg_color": "#E6E6E6"},
    "label": {**_CELL, "quote_prefix": True},
    "guidance": {**_CELL, "font_size": 9, "quote_prefix": True},
    "path": {**_CELL, "font_size": 8, "font_color": "#555555", "quote_prefix": True},
    "no answer": {"border": 1, "pattern": 17},
    "text": {**_CELL, "num_format": "@", "quote_prefix": True},
    "number": dict(_CELL),
    "whole number": dict(_CELL),
    "date": {**_CELL, "num_format": "yyyy-mm-dd"},
}
