"""What is to be ordered: what an accepted job lacks, what all of them and the shelf lack, or items.

Codes of the problems: Y302 the job is not accepted, Y305 no goods of the job are short, Y306 an
item that is not there, Y307 a quantity that cannot be ordered.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, select

from catalogue.incoming import ordered_for
from catalogue.items import COUNTED_UNITS
from catalogue.loading import currency_of
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.stock_reserving import ever_reserved, reserved
from catalogue.tables import ITEM
from estimator.buying.ordering import ForJob, Shortage
from estimator.papers.digits import plain
from estimator.workflow.job_states import states
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.order_basket import Rules, ToSplit
from estimator.workflow.orders import Asked, goods_of
from estimator.workflow.receipts import piece
from estimator.workflow.stock_short import short_now
from estimator.workflow.stock_shown import holding


@dataclass(frozen=True)
class Ordering:
    """What is to be ordered, and where it goes.

    Attributes:
        job: an accepted job whose goods are ordered; "" to order `items` or what is short.
        items: codes with quantities, for the shelf.
        until: what all accepted jobs and the shelf lack until this day is ordered.
        with_stock: whether what the shelf would give the job is ordered too.
        to: one of the firm's own places, where the goods go unless `to_site`.
        to_site: whether they go to the job's house.
        receiver: who takes them in.
        name: who orders; the user of this machine if None.
    """

    rules: Rules
    job: str = ""
    items: tuple[tuple[str, Decimal], ...] = ()
    until: date | None = None
    with_stock: bool = False
    to: str = "store"
    to_site: bool = False
    receiver: str = ""
    note: str = ""
    name: str | None = None


@dataclass(frozen=True)
class Wanted:
    """What is short, with the words for messages."""

    shortages: tuple[Shortage, ...]
    place: Place
    nothing: str
    address: str = ""
    currency: str = ""
    skipped: tuple[tuple[str, Decimal, tuple[int, ...]], ...] = ()
    in_stock: tuple[tuple[str, Decimal], ...] = ()


def wanted_of(work: Connection, asked: Ordering) -> Wanted:
    """Return what is short.

    Raises:
        ProblemsFound: J001 for the job; Y302, Y305 to Y307.
    """
    if asked.job:
        return _of_job(work, asked)
    return _of_all(work, asked, asked.until) if asked.until else _of_items(work, asked)


def item_rows(work: Connection, codes: Sequence[str]) -> dict[str, Any]:
    """Return name, unit, family and whether it is serialised, of each item by its code."""
    i = ITEM.c
    return {row.code: row for row in work.execute(
        select(i.code, i.name, i.unit, i.family, i.serialised).where(i.code.in_(set(codes))))}


def _of_job(work: Connection, asked: Ordering) -> Wanted:
    """Return what an accepted job needs, and neither is on order for it nor lies there for it."""
    newest = revision_number(work, asked.job)
    state = states(work).get(asked.job)
    if state is None or state.state != "accepted":
        raise ProblemsFound([Problem(
            "Y302", Place(f"job {asked.job}"),
            f"the job is {state.state if state else 'open'}: goods are ordered for a job that is "
            "accepted", f"estimator jobs accept {asked.job} --name NAME, or order for the shelf: "
            "--item CODE=QUANTITY")])
    estimate = kept_estimate(work, asked.job, state.revision or newest)
    goods = goods_of(estimate, Asked(asked.job, None, asked.rules, asked.with_stock))
    there = ordered_for(work, asked.job)
    needed_on = asked.rules.needed or _day_of_work(work, asked)
    rest = _not_on_order(goods, there)
    lacks = _lacks(work, asked, rest)
    shortages = tuple(
        Shortage(item, lacks[item], needed_on, (ForJob(estimate.job.id, lacks[item]),))
        for item in rest if lacks[item])
    if goods.lines and not shortages:
        raise ProblemsFound([_nothing_short(goods, there)])
    skipped = tuple((item, *there[item]) for item in sorted(
        {line.item for line in goods.lines} & there.keys()))
    in_stock = tuple((item, quantity - lacks[item]) for item, quantity in sorted(rest.items())
                     if quantity > lacks[item])
    return Wanted(shortages, goods.place, goods.nothing, estimate.job.address,
                  estimate.currency, skipped, in_stock)


def _day_of_work(work: Connection, asked: Ordering) -> date | None:
    """Return the day for which the job's goods are reserved, if it is still to come."""
    days = {claim.needed_on for claim in reserved(work) if claim.job == asked.job}
    return min((day for day in days if day > asked.rules.on), default=None)


