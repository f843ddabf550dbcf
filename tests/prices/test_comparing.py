"""A list against the prices that hold, day by day: every expected value was worked out by hand."""

from __future__ import annotations

from datetime import date

import pytest

from catalogue.price_lists.changes import Known, Price, PriceChanges
from catalogue.price_lists.comparing import compare
from catalogue.price_lists.listed import ListedPrice, ReadPriceList

DAY = date(2026, 11, 2)


def row(number: int = 2, **changes: object) -> ListedPrice:
    """Return a row of part number A1 at 12.00, in packs of one."""
    return ListedPrice(number, "A1", "", "a thing", "", 1000, None, 0, 1200, None, "", None, None,
                       None)._replace(**changes)  # type: ignore[arg-type]


def held(**changes: object) -> Price:
    """Return a stored price of item I1 at 10.00 since the first of September."""
    return Price("I1", 1000, 0, "2026-09-01", 1000, None, None, "", 5, "A1", None, "GBP",
                 7)._replace(**changes)  # type: ignore[arg-type]


def compared(rows: list[ListedPrice], *prices: Price, **more: object) -> PriceChanges:
    known = Known({"I1": "each", "M1": "m", "S1": "set", "N1": ""}, {"A1": "I1"})
    for price in prices:
        if price.from_day <= DAY.isoformat():
            known.held[price.series] = price
        else:
            known.later.setdefault(price.series, []).append(price)
    return compare(ReadPriceList("csv", "GBP", rows, **more), known, DAY, "list.csv")  # type: ignore[arg-type]


def added(changes: PriceChanges) -> list[tuple[str, int, str | None]]:
    """Return first day, price and last day of what is added."""
    return sorted((price.from_day, price.price_minor, price.to_day)
                  for price in (*changes.new, *changes.changed))


def test_a_price_that_ended_is_new_when_it_is_listed_again() -> None:
    done = compared([row(price_minor=1000)], held(to_day="2026-09-30"))
    assert (len(done.new), done.unchanged) == (1, 0)


def test_an_open_price_for_one_with_an_end_is_a_change() -> None:
    done = compared([row(price_minor=1000)], held(to_day="2026-12-31"))
    assert added(done) == [("2026-11-02", 1000, None)]
    assert (done.dearer, done.cheaper, done.moves) == (0, 0, [])


def test_a_row_of_its_own_day_holds_from_it_and_the_price_before_stays() -> None:
    done = compared([row(from_date=date(2027, 1, 1), price_minor=1100)], held())
    assert added(done) == [("2027-01-01", 1100, None)]
    assert (done.put_right, done.missing) == ([], [])


def test_a_price_now_and_one_to_come_are_both_taken_and_the_second_follows_the_first() -> None:
    rows = [row(2), row(3, from_date=date(2027, 1, 1), price_minor=1000),
            row(4, from_date=date(2027, 4, 1), price_minor=1000)]
    done = compared(rows, held())
    # 10.00 holds now; 12.00 from the list's day; 10.00 again in January; in April nothing changes
    assert added(done) == [("2026-11-02", 1200, None), ("2027-01-01", 1000, None)]
    assert done.unchanged == 1


def test_a_row_dated_back_before_the_price_that_holds_begins_with_the_list() -> None:
    done = compared([row(from_date=date(2026, 1, 1))], held())
    assert added(done) == [("2026-11-02", 1200, None)]


def test_a_row_dated_back_after_the_price_that_holds_is_taken_at_its_word() -> None:
    done = compared([row(from_date=date(2026, 10, 1))], held())
    assert added(done) == [("2026-10-01", 1200, None)]
    assert done.put_right == []


def test_a_row_of_the_first_day_of_the_price_that_holds_puts_it_right() -> None:
    done = compared([row(from_date=date(2026, 9, 1))], held())
    assert added(done) == [("2026-09-01", 1200, None)]
    assert done.put_right == [7]


def test_rows_that_ended_or_were_followed_before_the_list_s_day_are_past() -> None:
    rows = [row(2, from_date=date(2026, 1, 1), to_date=date(2026, 6, 30)),
            row(3, from_date=date(2026, 7, 1), price_minor=1100),
            row(4, from_date=date(2026, 10, 1), price_minor=1000)]
    done = compared(rows, held())
    assert (done.past, done.unchanged, added(done)) == (2, 1, [])


def test_a_price_to_come_that_the_list_does_not_speak_of_stays_and_is_told() -> None:
    later = held(from_day="2027-02-01", price_minor=1300, offer_id=8)
    done = compared([row()], held(), later)
    assert (added(done), done.to_come) == ([("2026-11-02", 1200, None)], 1)


def test_a_price_to_come_is_put_right_by_a_row_of_its_day() -> None:
    later = held(from_day="2027-02-01", price_minor=1300, offer_id=8)
    done = compared([row(2, price_minor=1000), row(3, from_date=date(2027, 2, 1))], held(), later)
    assert added(done) == [("2027-02-01", 1200, None)]
    assert (done.put_right, done.to_come, done.unchanged) == ([8], 0, 1)


def test_the_end_of_the_list_ends_its_prices_but_none_that_begins_after_it() -> None:
    rows = [row(2), row(3, from_date=date(2027, 1, 1), price_minor=1300)]
    done = compared(rows, held(), to_date=date(2026, 12, 31))
    assert added(done) == [("2026-11-02", 1200, "2026-12-31"), ("2027-01-01", 1300, None)]


def test_another_pack_or_price_break_is_a_series_of_its_own() -> None:
    done = compared([row(2, price_minor=1000), row(3, pack_milli=10_000),
                     row(4, least_milli=50_000, price_minor=900)], held())
    assert (len(done.new), done.unchanged) == (2, 1)


def test_one_pack_may_be_said_in_two_ways() -> None:
    assert compared([row(price_minor=1000, per_milli=1000)], held()).unchanged == 1
    assert compared([row(price_minor=1000, per_milli=100_000)], held()).unchanged == 0


def test_a_change_of_price_is_that_of_one_unit() -> None:
    # 10.00 for one -> 1,090.00 for a hundred: 9 % dearer, though both figures differ a hundredfold
    done = compared([row(price_minor=109_000, per_milli=100_000)], held())
    assert [move.change_ppm for move in done.moves] == [90_000]
    free = compared([row()], held(price_minor=0))
    assert ([move.change_ppm for move in free.moves], free.dearer) == ([None], 1)


@pytest.mark.parametrize(("item", "changes", "code"), [
    ("M1", {"unit": "each"}, "A201"),  # 48.00 for a drum is no price of a metre
    ("M1", {"unit": "kg"}, "A201"),
    ("I1", {"unit": "m"}, "A201"),
    ("I1", {"pack_milli": 2500}, "A202"),
    ("N1", {}, "A203"),
    ("M1", {"unit": "m", "pack_milli": 2500}, None),
    ("S1", {"unit": "each"}, None),  # a set is one piece to whoever sells it
    ("M1", {}, None),  # the list does not say
])
def test_a_row_that_does_not_fit_its_item_is_refused(
    item: str, changes: dict[str, object], code: str | None
) -> None:
    done = compared([row(item=item, **changes)])
    assert [problem.code for problem in done.refused] == ([] if code is None else [code])
    assert len(done.new) == (code is None)


def test_lead_days_that_the_list_does_not_say_stay() -> None:
    (price,) = compared([row()], held()).changed
    assert price.lead_days == 5
    (price,) = compared([row(lead_days=2)], held()).changed
    assert price.lead_days == 2
