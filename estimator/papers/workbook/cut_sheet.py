"""What is cut from which bar, and how the pieces are joined: to be followed at the saw."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from estimator.papers import cable_words, cut_words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CableJson, CutJson
from estimator.papers.workbook.pen import Cell, Column, Page

NAME = "Cuts"
COLUMNS = (
    Column("Bar", 6, "number"), Column("Take", 30, "wrap"), Column("Length, mm", 9, "number"),
    Column("Saw at, mm from the square end", 22, "wrap"), Column("Mark and use", 62, "wrap"),
    Column("Offcut", 24, "wrap"), Column("Cut", 7, "tick"),
)
LETTERS = 160  # of a note, in a line of the sheet


def write_cuts(page: Page, estimate: EstimateJson) -> None:
    """Write bars with their saw marks, lines with their pieces, and drums with their runs."""
    if estimate.cuts:
        _bars(page, estimate)
    else:
        page.header()
    if estimate.cables:
        _cables(page, estimate)


def _bars(page: Page, estimate: EstimateJson) -> None:
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
            page.row([bar.number, cut_words.taken(bar), bar.length_mm,
                      cut_words.saw_at(bar), cut_words.pieces(bar), cut_words.offcut(bar), None])
        page.band(f"{cut.subject}: lines as they are joined")
        _note(page, cut_words.joints(cut))
        for row in _lines(cut):
            page.row(row)
        _note(page, cut_words.result(cut))


def _cables(page: Page, estimate: EstimateJson) -> None:
    """Write each drum, then a row for every run that is cut from it."""
    page.band("runs of cable")
    for says in cable_words.BEFORE:
        _note(page, says)
    if any(cable.held == "stock" and cable.drums for cable in estimate.cables):
        _note(page, cable_words.SHELF)
    for cable in estimate.cables:
        page.band(f"{cable.name} ({cable.item}){', option' if cable.option else ''}")
        for row in _drums(cable):
            page.row(row)


def _drums(cable: CableJson) -> Iterator[list[Cell]]:
    for each in cable.drums:
        yield [None, f"length {each.number}: {cable_words.drum(cable, each)}", each.length_mm,
               None, None, cable_words.rest(each), None]
        for i, run in enumerate(each.runs):
            yield [None, None, run.length_mm, cable_words.marks(run),
                   f"{cable_words.mark(each, i)} = {run.label}", None, None]
    for run in cable.too_long:
        yield [None, "STOP", run.length_mm, None, cable_words.too_long(cable, run), None, None]


def _lines(cut: CutJson) -> Iterator[list[Cell]]:
    for line in cut.lines:
        marks = cut_words.marks_of(cut, line.label)
        joined = " + ".join(f"{mark} ({piece.length_mm})" for mark, piece in marks)
        yield [None, line.label, sum(line.pieces_mm), None, joined, None, None]


def _note(page: Page, text: str) -> None:
    for line in textwrap.wrap(text, LETTERS):
        page.note(line)
