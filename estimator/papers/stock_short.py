"""What must be ordered, what comes late, and what is saved by cutting together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.stock.free import Promise
from catalogue.stock.shortages import ShelfRule, Shortage
from estimator.buying.cutting.model import CutBar
from estimator.buying.joint_cutting import JointCut
from estimator.buying.joint_shares import not_bought
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.terminal import clean, shortened, table, wrapped

NAME_WIDTH = 32


@dataclass(frozen=True, slots=True)
class Seller:
    """Who brings an item soonest, and in how many days."""

    supplier: str
    lead_days: int


@dataclass(frozen=True)
class ShortList:
    """What must be ordered until a day.

    Attributes:
        late: what is on its way, and comes after the day on which a job needs it.
        cuts: the cuts of jobs that need their goods until `cut_until`, made together.
        names, units: of every item named.
        sellers: item -> who brings it soonest; an item that is not in it has no seller.
    """

    today: date
    until: date
    currency: str
    shortages: tuple[Shortage, ...]
    late: tuple[Promise, ...]
    cuts: tuple[JointCut, ...]
    cut_until: date
    names: Mapping[str, str]
    units: Mapping[str, str]
    sellers: Mapping[str, Seller]

    def overdue(self, shortage: Shortage) -> bool:
        """Return whether it can no longer come in time, whoever brings it."""
        return shortage.order_by < self.today


@dataclass(frozen=True, slots=True)
class ShelfLine:
    """The rule of an item's shelf, and how it stands: `free` is promised to nobody, or comes."""

    item: str
    name: str
    unit: str
    rule: ShelfRule
    free: Decimal

    @property
    def to_order(self) -> bool:
        """Return whether the shelf is to be filled up."""
        return self.free <= self.rule.least


@dataclass(frozen=True, slots=True)
class ShelfProposal:
    """What shelf stock of an item would cost least.

    Attributes:
        demand_a_year: what jobs take in a year.
        lead_days: from order to delivery.
        economic: order quantity at which ordering and holding cost least, unrounded.
        rule: the reorder point, and that quantity in whole packs.
        a_year_minor: what ordering and holding cost in a year, in whole packs.
    """

    item: str
    name: str
    unit: str
    demand_a_year: Decimal
    supplier: str
    lead_days: int
    pack: Decimal
    economic: float
    rule: ShelfRule
    a_year_minor: int
    currency: str


def short_text(found: ShortList) -> str:
    """Return it for the terminal."""
    return clean("\n".join(_short_lines(found)))


def _short_lines(found: ShortList) -> Iterator[str]:
    if not found.shortages:
        yield f"Nothing is short until {found.until}."
    else:
        yield f"TO ORDER, for what is needed until {found.until}"
        yield from table([
            (str(each.order_by), each.item, shortened(found.names[each.item], NAME_WIDTH),
             _of(each.quantity, found.units[each.item]), str(each.needed_on),
             _whom(found, each), ", ".join(each.jobs) or "the shelf") for each in found.shortages],
            "lllrlll", ("order by", "item", "name", "quantity", "needed", "soonest from", "for"))
    late = sum(map(found.overdue, found.shortages))
    if late:
        yield f"{late} of them cannot come in time any more: ring the customer, or look elsewhere."
    if found.late:
        yield "ORDERED, AND COMES TOO LATE"
        yield from table([
            (each.claim.item, _of(each.quantity, found.units[each.claim.item]),
             f"job {each.claim.job}", f"needed {each.claim.needed_on}",
             f"comes {each.supply.comes_on}", each.supply.lot) for each in found.late], "lrllll")
    for joint in found.cuts:
        yield from _cut_lines(joint, found)


def _whom(found: ShortList, shortage: Shortage) -> str:
    seller = found.sellers.get(shortage.item)
    if seller is None:
        return "nobody sells it"
    late = ", LATE" if found.overdue(shortage) else ""
    return f"{seller.supplier}, {_days(seller.lead_days)}{late}"


def _days(count: int) -> str:
    return f"{count} day{'s' if count != 1 else ''}"


