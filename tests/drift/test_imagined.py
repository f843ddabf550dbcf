"""Imagined changes of prices, by family, cost head, item and supplier."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.items import Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from estimator.imagined import PriceChange, changes_from, imagined
from tests.factories import ItemFactory, OfferFactory, PriceBookFactory

CABLE, LEAD, MODULE = "C-1", "L-1", "M-1"


def book(*offers: Offer) -> PriceBook:
    items = [ItemFactory(code=CABLE, family="cable"), ItemFactory(code=LEAD, family="lead"),
             ItemFactory(code=MODULE, family="storage")]
    made: PriceBook = PriceBookFactory(items=items, offers=offers or [
        OfferFactory(item=CABLE, price=Money(345), per=Decimal(100), pack=Decimal(50)),
        OfferFactory(item=LEAD, price=Money(1000)),
        OfferFactory(item=LEAD, price=Money(990), supplier="Depot"),
        OfferFactory(item=MODULE, price=Money(145_000)),
    ])
    return made


def price_of(prices: PriceBook, code: str, supplier: str = "Counter North") -> Money:
    return next(o.price for o in prices.offers[code] if o.supplier == supplier)


def after(*texts: str) -> PriceBook:
    return imagined(book(), changes_from(texts, book()))


def test_a_family_s_prices_rise_and_no_others() -> None:
    prices = after("storage +9 %")
    assert price_of(prices, MODULE) == Money(158_050)  # 1,450 x 1.09
    assert price_of(prices, LEAD) == Money(1000)
    assert price_of(prices, CABLE) == Money(345)


def test_a_cost_head_takes_in_every_family_under_it() -> None:
    prices = after("head:cable +10%")  # leads stand under cable too
    assert price_of(prices, LEAD) == Money(1100)
    assert price_of(prices, CABLE) == Money(380)  # 3.45 x 1.10 = 3.795 for 100 m, half away from 0


def test_a_supplier_s_prices_fall_and_may_become_the_cheapest() -> None:
    assert book().offers[LEAD][0].supplier == "Depot"
    prices = after("supplier:Counter North -2.5 %")
    assert price_of(prices, LEAD) == Money(975)
    assert price_of(prices, LEAD, "Depot") == Money(990)
    assert prices.offers[LEAD][0].supplier == "Counter North"
    first = prices.offer(LEAD)
    assert first is not None
    assert first.supplier == "Counter North"


def test_an_item_goes_by_its_code_even_where_that_holds_a_dash_and_figures() -> None:
    assert changes_from(["M-1 -5 %"], book()) == (PriceChange("item", MODULE, Fraction(-1, 20)),)
    assert price_of(after("M-1 -5%"), MODULE) == Money(137_750)


def test_changes_of_one_offer_multiply_and_are_rounded_once() -> None:
    # 10.00 x 1.1 x 1.015 = 11.165 -> 11.17; rounded on the way 11.00 x 1.015 = 11.165 too, but
    # 3.45 x 1.1 x 1.1 = 4.1745 -> 4.17, while 3.80 x 1.1 = 4.18
    prices = after("lead +10 %", "supplier:Counter North +1.5 %")
    assert price_of(prices, LEAD) == Money(1117)
    assert price_of(after("cable +10 %", "head:cable +10 %"), CABLE) == Money(417)


def test_a_bare_name_is_a_family_before_it_is_a_head() -> None:
    told = [str(each) for each in changes_from(["cable +1 %", "supplier: Depot −0.5%"], book())]
    assert told == ["family cable +1 %", "supplier Depot -0.5 %"]


def test_nothing_else_of_an_offer_moves() -> None:
    before, now = book().offers[CABLE][0], after("cable +10 %").offers[CABLE][0]
    assert (before.per, before.pack, before.least) == (now.per, now.pack, now.least)
    assert (before.from_date, before.cut_charge) == (now.from_date, now.cut_charge)


def test_every_mistake_is_told_at_once() -> None:
    with pytest.raises(ProblemsFound) as caught:
        changes_from(["storage", "stroage +9 %", "cable -100 %", "head:lead +1 %"], book())
    assert [each.code for each in caught.value.problems] == ["H106", "H107", "H108", "H107"]
    assert "did you mean 'storage'?" in str(caught.value)


@given(minor=st.integers(0, 10**9), hundredths=st.integers(-9_999, 100_000))
def test_a_price_moves_by_its_share_to_within_half_a_minor_unit(
    minor: int, hundredths: int
) -> None:
    share = Fraction(hundredths, 10_000)
    there = book(OfferFactory(item=MODULE, price=Money(minor)))
    moved = imagined(there, [PriceChange("family", "storage", share)])
    assert abs(price_of(moved, MODULE).minor - minor * (1 + share)) <= Fraction(1, 2)
