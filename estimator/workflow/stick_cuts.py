"""What of a job's rails is still to be cut, out of whole sticks and of ends that lie in the store.

The pieces stay as the accepted revision has them, joints and all. What the job was given already
holds the pieces that it holds; the rest comes from ends where that costs the firm less than whole
sticks, else from whole sticks (`estimator.buying.cutting.on_hand`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, Decimal

from sqlalchemy import Connection

from catalogue.stock.ends import End, longest_first
from catalogue.stock.ledger import Stock
from catalogue.stock_books import whole_with_job
from estimator.buying.cutting.cut import cut as cut_bars
from estimator.buying.cutting.model import Bar, OnHand, Piece, Task
from estimator.buying.cutting.on_hand import HandPiece
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CutBarJson, CutJson, CutPieceJson
from estimator.workflow.relaying import Keeping, relaid_cut

STICKS = "rail"  # the kind of cut whose bars are counted in whole sticks
NOTHING = Decimal(0)
MOST_ENDS = 200  # the longest of them: enough for the search


@dataclass(frozen=True)
class Given:
    """What a job was given of its rails: whole sticks by item, and the lengths of ends in mm."""

    sticks: Mapping[str, Decimal] = field(default_factory=dict)
    ends: tuple[int, ...] = ()


@dataclass(frozen=True)
class StickCuts:
    """The cuts of a job as they are still to be made.

    Attributes:
        estimate: the accepted revision with these cuts in the place of its own.
        sticks: item -> whole sticks that are still to be picked.
        quoted: the accepted revision with its own cuts.
        ends: ends to be picked, each with its bar of the cut list.
    """

    estimate: EstimateJson
    sticks: Mapping[str, Decimal]
    quoted: EstimateJson
    ends: tuple[tuple[End, CutBarJson], ...] = ()


def given_to(work: Connection, stock: Stock, estimate: EstimateJson, site: str) -> Given:
    """Return what a job was given of its rails and has not brought back whole.

    A stick that was sawn stays given, though an end of it came back.
    """
    codes = _codes(estimate)
    ends = [stock.ends[lot] for (code, place, lot) in sorted(stock.levels)
            if place == site and code in codes and lot in stock.ends]
    return Given(whole_with_job(work, stock, estimate.job.id, codes), tuple(ends))


def still_to_cut(cut: CutJson, given: Given) -> tuple[CutBarJson, ...]:
    """Return the bars of a cut of rails that what the job was given cannot be."""
    there = dict(given.sticks)
    if given.ends:
        return _laid_out_again(cut, given)
    left = []
    for bar in sorted(cut.bars, key=lambda each: (each.offcut_mm, each.number)):
        if there.get(bar.code, NOTHING) >= 1:
            there[bar.code] -= 1
        else:
            left.append(bar)
    return tuple(sorted(left, key=lambda bar: bar.number))


def _laid_out_again(cut: CutJson, given: Given) -> tuple[CutBarJson, ...]:
    """Return the bars that must be new if sticks and ends that the job has are used up first."""
    of_code = {bar.code: bar for bar in cut.bars}
    has = [of_code[code].length_mm for code in sorted(of_code)
           for _ in range(int(given.sticks.get(code, NOTHING)))]
    pieces = tuple(Piece(each.length_mm, 1, each.label) for bar in cut.bars for each in bar.pieces)
    bars = tuple(Bar(of_code[code].length_mm, of_code[code].length_mm, code)
                 for code in sorted(of_code))
    hand = tuple(OnHand(length, str(n)) for n, length in enumerate([*has, *given.ends]))
    plan = cut_bars(Task(pieces, bars, hand, cut.kerf_mm))
    new = [bar for bar in plan.bars if bar.bought]
    return tuple(
        of_code[bar.code].model_copy(update={
            "number": n, "offcut_mm": bar.offcut_mm, "kept": False, "pieces": tuple(
                _piece(cut, each.label, each.ends_at_mm) for each in bar.cuts)})
        for n, bar in enumerate(new, start=1))


def _piece(cut: CutJson, label: str, ends_at_mm: int) -> CutPieceJson:
    piece = next(each for bar in cut.bars for each in bar.pieces if each.label == label)
    return piece.model_copy(update={"ends_at_mm": ends_at_mm})


def stick_cuts(
    estimate: EstimateJson, given: Given, ends: Iterable[End] = (), keeping: Keeping | None = None
) -> StickCuts:
    """Return what is still to be cut and picked of a job's rails.

    Args:
        estimate: the accepted revision.
        given: what the job has.
        ends: what lies there for it.
        keeping: what ends are worth; None = none is taken.
    """
    hand = {end.lot: end for end in longest_first(ends)[:MOST_ENDS]}
    cuts = [_with_ends(estimate, cut, given, list(hand.values()), keeping)
            if cut.kind == STICKS else cut for cut in estimate.cuts]
    if given.ends or any(bar.on_hand for cut in cuts for bar in cut.bars):
        cuts = numbered(cuts)
    taken = [(hand[bar.on_hand], bar) for cut in cuts for bar in cut.bars if bar.on_hand]
    return StickCuts(estimate.model_copy(update={"cuts": tuple(cuts)}),
                     _sticks(estimate, cuts, given), estimate, tuple(taken))


def _with_ends(
    estimate: EstimateJson, cut: CutJson, given: Given, hand: Sequence[End],
    keeping: Keeping | None,
) -> CutJson:
    """Return a cut as it is still to be made; a job has one cut of rails, so no end goes twice."""
    left = cut.model_copy(update={"bars": still_to_cut(cut, given)})
    codes = {bar.code for bar in left.bars}
    mine = [(end.item, HandPiece(end.lot, end.length_mm)) for end in hand if end.item in codes]
    if not mine or keeping is None:
        return left
    return relaid_cut(estimate, left, mine, keeping, 1)[0]


def with_cuts(cuts: StickCuts, made: Sequence[CutJson], given: Given) -> StickCuts:
    """Return the same with other cuts; of ends it takes the same, in bars of other numbers."""
    bars = {bar.on_hand: bar for cut in made for bar in cut.bars if bar.on_hand}
    return StickCuts(cuts.estimate.model_copy(update={"cuts": tuple(made)}),
                     _sticks(cuts.quoted, made, given), cuts.quoted,
                     tuple((end, bars[end.lot]) for end, _ in cuts.ends))


def numbered(cuts: Sequence[CutJson]) -> list[CutJson]:
    """Return cuts with their bars numbered over the whole job."""
    made, number = [], 0
    for cut in cuts:
        bars = [bar.model_copy(update={"number": number + n})
                for n, bar in enumerate(cut.bars, start=1)]
        number += len(bars)
        made.append(cut.model_copy(update={"bars": tuple(bars)}))
    return made


def _sticks(
    estimate: EstimateJson, cuts: Sequence[CutJson], given: Given
) -> dict[str, Decimal]:
    """Return the whole sticks to be picked: those of the cuts, and what the bill has beyond them.

    What is beyond them is the allowance for waste, less what the job was given beyond its cuts.
    """
    quoted, now = _counts(estimate.cuts), _counts(cuts)
    found = {}
    for code in sorted(quoted):
        billed = sum((line.buy + line.allowance for line in estimate.lines
                      if line.item == code and not line.option), NOTHING)
        beyond = max(NOTHING, billed.to_integral_value(ROUND_CEILING) - quoted[code])
        has_beyond = max(NOTHING, given.sticks.get(code, NOTHING) - quoted[code])
        found[code] = now.get(code, 0) + max(NOTHING, beyond - has_beyond)
    return found


def _counts(cuts: Iterable[CutJson]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for cut in cuts:
        for bar in cut.bars:
            if cut.kind == STICKS and not bar.on_hand:
                counts[bar.code] = counts.get(bar.code, 0) + 1
    return counts


def _codes(estimate: EstimateJson) -> set[str]:
    return {bar.code for cut in estimate.cuts if cut.kind == STICKS for bar in cut.bars}


def already_given(estimate: EstimateJson, sticks: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Return of each rail what need not be picked any more of what the bill asks for.

    Below zero where another length of the rail is cut in the place of one.
    """
    return {code: sum((line.buy + line.allowance for line in estimate.lines
                       if line.item == code and not line.option), NOTHING
                      ).to_integral_value(ROUND_CEILING) - wanted
            for code, wanted in sticks.items()}
