"""What is promised to whom and what is free, against cases worked by hand and by brute force."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D
from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from catalogue.stock.free import Claim, Shared, Supply, shared, supplies_of
from catalogue.stock.ledger import Stock

TODAY = date(2026, 11, 2)


def day(number: int) -> date:
    return TODAY + timedelta(days=number)


def lies(quantity: int, place: str = "store", lot: str = "", until: int | None = None) -> Supply:
    return Supply("clip", D(quantity), place, lot, until=None if until is None else day(until))


def comes(quantity: int, on: int) -> Supply:
    return Supply("clip", D(quantity), "on its way", f"order {on}", day(on))


def claim(job: str, quantity: int, on: int, accepted: int = 0) -> Claim:
    return Claim("clip", D(quantity), day(on), job,
                 datetime(2026, 11, 1, 8, tzinfo=UTC) + timedelta(hours=accepted))


def given_to(result: Shared, job: str) -> list[tuple[str, D]]:
    return [(each.supply.lot or each.supply.place, each.quantity)
            for each in result.promises if each.claim.job == job]


def test_who_accepted_first_is_served_first_and_ties_go_by_job_id() -> None:
    result = shared([lies(5)], [claim("B", 3, 0), claim("A", 3, 0), claim("C", 1, 0, -1)], TODAY)
    # By hand: C accepted an hour earlier takes 1 of 5, A 3 of the 4, B the last one of its 3.
    assert [given_to(result, job) for job in "CAB"] == [
        [("store", 1)], [("store", 3)], [("store", 1)]]
    assert [(each.job, each.quantity) for each in result.short] == [("B", 2)]
    assert result.free("clip", TODAY) == 0


def test_what_lies_there_stays_for_whoever_needs_it_sooner() -> None:
    result = shared([lies(4), comes(4, 10)], [claim("A", 4, 20), claim("B", 4, 1, 1)], TODAY)
    assert given_to(result, "A") == [("order 10", 4)]
    assert given_to(result, "B") == [("store", 4)]
    assert not result.short


def test_what_comes_too_late_is_promised_all_the_same_and_is_not_free() -> None:
    result = shared([lies(1), comes(10, 5)], [claim("A", 3, 2)], TODAY)
    assert given_to(result, "A") == [("store", 1), ("order 5", 2)]
    assert [each.late for each in result.promises] == [False, True]
    assert result.free("clip", day(4)) == 0
    assert result.free("clip", day(5)) == 8


def test_what_expires_first_goes_first_and_nothing_that_has_expired() -> None:
    batches = [lies(2, lot="late", until=90), lies(2, lot="soon", until=9), lies(7, lot="off",
               until=-1)]
    result = shared(batches, [claim("A", 3, 9)], TODAY)
    assert given_to(result, "A") == [("soon", 2), ("late", 1)]
    assert result.free("clip", TODAY) == 1
    # A batch serves on its last day, and not on the next.
    after = shared(batches, [claim("A", 3, 10)], TODAY)
    assert given_to(after, "A") == [("late", 2)]
    assert after.free("clip", day(9)) == 2
    assert after.free("clip", day(10)) == 0


def test_stores_are_emptied_before_counters_and_vans_and_quarantine_serves_nobody() -> None:
    stock = Stock({"van 1": "van", "A store": "store", "aside": "quarantine", "counter": "counter",
                   "site D-101": "site"},
                  {("clip", place, ""): D(1) for place in
                   ("van 1", "aside", "counter", "site D-101", "A store")})
    result = shared(supplies_of(stock, {}), [claim("A", 2, 0)], TODAY)
    assert given_to(result, "A") == [("A store", 1), ("counter", 1)]
    assert result.free("clip", TODAY) == result.free("clip", TODAY, "van 1") == 1
    assert result.free("clip", TODAY, "aside") == 0


@given(st.lists(st.tuples(st.integers(1, 4), st.integers(0, 5)), max_size=4),
       st.lists(st.tuples(st.integers(1, 4), st.integers(0, 5)), max_size=4))
def test_no_job_is_late_that_any_order_of_serving_would_serve(
    supplies: list[tuple[int, int]], wants: list[tuple[int, int]]
) -> None:
    """All claims are met in time whenever they can be: brute force over every order of serving."""
    come = [comes(n, on) for n, on in supplies]
    claims = [claim(f"J{k}", n, on, k) for k, (n, on) in enumerate(wants)]

    def earliest_first(order: tuple[Claim, ...]) -> bool:
        left = {number: n for number, (n, _) in enumerate(supplies)}
        for each in order:
            wanted = int(each.quantity)
            for number in sorted(left, key=lambda k: supplies[k][1]):
                if supplies[number][1] <= (each.needed_on - TODAY).days:
                    taken = min(wanted, left[number])
                    left[number] -= taken
                    wanted -= taken
            if wanted:
                return False
        return True

    result = shared(come, claims, TODAY)
    in_time = not result.short and not any(each.late for each in result.promises)
    assert in_time == any(earliest_first(order) for order in permutations(claims))
    promised = sum((each.quantity for each in result.promises), D(0))
    left = sum((each.quantity for each in result.left), D(0))
    assert promised + left == sum(n for n, _ in supplies)
    assert promised + sum((each.quantity for each in result.short), D(0)) == sum(
        n for n, _ in wants)
