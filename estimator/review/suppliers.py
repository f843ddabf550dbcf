"""Which supplier charges more than was ordered, and which one keeps his word?

An order keeps the price it was sent at. What was charged for its goods above that, on delivery or
in the bill, is the supplier's price after the quote. Each order is held against itself, as a share
of what was ordered; a supplier is named where that is likely above the others', and above nothing
(`estimator.review.effects`, with the supplier as the only thing told).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from statistics import median

from estimator.outcome.few_jobs import LEAST_TO_RANK, wilson
from estimator.review.effects import Cell as Alike
from estimator.review.effects import Effect, fitted
from estimator.review.margin import SURE
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, between, count, per_cent

PRICE_MATTERS = 0.003  # share of what was ordered; common practice, no source
DEARER = "charges more than was ordered"


@dataclass(frozen=True, slots=True)
class Ordered:
    """What came of one order, in minor units and thousandths of units.

    Attributes:
        ordered_minor: what came, at the prices of the order.
        over_minor: what was charged for it above that.
        on: the day of the order.
        promised, came: the latest day of its lines, the day of its last delivery; or None.
        good_milli, damaged_milli: what came.
    """

    supplier: str
    ordered_minor: int
    over_minor: int
    on: date
    promised: date | None
    came: date | None
    good_milli: int
    damaged_milli: int


@dataclass
class _Supplier:
    """The orders of one supplier."""

    name: str
    orders: list[Ordered] = field(default_factory=list)

    @property
    def ordered_minor(self) -> int:
        return sum(each.ordered_minor for each in self.orders)

    @property
    def over_minor(self) -> int:
        return sum(each.over_minor for each in self.orders)

    @property
    def shares(self) -> list[float]:
        """Return what was charged above each order, as a share of it."""
        return [each.over_minor / each.ordered_minor for each in self.orders if each.ordered_minor]

    @property
    def dearer(self) -> int:
        return sum(each.over_minor > 0 for each in self.orders)


def _by_supplier(orders: Sequence[Ordered]) -> list[_Supplier]:
    found: dict[str, _Supplier] = {}
    for order in orders:
        found.setdefault(order.supplier, _Supplier(order.supplier)).orders.append(order)
    return [found[name] for name in sorted(found)]


def suppliers(orders: Sequence[Ordered], currency: str) -> Report:
    """Return the report on what suppliers charged above what was ordered."""
    listed = _by_supplier([order for order in orders if order.came is not None])
    effects = _effects(listed)
    whole = sum(each.ordered_minor for each in listed)
    listed.sort(key=lambda each: (
        not _ranked(each), -_mean(each.shares) if _ranked(each) else 0.0, each.name))
    return Report(
        name="suppliers", question="Which supplier charges more than was ordered?",
        answer=tuple(_dearer_words(listed, effects, currency)),
        columns=(
            ReportColumn("supplier", "Supplier"),
            ReportColumn("orders", "Orders", "count", total=True),
            ReportColumn("ordered_minor", "Ordered", "money", total=True),
            ReportColumn("goods_share", "Of all goods", "share"),
            ReportColumn("over_minor", "Charged above it", "money", total=True),
            ReportColumn("over_share", "Of its orders", "share"),
            ReportColumn("dearer", "Orders dearer", "count", total=True),
            ReportColumn("more_alone_share", "More than the others", "share"),
            ReportColumn("low_share", "at least", "share"),
            ReportColumn("high_share", "at most", "share"),
            ReportColumn("says", "Says")),
        rows=tuple(_dearer_row(each, effects, whole) for each in listed), currency=currency,
        jobs=sum(len(each.orders) for each in listed),
        chart=Chart("bars", "supplier", ("over_share",)) if listed else None,
        cautions=(
            "It counts orders, not jobs. Charged above it is what deliveries and bills say beside "
            "the price that the order was sent at; a rise that was told before the order is in no "
            "figure here.",
            f"A supplier is named only where the chance of more than {per_cent(PRICE_MATTERS)} "
            f"above the others is over {per_cent(SURE)}."))


def _ranked(each: _Supplier) -> bool:
    return len(each.orders) >= LEAST_TO_RANK


def _mean(shares: Sequence[float]) -> float:
    return sum(shares) / len(shares) if shares else 0.0


def _effects(listed: Sequence[_Supplier]) -> Mapping[str, Effect]:
    cells = [Alike((each.name,), len(each.shares), sum(each.shares),
                   sum(share * share for share in each.shares)) for each in listed if each.shares]
    return fitted(cells, ["supplier"], PRICE_MATTERS).of["supplier"] if cells else {}


def _dear(each: _Supplier, effects: Mapping[str, Effect]) -> bool:
    effect = effects.get(each.name)
    return (effect is not None and effect.ranked and effect.over > SURE
            and effect.raw > 0)


def _dearer_row(each: _Supplier, effects: Mapping[str, Effect], whole: int) -> tuple[Cell, ...]:
    effect = effects.get(each.name)
    measured: tuple[Cell, ...] = (None, None, None)
    if effect is not None and effect.error:
        measured = (effect.alone, *effect.interval())
    says = f"under {LEAST_TO_RANK} orders" if not _ranked(each) else (
        DEARER if _dear(each, effects) else "")
    return (
        each.name, len(each.orders), each.ordered_minor,
        each.ordered_minor / whole if whole else None, each.over_minor,
        each.over_minor / each.ordered_minor if each.ordered_minor else None, each.dearer,
        *measured, says)


def _dearer_words(listed: Sequence[_Supplier], effects: Mapping[str, Effect], currency: str
                  ) -> Iterator[str]:
    if not listed:
        yield "No order of the period has come."
        return
    over = sum(each.over_minor for each in listed)
    whole = sum(each.ordered_minor for each in listed)
    yield (f"For goods ordered at {amount(whole, currency)} suppliers charged "
           f"{amount(over, currency)} above the price of the order, "
           f"{per_cent(over / whole if whole else None)}.")
    dear = [each for each in listed if _dear(each, effects)]
    for each in dear:
        low, high = effects[each.name].interval()
        yield (f"{each.name} {DEARER}: {per_cent(each.over_minor / each.ordered_minor)} of its "
               f"orders, {amount(each.over_minor, currency)}; {each.dearer} of "
               f"{count(len(each.orders), 'order')} were dearer. That is more than the others by "
               f"{per_cent(effects[each.name].alone)} (likely {between(low, high)}).")
    ranked = sum(map(_ranked, listed))
    yield (f"{count(ranked, 'supplier')} with {LEAST_TO_RANK} orders or more "
           f"{'was' if ranked == 1 else 'were'} looked at; {len(dear) or 'none'} "
           f"stand{'s' if len(dear) == 1 else ''} out.")


def supplier_truth(orders: Sequence[Ordered], credits_minor: Mapping[str, int], currency: str
                   ) -> Report:
    """Return the report on how suppliers keep their word.

    Args:
        orders: that were sent in the period.
        credits_minor: what each supplier credited, above zero.
        currency: of all amounts.
    """
    listed = _by_supplier(orders)
    return Report(
        name="supplier-truth", question="Which supplier keeps his word?",
        answer=tuple(_truth_words(listed)),
        columns=(
            ReportColumn("supplier", "Supplier"),
            ReportColumn("orders", "Orders", "count", total=True),
            ReportColumn("open", "Not come yet", "count", total=True),
            ReportColumn("median_days", "Days, in the middle", "number"),
            ReportColumn("worst_days", "Days, at worst", "count"),
            ReportColumn("late", "Late", "count", total=True),
            ReportColumn("late_share", "Late, of those come", "share"),
            ReportColumn("low_share", "at least", "share"),
            ReportColumn("high_share", "at most", "share"),
            ReportColumn("damaged_share", "Damaged, of what came", "share"),
            ReportColumn("credited_minor", "Credited", "money", total=True)),
        rows=tuple(_truth_row(each, credits_minor.get(each.name, 0)) for each in listed),
        currency=currency, jobs=len(orders),
        chart=Chart("bars with interval", "supplier", ("late_share",), "low_share", "high_share")
        if listed else None,
        cautions=("It counts orders, not jobs; listed by name. An order is late if its last "
                  "delivery came after the last day that its lines were promised for.",))


def _late(each: _Supplier) -> tuple[int, int]:
    """Return how many of its orders came late, and how many came and were promised."""
    told = [order.came > order.promised for order in each.orders
            if order.came is not None and order.promised is not None]
    return sum(told), len(told)


def _truth_row(each: _Supplier, credited_minor: int) -> tuple[Cell, ...]:
    days = [(order.came - order.on).days for order in each.orders if order.came is not None]
    late, of = _late(each)
    rate: tuple[Cell, ...] = (late / of, *wilson(late, of)) if of else (None, None, None)
    came = sum(order.good_milli + order.damaged_milli for order in each.orders)
    damaged = sum(order.damaged_milli for order in each.orders)
    return (
        each.name, len(each.orders), sum(order.came is None for order in each.orders),
        median(days) if days else None, max(days, default=None), late, *rate,
        damaged / came if came else None, credited_minor)


def _truth_words(listed: Sequence[_Supplier]) -> Iterator[str]:
    if not listed:
        yield "Nothing was ordered in the period."
        return
    late = {each.name: _late(each) for each in listed}
    count_late, come = (sum(pair[at] for pair in late.values()) for at in (0, 1))
    yield (f"{count_late} of {count(come, 'order')} that came were late."
           if come else "None of the orders has come.")
    rest = {name: (count_late - of[0], come - of[1]) for name, of in late.items()}
    for name, (bad, of) in late.items():
        if of < LEAST_TO_RANK or not rest[name][1]:
            continue
        low, high = wilson(bad, of)
        if low > wilson(*rest[name])[1]:
            yield (f"{name} is late more often than the others: {bad} of {of} (likely "
                   f"{between(low, high)}).")
