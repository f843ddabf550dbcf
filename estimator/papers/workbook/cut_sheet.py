"""What is cut from which bar, and how the pieces are joined: to be followed at the saw."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from estimator.papers import cut_words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CutJson
from estimator.papers.workbook.pen import Cell, Column, Page

NAME = "Cuts"
COLUMNS = (
    Column("Bar", 6, "number"), Column("Take", 30, "wrap"), Column("Length, mm", 9, "number"),
    Column("Saw at, mm from the square end", 22, "wrap"), Column("Mark and use", 62, "wrap"),
    Column("Offcut", 24, "wrap"), Column("Cut", 7, "tick"),
)
LETTERS = 160  # of a note, in a line of the sheet


def write_cuts(page: Page, estimate: EstimateJson) -> None:
    """Write each bar with its saw marks, then each line with its pieces in order."""
    page.band("before sawing")
    for says in cut_words.BEFORE:
        _note(page, says)
    page.band("how to read it")
    _note(page, "Millimetres from the square end of each bar. The saw cuts on the far side of its "
          "mark. Write the mark on each piece as it comes off the saw; 2.1 is the first of bar 2.")
    page.header()
    for cut in estimate.cuts:
        page.band(f"{cut.subject}: bars")
        for bar in cut.bars:
            page.row([bar.number, f"{bar.name} ({bar.code})", bar.length_mm,
                      cut_words.saw_at(bar), cut_words.pieces(bar), cut_words.offcut(bar), None])
        page.band(f"{cut.subject}: lines as they are joined")
        _note(page, cut_words.joints(cut))
        for row in _lines(cut):
            page.row(row)
        _note(page, cut_words.result(cut))


def _lines(cut: CutJson) -> Iterator[list[Cell]]:
    for line in cut.lines:
        marks = cut_words.marks_of(cut, line.label)
        joined = " + ".join(f"{mark} ({piece.length_mm})" for mark, piece in marks)
        yield [None, line.label, sum(line.pieces_mm), None, joined, None, None]


def _note(page: Page, text: str) -> None:
    for line in textwrap.wrap(text, LETTERS):
        page.note(line)
