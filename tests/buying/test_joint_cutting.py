"""Several jobs cut together, against cuts by hand and a search of every way to fill the bars."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.buying.cutting.model import Bar, Cut, OnHand
from estimator.buying.joint_cutting import JobCut, joint_cuts
from estimator.buying.joint_shares import not_bought, shares_of

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


def test_who_begins_a_bar_cuts_first_and_keeps_the_rest_for_the_next() -> None:
    # By hand, saw 3 mm: A begins two bars of 4 m for 2.6 m and leaves 1397 mm of each; C takes
    # 1.0 m of either, and the bar that it would need by itself is not bought.
    (made,) = joint_cuts([job("A", 2600, 2600, bars=2, kerf=3), job("C", 1000, 1000, bars=1)], BARS)
    first, last = shares_of(made)
    assert (first.job, first.bought, last.job, last.bought) == ("A", {RAIL.code: 2}, "C", {})
    assert [(bar.cuts, bar.offcut_mm, bar.kept) for bar in first.bars] == [
        ((Cut(f"row {n}", 2600, 2600),), 1397, True) for n in (1, 2)]
    assert sorted(each.label for left in first.left for each in left) == ["row 1", "row 2"]
    assert not_bought(made) == {(RAIL.code, "C"): 1}


def test_a_plan_in_which_a_job_needs_more_of_a_length_than_is_kept_for_it_is_not_taken() -> None:
    # By hand: A and B each cut 2.0 m from a bar of 2.4 m; together one bar of 4 m at 40.00 serves
    # both for less than 48.00, but none of 4 m is kept for either.
    two = [JobCut(name, 0, ((2000, "row 1"),), {SHORT.code: 1}) for name in ("A", "B")]
    pipe = JobCut("C", 0, ((4000, "row 1"), (2400, "row 2")), {RAIL.code: 1, SHORT.code: 1})
    (made,) = joint_cuts([*two, pipe], BARS)
    assert made.saved_minor == 800
    assert (shares_of(made), not_bought(made)) == ((), {})


@settings(max_examples=60, deadline=None)
@given(st.lists(st.lists(st.integers(300, 4000), min_size=1, max_size=4), min_size=2, max_size=3))
def test_the_jobs_begin_every_bar_once_and_cut_every_piece_once(lengths: list[list[int]]) -> None:
    jobs = [job(f"J{n}", *each, bars=len(each), kerf=3) for n, each in enumerate(lengths)]
    (made,) = joint_cuts(jobs, {RAIL.code: RAIL})
    shares = shares_of(made)
    if not shares:
        return
    assert sum(len(share.bars) for share in shares) == sum(made.plan.bought().values())
    assert sum(not_bought(made).values()) == made.bars_saved
    pieces = [(share.job, cut.label) for share in shares for bar in share.bars for cut in bar.cuts]
    pieces += [(each.job, each.label) for share in shares for left in share.left for each in left]
    assert sorted(pieces) == sorted(
        (each.job, label) for each in jobs for _, label in each.pieces)
    for share in shares:
        for bar, left in zip(share.bars, share.left, strict=True):
            taken = sum(each.length_mm + 3 for each in left)
            assert taken <= bar.offcut_mm + 3  # the last of them may end where the bar ends
