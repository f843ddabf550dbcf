"""The worked storage job, every figure of it invented.

Three modules of 60 kg on brackets in a garage of dense brick, converter outside, 15 m to the
meter, board full, no backup; one trip of two people.
"""

from __future__ import annotations

from decimal import Decimal

from catalogue.items import Item
from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.bill import Bill
from estimator.labour.hours import Task, tasks_from
from estimator.labour.norms import standard_norms
from estimator.rules.results import Risk
from tests.money.factories import (
    ItemFactory,
    RiskFactory,
    TaskNeedFactory,
    bill_at,
    bill_with,
    book_with,
)

UNITS = {
    "load-van": 1, "travel": 2 * 40 * 2, "arrive": 1, "first-tests": 1, "bracket-solid": 3,
    "hang-module": 3, "link": 4, "mount-converter": 1, "core-brick": 2, "storage-terminate": 1,
    "sub-board": 1, "cable-clipped": 12, "isolator": 2, "data-meter": 1, "data-cable": 15,
    "online": 1, "tests-sheets": 1, "commission": 1, "show-customer": 1, "clear-site": 1,
    "office-pack": 1,
}

# (head, quantity, price of one, waste)
BOUGHT = (
    ("storage", "3", "1450", "0"), ("converter", "1", "980", "0"), ("metering", "1", "68", "0"),
    ("switchgear", "1", "96", "0"), ("comms", "1", "16", "0"), ("cable", "1", "64", "0.03"),
    ("fixings", "1", "58", "0.03"), ("sealing and fire", "1", "22", "0.03"),
    ("labels", "1", "18", "0"), ("consumables", "1", "35", "0.03"),
    ("cable", "1", "85", "0"), ("switchgear", "1", "44", "0"),
    ("plant hire", "1", "25", "0"), ("preliminaries", "1", "66", "0"),
    ("paperwork", "1", "45", "0"),
)


def worked_tasks() -> tuple[Task, ...]:
    """Return the tasks, from the norms that come with the program."""
    needs = [TaskNeedFactory(norm=norm, units=Decimal(units)) for norm, units in UNITS.items()]
    return tasks_from(needs, standard_norms())


def worked_lines(dearer_storage: str = "1") -> list[tuple[Item, str, str]]:
    """Return (item, quantity, price of one); leads count as cable and isolators as switchgear."""
    factor = {"storage": Decimal(dearer_storage)}
    return [
        (
            ItemFactory(code=f"{i:04d}", head=head, waste=Decimal(waste)), quantity,
            str(Decimal(price) * factor.get(head, Decimal(1))),
        )
        for i, (head, quantity, price, waste) in enumerate(BOUGHT)
    ]


def worked_bill(dearer_storage: str = "1") -> Bill:
    """Return the bill."""
    return bill_with(worked_lines(dearer_storage))


def worked_prices() -> PriceBook:
    """Return the price book of the example."""
    return book_with(worked_lines())


def worked_bill_at(prices: PriceBook) -> Bill:
    """Return the bill at other prices."""
    return bill_at(prices, [(item, quantity) for item, quantity, _ in worked_lines()])


def worked_risks() -> tuple[Risk, ...]:
    """Return the open risks: no isolator, bond, hollow wall, revisit to bring it on line."""
    return tuple(
        RiskFactory(id=name, chance=Decimal(chance), cost=Money.of(cost))
        for name, chance, cost in (
            ("no isolator", "0.25", 140), ("bond", "0.15", 180), ("hollow wall", "0.20", 70),
            ("off-line revisit", "0.10", 110),
        )
    )
