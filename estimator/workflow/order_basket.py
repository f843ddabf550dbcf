"""Lines to be ordered made into a basket and split over the suppliers of a day.

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

from sqlalchemy import Connection, select

from catalogue.items import Offer
from catalogue.loading import load_carriage, load_offers
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import SUPPLIER
from estimator.buying.basket import Split, allowed, split_basket
from estimator.buying.basket_choices import choices_of
from estimator.buying.basket_values import BasketLine, Terms, Wanted, line_of, terms_of
from estimator.papers.order_split import LineToOrder
from estimator.settings import Buying


@dataclass(frozen=True)
class Rules:
    """When and from whom is ordered, and what has been decided already.

    Attributes:
        on: the day of the order and of the prices.
        needed: the day on which all must be there; None if any day will do.
        hard: whether what comes later than that is no choice at all.
        late_per_day: cost of a day later, in major units; the firm's setting if None.
        locks: pairs of an item and the supplier who is to bring it.
        without: suppliers that may not be taken.
    """

    on: date
    needed: date | None = None
    hard: bool = False
    late_per_day: Decimal | None = None
    locks: tuple[tuple[str, str], ...] = ()
    without: tuple[str, ...] = ()

    def wanted(self, buying: Buying, currency: str, needed: date | None = None) -> Wanted:
        """Return the rules for a basket; `needed` stands in where they name no day."""
        late = buying.late_per_day if self.late_per_day is None else self.late_per_day
        return Wanted(
            self.on, self.needed or needed, None if self.hard else Money.of(late, currency).minor,
            buying.surplus_share)


@dataclass(frozen=True)
class Market:
    """What can be had on the day: offers by item, terms and names of the suppliers."""

    offers: Mapping[str, Sequence[Offer]]
    terms: Mapping[str, Terms]
    suppliers: frozenset[str]


@dataclass(frozen=True)
class ToSplit:
    """Lines that are to be ordered.

    Attributes:
        place: what is named where something is wrong with them.
        nothing: what may be done if there are none.
    """

    lines: tuple[LineToOrder, ...]
    place: Place
    nothing: str


def split_lines(
    asked: ToSplit, rules: Rules, market: Market, wanted: Wanted
) -> Split:
    """Return the cheapest split of lines over suppliers.

    A line with a day of its own is late only when it comes after that day.

    Raises:
        ProblemsFound: every mistake of E201 to E208.
    """
    basket, problems = _basket(rules, asked.lines, market, wanted)
    found = [*_wrong(asked, rules, market), *problems]
    if found:
        raise ProblemsFound(found)
    return split_basket(basket, market.terms, wanted)


def market_of(
    work: Connection, on: date, lines: Sequence[LineToOrder], currency: str
) -> Market:
    """Return what can be had of the lines' items on a day, in one currency."""
    offers = {
        item: [offer for offer in load_offers(work, on, item)
               if offer.price.currency == currency]
        for item in sorted({line.item for line in lines})
    }
    charges = [each for each in load_carriage(work, on) if each.charge.currency == currency]
    return Market(offers, {
        name: terms_of(each for each in charges if each.supplier == name)
        for name in sorted({each.supplier for each in charges})
    }, frozenset(work.scalars(select(SUPPLIER.c.name))))


def _wrong(asked: ToSplit, rules: Rules, market: Market) -> Iterator[Problem]:
    """Yield what is wrong with the suppliers left out, the locks and the lines."""
    if not asked.lines:
        yield Problem("E207", asked.place, "no goods are to be ordered", asked.nothing)
        return
    for name in dict.fromkeys(rules.without):
        yield from _unknown(Place(f"--without {name}"), name, market)
    for lock in dict.fromkeys(rules.locks):
        yield from _wrong_lock(lock, rules, market)
    for line in asked.lines:
        if not market.offers[line.item]:
            yield Problem(
                "E204", asked.place, f"line {line.line}: nobody sells {line.item}, {line.name}, "
                f"on {rules.on}", "enter an offer for it, or take another day with --on")


def _unknown(place: Place, name: str, market: Market) -> Iterator[Problem]:
    if name not in market.suppliers:
        yield Problem("E202", place, f"there is no supplier '{name}'",
                      suggestion(name, market.suppliers))


def _wrong_lock(lock: tuple[str, str], rules: Rules, market: Market) -> Iterator[Problem]:
    item, supplier = lock
    place = Place(f"--lock {item}={supplier}")
    if item not in market.offers:
        yield Problem("E201", place, f"no line that is to be ordered is of item '{item}'",
                      suggestion(item, market.offers))
    others = {name for code, name in rules.locks if code == item and name != supplier}
    if others and supplier > min(others):  # told once for each pair
        yield Problem("E208", place, f"{item} is locked to {min(others)} too",
                      "one supplier brings an item; take one of the locks out")
    yield from _unknown(place, supplier, market)
    sellers = sorted({offer.supplier for offer in market.offers.get(item, ())})
    if supplier in market.suppliers and sellers and supplier not in sellers:
        yield Problem("E203", place, f"{supplier} does not sell {item} on {rules.on}",
                      "who does: " + ", ".join(sellers))
    elif supplier in rules.without:
        yield Problem("E205", place, f"{supplier} is left out by --without",
                      "take the lock or --without out")


def _basket(
    rules: Rules, lines: Sequence[LineToOrder], market: Market, wanted: Wanted
) -> tuple[list[BasketLine], list[Problem]]:
    """Return the lines with the choices that may be taken, and what leaves a line with none.

    A line that nobody sells, or whose lock is wrong, is told elsewhere and is in neither.
    """
    locks = dict(rules.locks)
    basket: list[BasketLine] = []
    problems: list[Problem] = []
    for line in lines:
        lock = locks.get(line.item)
        wrong = lock is not None and any(_wrong_lock((line.item, lock), rules, market))
        if wrong or not market.offers[line.item]:
            continue
        whole = line_of(line.key, line.item, line.quantity,
                        choices_of(line.quantity, market.offers[line.item]))
        open_to = allowed(whole, replace(wanted, by=None), lock, rules.without)
        own = replace(wanted, by=line.needed_on) if line.needed_on else wanted
        kept = allowed(open_to, own) if open_to is not None else None
        if kept is not None:
            basket.append(_measured_by(kept, own, wanted))
        elif open_to is not None:
            problems.append(_too_late(line, open_to, own))
        else:
            problems.append(_left_out(line, whole))
    return basket, problems


def _measured_by(line: BasketLine, own: Wanted, wanted: Wanted) -> BasketLine:
    """Return the line with its lead days less the days by which it may come later than the rest.

    So that the basket, which knows one day, finds it late when it is. What is bought keeps its own
    lead days.
    """
    slack = (own.by - wanted.by).days if own.by and wanted.by else 0
    return line if not slack else line_of(line.key, line.item, line.quantity, [
        replace(choice, lead_days=max(0, choice.lead_days - slack)) for choice in line.choices])


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
