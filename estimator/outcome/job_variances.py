"""One job against its standard, line by line: how much of each difference is which cause.

The standard is the plan of the newest accepted revision, with the variations agreed. A line is an
item, the hours of a task group, or a head where nothing finer is told of both sides. What was used
instead of an item of the plan belongs to that item's line. Shares of a line are whole minor units
that add up to its difference, so all lines add up to actual less standard, to the penny.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from estimator.outcome.parting import Actual, Parted, Standard, in_minor, part, unplanned
from estimator.outcome.plan import PlanKind, PlanLine

NOT_RECKONED, NOT_USED = "not reckoned", "not used"
REWORK = "rework"
KINDS: tuple[PlanKind, ...] = ("goods", "bought in", "labour", "overhead", "provision")
# (item, supplier) -> price of a unit in minor units on the day of the quote; "" = the usual one.
Prices = Mapping[tuple[str, str], Fraction]


@dataclass(frozen=True, slots=True)
class CostLine:
    """What was spent on one thing: as `PlanLine`, and of whom it was bought where that is known.

    Attributes:
        quantity: units of the item or hours; 0 for a difference of price alone.
    """

    kind: PlanKind
    head: str
    code: str
    task_group: str
    supplier: str
    quantity: Fraction
    amount_minor: int


@dataclass(frozen=True, slots=True)
class LineVariance:
    """One line, in minor units; a share above zero cost more than the standard.

    Attributes:
        name: item, task group, or "" for a whole head.
        planned, used: quantities; 0 where there is no measure.
        note: "not reckoned", "not used", or what stood in for the item.
    """

    kind: PlanKind
    head: str
    name: str
    planned: Fraction
    used: Fraction
    standard_minor: int
    actual_minor: int
    usage_minor: int
    specification_minor: int
    supplier_minor: int
    price_minor: int
    note: str = ""

    @property
    def over_minor(self) -> int:
        """Return actual less standard."""
        return self.actual_minor - self.standard_minor


@dataclass
class _Sides:
    """What is planned and what was spent on one line."""

    plan: list[PlanLine] = field(default_factory=list)
    spent: list[CostLine] = field(default_factory=list)


_Key = tuple[PlanKind, str, str]


def variances(
    standard: Sequence[PlanLine], spent: Sequence[CostLine], instead: Mapping[str, str],
    prices: Prices, warranty_head: str,
) -> tuple[LineVariance, ...]:
    """Return every line of a job with its difference parted by cause.

    What the rework did not eat up of the provision for warranty is still held, so it counts as
    spent; the provision for open risks does not.

    Args:
        standard: the plan after the variations agreed.
        spent: all actual costs.
        instead: item used -> item of the plan that it stood in for.
        prices: of the day of the quote, where they are known.
        warranty_head: head of the provision for warranty.
    """
    sides: dict[_Key, _Sides] = {}
    for line in standard:
        sides.setdefault(_key(line.kind, line.head, line.code, line.task_group),
                         _Sides()).plan.append(line)
    for cost in spent:
        code = instead.get(cost.code, cost.code)
        sides.setdefault(_key(cost.kind, cost.head, code, cost.task_group),
                         _Sides()).spent.append(cost)
    by_item = {key[2]: key for key in sorted(sides) if key[2] and sides[key].plan}
    merged: dict[_Key, _Sides] = {}
    for key, side in sorted(sides.items()):  # an item keeps the head it was planned under
        at = merged.setdefault(by_item.get(key[2], key) if key[0] == "goods" else key, _Sides())
        at.plan += side.plan
        at.spent += side.spent
    held = _held(standard, spent, warranty_head)
    lines = [_line(key, side, prices, held) for key, side in merged.items()]
    return tuple(sorted(lines, key=lambda line: (KINDS.index(line.kind), line.head, line.name)))


def _key(kind: PlanKind, head: str, code: str, group: str) -> _Key:
    if kind == "goods":
        return kind, head, code
    return kind, head, group if kind == "labour" else ""


def _held(standard: Iterable[PlanLine], spent: Iterable[CostLine], head: str) -> dict[str, int]:
    """Return by head what of the provisions is still held."""
    provision = sum(line.amount_minor for line in standard
                    if line.kind == "provision" and line.head == head)
    rework = sum(cost.amount_minor for cost in spent if cost.task_group == REWORK)
    return {head: max(0, provision - rework)}


def _line(key: _Key, side: _Sides, prices: Prices, held: Mapping[str, int]) -> LineVariance:
    kind, head, name = key
    planned = sum((Fraction(line.quantity) for line in side.plan), Fraction(0))
    standard = sum(line.amount_minor for line in side.plan)
    used = sum((cost.quantity for cost in side.spent), Fraction(0))
    actual = sum(cost.amount_minor for cost in side.spent)
    if kind == "provision":
        actual += held.get(head, 0)
        parted = unplanned(actual - standard)
    elif not side.plan:
        parted = unplanned(actual)
    elif not planned or not standard or kind == "bought in":
        # There is no quantity on both sides: more was asked for the same.
        parted = Parted(price=Fraction(actual - standard))
    else:
        parted = _parted(Standard(planned, Fraction(standard) / planned), side, name, prices)
    shares = in_minor({
        "usage": parted.usage, "specification": parted.specification,
        "supplier": parted.supplier, "price": parted.price})
    return LineVariance(
        kind, head, name, planned, used, standard, actual, shares["usage"],
        shares["specification"], shares["supplier"], shares["price"],
        _note(kind, side, name))


def _note(kind: PlanKind, side: _Sides, name: str) -> str:
    if kind == "provision":
        return ""
    if not side.plan:
        return NOT_RECKONED
    if not side.spent:
        return NOT_USED
    others = sorted({cost.code for cost in side.spent} - {name, ""}) if kind == "goods" else []
    return f"{', '.join(others)} used instead" if others else ""


def _parted(standard: Standard, side: _Sides, name: str, prices: Prices) -> Parted:
    """Return the causes of a line, each item and seller held against the standard's price."""
    suppliers = {line.supplier for line in side.plan if line.supplier}
    total = Parted(usage=-standard.cost_minor)  # nothing used of it; then portion by portion
    nothing = Standard(0, standard.price_minor)
    by_portion: dict[tuple[str, str], tuple[Fraction, int]] = {}
    for cost in side.spent:
        of = (cost.code if cost.kind == "goods" else "", cost.supplier)
        quantity, amount = by_portion.get(of, (Fraction(0), 0))
        by_portion[of] = quantity + cost.quantity, amount + cost.amount_minor
    for (code, supplier), (quantity, amount) in sorted(by_portion.items()):
        if not quantity:
            total += Parted(price=Fraction(amount))  # a bill for more than the goods came in at
            continue
        item_price = supplier_price = None
        if code not in (name, ""):
            # Without a price of the day, all that it cost beyond the standard is the other item.
            item_price = prices.get((code, ""), Fraction(amount) / quantity)
        if supplier and suppliers and supplier not in suppliers:
            supplier_price = prices.get((code, supplier))
        total += part(nothing, Actual(quantity, amount, item_price, supplier_price))
    return total


