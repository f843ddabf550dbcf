"""The sheet that a picture is drawn on: shapes, text, patterns, legend.

Series are told apart by pattern, dash and mark, which a black-and-white printer keeps, and every
one is named in words. Text is dark on white.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from textwrap import wrap

WIDE = 720.0
SIZE = 13.0  # of letters
LINE = 16.0  # from one line of text to the next
DARK, QUIET, RULE, INK = "#1a1a1a", "#4d4d4d", "#d0d0d0", "#1f4e5f"
FONT = "Arial, Liberation Sans, DejaVu Sans, sans-serif"
SWATCH = 22.0

# How wide letters are to their size, at the most, in the usual fonts without serifs; any other sign
# is taken as `_USUAL`, a capital as `_CAPITAL`, one from beyond the European scripts as `_BROAD`.
_LETTERS = {
    **dict.fromkeys("ijlI.,:;'|! ", 0.34), **dict.fromkeys("ftr()[]-/", 0.45),
    **dict.fromkeys("csvxyz", 0.59), "&": 0.78, **dict.fromkeys("mwMW@%—…", 1.02),
}
_USUAL, _CAPITAL, _BROAD = 0.64, 0.78, 1.0


@dataclass(frozen=True, slots=True)
class Look:
    """How a series looks: fill of its bars, dashes of its line, its mark, colour of its lines."""

    fill: str
    dash: str
    mark: str
    ink: str


def looks(prefix: str) -> tuple[Look, ...]:
    """Return the looks of series, in their order; `prefix` leads the names of the patterns."""
    return (
        Look(INK, "", "circle", INK),
        Look(f"url(#{prefix}-slant)", "7 4", "square", DARK),
        Look("#d9d9d9", "2 3", "triangle", QUIET),
        Look(f"url(#{prefix}-dots)", "10 3 2 3", "diamond", DARK),
        Look("#8c8c8c", "5 2", "cross", QUIET),
        Look(f"url(#{prefix}-net)", "1 2", "ring", INK),
    )


def patterns(prefix: str) -> str:
    """Return the patterns that `looks` names."""
    def pattern(name: str, side: int, inner: str, turned: str = "") -> str:
        return (f'<pattern id="{prefix}-{name}" width="{side}" height="{side}" '
                f'patternUnits="userSpaceOnUse"{turned}><rect width="{side}" height="{side}" '
                f'fill="white"/>{inner}</pattern>')

    line = f'<line x1="0" y1="0" x2="0" y2="6" stroke="{DARK}" stroke-width="1.6"/>'
    across = f'<line x1="0" y1="0" x2="6" y2="0" stroke="{DARK}" stroke-width="1.2"/>'
    slant = ' patternTransform="rotate(45)"'
    return "<defs>" + "".join((
        pattern("slant", 6, line, slant),
        pattern("dots", 5, f'<circle cx="2.5" cy="2.5" r="1.1" fill="{DARK}"/>'),
        pattern("net", 6, line + across, slant),
    )) + "</defs>"


def text_wide(text: str, size: float = SIZE) -> float:
    """Return how wide a text may be, in pixels."""
    return size * sum(map(_letter, text))


def _letter(letter: str) -> float:
    known = _LETTERS.get(letter)
    if known is not None:
        return known
    if unicodedata.category(letter) in ("Mn", "Me", "Cf"):
        return 0.0
    if ord(letter) >= 0x2000 or unicodedata.east_asian_width(letter) in "WF":
        return _BROAD
    return _CAPITAL if letter.isupper() else _USUAL


def plain_text(text: str) -> str:
    """Return a text on one line and without control characters, which XML cannot hold."""
    kept = "".join(each for each in text if unicodedata.category(each) not in ("Cc", "Cs")
                   or each.isspace())
    return " ".join(kept.split())


def broken(text: str, room: float, most: int = 2, size: float = SIZE) -> list[str]:
    """Return a text as lines no wider than the room; what is left out is told by "…"."""
    flat = plain_text(text)
    lines: list[str] = []
    while flat and len(lines) < most:
        letters = _fit(flat, room, size)
        if letters == len(flat):
            return [*lines, flat]
        if len(lines) == most - 1:
            return [*lines, flat[: _fit(flat, room - text_wide("…", size), size)].rstrip() + "…"]
        line = wrap(flat, letters)[0] if letters > 1 else flat[:1]
        lines.append(line)
        flat = flat[len(line):].strip()
    return lines or [""]


def _fit(text: str, room: float, size: float) -> int:
    """Return how many letters from the start have room; one at the least."""
    used = 0.0
    for at, letter in enumerate(text):
        used += _letter(letter)
        if used * size > room + 0.01:  # a text has room in its own width, however it is added up
            return max(1, at)
    return len(text)


def number(value: float) -> str:
    """Return a coordinate to a tenth of a pixel."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


