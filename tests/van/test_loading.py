"""What goes into the van in which order, and whether it carries it; sums by hand."""

from __future__ import annotations

from decimal import Decimal as D
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.van.loading import (
    FRAGILE,
    HEAVY_KG,
    LONG_MM,
    Goods,
    VanHolds,
    carried,
    loading_order,
    van_holds_all,
)

VAN = VanHolds("van 1", D(850), 4500, 450)


def goods(item: str, each_kg: str | None = "1", count: int = 1, *, job: str = "A", stop: int = 1,
          family: str = "device", longest: int | None = None) -> Goods:
    return Goods(job, stop, item, item, family, D(count), "each",
                 None if each_kg is None else D(each_kg), longest)


def test_long_then_heavy_then_light_goods_go_in_and_what_breaks_goes_in_last() -> None:
    # Common practice, no source: long pieces first, heavy low and forward, glass upright and last.
    loads = [goods("clips", None), goods("panels", "21.8", 12, family="panel", longest=1762),
             goods("module", "60"), goods("rail", "3.5", longest=4400), goods("board", "2.1")]
    assert [each.item for each, _ in loading_order(loads)] == [
        "rail", "module", "board", "clips", "panels"]
    assert [where for _, where in loading_order(loads)][:2] == [
        "along the floor or on the roof bars", "low, against the bulkhead"]


def test_the_goods_of_the_second_job_go_in_before_those_of_the_first() -> None:
    loads = [goods("a", "30"), goods("b", "1", job="B", stop=2),
             goods("c", "20", job="B", stop=2, family="panel")]
    assert [each.item for each, _ in loading_order(loads)] == ["b", "c", "a"]


def test_mass_hours_and_longest_piece_are_summed_for_each_job() -> None:
    # By hand: 12 x 21.8 = 261.6 kg and 0.0005 kg raised to a gram; B: 2 x 60 = 120 kg.
    loads = [goods("panels", "21.8", 12, longest=1762), goods("screw", "0.0005"),
             goods("modules", "60", 2, job="B", stop=2), goods("clips", None, job="B", stop=2)]
    a, b = carried(loads, {"A": 200, "B": 220})
    assert (a.job, a.grams, a.minutes, a.longest_mm) == ("A", 261_601, 200, 1762)
    assert (b.job, b.grams, b.minutes, b.longest_mm) == ("B", 120_000, 220, 0)


@pytest.mark.parametrize(("second", "fits"), [
    (goods("b", "500", job="B", stop=2), True),  # 350 + 500 = 850 kg, just what it carries
    (goods("b", "500.001", job="B", stop=2), False),
    (goods("b", "1", job="B", stop=2, longest=4500), True),
    (goods("b", "1", job="B", stop=2, longest=4501), False),
])
def test_two_half_days_share_a_van_up_to_its_payload_and_length(second: Goods, fits: bool) -> None:
    loads = carried([goods("a", "350"), second], {"A": 225, "B": 225})
    assert van_holds_all(loads, VAN) is fits


def test_two_jobs_that_take_more_than_a_day_do_not_share_a_van() -> None:
    both = [goods("a"), goods("b", job="B", stop=2)]
    assert van_holds_all(carried(both, {"A": 225, "B": 225}), VAN)
    assert not van_holds_all(carried(both, {"A": 225, "B": 226}), VAN)


LOADS = st.lists(st.builds(
    lambda n, kg, stop, family, longest: goods(f"i{n}", str(kg), job=f"J{stop}", stop=stop,
                                               family=family, longest=longest),
    st.integers(0, 99), st.integers(0, 80), st.integers(1, 2),
    st.sampled_from(["device", "panel", "sheet"]), st.one_of(st.none(), st.integers(10, 5000)),
), max_size=8)


@given(LOADS)
def test_nothing_goes_in_after_what_is_wanted_sooner_or_breaks_or_is_lighter(loads) -> None:
    order = [each for each, _ in loading_order(loads)]
    assert sorted(map(repr, order)) == sorted(map(repr, loads))
    for before, after in pairwise(order):
        assert before.stop >= after.stop
        if before.stop == after.stop:
            assert before.family not in FRAGILE or after.family in FRAGILE
            plain = {before.family, after.family}.isdisjoint(FRAGILE)
            short = all((each.longest_mm or 0) <= LONG_MM for each in (before, after))
            if plain and short:
                assert before.each_kg >= after.each_kg or before.each_kg >= HEAVY_KG
