"""Cuts laid out again with the pieces that lie on hand, where that is cheaper than new bars.

A piece on hand is not for nothing: it is worth a share of what its length costs new, and so is
every offcut that is long enough to go back to the store. New bars and pieces used, less the offcuts
kept, are to cost least. The pieces that are cut stay as they were laid out, so that every joint
stays where it is lawful.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from estimator.buying.cutting.cut import Effort, cut
from estimator.buying.cutting.model import MILLI, Bar, CutBar, CutPlan, Offcuts, OnHand, Piece, Task


class HandPiece(NamedTuple):
    """A piece that lies on hand; no two have one mark."""

    mark: str
    length_mm: int


class Worth(NamedTuple):
    """What lengths of an item are worth, and which offcuts are kept.

    Attributes:
        keep_mm: shortest offcut that goes back to the store.
        per_m_minor: worth of a metre on hand, in whole minor units.
    """

    keep_mm: int
    per_m_minor: int

    def of_offcut(self, length_mm: int) -> Fraction:
        """Return what an offcut is worth: nothing where it is scrap."""
        kept = length_mm >= max(self.keep_mm, 1)
        return Fraction(self.per_m_minor * length_mm, MILLI) if kept else Fraction(0)

    def of_piece(self, length_mm: int) -> int:
        """Return what using a piece up costs, raised to a minor unit."""
        return ceil(Fraction(self.per_m_minor * length_mm, MILLI))


def worth_of(bars: Sequence[Bar], keep_mm: int, share: Fraction) -> Worth:
    """Return the worth of lengths on hand: a share of the cheapest metre of new bars, rounded down.

    Raises:
        ValueError: if there is no bar, or the share is not from 0 to 1.
    """
    if not 0 <= share <= 1:
        raise ValueError("the share of a new length that one on hand is worth is from 0 to 1")
    metre = min(Fraction(bar.price_minor * MILLI, bar.length_mm) for bar in bars)
    return Worth(keep_mm, int(metre * share))


@dataclass(frozen=True)
class Balance:
    """What a way of cutting takes and leaves, in minor units.

    Attributes:
        bought: price of the new bars.
        used: worth of the pieces on hand that are used up.
        kept: worth of the offcuts that go back to the store.
    """

    bought: Fraction
    used: Fraction
    kept: Fraction

    @property
    def net(self) -> Fraction:
        """Return what the job costs the firm by it."""
        return self.bought + self.used - self.kept


@dataclass(frozen=True)
class Relaid:
    """A cut with pieces on hand.

    Attributes:
        plan: the cut; None where no way with what lies on hand is cheaper than the cut before.
        before, now: what either takes and leaves.
        gap_minor: what a better way of cutting the same pieces could save at the very most.
    """

    plan: CutPlan | None
    before: Balance
    now: Balance
    gap_minor: Fraction

    @property
    def saved_minor(self) -> Fraction:
        """Return what is saved; never below zero."""
        return self.before.net - self.now.net


def relay(
    pieces: Sequence[Piece], bars: Sequence[Bar], hand: Sequence[HandPiece], kerf_mm: int,
    worth: Worth, before: Balance, effort: Effort | None = None,
) -> Relaid:
    """Return pieces cut from pieces on hand and new bars, at least cost.

    Args:
        pieces: what is cut; their labels are kept.
        bars: what is bought.
        hand: what lies on hand.
        kerf_mm: what a saw cut takes.
        worth: what lengths are worth.
        before: what the cut from new bars alone takes and leaves.
        effort: how much is spent on it.
    """
    task = Task(tuple(pieces), tuple(bars),
                tuple(OnHand(each.length_mm, each.mark, worth.of_piece(each.length_mm))
                      for each in hand), kerf_mm, Offcuts(worth.keep_mm, worth.per_m_minor))
    plan = cut(task, effort)
    used = sum(worth.of_piece(bar.length_mm) for bar in plan.bars if not bar.bought)
    now = Balance(Fraction(plan.spent_minor), Fraction(used), kept_worth(plan.bars, worth))
    if now.net >= before.net or not used_marks(plan.bars):
        return Relaid(None, before, before, max(Fraction(0), before.net - plan.bound_minor))
    return Relaid(plan, before, now, plan.gap_minor)


def kept_worth(bars: Sequence[CutBar], worth: Worth) -> Fraction:
    """Return what the offcuts of bars are worth that go back to the store."""
    return sum((worth.of_offcut(bar.offcut_mm) for bar in bars), Fraction(0))


def used_marks(bars: Sequence[CutBar]) -> tuple[str, ...]:
    """Return the marks of the pieces on hand that are cut."""
    return tuple(bar.code for bar in bars if not bar.bought)
