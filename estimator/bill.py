"""From demand to the bill: what boxes supply, what is still to buy, what comes back.

Demand for one item is merged into one line. What lies in the boxes of the things bought counts
towards a line only where its specification really serves. Packs are rounded up once, at the end,
on the job's total, in the cheapest mix (`estimator.buying`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, cast

from catalogue.items import Item, Offer
from catalogue.money import Money, round_half_up
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.specs import ContainmentSpec
from estimator.buying.charging import charge
from estimator.buying.cutting.sawing import NO_SAW, Sawing
from estimator.buying.drums import RunsBought
from estimator.buying.purchase import Buy
from estimator.netting import Need, share_boxes
from estimator.rules.results import Demand, Gap, Reason, Requirement
from estimator.rules.run_lengths import Run, named_runs

if TYPE_CHECKING:
    from estimator.buying.cutting.lines import LinePlan

ALL_PROVEN = Fraction(0)


@dataclass(frozen=True, slots=True)
class BoxUse:
    """A line was served by parts that lie in the boxes of another item."""

    part: str
    quantity: int


@dataclass(frozen=True, slots=True)
class BillLine:
    """One item of the bill.

    Attributes:
        need: quantity the rules ask for; boxed: how much of it the boxes supply.
        buy: need - boxed, never negative.
        allowance: extra quantity for waste, shown apart from the measured need.
        buys: whole packs that cover buy + allowance: bought for the job, or taken from the shelf.
        offer, packs, pack: of the buy that costs most; the only one unless packs are mixed.
        unit_cost: exact price of a unit in minor units, of a mix the average; None if nothing is
            to be bought.
        cost: what the job is charged: used quantity at the unit price for shelf stock, whole
            packs (waste included) for an item bought for the job.
        waste_cost: the allowance in money for shelf stock; zero for an item bought for the job.
        gap_minor: by how much the mix may miss the cheapest; zero where it is proven.
        cut: how its runs are cut from bars, where it comes in bars.
        runs: what each demand asks for, run by run; they add up to `need`.
        laid: of what may not be joined, each drum or cut length and the runs taken from it.
    """

    line: int
    item: Item
    need: Decimal
    boxed: Decimal
    buy: Decimal
    allowance: Decimal
    packs: int
    pack: Decimal
    offer: Offer | None
    unit_cost: Fraction | None
    cost: Money
    waste_cost: Money
    reasons: tuple[Reason, ...]
    requirements: tuple[Requirement, ...]
    boxes: tuple[BoxUse, ...] = ()
    option: bool = False
    buys: tuple[Buy, ...] = ()
    gap_minor: Fraction = ALL_PROVEN
    cut: LinePlan | None = None
    runs: tuple[Run, ...] = ()
    laid: RunsBought | None = None

    @property
    def bought(self) -> Decimal:
        """Return the units in the packs of all buys."""
        return sum((each.quantity for each in self.buys), Decimal(0))

    @property
    def left_over(self) -> Decimal:
        """Return what the packs hold beyond what is used and allowed for waste."""
        return self.bought - self.buy - self.allowance if self.buys else Decimal(0)


@dataclass(frozen=True, slots=True)
class Surplus:
    """Boxed parts that nothing on this job uses; they come back to the store."""

    item: Item
    quantity: int
    boxed: int


@dataclass(frozen=True)
class Bill:
    """The lines, what comes back, and what the catalogue could not supply."""

    lines: tuple[BillLine, ...]
    surplus: tuple[Surplus, ...]
    gaps: tuple[Gap, ...]

HEAD_ORDER = (
    "panels", "converter", "storage", "mounting", "fixings", "cable", "switchgear", "metering",
    "earthing", "comms", "sealing and fire", "labels", "consumables", "plant hire", "scaffold",
    "subcontract", "preliminaries", "paperwork",
)


@dataclass(frozen=True, slots=True)
class _Want:
    """Demand for one item, merged; options stay apart from what the job must have."""

    item: Item
    option: bool
    demands: tuple[Demand, ...]

    @property
    def need(self) -> Decimal:
        return sum((demand.quantity for demand in self.demands), Decimal(0))


_Key = tuple[int, int]


def bill_of(
    demands: Sequence[Demand], gaps: Sequence[Gap], prices: PriceBook, sawing: Sawing = NO_SAW
) -> Bill:
    """Return the bill: merged, netted against box contents, rounded up to packs once.

    Args:
        demands: what the rules ask for, in rule order.
        gaps: demands that nothing in the catalogue serves; passed on.
        prices: the price book of the day.
        sawing: how bars of trunking and conduit are cut to the runs.

    Raises:
        ProblemsFound: B001 if box contents feed on one another in a circle.
    """
    wants = _merged(demands)
    given, boxes = _netted(wants, prices)
    lines = [
        _line(want, _uses(i, want, given), prices, sawing) for i, want in enumerate(wants)
    ]
    ordered = sorted(lines, key=lambda line: (line.option, _head_rank(line.item.head)))
    numbered = tuple(replace(line, line=n) for n, line in enumerate(ordered, start=1))
    return Bill(numbered, _surplus(boxes, given, prices), tuple(gaps))


def _head_rank(head: str) -> int:
    return HEAD_ORDER.index(head) if head in HEAD_ORDER else len(HEAD_ORDER)


def _merged(demands: Sequence[Demand]) -> list[_Want]:
    grouped: dict[tuple[str, bool], list[Demand]] = {}
    for demand in demands:
        grouped.setdefault((demand.item.code, demand.option), []).append(demand)
    return [_Want(each[0].item, option, tuple(each)) for (_, option), each in grouped.items()]


def _netted(
    wants: Sequence[_Want], prices: PriceBook
) -> tuple[dict[tuple[_Key, str], int], dict[str, int]]:
    """Share the boxes of what is bought; repeat, since a thing not bought brings no box."""
    buys = [want.need for want in wants]
    for _ in range(len(wants) + 2):
        boxes = _boxes(wants, buys, prices)
        given = share_boxes(_needs(wants, prices), boxes, _server(wants, prices))
        left = [
            want.need - sum(n for ((i, _), _), n in given.items() if i == at)
            for at, want in enumerate(wants)
        ]
        if left == buys:
            return given, boxes
        buys = left
    raise ProblemsFound([Problem(
        "B001", Place("catalogue"),
        "the box contents of these items feed on one another in a circle: "
        + ", ".join(sorted(want.item.code for want in wants if prices.contents(want.item.code))),
        "correct the box contents in the catalogue",
    )])


def _boxes(
    wants: Sequence[_Want], buys: Sequence[Decimal], prices: PriceBook
) -> dict[str, int]:
    found: dict[str, int] = {}
    for want, buy in zip(wants, buys, strict=True):
        if want.option or not want.item.counted:
            continue
        for part in prices.contents(want.item.code):
            found[part.item] = found.get(part.item, 0) + part.quantity * int(buy)
    return dict(sorted(found.items()))


def _needs(wants: Sequence[_Want], prices: PriceBook) -> list[Need[_Key]]:
    """Return each demand of a counted item as a need, weighted by the price of a piece."""
    needs: list[Need[_Key]] = []
    for i, want in enumerate(wants):
        if want.option or not want.item.counted:
            continue
        offer = prices.offer(want.item.code)
        weight = offer.unit_price_minor if offer else Fraction(0)
        needs.extend(
            Need((i, j), int(demand.quantity), weight) for j, demand in enumerate(want.demands)
        )
    return needs


def _server(wants: Sequence[_Want], prices: PriceBook) -> Callable[[str, _Key], bool]:
    def serves(part: str, key: _Key) -> bool:
        at, demand = key
        return wants[at].demands[demand].requirement.serves(prices.items[part])

    return serves


def _uses(at: int, want: _Want, given: Mapping[tuple[_Key, str], int]) -> tuple[BoxUse, ...]:
    used: dict[str, int] = {}
    for ((i, _), part), pieces in given.items():
        if i == at:
            used[part] = used.get(part, 0) + pieces
    return tuple(BoxUse(part, pieces) for part, pieces in sorted(used.items()))


def _cut(want: _Want, prices: PriceBook, sawing: Sawing) -> LinePlan | None:
    """Return the cut of an item that is measured by the metre and comes in bars."""
    bar_m, offer = getattr(want.item.spec, "stick_m", None), prices.offer(want.item.code)
    if want.item.unit != "m" or bar_m is None or offer is None:
        return None
    from estimator.buying.cutting.runs import cut_runs  # many a job has nothing to cut

    runs = [(f"{demand.reason.on or demand.requirement.role}{f' ({i})' if i else ''}",
             demand.quantity * (1 + want.item.waste))
            for i, demand in enumerate(want.demands)]
    price = round_half_up(offer.unit_price_minor * Fraction(bar_m))
    return cut_runs(runs, bar_m, price, want.item.code, sawing)


def _bars_m(item: Item, cut: LinePlan | None) -> Decimal:
    """Return the length of the bars of a cut, in metres."""
    return Decimal(0) if cut is None else len(cut.cut.bars) * cast(
        Decimal, cast(ContainmentSpec, item.spec).stick_m)


def _line(
    want: _Want, uses: tuple[BoxUse, ...], prices: PriceBook, sawing: Sawing
) -> BillLine:
    cut = _cut(want, prices, sawing)
    boxed = Decimal(sum(use.quantity for use in uses))
    buy, zero = want.need - boxed, Money(0, prices.currency)
    return rebought(BillLine(
        line=0, item=want.item, need=want.need, boxed=boxed, buy=buy,
        allowance=buy * want.item.waste, packs=0, pack=Decimal(0), offer=None, unit_cost=None,
        cost=zero, waste_cost=zero, reasons=tuple(demand.reason for demand in want.demands),
        requirements=tuple(demand.requirement for demand in want.demands),
        boxes=uses, option=want.option, cut=cut,
        runs=tuple(run for demand in want.demands for run in named_runs(demand)),
    ), prices.offers.get(want.item.code, ()), prices.currency)


def rebought(line: BillLine, offers: Sequence[Offer], currency: str) -> BillLine:
    """Return a line bought from these offers, cheapest unit price first, at least cost."""
    charged = charge(
        line.item, [run.length for run in line.runs], line.boxed, offers, currency,
        _bars_m(line.item, line.cut))
    main = charged.main
    return replace(
        line, packs=main.packs if main else 0, pack=main.offer.pack if main else Decimal(0),
        offer=main.offer if main else None, unit_cost=charged.unit_cost, cost=charged.cost,
        waste_cost=charged.waste_cost, buys=charged.buys, gap_minor=charged.gap_minor,
        laid=charged.laid)


def _surplus(
    boxes: Mapping[str, int], given: Mapping[tuple[_Key, str], int], prices: PriceBook
) -> tuple[Surplus, ...]:
    used: dict[str, int] = {}
    for (_, part), pieces in given.items():
        used[part] = used.get(part, 0) + pieces
    return tuple(
        Surplus(prices.items[part], boxed - used.get(part, 0), boxed)
        for part, boxed in boxes.items()
        if boxed > used.get(part, 0)
    )