def _cut_lines(joint: JointCut, found: ShortList) -> Iterator[str]:
    names = ", ".join(f"{code} {found.names[code]}" for code in joint.alone)
    yield from wrapped(f"{names}, for {', '.join(joint.jobs)}",
                       f"CUT TOGETHER until {found.cut_until}: ")
    bought = joint.plan.bought()
    yield (f"  job by job {_bars(joint.alone)}; together {_bars(joint.together)}"
           + (f"; out of what lies there first {_bars(bought)}"
              if bought != joint.together else ""))
    if joint.bars_saved <= 0:
        yield "  Nothing is saved by it: cut job by job."
        return
    worth = words.money(joint.saved_minor + joint.saved_on_hand_minor, found.currency)
    yield f"  {joint.bars_saved} fewer to buy, {worth}. Keep each offcut for the next job:"
    saved = [(each, item, job) for (item, job), each in not_bought(joint).items()
             if found.units[item] == "each"]
    if saved:
        yield from wrapped("; ".join(f"{many} of {item} for {job}" for many, item, job in saved)
                           + ". The pick sheets say which offcut is kept for whom.",
                           "  left out of what is to be ordered: ")
    for number, bar in enumerate(_in_turn(joint), start=1):
        cuts = "; ".join(f"{each.length_mm} {each.label}" for each in _by_job(bar, joint.jobs))
        yield from wrapped(
            f"{bar.code}, {bar.length_mm} mm: {cuts}; {bar.offcut_mm} left",
            f"    {'bar' if bar.bought else 'piece'} {number}, ")


def _in_turn(joint: JointCut) -> list[CutBar]:
    return sorted(joint.plan.bars, key=lambda bar: [
        joint.jobs.index(_job(each.label)) for each in _by_job(bar, joint.jobs)])


def _by_job(bar: CutBar, jobs: tuple[str, ...]) -> list[Any]:
    return sorted(bar.cuts, key=lambda each: (jobs.index(_job(each.label)), each.ends_at_mm))


def _job(label: str) -> str:
    return label.partition(": ")[0]


def _bars(counts: Mapping[str, int]) -> str:
    several = len(counts) > 1
    return " and ".join(f"{count} of {code}" if several else f"{count} bars"
                        for code, count in counts.items()) or "no bar"


def short_data(found: ShortList) -> dict[str, Any]:
    """Return it as data; money in minor units."""
    return {
        "today": found.today, "until": found.until, "currency": found.currency,
        "shortages": [asdict(each) | {
            "name": found.names[each.item],
            "unit": found.units[each.item], "late": found.overdue(each),
            "seller": asdict(found.sellers[each.item])
            if each.item in found.sellers else None} for each in found.shortages],
        "late": [{"item": each.claim.item, "quantity": each.quantity, "job": each.claim.job,
                  "needed_on": each.claim.needed_on, "comes_on": each.supply.comes_on,
                  "order": each.supply.lot} for each in found.late],
        "cut_until": found.cut_until,
        "cuts": [{
            "jobs": each.jobs, "alone": each.alone, "together": each.together,
            "bought": each.plan.bought(), "bars_saved": each.bars_saved,
            "saved_minor": each.saved_minor, "saved_on_hand_minor": each.saved_on_hand_minor,
            "not_bought": [{"item": item, "job": job, "bars": many}
                           for (item, job), many in not_bought(each).items()],
            "bars": [asdict(bar) for bar in _in_turn(each)]} for each in found.cuts],
    }


def shelves_text(lines: tuple[ShelfLine, ...]) -> str:
    """Return the rules of the shelf as a table."""
    if not lines:
        return "No shelf has a reorder point yet: estimator stock shelf ITEM --least N --order N"
    rows = [(each.item, shortened(each.name, NAME_WIDTH), _of(each.rule.least, each.unit),
             _of(each.rule.order, each.unit), _of(each.free, each.unit),
             "TO ORDER" if each.to_order else "") for each in lines]
    return clean("\n".join(table(rows, "llrrrl", (
        "item", "name", "reorder at", "order", "free or coming", ""))))


def shelves_data(lines: tuple[ShelfLine, ...]) -> list[dict[str, Any]]:
    """Return the rules of the shelf as data."""
    return [asdict(each) | {"to_order": each.to_order} for each in lines]


def proposal_text(made: ShelfProposal) -> str:
    """Return a proposal, with what it stands on."""
    return clean("\n".join([
        f"{made.item}  {made.name}",
        f"  {_of(made.demand_a_year, made.unit)} a year; {made.supplier} brings it in "
        f"{_days(made.lead_days)}, in packs of {plain(made.pack)}",
        f"  ordering and holding cost least together at {made.economic:.1f} an order; in whole "
        f"packs {_of(made.rule.order, made.unit)}, at "
        f"{words.money(made.a_year_minor, made.currency)} a year",
        f"  estimator stock shelf {made.item} --least {plain(made.rule.least)} --order "
        f"{plain(made.rule.order)}"]))


def _of(number: Decimal, unit: str) -> str:
    return f"{plain(number)} {unit}" if unit != "each" else plain(number)
