"""What must be ordered by when: worked by hand, and shared out again."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from catalogue.stock.free import Claim, Supply, shared
from catalogue.stock.shortages import ShelfRule, Shortage, less, shortages

TODAY = date(2026, 11, 2)
FAR = TODAY + timedelta(365)


def day(number: int) -> date:
    return TODAY + timedelta(number)


def lies(quantity: int, until: int | None = None, item: str = "clip") -> Supply:
    return Supply(item, D(quantity), "store", "" if until is None else f"B{until}",
                  until=None if until is None else day(until))


def comes(quantity: int, on: int, item: str = "clip") -> Supply:
    return Supply(item, D(quantity), "on its way", f"order {on}", day(on))


def claim(job: str, quantity: int, on: int, accepted: int = 0, item: str = "clip") -> Claim:
    return Claim(item, D(quantity), day(on), job,
                 datetime(2026, 11, 1, 8, tzinfo=UTC) + timedelta(hours=accepted))


def found(
    supplies: list[Supply], claims: list[Claim], leads: dict[str, int] | None = None,
    rules: dict[str, ShelfRule] | None = None, until: date = FAR,
) -> tuple[Shortage, ...]:
    return shortages(shared(supplies, claims, TODAY), leads or {}, rules or {}, TODAY, until)


def test_what_jobs_lack_is_ordered_its_lead_time_before_it_is_needed() -> None:
    # By hand: 10 lie there and 5 come on day 6; A takes 8 of the 10, B the 5 that come and the 2
    # that are left of its 12 and lacks 5, C lacks all of its 4. Lead 7 days: order B's 3 days from
    # now, C's at once.
    made = found([lies(10), comes(5, 6)],
                 [claim("A", 8, 2), claim("B", 12, 10, 1), claim("C", 4, 7, 2)], {"clip": 7})
    assert made == (
        Shortage("clip", D(4), day(7), day(0), ("C",)),
        Shortage("clip", D(5), day(10), day(3), ("B",)))


def test_what_can_no_longer_come_in_time_has_a_last_day_that_is_over() -> None:
    (made,) = found([], [claim("A", 1, 3)], {"clip": 5})
    assert made.order_by == day(-2)


def test_jobs_that_need_it_on_the_same_day_share_an_order_and_later_needs_are_left_out() -> None:
    made = found([], [claim("B", 2, 3, 1), claim("A", 3, 3), claim("C", 9, 8)], until=day(7))
    assert made == (Shortage("clip", D(5), day(3), day(3), ("A", "B")),)


def test_what_comes_late_is_not_ordered_again() -> None:
    assert found([comes(5, 9)], [claim("A", 5, 3)]) == ()


def test_the_shelf_is_filled_when_what_is_free_falls_to_its_reorder_point() -> None:
    rule = {"clip": ShelfRule(D(20), D(50))}
    assert found([lies(21)], [], rules=rule) == ()
    # At the point itself: 20 + 50 = 70 is above it.
    assert found([lies(20)], [], {"clip": 4}, rule) == (Shortage("clip", D(50), day(4), day(0)),)
    # What is reserved is not free, what comes counts: 30 - 15 + 4 = 19.
    assert found([lies(30), comes(4, 9)], [claim("A", 15, 5)], {"clip": 4}, rule) == (
        Shortage("clip", D(50), day(4), day(0)),)
    # From an empty shelf 20 is passed by one lot of 50, by three of 10.
    assert found([], [], rules={"clip": ShelfRule(D(20), D(10))}) == (
        Shortage("clip", D(30), day(0), day(0)),)


def test_a_shelf_order_for_a_job_leaves_its_rest_on_the_shelf() -> None:
    # By hand: 5 are short on day 8: a lot of 50, of which 45 are left, above 20.
    rule = {"clip": ShelfRule(D(20), D(50))}
    assert found([], [claim("A", 5, 8)], {"clip": 4}, rule) == (
        Shortage("clip", D(50), day(8), day(4), ("A",)),)
    # A lot of 10 leaves 5, and the shelf wants 2 lots more to be above 20.
    assert found([], [claim("A", 5, 8)], {"clip": 4}, {"clip": ShelfRule(D(20), D(10))}) == (
        Shortage("clip", D(20), day(4), day(0)), Shortage("clip", D(10), day(8), day(4), ("A",)))


def test_a_batch_that_will_expire_is_replaced_when_it_does() -> None:
    rule = {"clip": ShelfRule(D(5), D(10))}
    # 12 keep until day 9: on day 10 none is left.
    assert found([lies(12, until=9)], [], {"clip": 3}, rule) == (
        Shortage("clip", D(10), day(13), day(10)),)
    assert found([lies(12, until=9)], [], {"clip": 3}, rule, until=day(9)) == ()


WANTS = st.lists(st.tuples(st.integers(1, 9), st.integers(0, 9)), max_size=6)


@given(WANTS, WANTS, st.integers(0, 5), st.one_of(st.none(), st.integers(1, 7)))
def test_with_what_is_ordered_every_job_gets_its_goods_and_with_a_piece_less_one_does_not(
    coming: list[tuple[int, int]], wants: list[tuple[int, int]], lead: int, lot: int | None
) -> None:
    """What is ordered is handed to the sharing of goods again: then nobody may be short."""
    supplies = [comes(n, on) for n, on in coming]
    claims = [claim(f"J{k}", n, on, k) for k, (n, on) in enumerate(wants)]
    # A reorder point below nought never asks for anything by itself.
    rules = {} if lot is None else {"clip": ShelfRule(D(-1), D(lot))}
    made = found(supplies, claims, {"clip": lead}, rules)
    assert all(each.order_by == each.needed_on - timedelta(lead) for each in made)
    assert all(lot is None or each.quantity % lot == 0 for each in made)
    ordered = sum((each.quantity for each in made), D(0))
    wanted, there = sum(n for n, _ in wants), sum(n for n, _ in coming)
    assert ordered + there >= wanted
    who = shared([*supplies, *(comes(int(each.quantity), (each.needed_on - TODAY).days)
                               for each in made)], claims, TODAY)
    assert who.short == ()
    if lot is None:
        assert ordered == max(0, wanted - there)
        assert {job for each in made for job in each.jobs} <= {each.job for each in claims}


def test_what_jobs_need_not_have_is_left_out_of_what_is_ordered() -> None:
    # By hand: A lacks 4 on day 7, B and C lack 3 and 2 on day 10. B saves 1 of its 3. A saves 5 and
    # lacks 4: the fifth is on the shelf and serves C, the last in the row.
    made = found([], [claim("A", 4, 7), claim("B", 3, 10, 1), claim("C", 2, 10, 2)])
    saved = {("clip", "A"): D(5), ("clip", "B"): D(1), ("screw", "A"): D(9)}
    (left,) = less(made, saved)
    assert (left.quantity, left.jobs, left.shares) == (D(3), ("B", "C"), (D(2), D(1)))
    assert less(made, {}) == made
    assert less(made, {("clip", "A"): D(99)}) == ()


@given(st.lists(st.tuples(st.sampled_from("ABCD"), st.integers(1, 9), st.integers(0, 9)),
                min_size=1, unique_by=lambda each: each[0]),
       st.dictionaries(st.sampled_from("ABCD"), st.integers(0, 12)))
def test_as_much_is_left_out_as_is_saved_and_never_more_than_is_short(
    lacking: list[tuple[str, int, int]], saved: dict[str, int]
) -> None:
    made = found([], [claim(job, n, on, at) for at, (job, n, on) in enumerate(lacking)])
    left = less(made, {("clip", job): D(n) for job, n in saved.items()})
    before, after = (sum(each.quantity for each in what) for what in (made, left))
    assert after == max(0, before - sum(saved.values()))
    assert all(each.quantity == sum(each.shares) > 0 for each in left)