def by_head(lines: Iterable[LineVariance]) -> dict[tuple[PlanKind, str], LineVariance]:
    """Return the sums of lines by kind and head; of labour by task group."""
    sums: dict[tuple[PlanKind, str], LineVariance] = {}
    for line in lines:
        head = f"{line.head}, {line.name}" if line.kind == "labour" and line.name else line.head
        there = sums.get((line.kind, head))
        sums[line.kind, head] = _added(there, line, head)
    return sums


def _added(there: LineVariance | None, line: LineVariance, head: str) -> LineVariance:
    if there is None:
        there = LineVariance(line.kind, head, "", Fraction(0), Fraction(0), 0, 0, 0, 0, 0, 0)
    return LineVariance(
        line.kind, head, "", there.planned + line.planned, there.used + line.used,
        there.standard_minor + line.standard_minor, there.actual_minor + line.actual_minor,
        there.usage_minor + line.usage_minor,
        there.specification_minor + line.specification_minor,
        there.supplier_minor + line.supplier_minor, there.price_minor + line.price_minor)


def head_of(line: PlanLine) -> tuple[PlanKind, str]:
    """Return under which kind and head a line of a plan is summed; as `by_head`."""
    if line.kind == "labour" and line.task_group:
        return line.kind, f"{line.head}, {line.task_group}"
    return line.kind, line.head
