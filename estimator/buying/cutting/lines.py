"""Lines of several pieces, such as rails: where each is joined and what is cut from which bar.

Both are chosen together, so that bars and joiners cost least. First come the two ways of the
trade: whole bars and an end piece, and one line after the other from what the last left over. Then
every choice of splits into whole bars and one cut piece is tried, or where those are too many, one
line after the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations_with_replacement, product
from math import comb, prod

from estimator.buying.cutting.bound import quick_bound
from estimator.buying.cutting.cut import Effort, best_cut, cut
from estimator.buying.cutting.line_bound import lines_at_least
from estimator.buying.cutting.model import MILLI, CutPlan, Piece, Task
from estimator.buying.cutting.room import room_of
from estimator.buying.cutting.splits import Line, in_order, lawful, splits

TRIES = 20  # cuts that are made in search of cheaper splits
CHOICES = 2_000
EFFORT = Effort(seconds=0, steps=250, patterns=250)  # for each of them
PIECE = ", piece "  # between the name of a line and the place of a piece in it
LEAST = "joints set so that no lawful way costs less"
ALL_TRIED = "all splits into whole bars and one cut piece"
SOME_TRIED = "splits changed line by line"

_Split = tuple[int, ...]
_Choice = tuple[tuple[_Split, ...], ...]  # for each line of the task a split of each that is alike


@dataclass(frozen=True)
class JoinedLine:
    """One line as it is put together: its pieces in order."""

    label: str
    pieces_mm: tuple[int, ...]

    @property
    def joiners(self) -> int:
        """Return its joints."""
        return len(self.pieces_mm) - 1


@dataclass(frozen=True)
class LinePlan:
    """Lines with their joints and the cut that gives their pieces.

    Attributes:
        cost_minor: of the bars and joiners.
        bound_minor: no lawful way costs less, wherever the joints are; proven.
        method: how the splits were found; that of the cut stands with the cut.
    """

    lines: tuple[JoinedLine, ...]
    cut: CutPlan
    joiners: int
    cost_minor: Fraction
    bound_minor: Fraction
    method: str

    @property
    def gap_minor(self) -> Fraction:
        """Return what a better plan could save at the very most."""
        return self.cost_minor - self.bound_minor


def cut_lines(lines: Sequence[Line], task: Task, joiner_minor: int, tries: int = TRIES) -> LinePlan:
    """Return the cheapest way found to make lines of pieces.

    Args:
        lines: the lines.
        task: bars on offer, pieces on hand, saw cut and offcuts; its pieces are cut as well.
        joiner_minor: price of one joiner.
        tries: cuts made in search of cheaper splits.

    Raises:
        ValueError: for a line that no lawful split makes.
    """
    hunt = _Hunt(tuple(line for line in lines if line.count), task, joiner_minor * MILLI, tries)
    hunt.run()
    return hunt.plan()


class _Hunt:
    """The search for splits: what is known best, and the tries that are left."""

    def __init__(self, lines: tuple[Line, ...], task: Task, joiner: int, tries: int) -> None:
        self.lines, self.task, self.joiner, self.tries = lines, task, joiner, tries
        self.bars = sorted({bar.length_mm for bar in task.bars}, reverse=True)
        self.ways = [splits(line, self.bars) for line in lines]
        if not all(self.ways):
            raise ValueError("a line has no lawful split: its step or overhang is too long for "
                             "the bars")
        self.least = self._least()
        self.best: tuple[Fraction, _Choice] | None = None
        self.method = SOME_TRIED
        self._tried: set[tuple[int, ...]] = set()

    def _least(self) -> Fraction:
        task, kerf = self.task, self.task.kerf_mm
        if task.offcuts.value_minor_per_m:
            return Fraction(0)
        kinds = room_of(replace(task, pieces=(Piece(1),))).kinds
        other = sum((piece.length_mm + kerf) * piece.count for piece in task.pieces)
        return lines_at_least(self.lines, kinds, kerf, self.joiner, other)

    def run(self) -> None:
        """Try the ways of the trade, then all others, until none can be cheaper."""
        for choice in self._starts():
            self._try(choice)
            if self._done():
                return
        choices = prod(comb(len(ways) + line.count - 1, line.count)
                       for line, ways in zip(self.lines, self.ways, strict=True))
        if choices <= CHOICES:
            self._try_all()
        else:
            self._line_by_line()

    def _done(self) -> bool:
        if self.best is not None and self.best[0] <= self.least:
            self.method = LEAST
            return True
        return False

    def _starts(self) -> Iterator[_Choice]:
        """Yield the fewest pieces, and for each bar one line after the other."""
        for bar in self.bars:
            yield tuple((_whole_and_end(line, bar, ways),) * line.count
                        for line, ways in zip(self.lines, self.ways, strict=True))
        for bar in self.bars:
            yield from _one_after_another(self.lines, bar, self.task.kerf_mm)

    def _try(self, choice: _Choice) -> None:
        """Cut a choice of splits, and keep it if it is cheaper."""
        splits_made = [split for made in choice for split in made]
        joints = sum(len(split) - 1 for split in splits_made) * self.joiner
        pieces = tuple(sorted(n for split in splits_made for n in split))
        if pieces in self._tried:  # the same pieces make the same number of joints
            return
        self._tried.add(pieces)
        room = room_of(replace(
            self.task, pieces=(*self.task.pieces, *(Piece(n) for n in pieces))))
        below = self.best[0] - joints if self.best is not None else None
        if below is not None and quick_bound(room) >= below:
            return
        self.tries -= 1
        cost = best_cut(room, EFFORT, below).cost + joints
        if self.best is None or cost < self.best[0]:
            self.best = (Fraction(cost), choice)

    def _try_all(self) -> None:
        """Try every choice of splits that could be cheaper."""
        for choice in product(*(combinations_with_replacement(ways, line.count)
                                for line, ways in zip(self.lines, self.ways, strict=True))):
            if self.tries <= 0:
                return
            self._try(choice)
            if self._done():
                return
        self.method = ALL_TRIED

    def _line_by_line(self) -> None:
        """Change one line's split at a time for as long as that saves anything."""
        improved = True
        while improved and self.tries > 0 and self.best is not None:
            cost, choice = self.best
            for at, made in enumerate(choice):
                for way in self.ways[at]:
                    if self.tries > 0 and way not in made and not self._done():
                        self._try((*choice[:at], (*made[1:], way), *choice[at + 1:]))
            improved = self.best[0] < cost

    def plan(self) -> LinePlan:
        """Return the best plan, its pieces labelled by line and place."""
        if self.best is None:  # no line at all
            self.best = (Fraction(0), ())
        made, pieces = [], list(self.task.pieces)
        for line, chosen in zip(self.lines, self.best[1], strict=True):
            for n, split in enumerate(sorted(chosen, key=lambda s: (len(s), s))):
                label = line.name_of(n)
                made.append(JoinedLine(label, split))
                pieces += _labelled(label, split)
        found = cut(replace(self.task, pieces=tuple(pieces)), EFFORT)
        joiners = sum(line.joiners for line in made)
        cost = found.cost_minor + Fraction(joiners * self.joiner, MILLI)
        return LinePlan(
            tuple(made), found, joiners, cost, min(cost, self.least / MILLI), self.method)


