"""Cheapest cuts by trying everything, and random tasks of a fixed seed: nothing of the program."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction

from estimator.buying.cutting.model import Bar, Offcuts, OnHand, Piece, Task

WHOLE = Offcuts()


def cheapest(task: Task) -> Fraction:
    """Return the least cost: each piece goes on each opened bar, or opens each that there is."""
    pieces = [p.length_mm for p in task.pieces for _ in range(p.count)]
    hand = tuple((h.length_mm, h.value_minor) for h in task.on_hand)
    return min(_costs(task, pieces, (), hand))


_Opened = tuple[tuple[int, int, int], ...]  # length, cost, length taken with saw cuts


def _costs(
    task: Task, pieces: list[int], opened: _Opened, hand: tuple[tuple[int, int], ...]
) -> Iterator[Fraction]:
    if not pieces:
        yield sum((cost - _worth(task, length - taken) for length, cost, taken in opened),
                  Fraction(0))
        return
    piece, rest = pieces[0], pieces[1:]
    for i, (length, cost, taken) in enumerate(opened):
        if taken + piece <= length:  # the last cut of a full bar is the end of the bar itself
            bar = (length, cost, taken + piece + task.kerf_mm)
            yield from _costs(task, rest, (*opened[:i], bar, *opened[i + 1:]), hand)
    for i, (length, value) in enumerate(hand):
        if piece <= length:
            bar = (length, value, piece + task.kerf_mm)
            yield from _costs(task, rest, (*opened, bar), (*hand[:i], *hand[i + 1:]))
    for offer in task.bars:
        if piece <= offer.length_mm:
            bar = (offer.length_mm, offer.price_minor, piece + task.kerf_mm)
            yield from _costs(task, rest, (*opened, bar), hand)


def _worth(task: Task, offcut: int) -> Fraction:
    keep = task.offcuts
    worth = keep.value_minor_per_m if offcut >= max(1, keep.least_mm) else 0
    return Fraction(worth * offcut, 1000)


def tasks(seed: int, count: int, pieces: int) -> list[Task]:
    """Return random tasks: one to three bar lengths with prices, pieces on hand, kerf, offcuts."""
    draw = random.Random(seed)
    return [_task(draw, pieces) for _ in range(count)]


def _task(draw: random.Random, most: int) -> Task:
    bars = tuple(
        Bar(length, draw.choice((length * 2, length * 2 + draw.randint(0, 40))), f"bar {length}")
        for length in draw.sample((20, 24, 30, 33, 44, 60), draw.randint(1, 3)))
    longest = max(bar.length_mm for bar in bars)
    lengths = [draw.randint(3, longest) for _ in range(draw.randint(1, 4))]
    wanted = tuple(Piece(draw.choice(lengths), 1, f"piece {i}")
                   for i in range(draw.randint(1, most)))
    offcuts = draw.choice((WHOLE, WHOLE, Offcuts(8, 900), Offcuts(5, 500)))
    ends = [draw.randint(3, longest) for _ in range(draw.choice((0, 0, 1, 2)))]
    hand = tuple(
        OnHand(end, f"end {i}", offcuts.value_minor_per_m * end // 1000 + draw.choice((1, 5, 20)))
        for i, end in enumerate(ends))
    return Task(wanted, bars, hand, draw.choice((0, 1, 2)), offcuts)
