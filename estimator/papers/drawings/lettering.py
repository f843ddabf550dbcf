"""How much room words need on a sheet, before anybody draws them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.papers.pictures.svg import broken, text_wide

FONT = "DejaVu Sans, Liberation Sans, Arial, sans-serif"
BOLD_WIDER = 1.08
LINE_HIGH = 1.35  # of the size
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Written:
    """Words on the sheet and the box they need, for a look at overlaps."""

    words: str
    left: float
    top: float
    right: float
    bottom: float


def place_of(
    x: float, y: float, words: str, size: float, anchor: Anchor, *, bold: bool, turned: bool
) -> Written:
    """Return the box that words need."""
    long = text_wide(words, size) * (BOLD_WIDER if bold else 1)
    start = {"start": 0.0, "middle": -long / 2, "end": -long}[anchor]
    if turned:
        return Written(words, x - size * 0.8, y - start - long, x + size * 0.25, y - start)
    return Written(words, x + start, y - size * 0.8, x + start + long, y + size * 0.25)


def overlap(a: Written, b: Written) -> bool:
    """Return whether two boxes of words lie on each other."""
    return a.left < b.right and b.left < a.right and a.top < b.bottom and b.top < a.bottom


def cut_to(words: str, room: float, size: float) -> str:
    """Return bold words that fit a cell, with an ellipsis where they were cut."""
    return broken(words, room / BOLD_WIDER, 1, size)[0]


