"""The cuts of a kept estimate laid out again with what lies on hand: as typed, or as in stock.

Codes of the problems: E101 pieces on hand that cannot be read, E102 an item from which this job
cuts nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from sqlalchemy import Connection

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.buying.cutting.on_hand import HandPiece
from estimator.papers.contract import EstimateJson
from estimator.papers.on_hand import HandCuts, HandLine
from estimator.workflow.basis import firm_practice
from estimator.workflow.files import refuse_if_taken, write_all
from estimator.workflow.firm import firm_files, firm_settings
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.relaying import Keeping, relaid_cable, relaid_cut

_LENGTH = re.compile(r"[0-9]{1,4}(?:\.[0-9]{1,6})?")
_USABLE = ("store", "van", "counter")
MOST_PIECES = 200  # of one item: more than a store holds, and enough for the search


@dataclass(frozen=True)
class OnHandAsked:
    """Which pieces lie on hand.

    Attributes:
        typed: as `ITEM=LENGTH[,LENGTH...]`, lengths in metres.
        from_stock: take the lengths and ends of the stock as well, those in store, vans and at
            counters.
    """

    typed: tuple[str, ...] = ()
    from_stock: bool = False


@dataclass
class _Hand:
    """Pieces not yet taken, by item."""

    pieces: dict[str, list[HandPiece]] = field(default_factory=dict)

    def of(self, codes: Iterable[str]) -> list[tuple[str, HandPiece]]:
        return [(code, each) for code in codes for each in self.pieces.get(code, ())]

    def take(self, used: Iterable[tuple[str, HandPiece]]) -> None:
        for code, piece in used:
            self.pieces[code].remove(piece)


def cuts_on_hand(
    database: str | None, job: str, asked: OnHandAsked, revision: int | None = None,
    svg: Path | None = None, *, replace: bool = False,
) -> HandCuts:
    """Return a kept estimate with its cuts laid out again with pieces on hand; nothing is kept.

    They are drawn in a file if one is named.

    Raises:
        ProblemsFound: J001 or J002 if there is no such job or revision, E101 and E102 for pieces
            that cannot be read or serve nothing here, every mistake at once; as for `kept_cuts` if
            the drawing cannot be written.
    """
    if svg is not None:
        refuse_if_taken(svg, ".svg", replace=replace)
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            kept = kept_estimate(work, job, revision_number(work, job, revision))
            codes = _codes(kept)
            hand = _Hand(_typed(asked.typed, codes))
            if asked.from_stock:
                for code, piece in _in_stock(work, codes):
                    hand.pieces.setdefault(code, []).append(piece)
    finally:
        engine.dispose()
    found = _laid_again(kept, hand, keeping_of(kept))
    if svg is not None:
        from estimator.papers.cut_drawing import cuts_svg

        write_all({svg: cuts_svg(found.estimate).encode()})
    return found


def _codes(kept: EstimateJson) -> list[str]:
    bars = (bar.code for cut in kept.cuts for bar in cut.bars)
    return list(dict.fromkeys([*bars, *(cable.item for cable in kept.cables)]))


def _typed(texts: Sequence[str], codes: Sequence[str]) -> dict[str, list[HandPiece]]:
    found: dict[str, list[HandPiece]] = {}
    problems: list[Problem] = []
    for text in texts:
        code, _, lengths = (part.strip() for part in text.partition("="))
        try:
            if not code:
                raise ValueError("no item is named")
            whole = [_length(each) for each in lengths.split(",")]
        except ValueError as wrong:
            problems.append(Problem(
                "E101", Place(f"--have {text}"), f"these pieces cannot be read: {wrong}",
                "write the item and the lengths in metres: --have 08125-TR=2.4,1.35"))
            continue
        if code not in codes:
            problems.append(Problem(
                "E102", Place(f"--have {text}"), f"this job cuts nothing from item '{code}'",
                suggestion(code, codes) or f"it cuts from: {', '.join(codes) or 'nothing'}"))
        held = found.setdefault(code, [])
        held += [HandPiece(f"{code} no. {n}", length)
                 for n, length in enumerate(whole, start=len(held) + 1)]
        if len(held) > MOST_PIECES:
            problems.append(Problem(
                "E101", Place(f"--have {text[:40]}"), f"{len(held)} pieces of item '{code}'",
                f"name the longest {MOST_PIECES} at most"))
    if problems:
        raise ProblemsFound(problems)
    return found


def _length(text: str) -> int:
    """Return a length in whole millimetres; a part of one is left out, it cannot be cut from."""
    shown = text.strip()
    if not _LENGTH.fullmatch(shown) or not Decimal(shown):
        raise ValueError(f"'{shown}' is no length in metres above zero" if shown
                         else "a length is missing")
    return int(Decimal(shown) * 1000)


def _in_stock(work: Connection, codes: Sequence[str]) -> Iterator[tuple[str, HandPiece]]:
    """Yield the lengths that lie in the firm's own places, the longest of each item first."""
    from sqlalchemy import select

    from catalogue.stock.ends import MM_PER_M
    from catalogue.stock_books import load_stock
    from catalogue.tables import LOT

    stock = load_stock(work, codes)
    lengths = set(work.scalars(select(LOT.c.id).where(
        LOT.c.kind == "length", LOT.c.item_code.in_(codes))))
    there = [(code, HandPiece(f"{lot} in {place}",
                              stock.ends.get(lot) or int(quantity * MM_PER_M)))
             for (code, place, lot), quantity in stock.levels.items()
             if lot in lengths and quantity > 0 and stock.kinds.get(place) in _USABLE]
    taken: dict[str, int] = {}
    for code, piece in sorted(there, key=lambda each: (each[0], -each[1].length_mm, each[1].mark)):
        taken[code] = taken.get(code, 0) + 1
        if taken[code] <= MOST_PIECES:
            yield code, piece


def keeping_of(kept: EstimateJson) -> Keeping:
    """Return which offcuts are kept and what they are worth, by the practice of the quote's day."""
    files = firm_files()
    practice = firm_practice(files, firm_settings(files).firm.country)

    def mm(name: str) -> int:
        return int(practice.number(name, kept.on) * 1000)

    return Keeping(mm("rail_offcut_m"), mm("containment_offcut_m"), mm("cable_offcut_m"),
                   Fraction(practice.number("offcut_worth_share", kept.on)))


def _laid_again(kept: EstimateJson, hand: _Hand, keeping: Keeping) -> HandCuts:
    cuts, cables = [], []
    lines: list[HandLine] = []
    bars = drums = 0
    for cut in kept.cuts:
        codes = dict.fromkeys(bar.code for bar in cut.bars)
        made, line = relaid_cut(kept, cut, hand.of(codes), keeping, bars + 1)
        bars += len(made.bars)
        cuts.append(made)
        lines.append(line)
        hand.take(line.used)
    for cable in kept.cables:
        made_cable, line = relaid_cable(kept, cable, hand.of([cable.item]), keeping, drums + 1)
        drums += len(made_cable.drums)
        cables.append(made_cable)
        lines.append(line)
        hand.take(line.used)
    estimate = kept.model_copy(update={"cuts": tuple(cuts), "cables": tuple(cables)})
    return HandCuts(estimate, tuple(lines), tuple(hand.of(hand.pieces)))
