"""Factories for the money stages: fixed values, only what a test is about is stated in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

import factory

from catalogue.items import Item, Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.specs import PlainSpec
from estimator.bill import Bill, bill_of
from estimator.labour.hours import Hours, Task, tasks_from
from estimator.labour.norms import Norm
from estimator.rules.results import Demand, Reason, Requirement, Risk, TaskNeed
from estimator.settings import Labour, Pricing, Settings

DAY = date(2026, 11, 2)


class ReasonFactory(factory.Factory[Reason]):
    class Meta:
        model = Reason

    rule = "some-rule"
    file = "rules.toml"
    line = 7
    because = "the job needs it"
    on = ""
    when = "true"
    formula = "1"
    numbers = "1"
    quantity = Decimal(1)
    facts = ()


class TaskNeedFactory(factory.Factory[TaskNeed]):
    class Meta:
        model = TaskNeed

    norm = "link"
    units = Decimal(1)
    reason = factory.SubFactory(ReasonFactory)


class NormFactory(factory.Factory[Norm]):
    class Meta:
        model = Norm

    id = "work"
    name = "work"
    per = "each"
    low = Decimal(60)
    likely = Decimal(60)
    high = Decimal(60)
    crew = 1
    group = "electrical"
    on_site = True
    source = "this test"
    from_date = DAY


class RiskFactory(factory.Factory[Risk]):
    class Meta:
        model = Risk

    id = "open-question"
    chance = Decimal("0.25")
    cost = Money(140_00)
    because = "nobody knows yet"


class ItemFactory(factory.Factory[Item]):
    class Meta:
        model = Item

    code = "0001"
    name = factory.LazyAttribute(lambda item: f"item {item.code}")
    family = "service"
    roles = ("work",)
    unit = "each"
    spec = PlainSpec()
    head = "cable"


def tasks_of(points: Sequence[tuple[str, str, str]], units: int = 1) -> tuple[Task, ...]:
    """Return one task for each (low, likely, high) in person-minutes."""
    norms = {
        f"t{i}": NormFactory(
            id=f"t{i}", low=Decimal(low), likely=Decimal(likely), high=Decimal(high)
        )
        for i, (low, likely, high) in enumerate(points)
    }
    return tasks_from([TaskNeedFactory(norm=name, units=Decimal(units)) for name in norms], norms)


def hours_worked(hours: Fraction | int, by_group: Mapping[str, Fraction] | None = None) -> Hours:
    """Return hours without spread."""
    mean = Fraction(hours)
    return Hours(
        mean=mean, likely=mean, sd=0.0, p80=float(mean),
        by_group=by_group if by_group is not None else {"electrical": mean},
        elapsed=mean, days=Decimal(1), crew=1,
    )


def bill_with(lines: Sequence[tuple[Item, str, str]], on: date = DAY) -> Bill:
    """Return the bill of (item, quantity, price of one in major units), all from one supplier."""
    return bill_at(book_with(lines, on), [(item, quantity) for item, quantity, _ in lines])


def bill_at(prices: PriceBook, wanted: Sequence[tuple[Item, str]]) -> Bill:
    """Return the bill of (item, quantity) at the prices of a book."""
    requirement = Requirement("service", "work")
    demands = [
        Demand(requirement, item, Decimal(quantity), ReasonFactory()) for item, quantity in wanted
    ]
    return bill_of(demands, (), prices)


def book_with(lines: Sequence[tuple[Item, str, str]], on: date = DAY) -> PriceBook:
    """Return the book of (item, quantity, price of one in major units), all from one supplier."""
    offers = [
        Offer(item.code, "a supplier", Decimal(1), Money.of(price), date(2026, 1, 1))
        for item, _, price in lines
    ]
    return PriceBook.of(on, [item for item, _, _ in lines], offers)


def firm(
    cost_per_hour: str = "43.98", overhead_per_hour: str = "23.85",
    return_visit_rate: str = "0.08", margin: str = "0.15", step: str = "5.00",
) -> Settings:
    """Return settings of a firm with these figures."""
    return Settings(
        labour=Labour(
            cost_per_hour=Decimal(cost_per_hour), overhead_per_hour=Decimal(overhead_per_hour)
        ),
        pricing=Pricing(
            return_visit_rate=Decimal(return_visit_rate), margin_target=Decimal(margin),
            price_step=Decimal(step),
        ),
    )
