"""Pick sheets of jobs whose rails are cut together: what one leaves, and what the next takes.

The pick sheet of a job plans its whole sticks together with the accepted jobs of the days after it
(`estimator.buying.joint_shares`), and the record of the sheet says which offcut is kept for whom.
That record is the promise: until the offcuts are back, the sheet of the later job names them, and
what is short is reckoned with them; then they are ends in the store like any other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from pydantic import ValidationError
from sqlalchemy import Connection, select

from catalogue.stock.ends import End
from catalogue.stock.ledger import Stock
from catalogue.stock_reserving import reserved
from catalogue.tables import STOCK_SHEET, STOCK_SHEET_READ
from estimator.buying.cutting.model import Bar, CutBar
from estimator.buying.joint_cutting import JobCut, joint_cuts
from estimator.buying.joint_shares import JobShare, Left, shares_of
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CutBarJson, CutJson, CutPieceJson
from estimator.van.pick_sheet import NOTHING
from estimator.van.sheet_model import Leaves, LeftPiece, PickSheet
from estimator.workflow.job_states import states
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.relaying import bar_of
from estimator.workflow.stick_cuts import (
    STICKS,
    Given,
    StickCuts,
    given_to,
    numbered,
    still_to_cut,
    with_cuts,
)
from estimator.workflow.stock_shelves import site_of

CUTS_AHEAD_DAYS = 14


@dataclass(frozen=True)
class Joined:
    """The cuts of a job with what it leaves for others."""

    cuts: StickCuts
    leaves: tuple[Leaves, ...] = ()


@dataclass(frozen=True)
class _Other:
    """A job after this one: its rails that are still to be cut, and its revision."""

    job: str
    estimate: EstimateJson
    bars: tuple[CutBarJson, ...]
    kerf_mm: int


def joined(work: Connection, stock: Stock, cuts: StickCuts, given: Given, on: date) -> Joined:
    """Return the cuts of a job made together with those of the jobs after it, if that saves bars.

    Args:
        work: the unit of work.
        stock: what lies where.
        cuts: what is still to be cut of the job by itself.
        given: what the job has.
        on: the day of use.
    """
    estimate = cuts.estimate
    at = next((n for n, cut in enumerate(estimate.cuts) if cut.kind == STICKS), None)
    if at is None:
        return Joined(cuts)
    cut = estimate.cuts[at]
    new = tuple(bar for bar in cut.bars if not bar.on_hand)
    others = [each for each in _after(work, stock, estimate, on)
              if {bar.code for bar in each.bars} & {bar.code for bar in new}]
    share = _my_share(_Other(estimate.job.id, estimate, new, cut.kerf_mm), others)
    if share is None or not any(share.left):
        return Joined(cuts)
    bars = [*(bar for bar in cut.bars if bar.on_hand), *_as_json(share, cut)]
    made = numbered([*estimate.cuts[:at], cut.model_copy(update={"bars": tuple(bars)}),
                     *estimate.cuts[at + 1:]])
    first = len(bars) - len(share.bars)
    leaves = tuple(
        _leaves(bar, left) for bar, left in zip(made[at].bars[first:], share.left, strict=True)
        if left)
    return Joined(with_cuts(cuts, made, given), leaves)


def _after(work: Connection, stock: Stock, mine: EstimateJson, on: date) -> Iterator[_Other]:
    """Yield the accepted jobs that need their rails after this one, until two weeks on."""
    days: dict[str, date] = {}
    for claim in reserved(work):
        days[claim.job] = min(claim.needed_on, days.get(claim.job, claim.needed_on))
    me, stands = (days.get(mine.job.id, on), mine.job.id), states(work)
    promised = [each for who, each in open_leaves(work) if who != mine.job.id]
    for day, job in sorted((day, job) for job, day in days.items()):
        if (day, job) <= me or day > on + timedelta(CUTS_AHEAD_DAYS):
            continue
        estimate = kept_estimate(work, job, stands[job].revision or 1)
        given = given_to(work, stock, estimate, site_of(job))
        taken = {piece.label for each in promised for piece in each.pieces if piece.job == job}
        for cut in estimate.cuts:
            if cut.kind == STICKS:
                yield _Other(job, estimate, tuple(
                    _without(bar, taken) for bar in still_to_cut(cut, given)
                    if {piece.label for piece in bar.pieces} - taken), cut.kerf_mm)


def _without(bar: CutBarJson, labels: set[str]) -> CutBarJson:
    return bar.model_copy(update={"pieces": tuple(
        piece for piece in bar.pieces if piece.label not in labels)})


def _my_share(mine: _Other, others: Sequence[_Other]) -> JobShare | None:
    bars: dict[str, Bar] = {}
    for each in (mine, *others):
        for bar in each.bars:
            bars.setdefault(bar.code, bar_of(each.estimate, bar))
    cuts = [JobCut(each.job, each.kerf_mm, tuple(
        (piece.length_mm, piece.label) for bar in each.bars for piece in bar.pieces),
        _counts(each.bars)) for each in (mine, *others) if each.bars]
    found = [share for joint in joint_cuts(cuts, bars) for share in shares_of(joint)
             if share.job == mine.job]
    return found[0] if found and others else None


def _counts(bars: Sequence[CutBarJson]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for bar in bars:
        counts[bar.code] = counts.get(bar.code, 0) + 1
    return counts


def _as_json(share: JobShare, cut: CutJson) -> Iterator[CutBarJson]:
    names: Mapping[str, str] = {bar.code: bar.name for bar in cut.bars}
    for n, bar in enumerate(share.bars, start=1):
        yield CutBarJson(
            number=n, code=bar.code, name=names[bar.code], length_mm=bar.length_mm,
            pieces=_pieces(bar), offcut_mm=bar.offcut_mm, kept=bar.kept)


def _pieces(bar: CutBar) -> tuple[CutPieceJson, ...]:
    return tuple(CutPieceJson(label=each.label, length_mm=each.length_mm,
                              ends_at_mm=each.ends_at_mm) for each in bar.cuts)


def _leaves(bar: CutBarJson, left: Sequence[Left]) -> Leaves:
    return Leaves(
        bar=bar.number, item=bar.code, length_mm=bar.offcut_mm,
        job=", ".join(dict.fromkeys(each.job for each in left)), pieces=tuple(
            LeftPiece(job=each.job, label=each.label, length_mm=each.length_mm)
            for each in left))


# -- promised --------------------------------------------------------------------------------------


def open_leaves(work: Connection, *, picked: bool = False) -> list[tuple[str, Leaves]]:
    """Return what the newest pick sheets of accepted jobs leave for others and is not back yet.

    Args:
        work: the unit of work.
        picked: only of sheets that were read, whose bars are out.
    """
    s = STOCK_SHEET.c
    accepted = sorted(job for job, each in states(work).items() if each.state == "accepted")
    read = set(work.scalars(select(STOCK_SHEET_READ.c.sheet_id)))
    newest: dict[str, int] = {}
    for job, sheet, kind in work.execute(  # the texts of all sheets would be long to load
            select(s.job_id, s.id, s.kind).where(s.job_id.in_(accepted))
            .order_by(s.job_id, s.number)):
        if kind == "pick":
            newest[job] = sheet
        elif sheet in read:
            newest.pop(job, None)
    wanted = [sheet for sheet in newest.values() if sheet in read or not picked]
    texts = work.execute(select(s.job_id, s.sheet_json).where(s.id.in_(wanted))
                         .order_by(s.job_id)).all()
    return [(job, each) for job, text in texts for each in _of_sheet(text)]


def _of_sheet(text: str) -> tuple[Leaves, ...]:
    if '"leaves":[{' not in text:
        return ()
    try:
        return PickSheet.model_validate_json(text).leaves
    except ValidationError:  # of another version, which cannot be read back either
        return ()


def out_for_others(work: Connection) -> tuple[End, ...]:
    """Return the offcuts that are out and kept for other jobs: ends that lie nowhere yet."""
    return tuple(_end(who, each) for who, each in open_leaves(work, picked=True))


def promised_to(work: Connection, job: str) -> tuple[End, ...]:
    """Return the offcuts that other jobs' sheets keep for a job: ends that lie nowhere yet."""
    return tuple(
        _end(who, each) for who, each in open_leaves(work)
        if who != job and job in {piece.job for piece in each.pieces})


def _end(who: str, each: Leaves) -> End:
    return End(each.item, "", f"offcut of {who}, bar {each.bar}", each.length_mm, NOTHING)
