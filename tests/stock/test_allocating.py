"""Who gets what: hand cases of the stated rules, and properties over random shelves."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from catalogue.stock.allocating import Allocation, Lying, Need, Shortage, allocate

ON = date(2026, 11, 16)
PLACES = ("van 1", "store", "counter")
RESIN, CABLE, CLIP = "15030", "03040-TE", "08410-CC"


def came(day: int) -> datetime:
    return datetime(2026, 10, day, 8, tzinfo=UTC)


def batch(lot: str, quantity: int, expires: date | None, day: int = 1, place: str = "store",
          ) -> Lying:
    return Lying(RESIN, place, D(quantity), lot, "batch", came(day), expires)


def drum(lot: str, metres: str, place: str = "store") -> Lying:
    return Lying(CABLE, place, D(metres), lot, "length", came(1))


def run(name: str, metres: str, trim: str = "0") -> Need:
    return Need(name, CABLE, D(metres), one_piece=True, trim=D(trim))


def taken(found: Allocation) -> list[tuple[str, str, str, D]]:
    return [(t.need, t.place, t.lot, t.quantity) for t in found.takes]


def test_the_batch_that_expires_first_is_taken_first_and_one_past_its_day_never() -> None:
    found = allocate(
        [Need("1", RESIN, D(5))],
        [batch("R3", 9, date(2027, 3, 1)), batch("R1", 2, date(2026, 11, 15)),
         batch("R2", 2, date(2026, 11, 16)), batch("R0", 1, None)], PLACES, ON)
    assert taken(found) == [("1", "store", "R2", D(2)), ("1", "store", "R3", D(3))]
    assert found.short == ()


def test_of_batches_of_one_day_the_one_that_came_first_goes_first_then_the_lower_id() -> None:
    day = date(2027, 1, 1)
    found = allocate(
        [Need("1", RESIN, D(3))],
        [batch("A", 1, day, 9), batch("C", 1, day, 5), batch("B", 1, day, 9)], PLACES, ON)
    assert [t.lot for t in found.takes] == ["C", "A", "B"]


def test_what_is_not_told_apart_comes_last_and_in_the_order_of_the_places() -> None:
    lying = [Lying(CLIP, "store", D(50)), Lying(CLIP, "van 1", D(10)),
             Lying(CLIP, "counter", D(99)), Lying(CLIP, "quarantine", D(500)),
             Lying(CLIP, "counter", D(5), "L", "batch", came(1))]
    found = allocate([Need("1", CLIP, D(70))], lying, PLACES, ON)
    assert taken(found) == [("1", "counter", "L", D(5)), ("1", "van 1", "", D(10)),
                            ("1", "store", "", D(50)), ("1", "counter", "", D(5))]


def test_a_run_takes_the_shortest_piece_that_holds_it_with_its_trim() -> None:
    # By hand: 18.5 and 0.5 of trim are 19.0; the piece of 18.9 is too short, that of 19.0 fits.
    drums = [drum("D1", "100"), drum("D2", "18.9"), drum("D3", "19"), drum("D4", "25")]
    (take,) = allocate([run("1", "18.5", "0.5")], drums, PLACES, ON).takes
    assert (take.lot, take.quantity, take.left) == ("D3", D("19.0"), 0)


def test_long_runs_choose_first_and_what_is_left_of_a_piece_serves_the_next() -> None:
    # By hand: 12 goes on the 13; of 8 and 3 the 8 goes on the 9; the 3 finds 1, 1 and 30 left.
    drums = [drum("D1", "30"), drum("D2", "13"), drum("D3", "9")]
    found = allocate([run("a", "3"), run("b", "8"), run("c", "12")], drums, PLACES, ON)
    assert [(t.need, t.lot, t.left) for t in found.takes] == [
        ("a", "D1", D(27)), ("b", "D3", D(1)), ("c", "D2", D(1))]


def test_pieces_alike_go_by_their_id_wherever_they_lie() -> None:
    drums = [drum("D2", "9", "van 1"), drum("D1", "9", "counter")]
    (take,) = allocate([run("1", "4")], drums, PLACES, ON).takes
    assert take.lot == "D1"


def test_pieces_are_never_joined_and_the_longest_is_told() -> None:
    found = allocate([run("1", "15")], [drum("D1", "9"), drum("D2", "8")], PLACES, ON)
    assert found.takes == ()
    assert found.short == (Shortage("1", CABLE, D(15), D(15), "piece", D(9)),)


def test_what_is_kept_for_other_jobs_stays() -> None:
    found = allocate([Need("1", CLIP, D(8))], [Lying(CLIP, "store", D(10))], PLACES, ON,
                     {CLIP: D(3)})
    assert taken(found) == [("1", "store", "", D(3))]
    assert found.short == (Shortage("1", CLIP, D(8), D(5), "kept"),)


def test_a_shelf_of_nothing_but_old_batches_says_so() -> None:
    found = allocate([Need("1", RESIN, D(1)), Need("2", CLIP, D(1))],
                     [batch("R1", 2, date(2026, 1, 1))], PLACES, ON)
    assert [(s.item, s.lacking, s.why) for s in found.short] == [
        (RESIN, 1, "expired"), (CLIP, 1, "none")]


# -- properties ------------------------------------------------------------------------------------

QUANTITIES = st.integers(1, 12).map(D)
DAYS = st.one_of(st.none(), st.dates(date(2026, 11, 10), date(2026, 11, 25)))
NEEDS = st.lists(st.tuples(QUANTITIES, st.booleans(), st.integers(0, 2).map(D)), max_size=5).map(
    lambda drawn: [Need(f"n{at}", CABLE, q, one, trim if one else D(0))
                   for at, (q, one, trim) in enumerate(drawn)])
LYING = st.lists(
    st.tuples(st.sampled_from((*PLACES, "quarantine")), QUANTITIES, DAYS, st.integers(1, 5)),
    max_size=6,
).map(lambda drawn: [Lying(CABLE, place, q, f"L{at}", "length", came(day), expires)
                     for at, (place, q, expires, day) in enumerate(drawn)])


@given(NEEDS, LYING, st.one_of(st.none(), QUANTITIES), st.randoms(use_true_random=False))
def test_whatever_lies_there_the_rules_hold(needs, lying, most, chance) -> None:
    free = {} if most is None else {CABLE: most}
    found = allocate(needs, lying, PLACES, ON, free)
    spots = {each.lot: each for each in lying}
    used = {lot: sum(t.quantity for t in found.takes if t.lot == lot) for lot in spots}
    left = {lot: spots[lot].quantity - used[lot] for lot in spots}
    usable = [each for each in lying if each.place in PLACES
              and (each.expires_on is None or each.expires_on >= ON)]
    total_left = (most if most is not None else D(99)) - sum(used.values())

    assert all(each >= 0 for each in left.values())
    assert total_left >= 0
    assert all(spots[t.lot] in usable for t in found.takes)
    for need in needs:
        mine = [t for t in found.takes if t.need == need.id]
        lacking = sum(s.lacking for s in found.short if s.need == need.id)
        assert sum(t.quantity for t in mine) + lacking == need.quantity + need.trim
        if need.one_piece:
            assert len(mine) <= 1
            # Short only if even now no piece holds it, or other jobs keep it.
            if lacking:
                assert all(left[each.lot] < lacking for each in usable) or total_left < lacking
        elif lacking:
            assert all(left[each.lot] == 0 for each in usable) or total_left == 0
    # Nothing that expires later is taken for the other needs while something older is left over.
    loose = {need.id for need in needs if not need.one_piece}
    ends = [spots[t.lot].expires_on or date.max for t in found.takes if t.need in loose]
    for each in usable:
        if left[each.lot] > 0:
            assert all(end <= (each.expires_on or date.max) for end in ends)
    # The order in which they are handed in plays no part.
    chance.shuffle(needs)
    chance.shuffle(lying)
    assert allocate(needs, lying, PLACES, ON, free) == found


@given(QUANTITIES, LYING)
def test_one_run_by_itself_takes_the_shortest_piece_of_all_that_hold_it(length, lying) -> None:
    found = allocate([Need("1", CABLE, length, one_piece=True)], lying, PLACES, ON)
    fits = sorted((each.quantity, each.lot) for each in lying if each.place in PLACES
                  and each.quantity >= length
                  and (each.expires_on is None or each.expires_on >= ON))
    assert [(t.quantity + t.left, t.lot) for t in found.takes] == fits[:1]
