"""Split the goods of a quoted job over suppliers: today's offers, carriage, locks and the day.

Codes of the problems: E201 a lock names an item that is not to be ordered, E202 a supplier that is
not known, E203 the locked supplier does not sell the item on the day, E204 nobody sells a line's
item on the day, E205 who sells it is left out, E206 nobody brings it by a hard date, E207 nothing
is to be ordered, E208 an item is locked to two suppliers.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from sqlalchemy import select

from catalogue import db
from catalogue.items import Offer
from catalogue.loading import load_carriage, load_offers
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import SUPPLIER
from estimator.buying.basket import allowed, split_basket
from estimator.buying.basket_choices import choices_of
from estimator.buying.basket_values import BasketLine, Terms, Wanted, line_of, terms_of
from estimator.cost import BOUGHT_IN_HEADS
from estimator.papers.contract import EstimateJson
from estimator.papers.order_split import LineToOrder, OrderSplit
from estimator.workflow.basis import firm_settings
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.jobs import stored_estimate


@dataclass(frozen=True)
class Asked:
    """What is to be ordered, when, and what has been decided already.

    Attributes:
        revision: of the job; the newest if None.
        on: the day of the order and of the prices.
        needed: the day on which all must be there; None if any day will do.
        hard: whether what comes later than that is no choice at all.
        late_per_day: cost of a day later, in major units; the firm's setting if None.
        locks: pairs of an item and the supplier who is to bring it.
        without: suppliers that may not be taken.
        with_stock: whether what the shelf would give is ordered too.
    """

    job: str
    revision: int | None
    on: date
    needed: date | None = None
    hard: bool = False
    late_per_day: Decimal | None = None
    locks: tuple[tuple[str, str], ...] = ()
    without: tuple[str, ...] = ()
    with_stock: bool = False


@dataclass(frozen=True)
class _Market:
    """What can be had on the day: offers by item, terms and names of the suppliers."""

    offers: Mapping[str, Sequence[Offer]]
    terms: Mapping[str, Terms]
    suppliers: frozenset[str]


def split_orders(database: str | None, asked: Asked) -> OrderSplit:
    """Return the cheapest split of a kept revision's goods over suppliers.

    Hire, scaffold, other firms' work and fees are no goods and are left out.

    Raises:
        ProblemsFound: J001, J002 for the job; else every mistake of E201 to E208.
    """
    files = firm_files()
    settings, where = firm_settings(files), database_of(database, files)
    estimate = stored_estimate(where, asked.job, asked.revision)
    lines = _to_order(estimate, asked)
    market = _market(where, asked.on, lines, estimate.currency)
    late = settings.buying.late_per_day if asked.late_per_day is None else asked.late_per_day
    wanted = Wanted(
        asked.on, asked.needed,
        None if asked.hard else Money.of(late, estimate.currency).minor,
        settings.buying.surplus_share)
    basket, problems = _basket(asked, lines, market, wanted)
    found = [*_wrong(asked, lines, market, estimate), *problems]
    if found:
        raise ProblemsFound(found)
    return OrderSplit(
        estimate.job.id, estimate.job.title, estimate.revision, estimate.currency, wanted,
        asked.with_stock, tuple(sorted(set(asked.without))), lines,
        split_basket(basket, market.terms, wanted))


def _to_order(estimate: EstimateJson, asked: Asked) -> tuple[LineToOrder, ...]:
    locked = {item for item, _ in asked.locks}
    return tuple(
        LineToOrder(f"{line.line:04}", line.line, line.item, line.name, line.unit,
                    line.buy + line.allowance, line.item in locked)
        for line in estimate.lines
        if line.buy > 0 and not line.option and line.head not in BOUGHT_IN_HEADS
        and (line.held == "job" or asked.with_stock)
    )


def _market(
    database: str | None, on: date, lines: Sequence[LineToOrder], currency: str
) -> _Market:
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            offers = {
                item: [offer for offer in load_offers(work, on, item)
                       if offer.price.currency == currency]
                for item in sorted({line.item for line in lines})
            }
            charges = [each for each in load_carriage(work, on)
                       if each.charge.currency == currency]
            suppliers = frozenset(work.scalars(select(SUPPLIER.c.name)))
    finally:
        engine.dispose()
    return _Market(offers, {
        name: terms_of(each for each in charges if each.supplier == name)
        for name in sorted({each.supplier for each in charges})
    }, suppliers)


def _wrong(
    asked: Asked, lines: Sequence[LineToOrder], market: _Market, estimate: EstimateJson
) -> Iterator[Problem]:
    """Yield what is wrong with the suppliers left out, the locks and the job's lines."""
    job = Place(f"job {estimate.job.id}, revision {estimate.revision}")
    if not lines:
        yield Problem(
            "E207", job, "no goods are to be ordered",
            "hire, other firms' work and fees are no goods"
            + ("" if asked.with_stock else "; --with-stock orders what the shelf would give"))
        return
    for name in dict.fromkeys(asked.without):
        yield from _unknown(Place(f"--without {name}"), name, market)
    for lock in dict.fromkeys(asked.locks):
        yield from _wrong_lock(lock, asked, market)
    for line in lines:
        if not market.offers[line.item]:
            yield Problem("E204", job, f"line {line.line}: nobody sells {line.item}, {line.name}, "
                          f"on {asked.on}", "enter an offer for it, or take another day with --on")


