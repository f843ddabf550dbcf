"""Several jobs cut together, against cuts by hand and a search of every way to fill the bars."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.buying.cutting.model import Bar, OnHand
from estimator.buying.joint_cutting import JobCut, joint_cuts

RAIL, SHORT = Bar(4000, 4000, "rail 4 m"), Bar(2400, 2400, "rail 2.4 m")
BARS = {RAIL.code: RAIL, SHORT.code: SHORT}


def job(name: str, *lengths: int, bars: int, kerf: int = 0) -> JobCut:
    return JobCut(name, kerf, tuple((length, f"row {k + 1}") for k, length in enumerate(lengths)),
                  {RAIL.code: bars})


def test_the_offcut_of_one_job_serves_the_next() -> None:
    # By hand: 2.6 m leaves 1.4 m of 4 m; each of two jobs takes two bars for 2.6 + 2.6, and the
    # third two bars for 1.4 + 1.4 + 1.4: six in all. Together the 1.4 m come out of the offcuts:
    # four bars hold everything.
    (made,) = joint_cuts([job("A", 2600, 2600, bars=2), job("B", 2600, 2600, bars=2),
                          job("C", 1400, 1400, 1400, bars=2)], BARS)
    assert made.jobs == ("A", "B", "C")
    assert (made.alone, made.together) == ({RAIL.code: 6}, {RAIL.code: 4})
    assert (made.bars_saved, made.saved_minor, made.saved_on_hand_minor) == (2, 8_000, 0)
    assert made.plan.best
    labels = sorted(cut.label for bar in made.plan.bars for cut in bar.cuts)
    assert labels == ["A: row 1", "A: row 2", "B: row 1", "B: row 2", "C: row 1", "C: row 2",
                      "C: row 3"]


def test_the_saw_cut_counts_and_the_widest_saw_with_it() -> None:
    # 2.6 m + 3 mm + 1.4 m are 3 mm more than the bar: nothing is to be saved.
    (made,) = joint_cuts([job("A", 2600, bars=1, kerf=3), job("B", 1400, bars=1)], BARS)
    assert (made.bars_saved, made.saved_minor) == (0, 0)


def test_what_lies_there_is_cut_up_first() -> None:
    # By hand: 3.0 m and 1.5 m take two bars; a piece of 1.6 m that lies there saves one.
    there = {RAIL.code: [OnHand(1600, "offcut 7")]}
    (made,) = joint_cuts([job("A", 3000, bars=1), job("B", 1500, bars=1)], BARS, there)
    assert (made.together, made.plan.bought()) == ({RAIL.code: 2}, {RAIL.code: 1})
    assert (made.bars_saved, made.saved_minor, made.saved_on_hand_minor) == (1, 0, 4_000)
    assert [bar.code for bar in made.plan.bars if not bar.bought] == ["offcut 7"]


def test_each_profile_is_cut_by_itself_and_two_lengths_of_one_together() -> None:
    other = Bar(3000, 900, "conduit")
    both = JobCut("B", 0, ((2400, "row 1"), (4000, "row 2")), {RAIL.code: 1, SHORT.code: 1})
    pipe = JobCut("A", 0, ((1500, "leg 1"), (1500, "leg 2")), {other.code: 1})
    made = joint_cuts([pipe, both, job("C", 2000, 2000, bars=1)], {**BARS, other.code: other})
    assert [each.jobs for each in made] == [("A",), ("B", "C")]
    assert [each.bars_saved for each in made] == [0, 0]
    assert joint_cuts([], BARS) == ()


def fewest_bars(lengths: Sequence[int], bar: int) -> int:
    """Return the fewest bars by trying every way to put piece after piece on a bar."""
    @cache
    def rest(at: int, room: tuple[int, ...]) -> int:
        if at == len(lengths):
            return 0
        best = 1 + rest(at + 1, tuple(sorted((*room, bar - lengths[at]))))
        for k, left in enumerate(room):
            if left >= lengths[at] and left not in room[:k]:
                now = tuple(sorted((*room[:k], *room[k + 1:], left - lengths[at])))
                best = min(best, rest(at + 1, now))
        return best

    return rest(0, ())


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(st.sampled_from([900, 1300, 1400, 1900, 2600, 3100, 4000]), min_size=1,
                         max_size=3), min_size=1, max_size=3))
def test_together_they_take_the_fewest_bars_that_any_way_takes(jobs: list[list[int]]) -> None:
    cuts = [job(f"J{k}", *lengths, bars=fewest_bars(lengths, 4000))
            for k, lengths in enumerate(jobs)]
    (made,) = joint_cuts(cuts, BARS)
    assert sum(made.plan.bought().values()) == fewest_bars(
        [length for lengths in jobs for length in lengths], 4000)
    assert made.saved_minor == 4000 * made.bars_saved >= 0
