"""Baskets drawn at random from a seed: small orders of a trade counter, where carriage matters."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from random import Random

from estimator.buying.basket_values import (
    BasketLine,
    Charge,
    Choice,
    Terms,
    Wanted,
    line_of,
)

ON = date(2026, 11, 2)


@dataclass(frozen=True)
class Drawn:
    """A basket with what its suppliers ask and the day it is wanted."""

    lines: tuple[BasketLine, ...]
    terms: dict[str, Terms]
    wanted: Wanted


def small_basket(seed: int) -> Drawn:
    """Return up to six lines from up to three suppliers, amounts small so that ties happen.

    Any mix of thresholds, least orders, carriage classes, two ways to buy from one supplier, days
    needed (hard dates leave at least one choice), a share of the surplus; one line in eight locked.
    """
    random = Random(seed)
    names = ["Ash", "Beech", "Cedar"][: random.randint(1, 3)]
    wanted = Wanted(
        ON, random.choice([None, date(2026, 11, 4), date(2026, 11, 6)]),
        random.choice([0, 5, 30]), random.choice([Decimal(1), Decimal("0.25"), Decimal(0)]))
    lines = []
    for number in range(random.randint(1, 6)):
        sellers = random.sample(names, random.randint(1, len(names)))
        if random.random() < 1 / 8:
            sellers = sellers[:1]
        choices = [
            Choice(seller, random.randint(0, 40), random.randint(0, 7),
                   frozenset(random.sample(["long", "pallet"], random.choice([0, 0, 0, 1, 2]))))
            for seller in sellers for _ in range(random.choice([1, 1, 1, 2]))
        ]
        lines.append(line_of(f"{number:02}", f"item {number}", Decimal(1), choices))
    terms = {name: _small_terms(random) for name in names if random.random() < 0.9}
    return Drawn(tuple(lines), terms, wanted)


def _small_terms(random: Random) -> Terms:
    def charge() -> Charge:
        return Charge(random.choice([0, 4, 9, 15]), random.choice([None, 20, 45, 80]))

    classes = {name: charge() for name in ("long", "pallet") if random.random() < 0.7}
    return Terms(charge(), classes, random.choice([0, 0, 15, 50]))


def order_basket(seed: int, count: int = 50, suppliers: int = 4) -> Drawn:
    """Return a day's order of a small firm: 50 lines, 4 suppliers who each sell most of them.

    In seven of ten the first supplier sells all. Prices in pence: half the lines cost 2 to 25
    pounds, the others up to 150 or 600, and suppliers lie up to 12 % apart. Carriage of 6 to 30
    pounds, free from some hundred to a few thousand pounds on; long lengths and pallets on top;
    least orders; three baskets in four have a day.
    """
    random = Random(seed)
    names = [f"Supplier {letter}" for letter in "ABCDEFGHIJ"[:suppliers]]
    wanted = Wanted(
        ON, random.choice([None, date(2026, 11, 5), date(2026, 11, 9), date(2026, 11, 12)]),
        random.choice([0, 5_000, 25_000]), random.choice([Decimal(1), Decimal(1), Decimal("0.2")]))
    has_all = random.random() < 0.7
    lines = []
    for number in range(count):
        usual = random.choice([random.randint(200, 2_500), random.randint(200, 2_500),
                               random.randint(2_500, 15_000), random.randint(10_000, 60_000)])
        form = random.choice([frozenset()] * 6 + [frozenset({"long"}), frozenset({"pallet"})])
        sellers = [name for name in names
                   if random.random() < 0.8 or (name == names[0] and has_all)] or [names[0]]
        lines.append(line_of(f"{number:03}", f"item {number}", Decimal(1), [
            Choice(name, usual * random.randint(100, 112) // 100, random.choice([1, 2, 3, 5, 8]),
                   form)
            for name in sellers
        ]))
    return Drawn(tuple(lines), {name: _terms(random) for name in names}, wanted)


def _terms(random: Random) -> Terms:
    return Terms(
        Charge(random.choice([600, 995, 1_500, 3_000]),
               random.choice([None, 15_000, 50_000, 150_000, 400_000])),
        {"long": Charge(random.choice([1_200, 2_500]), random.choice([None, 250_000])),
         "pallet": Charge(random.choice([3_500, 5_500]), random.choice([None, 300_000]))},
        random.choice([0, 0, 2_500, 20_000, 75_000]))