def _unknown(place: Place, name: str, market: _Market) -> Iterator[Problem]:
    if name not in market.suppliers:
        yield Problem("E202", place, f"there is no supplier '{name}'",
                      suggestion(name, market.suppliers))


def _wrong_lock(lock: tuple[str, str], asked: Asked, market: _Market) -> Iterator[Problem]:
    item, supplier = lock
    place = Place(f"--lock {item}={supplier}")
    if item not in market.offers:
        yield Problem("E201", place, f"no line that is to be ordered is of item '{item}'",
                      suggestion(item, market.offers))
    others = {name for code, name in asked.locks if code == item and name != supplier}
    if others and supplier > min(others):  # told once for each pair
        yield Problem("E208", place, f"{item} is locked to {min(others)} too",
                      "one supplier brings an item; take one of the locks out")
    yield from _unknown(place, supplier, market)
    sellers = sorted({offer.supplier for offer in market.offers.get(item, ())})
    if supplier in market.suppliers and sellers and supplier not in sellers:
        yield Problem("E203", place, f"{supplier} does not sell {item} on {asked.on}",
                      "who does: " + ", ".join(sellers))
    elif supplier in asked.without:
        yield Problem("E205", place, f"{supplier} is left out by --without",
                      "take the lock or --without out")


def _basket(
    asked: Asked, lines: Sequence[LineToOrder], market: _Market, wanted: Wanted
) -> tuple[list[BasketLine], list[Problem]]:
    """Return the lines with the choices that may be taken, and what leaves a line with none.

    A line that nobody sells, or whose lock is wrong, is told elsewhere and is in neither.
    """
    locks = dict(asked.locks)
    basket: list[BasketLine] = []
    problems: list[Problem] = []
    for line in lines:
        lock = locks.get(line.item)
        wrong = lock is not None and any(_wrong_lock((line.item, lock), asked, market))
        if wrong or not market.offers[line.item]:
            continue
        whole = line_of(line.key, line.item, line.quantity,
                        choices_of(line.quantity, market.offers[line.item]))
        open_to = allowed(whole, replace(wanted, by=None), lock, asked.without)
        kept = allowed(open_to, wanted) if open_to is not None else None
        if kept is not None:
            basket.append(kept)
        elif open_to is not None:
            problems.append(_too_late(line, open_to, wanted))
        else:
            problems.append(_left_out(line, whole))
    return basket, problems


def _left_out(line: LineToOrder, whole: BasketLine) -> Problem:
    sellers = sorted({choice.supplier for choice in whole.choices})
    return Problem(
        "E205", Place(f"line {line.line}"),
        f"who sells {line.item}, {line.name}, is left out: {', '.join(sellers)}",
        "leave out fewer suppliers")


def _too_late(line: LineToOrder, open_to: BasketLine, wanted: Wanted) -> Problem:
    first = min(open_to.choices, key=lambda choice: (choice.lead_days, choice.rank))
    days = wanted.days_late(first)
    return Problem(
        "E206", Place(f"line {line.line}"),
        f"{line.item}, {line.name}, cannot be there by {wanted.by}: {first.supplier} brings it on "
        f"{wanted.arrives(first)}, {days} day{'s' if days != 1 else ''} later",
        "order sooner, need it later, or leave --hard out")
