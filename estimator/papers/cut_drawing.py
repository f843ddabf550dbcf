"""The cut list as a drawing: one bar under the other, with saw marks, marks of pieces and offcuts.

An SVG whose user unit is a millimetre of paper, A4 wide, as high as it must be. Nothing hangs on
colour: pieces are white, offcuts are hatched, and both carry words.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from textwrap import wrap

from estimator.papers import cable_words, cut_words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import (
    CableJson,
    CutBarJson,
    CutJson,
    DrumJson,
    JoinedLineJson,
)

WIDTH, EDGE = 297, 12  # A4 on its side, and its margin
DRAWN = WIDTH - 2 * EDGE
BAR_HIGH, LINE_HIGH = 7.0, 4.2
LETTERS = 150  # in a line of small print over the drawing's width
LETTER_WIDE = 0.62  # of its size, for the usual sans-serif letters and figures


def cuts_svg(estimate: EstimateJson) -> str:
    """Return the drawing of all cuts of an estimate; a page that says so where there are none."""
    title = f"Cut list - job {estimate.job.id}, revision {estimate.revision}"
    sheet = _Sheet()
    sheet.text(title, 5.5, bold=True)
    sheet.text(", ".join(part for part in (estimate.job.title, estimate.job.address) if part), 3.2)
    if not estimate.cuts and not estimate.cables:
        sheet.text(cut_words.NOTHING, 4)
    for line in cut_words.BEFORE if estimate.cuts else ():
        sheet.paragraph(line)
    for cut in estimate.cuts:
        _cut(sheet, cut)
    if estimate.cables:
        _cables(sheet, estimate.cables)
    return sheet.page(title)


class _Sheet:
    """Shapes written from the top down; `y` is where the next one goes."""

    def __init__(self) -> None:
        self.y = float(EDGE)
        self._shapes: list[str] = []

    def text(self, words: str, size: float, *, bold: bool = False, gap: float = 1.2) -> None:
        """Write a line of text."""
        self.y += size
        self.put(EDGE, self.y, words, size, "start", bold)
        self.y += gap

    def paragraph(self, words: str) -> None:
        """Write small print, broken where it is too long."""
        for line in wrap(words, LETTERS):
            self.text(line, 3, gap=0.9)

    def put(
        self, x: float, y: float, words: str, size: float, anchor: str = "middle",
        bold: bool = False,
    ) -> None:
        """Write words at a place."""
        weight = ' font-weight="bold"' if bold else ""
        self._shapes.append(f'<text x="{_mm(x)}" y="{_mm(y)}" font-size="{_mm(size)}" '
                            f'text-anchor="{anchor}"{weight}>{escape(words)}</text>')

    def box(self, x: float, wide: float, high: float, fill: str) -> None:
        """Draw a box from the present height down."""
        self._shapes.append(f'<rect x="{_mm(x)}" y="{_mm(self.y)}" width="{_mm(wide)}" '
                            f'height="{_mm(high)}" fill="{fill}" stroke="black" '
                            'stroke-width="0.3"/>')

    def page(self, title: str) -> str:
        """Return the whole drawing."""
        high = _mm(self.y + EDGE)
        return "\n".join((
            '<?xml version="1.0" encoding="UTF-8"?>',
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}mm" height="{high}mm" '
            f'viewBox="0 0 {WIDTH} {high}" role="img" '
            'font-family="Arial, Liberation Sans, DejaVu Sans, sans-serif">',
            f"<title>{escape(title)}</title>",
            '<defs><pattern id="offcut" width="2" height="2" patternUnits="userSpaceOnUse" '
            'patternTransform="rotate(45)"><rect width="2" height="2" fill="white"/>'
            '<line x1="0" y1="0" x2="0" y2="2" stroke="black" stroke-width="0.35"/></pattern>'
            "</defs>",
            f'<rect width="{WIDTH}" height="{high}" fill="white"/>',
            *self._shapes, "</svg>", "",
        ))


def _mm(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")


def _cut(sheet: _Sheet, cut: CutJson) -> None:
    longest = max([bar.length_mm for bar in cut.bars]
                  + [sum(line.pieces_mm) for line in cut.lines], default=1)
    sheet.y += 2
    sheet.text(f"{cut.subject.capitalize()}: what is cut from each bar", 4.2, bold=True)
    sheet.paragraph("Millimetres from the square end, on the left. Hatched: offcut. Mark each "
                    "piece with its number as it comes off the saw.")
    for bar in cut.bars:
        _bar(sheet, bar, DRAWN / max(1, *(b.length_mm for b in cut.bars)))
    sheet.y += 2
    sheet.text(f"{cut.subject.capitalize()}: how the lines are joined", 4.2, bold=True)
    sheet.paragraph(cut_words.joints(cut))
    for line in cut.lines:
        _line(sheet, cut, line, DRAWN / longest)
    sheet.y += 1
    sheet.paragraph(cut_words.result(cut))


def _cables(sheet: _Sheet, cables: Sequence[CableJson]) -> None:
    sheet.y += 2
    sheet.text("Runs of cable: what is cut from each drum", 4.2, bold=True)
    for line in cable_words.BEFORE:
        sheet.paragraph(line)
    if any(cable.held == "stock" and cable.drums for cable in cables):
        sheet.paragraph(cable_words.SHELF)
    for cable in cables:
        sheet.y += 1.5
        option = ", option" if cable.option else ""
        sheet.text(f"{cable.name} ({cable.item}){option}", 3.6, bold=True)
        scale = DRAWN / max([1, *(each.length_mm for each in cable.drums)])
        for each in cable.drums:
            _drum(sheet, cable, each, scale)
        for run in cable.too_long:
            sheet.paragraph(f"STOP: {cable_words.too_long(cable, run)}")


def _drum(sheet: _Sheet, cable: CableJson, drum: DrumJson, scale: float) -> None:
    sheet.text(f"Length {drum.number}: {cable_words.drum(cable, drum)}; "
               f"rest: {cable_words.rest(drum)}", 3.2, gap=1)
    for i, run in enumerate(drum.runs):
        start = run.from_mm or 0
        _box(sheet, EDGE + start * scale, run.length_mm * scale, cable_words.mark(drum, i), "white")
    if drum.rest_mm:
        wide = drum.rest_mm * scale
        sheet.box(EDGE + drum.length_mm * scale - wide, wide, BAR_HIGH, "url(#offcut)")
    sheet.y += BAR_HIGH + 1
    sheet.paragraph("; ".join(
        f"{cable_words.mark(drum, i)} = {cable_words.marks(run)}: {run.label}"
        for i, run in enumerate(drum.runs)))


def _bar(sheet: _Sheet, bar: CutBarJson, scale: float) -> None:
    sheet.y += 1.5
    sheet.text(f"Bar {bar.number}: {cut_words.taken(bar)}, {bar.length_mm} mm; offcut: "
               f"{cut_words.offcut(bar)}", 3.2, bold=True, gap=1)
    for i, piece in enumerate(bar.pieces):
        x = EDGE + (piece.ends_at_mm - piece.length_mm) * scale
        _box(sheet, x, piece.length_mm * scale, cut_words.mark(bar, i), "white")
        if piece.ends_at_mm < bar.length_mm:
            sheet.put(EDGE + piece.ends_at_mm * scale, sheet.y + BAR_HIGH + 3,
                      str(piece.ends_at_mm), 2.6, "end" if bar.offcut_mm * scale < 6 else "middle")
    if bar.offcut_mm:
        wide = bar.offcut_mm * scale
        sheet.box(EDGE + bar.length_mm * scale - wide, wide, BAR_HIGH, "url(#offcut)")
    sawn = any(piece.ends_at_mm < bar.length_mm for piece in bar.pieces)
    sheet.y += BAR_HIGH + (LINE_HIGH if sawn else 1)
    sheet.paragraph(cut_words.pieces(bar))


def _box(sheet: _Sheet, x: float, wide: float, words: str, fill: str) -> None:
    """Draw a piece with its mark inside, or only the piece where the mark has no room."""
    sheet.box(x, wide, BAR_HIGH, fill)
    size = min(4.0, (wide - 0.8) / max(1, len(words)) / LETTER_WIDE)
    if size >= 1.5:
        sheet.put(x + wide / 2, sheet.y + BAR_HIGH / 2 + size * 0.36, words, size)


def _line(sheet: _Sheet, cut: CutJson, line: JoinedLineJson, scale: float) -> None:
    marks = cut_words.marks_of(cut, line.label)
    sheet.y += 1
    sheet.text(f"{line.label}: {sum(line.pieces_mm)} mm = "
               + " + ".join(f"{mark} ({piece.length_mm})" for mark, piece in marks), 3, gap=1)
    x = float(EDGE)
    for mark, piece in marks:
        _box(sheet, x, piece.length_mm * scale, mark, "white")
        x += piece.length_mm * scale
    sheet.y += BAR_HIGH + 1

