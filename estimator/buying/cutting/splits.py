"""Where a line longer than a bar may be joined: the lawful splits of a line into pieces.

A rail is carried by fixings a step apart and reaches past the first and last by no more than the
overhang. Where the rafters lie under the line nobody knows beforehand, so a split is lawful only
if it is so wherever the fixings fall:

- no joint lies in an overhang: the pieces at both ends are longer than the overhang;
- every piece, however short, spans a fixing: a piece between two others is longer than the step.

Common practice, no source; the rail maker's manual decides. Some manuals also keep joints off the
fixings, or ask for two fixings under every piece: that is not planned here, but set out on site.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement


@dataclass(frozen=True, slots=True)
class Line:
    """Lines that are all alike, made of pieces joined end to end.

    Attributes:
        names: of each line, where each has a name of its own.
        overhang_mm: most that the line reaches past its first and last fixing.
        step_mm: most distance between fixings. With overhang and step 0 joints may lie anywhere,
            as those of trunking and conduit do.
    """

    length_mm: int
    count: int = 1
    label: str = ""
    overhang_mm: int = 0
    step_mm: int = 0
    names: tuple[str, ...] = ()

    def name_of(self, n: int) -> str:
        """Return the name of one of the lines, counted from 0."""
        if self.names:
            return self.names[n]
        return f"{self.label}, line {n + 1}" if self.count > 1 else self.label


def in_order(pieces: Iterable[int]) -> tuple[int, ...]:
    """Return pieces as they lie along the line: the shortest last, the next shortest first."""
    ranked = sorted(pieces)
    if len(ranked) < 3:
        return tuple(reversed(ranked))
    return (ranked[1], *reversed(ranked[2:]), ranked[0])


def lawful(pieces: Sequence[int], line: Line) -> bool:
    """Return whether pieces, in the order given, make up a line with every joint where it may be.

    Args:
        pieces: lengths in millimetres along the line.
        line: its length, overhang and step.
    """
    if sum(pieces) != line.length_mm or min(pieces) <= 0:
        return False
    if len(pieces) == 1:
        return True
    return min(pieces[0], pieces[-1]) > line.overhang_mm and all(
        piece > line.step_mm for piece in pieces[1:-1])


def fewest(line: Line, longest_mm: int) -> int:
    """Return the fewest pieces that a line can be made of."""
    return -(-line.length_mm // longest_mm)


def splits(line: Line, bars: Sequence[int]) -> list[tuple[int, ...]]:
    """Return the lawful splits into whole bars and one piece cut to make up the line.

    Every mix of bar lengths is taken, with no piece more than one beyond the fewest. A line that
    fits on a bar is one piece. Where a whole bar would leave an end that is too short to be lawful,
    the last two pieces share what is left evenly, or the end is made just long enough.

    Args:
        line: the line.
        bars: lengths of the bars on offer.
    """
    longest = max(bars)
    if line.length_mm <= longest:
        return [(line.length_mm,)]
    least = fewest(line, longest)
    found: dict[tuple[int, ...], None] = {}
    for whole in range(least - 2, least + 1):
        for chosen in combinations_with_replacement(sorted(bars, reverse=True), max(0, whole)):
            for pieces in _made_up(line, chosen, longest):
                split = in_order(pieces)
                if lawful(split, line) and len(split) <= least + 1:
                    found.setdefault(split)
    return sorted(found, key=lambda split: (len(split), [-n for n in split]))


def _made_up(line: Line, whole: Sequence[int], longest: int) -> list[list[int]]:
    """Return whole bars with the pieces that make up the line: one, or two that share the rest."""
    rest = line.length_mm - sum(whole)
    short = line.overhang_mm + 1
    if rest <= 0:
        return [list(whole)] if rest == 0 else []
    if rest <= longest and rest >= short:
        return [[*whole, rest]]
    if rest > longest:
        return [[*whole, rest // 2, rest - rest // 2], [*whole, rest - short, short]] \
            if rest <= 2 * longest and rest - short <= longest else []
    return []
