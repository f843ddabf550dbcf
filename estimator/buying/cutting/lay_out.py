"""From patterns to a cut list: which label is cut from which bar, and where the saw goes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from estimator.buying.cutting.model import MILLI, Cut, CutBar, CutPlan, OnHand, Task
from estimator.buying.cutting.room import Pattern, Room


def plan_of(
    task: Task, room: Room, patterns: Sequence[Pattern], bound: Fraction, method: str
) -> CutPlan:
    """Return the plan of a cut; its cost is counted again from the bars and offcuts.

    Args:
        task: what was asked, with the labels.
        room: the task boiled down.
        patterns: one for each bar; together they hold at least the pieces wanted.
        bound: proven least cost in thousandths of a minor unit.
        method: how the patterns were found.
    """
    stores = _stores(task)
    hand = _hands(task)
    bars = []
    for pattern in sorted(patterns, key=lambda p: (p.kind, [-n for n in p.counts])):
        cuts = _cuts(task, room, pattern, stores)
        if cuts:  # a bar of pieces too many is not taken at all
            bars.append(_laid(task, *_bar(room, pattern, hand), cuts))
    spent = _spent(task, bars)
    cost = spent + _used_up(task, bars) - _kept(task, bars)
    return CutPlan(tuple(bars), spent, cost, bound / MILLI, method, task.kerf_mm)


def _stores(task: Task) -> dict[int, list[str]]:
    """Return for each length the labels still to be cut, in the order of the task."""
    stores: dict[int, list[str]] = {}
    for piece in task.pieces:
        stores.setdefault(piece.length_mm, []).extend([piece.label] * piece.count)
    return stores


def _hands(task: Task) -> dict[tuple[int, int], list[OnHand]]:
    hands: dict[tuple[int, int], list[OnHand]] = {}
    for piece in sorted(task.on_hand, key=lambda p: p.mark):
        hands.setdefault((piece.length_mm, piece.value_minor), []).append(piece)
    return hands


def _bar(
    room: Room, pattern: Pattern, hand: dict[tuple[int, int], list[OnHand]]
) -> tuple[str, int, bool]:
    kind = room.kinds[pattern.kind]
    length = kind.room - room.kerf
    if kind.supply is None:
        return kind.code, length, True
    return hand[(length, kind.cost // MILLI)].pop(0).mark, length, False


def _cuts(
    task: Task, room: Room, pattern: Pattern, stores: dict[int, list[str]]
) -> list[Cut]:
    """Return the cuts of a bar; a piece too many is not cut."""
    cuts, at = [], 0
    for width, count in zip(room.widths, pattern.counts, strict=True):
        length = width - room.kerf
        for _ in range(min(count, len(stores[length]))):
            at += length
            cuts.append(Cut(stores[length].pop(0), length, at))
            at += task.kerf_mm
    return cuts


def _laid(task: Task, code: str, length: int, bought: bool, cuts: list[Cut]) -> CutBar:
    offcut = max(0, length - cuts[-1].ends_at_mm - task.kerf_mm)
    kept = bool(task.offcuts.least_mm) and offcut >= task.offcuts.least_mm
    return CutBar(code, length, bought, tuple(cuts), offcut, kept)


def _spent(task: Task, bars: Sequence[CutBar]) -> int:
    prices: dict[tuple[str, int], int] = {}
    for bar in task.bars:
        key = (bar.code, bar.length_mm)
        prices[key] = min(bar.price_minor, prices.get(key, bar.price_minor))
    return sum(prices[(bar.code, bar.length_mm)] for bar in bars if bar.bought)


def _used_up(task: Task, bars: Sequence[CutBar]) -> int:
    values = {piece.mark: piece.value_minor for piece in task.on_hand}
    return sum(values[bar.code] for bar in bars if not bar.bought)


def _kept(task: Task, bars: Sequence[CutBar]) -> Fraction:
    worth = task.offcuts.value_minor_per_m
    return Fraction(worth * sum(bar.offcut_mm for bar in bars if bar.kept), MILLI)
