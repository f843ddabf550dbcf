"""Which of several prices holds on a day, what it comes to, and what was known of it when."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from sqlalchemy.orm import Session

from catalogue.items import Carriage, Offer, holding_on
from catalogue.loading import load_price_book
from catalogue.money import Money
from catalogue.price_book import PriceBook
from tests.factories import (
    CarriageFactory,
    CarriageRowFactory,
    ItemFactory,
    ItemRowFactory,
    OfferFactory,
    OfferRowFactory,
    SupplierRowFactory,
)

DAY = date(2026, 11, 2)


def offer(**changes: object) -> Offer:
    made: Offer = OfferFactory(**changes)
    return made


def test_of_two_prices_of_one_supplier_and_pack_the_one_that_began_last_holds() -> None:
    old, new = offer(), offer(price=Money(1100), from_date=date(2026, 11, 1))
    assert holding_on([new, old], DAY) == [new]
    assert holding_on([new, old], date(2026, 10, 31)) == [old]


def test_an_older_price_does_not_come_back_when_the_newer_one_ends() -> None:
    short = offer(price=Money(900), from_date=date(2026, 10, 1), to_date=date(2026, 10, 31))
    assert holding_on([offer(), short], DAY) == []
    assert holding_on([offer(), short], date(2026, 10, 31)) == [short]


@pytest.mark.parametrize("apart", [
    {"pack": D(10)}, {"least": D(10)}, {"supplier": "Roof Merchant"}, {"item": "00001"},
    {"price": Money(1000, "EUR")},
])
def test_other_packs_breaks_suppliers_items_and_currencies_stand_beside(
    apart: dict[str, object],
) -> None:
    other = offer(from_date=date(2026, 10, 1), **apart)
    assert holding_on([offer(), other], DAY) == [offer(), other]


def test_a_price_for_a_hundred_makes_whole_pennies_of_packs_only_once() -> None:
    # By hand: 3.45 for 100 is 0.0345 each; a pack of 12 is 0.414, seven packs 2.898.
    by_hundred = offer(price=Money(345), per=D(100), pack=D(12))
    assert by_hundred.unit_price_minor == F(345, 100)
    assert by_hundred.exact_cost_minor(7) == F(28980, 100)
    assert by_hundred.cost(7) == Money(290)
    assert offer(pack=D(12)).cost(7) == Money(7000)


def test_a_price_that_asks_for_more_than_a_pack_is_not_the_price_of_one() -> None:
    single, many = offer(), offer(least=D(100), price=Money(800))
    item = ItemFactory(code="00000")
    book = PriceBook.of(DAY, [item], [single, many])
    assert book.offers["00000"] == (many, single)
    assert book.offer("00000") == single
    assert PriceBook.of(DAY, [item], [many]).offer("00000") == many
    assert book.offer("00001") is None


def test_carriage_is_that_of_the_day_by_supplier_and_class() -> None:
    order: Carriage = CarriageFactory()
    dearer = CarriageFactory(charge=Money(1250), from_date=date(2026, 11, 1))
    long = CarriageFactory(carriage_class="long", charge=Money(4000))
    to_come = CarriageFactory(supplier="Roof Merchant", from_date=date(2027, 1, 1))
    foreign = CarriageFactory(supplier="Storage Depot", charge=Money(1, "EUR"))
    book = PriceBook.of(DAY, [], [], carriage=[long, order, dearer, to_come, foreign])
    assert book.carriage == {order.supplier: (dearer, long)}


def test_an_old_quote_is_priced_again_with_what_was_known_then(rows: Session) -> None:
    SupplierRowFactory()
    ItemRowFactory(code="00000")
    wrong_until = datetime(2026, 11, 5, 9, tzinfo=UTC)
    OfferRowFactory(price_minor=1000, withdrawn_at=wrong_until)
    OfferRowFactory(price_minor=1010, entered_at=wrong_until)
    CarriageRowFactory(entered_at=wrong_until)
    work = rows.connection()

    now = load_price_book(work, DAY)
    before = load_price_book(work, DAY, known_at=datetime(2026, 11, 4, tzinfo=UTC))

    assert [o.price.minor for o in now.offers["00000"]] == [1010]
    assert [o.price.minor for o in before.offers["00000"]] == [1000]
    assert [len(book.carriage) for book in (now, before)] == [1, 0]
