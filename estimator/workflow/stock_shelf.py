"""When the shelf of an item is filled up: keep the rule, list them, propose one.

Codes of the problems, beside those of `stock_told`: Y119 a rule that cannot be, or a proposal
without what it stands on; Y120 an item that nobody sells.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from sqlalchemy import Connection

from catalogue.items import Offer, holding_on
from catalogue.loading import currency_of, load_offers
from catalogue.money import round_half_up
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.stock.planning import (
    OrderCosts,
    economic_packs,
    economic_quantity,
    reorder_point,
)
from catalogue.stock.posting import Posted
from catalogue.stock.shortages import ShelfRule
from catalogue.stock_shelf import keep_shelf_rule, shelf_rules, used_since
from estimator.papers.stock_short import ShelfLine, ShelfProposal
from estimator.workflow.database import at_work
from estimator.workflow.stock_shown import holding
from estimator.workflow.stock_told import ItemKept, items_kept, unknown_item, wrong_quantity

DAYS_A_YEAR = 365


@dataclass(frozen=True, slots=True)
class ShelfCosts:
    """What a proposal stands on.

    Attributes:
        order_minor: what placing and taking in one order costs.
        holding_share: what holding costs in a year, as a share of the goods' worth.
        demand_a_year: None = what jobs have taken in the last 365 days.
        safety: what is kept beyond the demand in the lead time.
    """

    order_minor: int
    holding_share: Decimal
    demand_a_year: Decimal | None = None
    safety: Decimal = Decimal(0)


def shelves(
    database: str | None, today: date, keep: tuple[str, ShelfRule] | None = None,
    posted: Posted | None = None, why: str = "",
) -> tuple[ShelfLine, ...]:
    """Return the rules that hold and how each shelf stands, after keeping one if asked.

    Raises:
        ProblemsFound: Y103, Y104, Y119 for what cannot be kept.
    """
    with at_work(database, write=keep is not None) as work:
        if keep is not None and posted is not None:
            _keep(work, keep, posted, why)
            work.commit()
        rules = shelf_rules(work)
        held, items = holding(work, today, rules), items_kept(work, rules)
        free = {item: Decimal(0) for item in rules}
        for each in held.shared.left:
            if not each.job:
                free[each.item] += each.quantity
        return tuple(ShelfLine(code, items[code].name, items[code].unit, rule, free[code])
                     for code, rule in rules.items())


def _keep(work: Connection, keep: tuple[str, ShelfRule], posted: Posted, why: str) -> None:
    code, rule = keep
    item = items_kept(work, [code]).get(code)
    problems = ([unknown_item(work, code, Place("ITEM"))] if item is None
                else list(_wrong_rule(item, rule)))
    if problems:
        raise ProblemsFound(problems)
    keep_shelf_rule(work, code, rule, posted, why)


def _wrong_rule(item: ItemKept, rule: ShelfRule) -> Iterator[Problem]:
    yield from wrong_quantity(rule.least, item, Place("--least"), least=0)
    yield from wrong_quantity(rule.order, item, Place("--order"), least=0)
    if rule.least and not rule.order:
        yield Problem("Y119", Place("--order"), "a shelf that is filled up orders something",
                      "give --order above 0; --least 0 --order 0 ends the rule")


def propose(
    database: str | None, code: str, costs: ShelfCosts, today: date
) -> ShelfProposal:
    """Return the reorder point and the order quantity that cost least.

    Raises:
        ProblemsFound: Y103; Y119 without demand, order cost or holding cost; Y120 if nobody sells
            it today.
    """
    with at_work(database) as work:
        item = items_kept(work, [code]).get(code)
        if item is None:
            raise ProblemsFound([unknown_item(work, code, Place("ITEM"))])
        currency = currency_of(work)
        offers = [each for each in holding_on(load_offers(work, today, code), today)
                  if each.price.currency == currency]
        since = datetime.combine(today - timedelta(DAYS_A_YEAR), time()).astimezone()
        demand = used_since(work, code, since) if costs.demand_a_year is None else (
            costs.demand_a_year)
    problems = list(_wrong_costs(costs, demand, offers, item))
    if problems:
        raise ProblemsFound(problems)
    return _proposed(item, costs, demand, min(offers, key=lambda each: (
        each.unit_price_minor, each.lead_days, each.supplier)))


def _wrong_costs(
    costs: ShelfCosts, demand: Decimal, offers: list[Offer], item: ItemKept
) -> Iterator[Problem]:
    if demand <= 0:
        yield Problem("Y119", Place("--demand"), f"jobs took no {item.code} in the last "
                      f"{DAYS_A_YEAR} days" if costs.demand_a_year is None
                      else "nothing is wanted in a year",
                      "say what a year takes: --demand N")
    if not offers:
        yield Problem("Y120", Place("ITEM"), f"nobody sells {item.code} today",
                      "enter an offer for it")
    for name, cost in (("--order-cost", costs.order_minor), ("--holding", costs.holding_share)):
        if cost <= 0 or not all(offer.price.minor for offer in offers):
            yield Problem("Y119", Place(name), "what costs nothing has no least cost",
                          "give a cost above 0")


def _proposed(
    item: ItemKept, costs: ShelfCosts, demand: Decimal, offer: Offer
) -> ShelfProposal:
    yearly = OrderCosts(Fraction(demand), Fraction(costs.order_minor),
                        Fraction(costs.holding_share) * offer.unit_price_minor)
    order = economic_packs(yearly, offer.pack) * offer.pack
    point = reorder_point(Fraction(demand) / DAYS_A_YEAR, Fraction(offer.lead_days),
                          Fraction(costs.safety))
    step = Decimal(1) if item.counted else Decimal("0.001")
    least = (Decimal(point.numerator) / Decimal(point.denominator)).quantize(step, ROUND_CEILING)
    return ShelfProposal(
        item.code, item.name, item.unit, demand, offer.supplier, offer.lead_days, offer.pack,
        economic_quantity(yearly), ShelfRule(least, order),
        round_half_up(yearly.total(Fraction(order))), offer.price.currency)
