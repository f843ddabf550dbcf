"""From the kept cuts of an estimate and pieces on hand to cuts laid out again, with the balance."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from catalogue.items import Offer
from catalogue.money import Money, round_half_up
from estimator.buying.cutting.model import Bar, CutBar, Piece
from estimator.buying.cutting.on_hand import (
    Balance,
    HandPiece,
    Relaid,
    Worth,
    relay,
    worth_of,
)
from estimator.buying.drums import RunsBought, bought_unbroken
from estimator.buying.purchase import cut_to_measure
from estimator.papers import cable_words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import (
    CableJson,
    CableRunJson,
    CutBarJson,
    CutJson,
    CutPieceJson,
    DrumJson,
)
from estimator.papers.contract_parts import LineJson
from estimator.papers.on_hand import HandLine

Hand = Sequence[tuple[str, HandPiece]]
MM = Decimal("0.001")


class Keeping(NamedTuple):
    """From which length on an offcut is kept, and which share of a new length it is worth."""

    rail_mm: int
    run_mm: int
    cable_mm: int
    share: Fraction


def relaid_cut(
    kept: EstimateJson, cut: CutJson, hand: Hand, keeping: Keeping, first: int
) -> tuple[CutJson, HandLine]:
    """Return a cut of bars with pieces on hand; bars are numbered from `first`."""
    names = {bar.code: bar.name for bar in cut.bars}
    lengths = {bar.code: bar.length_mm for bar in cut.bars}
    bars = [Bar(length, _bar_minor(_line(kept, code), length), code)
            for code, length in sorted(lengths.items())]
    worth = worth_of(bars, keeping.rail_mm if cut.kind == "rail" else keeping.run_mm,
                     keeping.share)
    prices = {bar.code: bar.price_minor for bar in bars}
    before = Balance(Fraction(sum(prices[bar.code] for bar in cut.bars)), Fraction(0),
                     sum((worth.of_offcut(bar.offcut_mm) for bar in cut.bars), Fraction(0)))
    pieces = [Piece(each.length_mm, 1, each.label) for bar in cut.bars for each in bar.pieces]
    found = relay(pieces, bars, [piece for _, piece in hand], cut.kerf_mm, worth, before)
    of_item = {piece.mark: code for code, piece in hand}
    made = tuple(
        _bar(each, n, of_item, names) for n, each in enumerate(found.plan.bars, start=first)
    ) if found.plan is not None else tuple(
        bar.model_copy(update={"number": n}) for n, bar in enumerate(cut.bars, start=first))
    line = _told(cut.subject, tuple(names), found, worth, hand,
                 [(bar.on_hand, bar.offcut_mm) for bar in made],
                 _counted(f"{bar.name} ({bar.code})" for bar in cut.bars),
                 _counted(f"{bar.name} ({bar.code})" for bar in made if not bar.on_hand))
    spare = sum(bar.offcut_mm for bar in made)
    back = sum(length for length, _ in line.offcuts)
    joiners = cut.cost - int(before.bought)
    return cut.model_copy(update={
        "bars": made, "kept_mm": back, "scrap_mm": spare - back,
        "cost": joiners + int(found.now.bought), "bound": 0,
        "method": "joints as quoted, pieces on hand first where that costs less"}), line


def _bar(each: CutBar, number: int, of_item: Mapping[str, str], names: Mapping[str, str]
         ) -> CutBarJson:
    code = each.code if each.bought else of_item[each.code]
    return CutBarJson(
        number=number, code=code, name=names[code], length_mm=each.length_mm,
        pieces=tuple(CutPieceJson(label=piece.label, length_mm=piece.length_mm,
                                  ends_at_mm=piece.ends_at_mm) for piece in each.cuts),
        offcut_mm=each.offcut_mm, kept=each.kept, on_hand="" if each.bought else each.code)


def _line(kept: EstimateJson, code: str) -> LineJson:
    """Return the line of an item; the one that the job must have before an option."""
    return min((line for line in kept.lines if line.item == code), key=lambda line: line.option)


def _bar_minor(line: LineJson, length_mm: int) -> int:
    """Return the price of a bar, rounded as the quote rounds it."""
    units = Fraction(length_mm, 1000) if line.unit == "m" else 1
    return round_half_up(_unit_minor(line) * units)


def bar_of(kept: EstimateJson, bar: CutBarJson) -> Bar:
    """Return a bar of a cut as it was on offer."""
    return Bar(bar.length_mm, _bar_minor(_line(kept, bar.code), bar.length_mm), bar.code)


def _unit_minor(line: LineJson) -> Fraction:
    if line.offer is None:
        raise ValueError(f"nothing was bought for line {line.line}")
    return Fraction(line.offer.price) / Fraction(
        line.offer.pack if line.offer.per is None else line.offer.per)


def _told(
    subject: str, codes: tuple[str, ...], found: Relaid, worth: Worth, hand: Hand,
    left: Sequence[tuple[str, int]], bought_before: Mapping[str, int],
    bought_now: Mapping[str, int],
) -> HandLine:
    """Return the line of a report; `left`: of each length the mark, if any, and what is left."""
    marks = {mark for mark, _ in left if mark}
    kept = tuple((length, worth.of_offcut(length)) for _, length in left
                 if length and length >= max(1, worth.keep_mm))
    return HandLine(
        subject, codes, found.before, found.now, bought_before, bought_now,
        tuple((code, piece) for code, piece in hand if piece.mark in marks), kept,
        sum(length for _, length in left) - sum(length for length, _ in kept),
        worth.keep_mm, worth.per_m_minor, found.gap_minor)


def _counted(words: Iterable[str]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for each in words:
        counts[each] = counts.get(each, 0) + 1
    return dict(sorted(counts.items()))


# -- cable -----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Buyer:
    """How runs of a cable are bought: by the metre of the shelf, or as drums and cut lengths."""

    line: LineJson
    offers: tuple[Offer, ...]

    @property
    def unit_minor(self) -> Fraction:
        """Return the cheapest metre that is bought."""
        return min(offer.unit_price_minor for offer in self.offers)

    def bought(self, runs: Sequence[CableRunJson]) -> RunsBought:
        return bought_unbroken([run.length_mm * MM for run in runs], self.offers)

    def balance(self, runs: Sequence[CableRunJson], worth: Worth) -> Balance:
        """Return what runs cost; shelf stock by the metre, and its drums stay the store's."""
        if self.line.held == "stock":
            metres = Fraction(sum(run.length_mm for run in runs), 1000)
            return Balance(self.unit_minor * metres, Fraction(0), Fraction(0))
        laid = self.bought(runs)
        rests = [int(each.end * 1000) for each in laid.lengths
                 if not cut_to_measure(each.offer)]
        return Balance(laid.purchase.exact_cost_minor, Fraction(0),
                       sum((worth.of_offcut(rest) for rest in rests), Fraction(0)))

    def bars(self, runs: Sequence[CableRunJson]) -> list[Bar]:
        """Return what a run may be cut from new: drums, and for each run a length of its own."""
        unit = self.unit_minor
        drums = [Bar(int(offer.pack * 1000), round_half_up(offer.exact_cost_minor(1)), "new")
                 for offer in self.offers
                 if self.line.held != "stock" and not cut_to_measure(offer)]
        own = sorted({run.length_mm for run in runs}) if len(drums) < len(self.offers) or (
            self.line.held == "stock") else []
        return drums + [Bar(length, -int(-unit * length // 1000), "new") for length in own]


def relaid_cable(
    kept: EstimateJson, cable: CableJson, hand: Hand, keeping: Keeping, first: int
) -> tuple[CableJson, HandLine]:
    """Return the runs of a cable with lengths on hand; drums are numbered from `first`."""
    line = next(each for each in kept.lines if each.line == cable.line)
    buyer = _Buyer(line, _offers(line, kept))
    runs = [run for drum in cable.drums for run in drum.runs]
    worth = Worth(keeping.cable_mm, int(buyer.unit_minor * keeping.share))
    before = buyer.balance(runs, worth)
    found, served = _with_hand(buyer, runs, hand, worth, before)
    made: list[DrumJson] = []
    if found.plan is not None:
        made = [_on_hand(bar, served, n) for n, bar in enumerate(
            (bar for bar in found.plan.bars if not bar.bought), start=first)]
        rest = [run for at, run in enumerate(runs) if at not in served]
        made += _new_drums(buyer, rest, first + len(made))
    else:
        made = [drum.model_copy(update={"number": n})
                for n, drum in enumerate(cable.drums, start=first)]
    told = _told(cable.name, (cable.item,), found, worth, hand,
                 [(drum.on_hand, drum.rest_mm) for drum in made if drum.on_hand or (
                     line.held == "job" and not drum.cut_to_measure)],
                 _counted(cable_words.drum(cable, drum) for drum in cable.drums),
                 _counted(cable_words.drum(cable, drum) for drum in made if not drum.on_hand))
    return cable.model_copy(update={"drums": tuple(made)}), told


def _offers(line: LineJson, kept: EstimateJson) -> tuple[Offer, ...]:
    """Return the prices that the quote buys at."""
    def money(minor: int) -> Money:
        return Money(minor, kept.currency)

    return tuple(
        Offer(line.item, buy.supplier, buy.pack, money(buy.price), kept.on,
              supplier_code=buy.supplier_code, per=buy.per, least=buy.least,
              cut_charge=None if buy.cut_charge is None else money(buy.cut_charge))
        for buy in line.buys)


def _with_hand(
    buyer: _Buyer, runs: Sequence[CableRunJson], hand: Hand, worth: Worth, before: Balance
) -> tuple[Relaid, dict[int, CableRunJson]]:
    """Return the runs with lengths on hand, and the runs that these serve, by place from 0.

    A knife takes nothing off a cable. What the runs left over cost is worked out again as they are
    bought, in whole packs with their cut charge; only if that is cheaper in all is it taken.
    """
    nothing: tuple[Relaid, dict[int, CableRunJson]] = (
        Relaid(None, before, before, Fraction(0)), {})
    if not runs or not hand:
        return nothing
    pieces = [Piece(run.length_mm, 1, str(at)) for at, run in enumerate(runs)]
    found = relay(pieces, buyer.bars(runs), [piece for _, piece in hand], 0, worth,
                  Balance(Fraction(1 << 60), Fraction(0), Fraction(0)))
    if found.plan is None:
        return nothing
    served = {int(cut.label): runs[int(cut.label)] for bar in found.plan.bars
              if not bar.bought for cut in bar.cuts}
    new = buyer.balance([run for at, run in enumerate(runs) if at not in served], worth)
    held = [bar for bar in found.plan.bars if not bar.bought]
    now = Balance(
        new.bought, Fraction(sum(worth.of_piece(bar.length_mm) for bar in held)),
        new.kept + sum((worth.of_offcut(bar.offcut_mm) for bar in held), Fraction(0)))
    if now.net >= before.net:
        return nothing
    return Relaid(found.plan, before, now, found.gap_minor), served


def _on_hand(bar: CutBar, served: Mapping[int, CableRunJson], number: int) -> DrumJson:
    taken = [served[int(cut.label)].model_copy(update={
        "from_mm": cut.ends_at_mm - cut.length_mm, "to_mm": cut.ends_at_mm}) for cut in bar.cuts]
    return DrumJson(
        number=number, supplier="", supplier_code="", length_mm=bar.length_mm,
        cut_to_measure=False, cut_charge=None, runs=tuple(taken), rest_mm=bar.offcut_mm,
        on_hand=bar.code)


def _new_drums(buyer: _Buyer, runs: Sequence[CableRunJson], first: int) -> list[DrumJson]:
    drums: list[DrumJson] = []
    for length in buyer.bought(runs).lengths if runs else ():
        mark, taken = 0, []
        for at in length.at:
            taken.append(runs[at].model_copy(update={
                "from_mm": mark, "to_mm": mark + runs[at].length_mm}))
            mark += runs[at].length_mm
        if taken:
            whole, offer = int(length.length * 1000), length.offer
            drums.append(DrumJson(
                number=first + len(drums), supplier=offer.supplier,
                supplier_code=offer.supplier_code, length_mm=whole,
                cut_to_measure=cut_to_measure(offer),
                cut_charge=None if offer.cut_charge is None else offer.cut_charge.minor,
                runs=tuple(taken), rest_mm=whole - mark))
    return drums