def _labelled(label: str, split: _Split) -> list[Piece]:
    if len(split) == 1:
        return [Piece(split[0], 1, label)]
    return [Piece(length, 1, f"{label}{PIECE}{i} of {len(split)}")
            for i, length in enumerate(split, start=1)]


def line_of(label: str) -> str:
    """Return the line that a piece of a plan belongs to."""
    return label.partition(PIECE)[0]


def _whole_and_end(line: Line, bar: int, ways: Sequence[_Split]) -> _Split:
    """Return whole bars of one length and an end piece, or else the first lawful split."""
    whole, end = divmod(line.length_mm, bar)
    split = in_order([*[bar] * whole, *([end] if end else [])])
    return split if lawful(split, line) else ways[0]


def _one_after_another(lines: Sequence[Line], bar: int, kerf: int) -> Iterator[_Choice]:
    """Yield the splits where each line begins with what the one before left of its last bar."""
    left, choice = 0, []
    for line in lines:
        made = []
        for _ in range(line.count):
            split, left = _onwards(line, bar, left, kerf)
            if not split:
                return
            made.append(split)
        choice.append(tuple(made))
    yield tuple(choice)


def _onwards(line: Line, bar: int, left: int, kerf: int) -> tuple[_Split, int]:
    """Return a split that begins with what is left of the last bar, and what it leaves itself."""
    short = line.overhang_mm + 1
    if left - kerf >= line.length_mm:
        return (line.length_mm,), left - kerf - line.length_mm
    for start in (left, 0):
        if 0 < start < short:
            continue
        rest = line.length_mm - start
        pieces = [*([start] if start else []), *[bar] * (rest // bar)]
        end = rest % bar
        if end and pieces and end < short:  # too short an end: the piece before gives way
            pieces[-1], end = pieces[-1] - (short - end), short
        split = in_order([*pieces, *([end] if end else [])])
        if lawful(split, line):
            return split, max(0, bar - end - kerf) if end else 0
    return (), 0
