"""What a kept estimate asks to be picked, opened, sawn, lifted and loaded; no database.

To be picked is what the revision buys or takes from the shelf with its waste allowance, less what
the job has already. Hire and what others do are not picked; what lies in the boxes of other goods
comes with them. A cable is picked run by run, since runs may not be joined, and a bar by its cuts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from catalogue.items import BoxPart, Item
from catalogue.price_book import PriceBook
from catalogue.substitutes import substitutes_for
from estimator.cost import BOUGHT_IN_HEADS
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CutBarJson
from estimator.papers.contract_parts import LineJson
from estimator.van.loading import Goods
from estimator.van.pick_sheet import NOTHING, EndToTake, PickNeed, Piece, to_pick
from estimator.van.sheet_model import BoxRow, Leaves, Lift, SawRow, SignRow

RUN_FAMILY = "cable"
HIRED = "plant hire"
_MM = Decimal(1000)


@dataclass(frozen=True, slots=True)
class Picked:
    """A line of the bill that is carried, and its item as it stands in the catalogue now."""

    line: LineJson
    item: Item | None


def picked_lines(estimate: EstimateJson, prices: PriceBook) -> list[Picked]:
    """Return the lines of which something is picked or comes in a box."""
    return [Picked(line, prices.items.get(line.item)) for line in estimate.lines
            if not line.option and line.head not in BOUGHT_IN_HEADS]


def needs_of(
    estimate: EstimateJson, prices: PriceBook, already: Mapping[str, Decimal],
    ends: Mapping[str, Sequence[EndToTake]] | None = None,
) -> list[PickNeed]:
    """Return what is to be picked, line by line.

    Args:
        estimate: the accepted revision.
        prices: for what may stand in for what.
        already: item -> what the job has already.
        ends: item -> ends of its sticks that are cut for the job.
    """
    left, to_take = dict(already), dict(ends or {})
    needs: list[PickNeed] = []
    for each in picked_lines(estimate, prices):
        line = each.line
        pieces = list(_pieces(estimate, line))
        counted = each.item.counted if each.item else line.unit in ("each", "pair", "set")
        quantity = (sum((piece.whole for piece in pieces), NOTHING) if pieces
                    else to_pick(line.buy + line.allowance, line.unit, counted=counted))
        there = min(quantity, left.get(line.item, NOTHING))
        left[line.item] = left.get(line.item, NOTHING) - there
        if pieces:
            pieces = _still_to_cut(pieces, there)
            quantity = sum((piece.whole for piece in pieces), there)
        needs.append(PickNeed(
            line.line, line.item, line.name, line.unit, line.bin, line.pack, quantity - there,
            tuple(pieces), each.item.serialised if each.item else False,
            _saw_words(estimate, line), _instead(each.item, prices),
            tuple(to_take.pop(line.item, ()))))
    return needs


def _still_to_cut(pieces: Iterable[Piece], there: Decimal) -> list[Piece]:
    """Return the pieces that what the job has already cannot be, the longest first."""
    still = []
    for piece in sorted(pieces, key=lambda each: (-each.whole, each.label)):
        if piece.whole <= there:
            there -= piece.whole
        else:
            still.append(piece)
    return still


def _pieces(estimate: EstimateJson, line: LineJson) -> Iterator[Piece]:
    """Yield the pieces of a line that are not joined, as the cut list has them; raised to 0.1 m.

    A cable's runs have their waste in them already; a revision from before they were kept is cut
    as the reasons of the line ask for, with their share of the waste.
    """
    if line.unit != "m" or line.boxed:
        return
    laid = [run for cable in estimate.cables if cable.line == line.line
            for run in (*(run for drum in cable.drums for run in drum.runs), *cable.too_long)]
    bars = [bar for bar in _bars(estimate, "run") if bar.code == line.item]
    asked = [reason.quantity for reason in line.reasons]
    if laid:
        for run in laid:
            yield Piece(_tenths(run.length_mm / _MM), label=run.label)
    elif bars:
        for bar in bars:
            yield Piece(_tenths((bar.length_mm - bar.offcut_mm) / _MM))
    elif line.family == RUN_FAMILY and sum(asked, NOTHING) == line.need:
        for quantity in asked:
            yield Piece(quantity, _tenths(
                quantity + line.allowance * quantity / line.need) - quantity)


def _tenths(metres: Decimal) -> Decimal:
    return to_pick(metres, "m", counted=False)


def _bars(estimate: EstimateJson, kind: str) -> list[CutBarJson]:
    return [bar for cut in estimate.cuts if cut.kind == kind for bar in cut.bars]


def _saw_words(estimate: EstimateJson, line: LineJson) -> str:
    numbers = [bar.number for cut in estimate.cuts for bar in cut.bars
               if bar.code == line.item and not bar.on_hand]
    return f"bars {_listed(numbers)}: see Cuts" if numbers else ""


def _listed(numbers: Sequence[int]) -> str:
    first, last = min(numbers), max(numbers)
    if len(numbers) > 2 and last - first == len(numbers) - 1:
        return f"{first} to {last}"
    return ", ".join(map(str, numbers))


def _instead(item: Item | None, prices: PriceBook) -> tuple[str, ...]:
    """Return the items that are equal or better in every hard field, by price of a unit."""
    if item is None:
        return ()
    return tuple(each.item.code for each in substitutes_for(item, "", prices) if each.passes)


# -- boxes, saw, signatures, lifts -----------------------------------------------------------------


def boxes_of(
    estimate: EstimateJson, needs: Iterable[PickNeed], prices: PriceBook
) -> tuple[BoxRow, ...]:
    """Return what must lie in the boxes of what is picked, on the day of the estimate."""
    used = _used_of_boxes(estimate)
    rows: list[BoxRow] = []
    for need in needs:
        item = prices.items.get(need.item)
        parts = _contents(item, estimate) if item and need.quantity > 0 else []
        for n, part in enumerate(parts, 1):
            of_part = prices.items.get(part.item)
            expected = int(need.quantity) * part.quantity
            taken = min(expected, used.get(part.item, 0))
            used[part.item] = used.get(part.item, 0) - taken
            rows.append(BoxRow(
                key=f"{need.line}:{n}", line=need.line, box=need.item,
                boxes=need.quantity, item=part.item, name=of_part.name if of_part else "",
                each=part.quantity, used=taken))
    return tuple(rows)


def _contents(item: Item, estimate: EstimateJson) -> list[BoxPart]:
    on = estimate.on
    return sorted((part for part in item.contents if part.from_date <= on
                   and (part.to_date is None or on <= part.to_date)), key=lambda p: p.item)


def _used_of_boxes(estimate: EstimateJson) -> dict[str, int]:
    """Return how many parts of boxes the job uses, by part."""
    used: dict[str, int] = {}
    for line in estimate.lines:
        for box in line.boxes:
            used[box.part] = used.get(box.part, 0) + box.quantity
    return used


def saw_of(estimate: EstimateJson, leaves: Iterable[Leaves] = ()) -> tuple[SawRow, ...]:
    """Return every cut of every bar, in the order of the saw; `leaves`: kept for other jobs."""
    for_whom = {each.bar: each.job for each in leaves}
    return tuple(
        SawRow(bar=f"{bar.number}" + (f": {bar.on_hand}" if bar.on_hand else ""),
               item=bar.code, piece=piece.label, length_mm=piece.length_mm,
               mark_mm=piece.ends_at_mm,
               rest=f"{bar.offcut_mm} mm, {_goes(bar, for_whom.get(bar.number, ''))}"
               if piece is bar.pieces[-1] else "")
        for cut in estimate.cuts for bar in cut.bars for piece in bar.pieces
    )


def _goes(bar: CutBarJson, job: str) -> str:
    if job:
        return f"KEEP for job {job}"
    return "to the store" if bar.kept else "scrap"


def to_sign(estimate: EstimateJson) -> tuple[SignRow, ...]:
    """Return the findings that somebody must put a name to before work starts."""
    return tuple(
        SignRow(decides=each.decides, says=f"{each.subject}: {each.says}",
                limit=f"{each.limit} {each.unit}".strip())
        for each in estimate.findings if each.signed and not each.let_pass_by)


def lifts_of(estimate: EstimateJson) -> tuple[Lift, ...]:
    """Return what one person may not lift alone, with who lifts it."""
    return tuple(
        Lift(what=f"{line.name}", each_kg=line.mass_kg, who=line.lift)
        for line in estimate.lines if line.lift and not line.option)


def aids_of(estimate: EstimateJson) -> tuple[str, ...]:
    """Return what is hired for the job and brought along."""
    return tuple(line.name for line in estimate.lines
                 if line.head == HIRED and not line.option)


# -- the van ---------------------------------------------------------------------------------------


def goods_of(
    estimate: EstimateJson, needs: Iterable[PickNeed], prices: PriceBook, stop: int
) -> list[Goods]:
    """Return what goes into the van for a job, short or not."""
    lifts = {line.line: line.lift for line in estimate.lines}
    families = {line.line: line.family for line in estimate.lines}
    bars = {bar.code: bar.length_mm for cut in estimate.cuts for bar in cut.bars}
    found: list[Goods] = []
    for need in needs:
        item = prices.items.get(need.item)
        found += _ends_of(estimate.job.id, need, item, families[need.line], stop)
        if need.quantity > 0:
            found.append(Goods(
                estimate.job.id, stop, need.item, need.name, families[need.line], need.quantity,
                need.unit, item.mass_kg if item else None,
                bars.get(need.item) or _longest(item), lifts[need.line]))
    return found


def _ends_of(
    job: str, need: PickNeed, item: Item | None, family: str, stop: int
) -> Iterator[Goods]:
    """Yield the ends of sticks, each at its share of the mass of a stick."""
    for end in (each for each in need.ends if each.place):
        mass, stick = (item.mass_kg, item.stick_mm) if item else (None, None)
        yield Goods(job, stop, need.item, f"{need.name}, end {end.lot}", family, Decimal(1),
                    need.unit, mass * end.length_mm / stick if mass and stick else None,
                    end.length_mm)


def _longest(item: Item | None) -> int | None:
    sides = [side for side in (item.length_mm, item.width_mm, item.height_mm)
             if side is not None] if item else []
    return max(sides, default=None)


def minutes_of(estimate: EstimateJson) -> int:
    """Return the minutes on site by the clock, rounded up."""
    return int((estimate.hours.elapsed * 60).to_integral_value(ROUND_CEILING))