class Sheet:
    """Shapes on a sheet; `down` is how far it reaches."""

    def __init__(self, prefix: str) -> None:
        self.prefix = prefix
        self.looks = looks(prefix)
        self.down = 0.0
        self._shapes: list[str] = []

    def text(
        self, x: float, y: float, text: str, anchor: str = "start", *, bold: bool = False,
        fill: str = DARK,
    ) -> None:
        """Write a text whose letters stand on `y`."""
        weight = ' font-weight="bold"' if bold else ""
        self._shapes.append(
            f'<text x="{number(x)}" y="{number(y)}" text-anchor="{anchor}" fill="{fill}"{weight}>'
            f"{escape(plain_text(text))}</text>")

    def box(self, x: float, y: float, wide: float, high: float, fill: str) -> None:
        """Draw a box with an edge, from its upper left corner."""
        self._shapes.append(
            f'<rect x="{number(x)}" y="{number(y)}" width="{number(wide)}" '
            f'height="{number(high)}" fill="{fill}" stroke="{DARK}" stroke-width="0.8"/>')

    def line(
        self, x1: float, y1: float, x2: float, y2: float, ink: str = DARK, thick: float = 1.0,
        dash: str = "",
    ) -> None:
        """Draw a line."""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._shapes.append(
            f'<line x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
            f'stroke="{ink}" stroke-width="{number(thick)}"{dashed}/>')

    def path(self, points: Sequence[tuple[float, float]], look: Look) -> None:
        """Draw a line through points."""
        if len(points) > 1:
            dashed = f' stroke-dasharray="{look.dash}"' if look.dash else ""
            through = " ".join(f"{number(x)},{number(y)}" for x, y in points)
            self._shapes.append(f'<polyline points="{through}" fill="none" stroke="{look.ink}" '
                                f'stroke-width="2"{dashed}/>')

    def mark(self, x: float, y: float, look: Look) -> None:
        """Draw the mark of a series round a point."""
        self._shapes.append(_MARKS[look.mark].format(
            x=number(x), y=number(y), l=number(x - 4), r=number(x + 4), t=number(y - 4),
            b=number(y + 4), ink=look.ink))

    def legend(self, names: Sequence[str], *, lines: bool = False) -> None:
        """Name the series, from the present height down; as lines with marks, else as boxes."""
        x = 0.0
        for name, look in zip(names, _cycled(self.looks, len(names)), strict=True):
            text = broken(name, WIDE - SWATCH - 8, 1)[0]
            wide = SWATCH + 6 + text_wide(text) + 18
            if x and x + wide > WIDE:
                x, self.down = 0.0, self.down + LINE + 4
            middle = self.down + LINE / 2
            if lines:
                self.line(x, middle, x + SWATCH, middle, look.ink, 2, look.dash)
                self.mark(x + SWATCH / 2, middle, look)
            else:
                self.box(x, middle - 6, SWATCH, 12, look.fill)
            self.text(x + SWATCH + 6, middle + 4.5, text)
            x += wide
        self.down += LINE + 10

    def look(self, at: int) -> Look:
        """Return the look of a series."""
        return self.looks[at % len(self.looks)]

    def drawing(self, title: str, description: str) -> str:
        """Return the picture, named and described for those who hear it."""
        high = number(self.down + 4)
        return "\n".join((
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(WIDE)} {high}" '
            f'role="img" aria-labelledby="{self.prefix}-title {self.prefix}-desc" '
            f'font-family="{FONT}" font-size="{number(SIZE)}">',
            f'<title id="{self.prefix}-title">{escape(plain_text(title))}</title>',
            f'<desc id="{self.prefix}-desc">{escape(plain_text(description))}</desc>',
            patterns(self.prefix), *self._shapes, "</svg>",
        ))


def _cycled(looks: Sequence[Look], wanted: int) -> list[Look]:
    return [looks[at % len(looks)] for at in range(wanted)]


_MARKS = {
    "circle": '<circle cx="{x}" cy="{y}" r="4" fill="{ink}"/>',
    "ring": '<circle cx="{x}" cy="{y}" r="4" fill="white" stroke="{ink}" stroke-width="1.5"/>',
    "square": '<rect x="{l}" y="{t}" width="8" height="8" fill="{ink}"/>',
    "triangle": '<polygon points="{x},{t} {r},{b} {l},{b}" fill="{ink}"/>',
    "diamond": '<polygon points="{x},{t} {r},{y} {x},{b} {l},{y}" fill="white" stroke="{ink}" '
               'stroke-width="1.5"/>',
    "cross": '<path d="M{l} {t}L{r} {b}M{l} {b}L{r} {t}" stroke="{ink}" stroke-width="1.8"/>',
}
