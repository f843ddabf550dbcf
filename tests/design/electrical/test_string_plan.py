"""Which strings the panels of several planes make on the trackers of one converter."""

from __future__ import annotations

from collections import Counter
from itertools import combinations_with_replacement, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.electrical.layouts import Load
from estimator.design.electrical.string_plan import (
    PlanePanels,
    even_strings,
    faces,
    in_words,
    plans,
)

# A window of 5 to 13 panels, one string or two on a tracker.
LOADS = {Load(n, m): 0 for n in range(5, 14) for m in (1, 2)}
ALIKE = 5


def planes(*panels: int, azimuths: tuple[int, ...] = (), strings: tuple[int | None, ...] = ()
           ) -> list[PlanePanels]:
    return [
        PlanePanels(f"plane {i + 1}", count, azimuths[i] if azimuths else 180, 35,
                    strings[i] if strings else None)
        for i, count in enumerate(panels)
    ]


@pytest.mark.parametrize(
    ("azimuths", "grouped"),
    [
        ((180, 180, 180), ((0, 1, 2),)),
        ((180, 185, 186), ((0, 1), (2,))),  # 186 is within 5 of 185 and not of 180
        ((2, 358, 180), ((0, 1), (2,))),
        ((90, 270, 90), ((0, 2), (1,))),
    ],
)
def test_planes_are_grouped_by_the_way_they_face(
    azimuths: tuple[int, ...], grouped: tuple[tuple[int, ...], ...]
) -> None:
    # Common practice, no source: planes within 5 degrees of one another count as alike.
    assert faces(planes(6, 6, 6, azimuths=azimuths), ALIKE) == grouped


def test_another_pitch_is_another_face() -> None:
    steep = PlanePanels("dormer", 6, 180, 41)
    assert faces([*planes(6), steep], ALIKE) == ((0,), (1,))


def test_an_unknown_direction_is_alike_only_if_taken_so() -> None:
    unknown = PlanePanels("shed", 6, None, 35)
    assert faces([*planes(6), unknown], ALIKE) == ((0,), (1,))
    assert faces([*planes(6), unknown], ALIKE, unknown_alike=True) == ((0, 1),)


@pytest.mark.parametrize(
    ("panels", "strings", "lengths"),
    [(13, 2, (7, 6)), (12, 3, (4, 4, 4)), (2, 3, (1, 1)), (5, 0, ())],
)
def test_panels_are_spread_evenly_over_strings(
    panels: int, strings: int, lengths: tuple[int, ...]
) -> None:
    assert even_strings(panels, strings) == lengths


def test_a_string_keeps_to_its_plane_where_it_can() -> None:
    # 6 + 7 on one face and two trackers: 7 + 6 keeps each string to its plane and comes first,
    # though 13 has fewer strings; 13 crosses, and so does 8 + 5.
    found = plans(planes(6, 7), ((0, 1),), 2, {Load(n, 1): 0 for n in range(5, 14)}, False)
    assert found[0][0].strings == ((6,), (7,))
    assert not found[0][0].crosses
    assert {each[0].layout for each in found} == {
        (Load(7, 1), Load(6, 1)), (Load(13, 1),), (Load(8, 1), Load(5, 1))}
    assert all(each[0].crosses for each in found[1:])


@pytest.mark.parametrize(
    ("strings", "begin"),
    [((1, 0), ((13,), ())), ((0, 1), ((), (13,))), ((None, 0), ((13,), ())), ((0, None), None)],
)
def test_a_shared_string_begins_where_the_survey_says(
    strings: tuple[int | None, ...], begin: tuple[tuple[int, ...], ...] | None
) -> None:
    # Laid from the first plane on, no string can begin on the second alone.
    found = plans(planes(6, 7, strings=strings), ((0, 1),), 1,
                  {Load(n, 1): 0 for n in range(5, 14)}, True)
    assert [each[0].strings for each in found] == ([] if begin is None else [begin])


def test_a_plan_is_told_by_its_trackers() -> None:
    east_west = planes(12, 5, azimuths=(90, 270))
    (best, *_) = plans(east_west, ((0,), (1,)), 2, {Load(6, 2): 0, Load(5, 1): 0}, False)
    assert in_words(best, east_west) == "plane 1: 2 x 6; plane 2: 5"


def test_fewer_cautions_come_before_fewer_strings() -> None:
    found = plans(planes(12), ((0,),), 2, {Load(12, 1): 1, Load(6, 1): 0}, False)
    assert [each[0].layout for each in found] == [(Load(6, 1), Load(6, 1)), (Load(12, 1),)]


@settings(max_examples=30, deadline=None)
@given(st.lists(st.integers(1, 26), min_size=1, max_size=3), st.integers(1, 3))
def test_the_plans_are_all_ways_to_load_the_trackers_and_no_other(
    panels: list[int], trackers: int
) -> None:
    # Counted another way: every multiset of loaded trackers, each given to a plane.
    apart = planes(*panels, azimuths=(90, 180, 270))
    grouped = faces(apart, ALIKE)
    found = plans(apart, grouped, trackers, LOADS, False)
    expected = set()
    for used in range(1, trackers + 1):
        for carried in combinations_with_replacement(
                list(product(range(len(panels)), LOADS)), used):
            total: Counter[int] = Counter()
            for plane, load in carried:
                total[plane] += load.total
            if [total[i] for i in range(len(panels))] == panels:
                expected.add(frozenset(Counter(carried).items()))
    assert len(found) == len(expected)
    assert {
        frozenset(Counter((face.face[0], load) for face in plan for load in face.layout).items())
        for plan in found
    } == expected


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(1, 14), min_size=1, max_size=3), st.integers(1, 3),
       st.sampled_from([(180, 180, 180), (90, 180, 270), (180, 180, 90)]))
def test_a_plan_uses_every_panel_once_and_no_string_leaves_its_face(
    panels: list[int], trackers: int, azimuths: tuple[int, ...]
) -> None:
    given_planes = planes(*panels, azimuths=azimuths)
    grouped = faces(given_planes, ALIKE)
    for plan in plans(given_planes, grouped, trackers, LOADS, False):
        assert sum(len(each.layout) for each in plan) <= trackers
        assert sorted(i for each in plan for i in each.face) == list(range(len(panels)))
        for each in plan:
            held = [panels[i] for i in each.face]
            strings = [n for lengths in each.strings for n in lengths]
            assert sum(strings) == sum(held)
            assert Counter(strings) == Counter(
                load.panels for load in each.layout for _ in range(load.strings))
            if not each.crosses:
                assert [sum(lengths) for lengths in each.strings] == held


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(1, 20), min_size=1, max_size=3), st.integers(1, 3))
def test_one_more_tracker_never_takes_a_plan_away(panels: list[int], trackers: int) -> None:
    apart = planes(*panels, azimuths=(90, 180, 270))
    grouped = faces(apart, ALIKE)
    few, more = (set(plans(apart, grouped, n, LOADS, False)) for n in (trackers, trackers + 1))
    assert few <= more
