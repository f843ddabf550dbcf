"""Whole packs against published instances and against a mixed-integer solver."""

from __future__ import annotations

import random
from decimal import Decimal as D
from math import ceil

import pytest

from catalogue.items import Offer
from catalogue.money import Money
from estimator.buying.packs import cheapest_packs
from tests.factories import OfferFactory


def offer(pack: int, minor: int, supplier: str = "A", **fields: object) -> Offer:
    return OfferFactory(supplier=supplier, pack=D(pack), price=Money(minor), **fields)


def test_29_is_made_of_four_pieces_of_1_4_5_8_and_11_where_greed_takes_five() -> None:
    """Change making, the example of program MTC2 in Burkardt's knapsack test set.

    Martello and Toth, Knapsack Problems (1990), chapter 5: fewest coins. Each piece costs the same
    here and 29 is to be made exactly, so a surplus is priced away: value in tens of thousands.
    """
    packs = (1, 4, 5, 8, 11)
    found = cheapest_packs(D(29), [offer(size, size * 10_000 + 1) for size in packs])
    assert (found.surplus, found.packs) == (0, 4)
    greedy, left = 0, 29
    for size in reversed(packs):
        greedy, left = greedy + left // size, left % size
    assert greedy == 5


def test_43_is_the_greatest_number_that_packs_of_6_9_and_20_cannot_make() -> None:
    """The Frobenius number of 6, 9 and 20; classic, from memory."""
    offers = [offer(size, size * 100) for size in (6, 9, 20)]
    missed = [need for need in range(1, 200) if cheapest_packs(D(need), offers).surplus > 0]
    assert max(missed) == 43
    assert cheapest_packs(D(43), offers).surplus == 1


@pytest.mark.parametrize(
    ("need", "rolls", "bought"),
    [("175", (200, 400), "200"), ("450", (100,), "500")],
)
def test_wire_in_rolls_and_conduit_in_hundreds_are_bought_up(
    need: str, rolls: tuple[int, ...], bought: str
) -> None:
    """Wire is sold in rolls of 200 or 400 ft, conduit in hundreds of feet.

    Minimum purchase, a lesson on construction take-off; prices by the foot, common practice.
    """
    found = cheapest_packs(D(need), [offer(roll, roll * 20) for roll in rolls])
    assert found.bought == D(bought)


def test_450_ft_of_wire_take_a_roll_of_each_size() -> None:
    """600 ft: 200 + 400 in two rolls, not three of 200; the same lesson, tie by fewest rolls."""
    found = cheapest_packs(D(450), [offer(200, 4000), offer(400, 8000)])
    assert [(buy.offer.pack, buy.packs) for buy in found.buys] == [(200, 1), (400, 1)]


@pytest.mark.parametrize(
    ("need", "bought", "minor"),
    [
        (900, 900, 450_000),    # 900 x 5.00 = 4,500 < 1,000 x 4.80 = 4,800
        (959, 959, 479_500),    # 4,795 < 4,800
        (961, 1000, 480_000),   # 4,805 > 4,800: buying up to the break is cheaper
        (1500, 1500, 720_000),  # 1,500 x 4.80
        (1979, 1979, 949_920),  # 1,979 x 4.80 = 9,499.20 < 9,500
        (1980, 2000, 950_000),  # 1,980 x 4.80 = 9,504 > 2,000 x 4.75
    ],
)
def test_buying_up_to_an_all_units_break_pays_from_break_times_the_ratio_of_prices_on(
    need: int, bought: int, minor: int
) -> None:
    """Toy cars at 5.00, from 1,000 on 4.80, from 2,000 on 4.75: a quantity discount schedule.

    Schedule of Heizer and Render, Operations Management, example of quantity discounts; from
    memory. The costs beside each case are by hand; the switch is at 1,000 x 4.80 / 5.00 = 960.
    """
    offers = [offer(1, 500), offer(1, 480, least=D(1000)), offer(1, 475, least=D(2000))]
    found = cheapest_packs(D(need), offers)
    assert (found.bought, found.exact_cost_minor) == (bought, minor)


def test_mixes_with_breaks_cost_what_a_mixed_integer_solver_finds() -> None:
    """HiGHS, through highspy: whole packs, a binary for each offer with a least quantity."""
    highspy = pytest.importorskip("highspy")
    dice = random.Random(11)
    for _ in range(40):
        sizes = dice.sample(range(3, 60), 4)
        offers = [
            offer(size, size * dice.randint(60, 140), dice.choice("ABC"),
                  least=D(dice.choice([0, 0, size * 4, size * 9]))) for size in sizes]
        need = dice.randint(40, 900)
        solver = highspy.Highs()
        solver.silent()
        packs, minor = [], []
        for each in offers:
            most = ceil(need / each.pack) + ceil(each.least / each.pack)
            count = solver.addIntegral(0, most)
            used = solver.addBinary()
            solver.addConstr(count - most * used <= 0)
            solver.addConstr(count - ceil(each.least / each.pack) * used >= 0)
            packs.append(count)
            minor.append(each.price.minor)
        solver.addConstr(
            sum(int(o.pack) * n for o, n in zip(offers, packs, strict=True)) >= need)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.minimize(sum(cost * n for cost, n in zip(minor, packs, strict=True)))
        least = sum(cost * round(solver.val(n)) for cost, n in zip(minor, packs, strict=True))
        assert cheapest_packs(D(need), offers).exact_cost_minor == least, (need, offers)
