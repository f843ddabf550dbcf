"""One sheet of A4 on its side: frame, title block, column of notes, shapes in paper millimetres.

Sizes and lines follow the usual practice of technical drawing: frame with a filing margin at the
left (ISO 5457), title block along the bottom (ISO 7200), thick and thin lines in the ratio 2 to 1
(ISO 128), scales of ISO 5455; from memory. The drawing library writes the SVG and escapes words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from estimator.papers.drawings.lettering import (
    BOLD_WIDER,
    FONT,
    LINE_HIGH,
    Anchor,
    Written,
    cut_to,
    overlap,
    place_of,
)
from estimator.papers.pictures.svg import broken, plain_text

if TYPE_CHECKING:
    import drawsvg

WIDE, HIGH = 297.0, 210.0
LEFT, EDGE = 20.0, 10.0
NOTES_X = 217.0
TITLE_HIGH = 24.0
FIELD = (LEFT + 2, EDGE + 2, NOTES_X - 3, HIGH - EDGE - TITLE_HIGH - 2)  # left, top, right, bottom
THICK, MIDDLE, THIN = 0.5, 0.35, 0.18
# Of ISO 5455, with steps between for what would leave half the sheet empty.
SCALES = (5, 10, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
DASHES = {"dashed": "1.5 0.8", "chain": "3 0.8 0.5 0.8", "dotted": "0.4 0.8"}
Fill = Literal["white", "none", "hatch", "dense"]
MOST_LINES = 12  # of one note
CHECKED = "NOT FOR CONSTRUCTION until checked by"


@dataclass(frozen=True, slots=True)
class Title:
    """What the title block says."""

    drawing: str
    firm: str
    job: str
    address: str
    reference: str
    on: date
    number: int
    of: int


def scale_for(width_mm: float, height_mm: float, room: tuple[float, float]) -> int:
    """Return the largest usual scale at which something fits its room on paper.

    Raises:
        ValueError: if it does not fit at the smallest.
    """
    for scale in SCALES:
        if width_mm / scale <= room[0] and height_mm / scale <= room[1]:
            return scale
    raise ValueError(f"{width_mm} x {height_mm} mm fit no sheet")


@dataclass(frozen=True, slots=True)
class _Note:
    lines: tuple[str, ...]
    size: float
    bold: bool
    gap: float

    @property
    def high(self) -> float:
        return len(self.lines) * self.size * LINE_HIGH + self.gap


MORE = _Note(("More stands on the set-out sheet.",), 2.2, bold=True, gap=0.6)


class Page:
    """A sheet that is drawn on; positions are paper millimetres from its upper left corner."""

    def __init__(self, title: Title, scale: int | None) -> None:
        import drawsvg

        self._d = drawsvg
        self.title, self.scale = title, scale
        self.written: list[Written] = []
        self._shapes: list[Any] = []
        self._legend: list[tuple[str, str]] = []
        self._notes: list[_Note] = []
        self._finished = False
        self._y = EDGE + 5.0
        self._hatch = self._pattern(1.6, THIN)
        self._dense = self._pattern(0.8, THIN)

    def _pattern(self, step: float, wide: float) -> drawsvg.Pattern:
        made = self._d.Pattern(step, step, patternUnits="userSpaceOnUse",
                               patternTransform="rotate(45)")
        made.append(self._d.Line(0, 0, 0, step, stroke="black", stroke_width=wide))
        return made

    def box(
        self, x: float, y: float, wide: float, high: float, *, line: float = MIDDLE,
        fill: Fill = "none", dash: str = "", what: str = "",
    ) -> None:
        """Draw a rectangle by its upper left corner."""
        patterns = {"hatch": self._hatch, "dense": self._dense}
        self._put(self._d.Rectangle(
            _mm(x), _mm(y), _mm(wide), _mm(high), fill=patterns.get(fill, fill), stroke="black",
            stroke_width=line, **_more(dash, what)))

    def line(
        self, x1: float, y1: float, x2: float, y2: float, *, line: float = THIN, dash: str = "",
        what: str = "",
    ) -> None:
        """Draw a straight line."""
        self._put(self._d.Line(_mm(x1), _mm(y1), _mm(x2), _mm(y2), stroke="black",
                               stroke_width=line, **_more(dash, what)))

    def path(
        self, points: Sequence[tuple[float, float]], *, line: float = THIN, dash: str = "",
        what: str = "", fill: str = "none",
    ) -> None:
        """Draw straight lines from point to point."""
        flat = [_mm(n) for point in points for n in point]
        self._put(self._d.Lines(*flat, close=False, fill=fill, stroke="black", stroke_width=line,
                                **_more(dash, what)))

    def dot(
        self, x: float, y: float, radius: float, *, filled: bool = True, what: str = ""
    ) -> None:
        """Draw a round dot, or a ring."""
        self._put(self._d.Circle(_mm(x), _mm(y), radius, fill="black" if filled else "white",
                                 stroke="black", stroke_width=THIN, **_more("", what)))

    def arrow(self, x: float, y: float, dx: float, dy: float) -> None:
        """Draw a filled head with its tip here, pointing along (dx, dy), a unit vector."""
        long, half = 2.0, 0.42
        back = (x - dx * long, y - dy * long)
        self.path([(x, y), (back[0] - dy * half, back[1] + dx * half),
                   (back[0] + dy * half, back[1] - dx * half), (x, y)], fill="black")

    def words(
        self, x: float, y: float, words: str, size: float = 2.5, anchor: Anchor = "start", *,
        bold: bool = False, turned: bool = False, clear: bool = False,
    ) -> None:
        """Write words with their base line here; `turned` reads from below upwards.

        Args:
            clear: leave a white ground under them, where lines cross.
        """
        words = plain_text(words)
        if not words:
            return
        place = place_of(x, y, words, size, anchor, bold=bold, turned=turned)
        self.written.append(place)
        if clear:
            self._put(self._d.Rectangle(
                _mm(place.left), _mm(place.top), _mm(place.right - place.left),
                _mm(place.bottom - place.top), fill="white"))
        more: dict[str, Any] = {"font_weight": "bold"} if bold else {}
        if turned:
            more["transform"] = f"rotate(-90 {_mm(x)} {_mm(y)})"
        self._put(self._d.Text(words, size, _mm(x), _mm(y), text_anchor=anchor, **more))

    def is_free(self, x: float, y: float, words: str, size: float, anchor: Anchor) -> bool:
        """Return whether bold words would stand on no others here."""
        place = place_of(x, y, words, size, anchor, bold=True, turned=False)
        return not any(overlap(place, each) for each in self.written)

    def legend(self, sign: str, words: str) -> None:
        """Add a line to the legend: a sign ("line", "hatch", ...) and what it means."""
        if (sign, words) not in self._legend:
            self._legend.append((sign, words))

    def note(self, words: str, size: float = 2.4, *, bold: bool = False, gap: float = 1.0) -> None:
        """Add a note to the column at the right; what finds no room there is left out, last first.
        """
        room = (WIDE - EDGE - NOTES_X - 3) / (BOLD_WIDER if bold else 1)
        lines = tuple(broken(words, room, MOST_LINES, size))
        self._notes.append(_Note(lines, size, bold, gap))

    def _write_notes(self) -> None:
        room = HIGH - EDGE - TITLE_HIGH - 4 - self._y - self._legend_high()
        shown = len(self._notes)
        while sum(note.high for note in self._notes[:shown]) > room - (
                0 if shown == len(self._notes) else MORE.high):
            shown -= 1
        more = () if shown == len(self._notes) else (MORE,)
        for note in (*self._notes[:shown], *more):
            for line in note.lines:
                self.words(NOTES_X + 1.5, self._y, line, note.size, bold=note.bold)
                self._y += note.size * LINE_HIGH
            self._y += note.gap

    def _meanings(self) -> list[tuple[str, list[str]]]:
        room = WIDE - EDGE - NOTES_X - 15
        return [(sign, broken(words, room, MOST_LINES, 2.3)) for sign, words in self._legend]

    def _legend_high(self) -> float:
        return 7.0 + sum(3.0 * len(lines) + 1.6 for _, lines in self._meanings())

    def _write_legend(self) -> None:
        """Write the legend below the notes."""
        if not self._legend:
            return
        self._y += 2
        self.words(NOTES_X + 1.5, self._y, "Legend", 2.4, bold=True)
        self._y += 4.4
        for sign, lines in self._meanings():
            self._sign(sign, NOTES_X + 2, self._y - 1)
            for line in lines:
                self.words(NOTES_X + 13, self._y, line, 2.3)
                self._y += 3.0
            self._y += 1.6

    def _sign(self, sign: str, x: float, y: float) -> None:
        if sign in ("hatch", "dense", "thick box", "thin box", "dashed box"):
            fills: dict[str, Fill] = {"hatch": "hatch", "dense": "dense"}
            self.box(x, y - 1.5, 9, 3, fill=fills.get(sign, "white"),
                     line=THICK if sign == "thick box" else THIN,
                     dash=DASHES["dashed"] if sign == "dashed box" else "")
        elif sign.startswith("words "):
            self.words(x + 4.5, y + 0.9, sign.removeprefix("words "), 2.3, "middle", bold=True)
        elif sign == "dot":
            self.dot(x + 4.5, y, 0.6)
        elif sign == "ring":
            self.dot(x + 4.5, y, 0.8, filled=False)
        elif sign == "cross":
            self.line(x + 3.3, y, x + 5.7, y)
            self.line(x + 4.5, y - 1.2, x + 4.5, y + 1.2)
        elif sign == "arrow":
            self.line(x, y, x + 9, y, line=MIDDLE)
            self.arrow(x + 9, y, 1, 0)
        else:
            self.line(x, y, x + 9, y, line=MIDDLE, dash=DASHES.get(sign, ""))

    def svg(self) -> str:
        """Return the sheet with its frame and title block."""
        if not self._finished:
            self._finished = True
            self._write_notes()
            self._write_legend()
            self._frame()
        title = plain_text(f"{self.title.drawing} - {self.title.reference}")
        drawing = self._d.Drawing(
            WIDE, HIGH, font_family=FONT, role="img", **{"data-scale": str(self.scale or "")})
        drawing.set_render_size(f"{WIDE:g}mm", f"{HIGH:g}mm")
        drawing.append_title(title)
        drawing.append(self._d.Rectangle(0, 0, WIDE, HIGH, fill="white"))
        drawing.extend(self._shapes)
        return str(drawing.as_svg()) + "\n"

    def _frame(self) -> None:
        high = HIGH - 2 * EDGE
        self.box(LEFT, EDGE, WIDE - LEFT - EDGE, high, line=THICK)
        self.line(NOTES_X - 1, EDGE, NOTES_X - 1, HIGH - EDGE - TITLE_HIGH, line=THIN)
        self._title_block(HIGH - EDGE - TITLE_HIGH)

    def _title_block(self, top: float) -> None:
        title, right = self.title, WIDE - EDGE
        self.line(LEFT, top, right, top, line=MIDDLE)
        scale = "not to scale" if self.scale is None else f"1 : {self.scale}"
        cells = (
            (0, 84, 0, "job", title.job, title.address), (84, 150, 0, "drawing", title.drawing, ""),
            (150, 190, 0, "job / revision", title.reference, ""),
            (190, 217, 0, "date", title.on.isoformat(), ""),
            (217, 243, 0, "scale", scale, ""),
            (243, 267, 0, "sheet", f"{title.number} of {title.of}", ""),
            (0, 84, 1, "firm", title.firm, ""),
        )
        middle = top + TITLE_HIGH / 2
        for left, end, row, name, words, more in cells:
            x, y = LEFT + left, top + row * TITLE_HIGH / 2
            self.box(x, y, end - left, TITLE_HIGH / 2, line=THIN)
            self.words(x + 1.2, y + 2.8, name, 1.9)
            self.words(x + 1.2, y + 6.6, cut_to(words, end - left - 2.4, 2.8), 2.8, bold=True)
            self.words(x + 1.2, y + 10.4, cut_to(more, end - left - 2.4, 2.4), 2.4)
        self.words(LEFT + 86, middle + 4.4, CHECKED, 2.6, bold=True)
        self.words(LEFT + 86, middle + 9.4, "name, date and signature", 1.9)
        self.line(LEFT + 122, middle + 9.6, right - 3, middle + 9.6)

    def _put(self, shape: Any) -> None:
        self._shapes.append(shape)

    def overlaps(self) -> list[tuple[str, str]]:
        """Return the pairs of words whose boxes overlap; there should be none."""
        return [(a.words, b.words) for i, a in enumerate(self.written) for b in self.written[:i]
                if overlap(a, b)]


def _more(dash: str, what: str) -> dict[str, Any]:
    more: dict[str, Any] = {}
    if dash:
        more["stroke_dasharray"] = dash
    if what:
        more["data-what"] = what
    return more


def _mm(number: float) -> float:
    """Return a position to a ten-thousandth of a millimetre: a twentieth of one at 1 : 500."""
    return round(number, 4)


def one_line(parts: Iterable[str]) -> str:
    """Return parts that are there, with commas."""
    return ", ".join(part for part in parts if part)