def _not_on_order(
    goods: ToSplit, there: dict[str, tuple[Decimal, tuple[int, ...]]]
) -> dict[str, Decimal]:
    """Return what the job's lines need beyond what is on order for it, item by item."""
    wants: dict[str, Decimal] = {}
    for line in goods.lines:
        wants[line.item] = wants.get(line.item, Decimal(0)) + line.quantity
    rest = {item: quantity - there.get(item, (Decimal(0), ()))[0]
            for item, quantity in wants.items()}
    return {item: quantity for item, quantity in rest.items() if quantity > 0}


def _lacks(work: Connection, asked: Ordering, rest: dict[str, Decimal]) -> dict[str, Decimal]:
    """Return how much of the rest neither lies there for the job nor was picked for it.

    A job that was accepted before goods were reserved has a claim on nothing.
    """
    if not ever_reserved(work, asked.job):
        return dict(rest)
    short = dict.fromkeys(rest, Decimal(0))
    for claim in holding(work, asked.rules.on, rest).shared.short:
        if claim.job == asked.job:
            short[claim.item] += claim.quantity
    return {item: min(quantity, short[item]) for item, quantity in rest.items()}


def _nothing_short(goods: ToSplit, there: dict[str, tuple[Decimal, tuple[int, ...]]]) -> Problem:
    numbers = sorted({number for _, orders in there.values() for number in orders})
    more = "more of an item: --item CODE=QUANTITY"
    if not numbers:
        return Problem("Y305", goods.place, "all its goods lie there for it or were picked",
                       f"see it: estimator stock show ITEM; {more}")
    return Problem("Y305", goods.place, "all its goods are on order or have come: order "
                   + ", ".join(map(str, numbers)),
                   f"see it: estimator orders show {numbers[0]}; {more}")


def _of_all(work: Connection, asked: Ordering, until: date) -> Wanted:
    """Return what all accepted jobs and the shelf lack until a day, item by item."""
    by_item: dict[str, Shortage] = {}
    for each in short_now(work, asked.rules.on, until):
        jobs = tuple(map(ForJob, each.jobs, each.shares))
        there = by_item.get(each.item)
        by_item[each.item] = Shortage(each.item, each.quantity, each.needed_on, jobs) if (
            there is None) else Shortage(
            each.item, there.quantity + each.quantity,
            min(there.needed_on or each.needed_on, each.needed_on), there.jobs + jobs)
    return Wanted(
        tuple(by_item[item] for item in sorted(by_item)), Place(f"--until {until}"),
        "nothing is short until then; see estimator stock short --until DATE",
        currency=currency_of(work))


def _of_items(work: Connection, asked: Ordering) -> Wanted:
    """Return the items that are named, each once."""
    wants: dict[str, Decimal] = {}
    for code, quantity in asked.items:
        wants[code] = wants.get(code, Decimal(0)) + quantity
    there = item_rows(work, list(wants))
    problems = [problem for code, quantity in wants.items()
                for problem in _wrong_item(work, code, quantity, there.get(code))]
    if problems:
        raise ProblemsFound(problems)
    return Wanted(
        tuple(Shortage(code, quantity, asked.rules.needed) for code, quantity in wants.items()),
        Place("--item"), "name items: --item CODE=QUANTITY", currency=currency_of(work))


def _wrong_item(
    work: Connection, code: str, quantity: Decimal, item: Any
) -> Iterator[Problem]:
    place = Place(f"--item {code}")
    if item is None:
        yield Problem("Y306", place, f"there is no item '{code}'",
                      suggestion(code, work.scalars(select(ITEM.c.code)))
                      or "look for it: estimator catalogue find WORDS")
    elif item.unit in COUNTED_UNITS and quantity != int(quantity):
        yield Problem("Y307", place, f"{code} is counted by the {piece(item.unit)}, and "
                      f"{plain(quantity)} is no whole number", "give a whole number")
    elif quantity != round(quantity, 3):
        yield Problem("Y307", place, f"{plain(quantity)} is finer than a thousandth of a unit",
                      "give at most three decimal places")
