"""The change of a margin between two periods, parted into mix and own."""

from __future__ import annotations

from fractions import Fraction as F

from hypothesis import given
from hypothesis import strategies as st

from estimator.review.cells import JobsAlike, Together
from estimator.review.mix import Change, mix, parted


def side(**levels: tuple[int, int]) -> dict[str, Together]:
    """Jobs by level: (sold for, cost)."""
    return {name: Together(1, net, 0, cost, 0) for name, (net, cost) in levels.items()}


def test_a_margin_that_fell_with_the_mix_alone_is_all_mix() -> None:
    """By hand: tile 20 %, slate 10 %, in both periods. Half and half is 15 %; a quarter tile is
    0.25 x 20 + 0.75 x 10 = 12.5 %. The margins of the same jobs did not change."""
    change = parted(side(tile=(100, 80), slate=(100, 90)), side(tile=(100, 80), slate=(300, 270)))
    assert change == Change(mix=F(-25, 1000), own=F(0))


def test_mix_and_own_are_weighed_by_the_mean_of_both_periods() -> None:
    """Kitagawa's two parts by hand. Shares 1/2 and 1/2, then 1/4 and 3/4; margins 20 and 10 %,
    then 24 and 8 %. Mix: -1/4 x 22 + 1/4 x 9 = -3.25; own: 4 x 3/8 - 2 x 5/8 = 0.25 points."""
    change = parted(side(tile=(100, 80), slate=(100, 90)), side(tile=(100, 76), slate=(300, 276)))
    assert change == Change(mix=F(-325, 10_000), own=F(25, 10_000))


def test_what_is_sold_in_one_period_only_is_mix() -> None:
    """By hand: 20 % on tile becomes half tile 20 %, half metal 30 %: 25 %."""
    assert parted(side(tile=(100, 80)), side(tile=(100, 80), metal=(100, 70))) == Change(
        mix=F(5, 100), own=F(0))


AMOUNTS = st.dictionaries(
    st.sampled_from("abcd"), st.tuples(st.integers(0, 10**7), st.integers(-100, 10**7)))


@given(then=AMOUNTS, now=AMOUNTS)
def test_the_parts_add_up_to_the_change_exactly(
    then: dict[str, tuple[int, int]], now: dict[str, tuple[int, int]]
) -> None:
    change = parted(side(**then), side(**now))
    sold = [sum(net for net, _ in each.values()) for each in (then, now)]
    if not all(sold):
        assert change is None
        return
    made = [F(sum(net - cost for net, cost in each.values()), whole)
            for each, whole in zip((then, now), sold, strict=True)]
    assert change is not None
    assert change.whole == made[1] - made[0]


def jobs(covering: str, sold: int, cost: int) -> JobsAlike:
    return JobsAlike("panels", covering, "", "A", "Sam", 10, sold, sold, cost, 0, 0, 0, 0, 0, 0, 0,
                     0)


def test_a_shift_of_the_mix_is_named() -> None:
    report = mix([jobs("tile", 100, 80), jobs("slate", 100, 90)],
                 [jobs("tile", 100, 80), jobs("slate", 300, 270)], "GBP")
    assert report.answer == (
        "The margin fell from 15.0 % (20 jobs) to 12.5 % (20 jobs).",
        "Held apart by covering, -2.5 of -2.5 points is mix: slate went from 50.0 % to 75.0 % of "
        "what was sold and tile went from 50.0 % to 25.0 % of what was sold.")
    by = {row[0]: row[1:] for row in report.rows}
    assert by["covering"] == (0.15, 0.125, F(-1, 40), F(-1, 40), F(0))
    assert by["wall"] == (0.15, 0.125, F(-1, 40), F(0), F(-1, 40))


def test_without_sales_there_is_no_change_to_part() -> None:
    assert mix([], [jobs("tile", 100, 80)], "GBP").rows == ()
