"""The search for a set-out against one that tries every place of a small grid, and its laws."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from estimator.design.siting.bodies import Body, Modules
from estimator.design.siting.columns import Placing, search
from estimator.design.siting.shapes import Rect, Wall
from estimator.design.siting.stacks import Stacks
from tests.design.siting.walls import (
    allowed,
    apart,
    clear,
    heights,
    least_height_on_grid,
    wall,
)


def place(on: Wall, modules: Modules, converter: Body | None) -> Placing | None:
    found = search(on, modules, converter)
    assert found.every_place
    return found.placing


def most_modules(on: Wall, modules: Modules, converter: Body | None) -> int:
    return search(on, modules, converter).most


small = st.integers(1, 3)
spaces = st.builds(clear, st.integers(0, 2), st.integers(0, 2), st.integers(0, 3))
bodies = st.builds(Body, small, small, spaces)
things = st.lists(st.tuples(st.integers(0, 9), st.integers(0, 7), small, small), max_size=3)


@st.composite
def small_walls(draw: st.DrawFn) -> Wall:
    width, height = draw(st.integers(2, 11)), draw(st.integers(2, 9))
    inside = [(x, y, w, h) for x, y, w, h in draw(things) if x + w <= width and y + h <= height]
    return wall(width, height, *inside)


@st.composite
def sets_of_modules(draw: st.DrawFn) -> Modules:
    body, standing = draw(bodies), draw(st.booleans())
    apart_mm = body.clear.side_mm + draw(st.integers(0, 1))
    body = body._replace(clear=body.clear._replace(between_mm=apart_mm))
    return Modules(body, draw(st.integers(1, 3)), draw(small), draw(st.integers(0, 1)), standing,
                   draw(st.integers(0, 1)))


@settings(max_examples=400, deadline=None)
@given(small_walls(), sets_of_modules(), st.none() | bodies)
def test_the_search_finds_what_a_grid_of_every_place_finds(
    on: Wall, modules: Modules, converter: Body | None
) -> None:
    # Every edge is a whole number, so every layout that fits can be moved to whole places: the
    # grid misses nothing. Standing modules first seek the fewest stacks, so only whether they fit
    # is compared.
    expected = least_height_on_grid(on, modules, converter)
    found = place(on, modules, converter)
    assert (found is not None) == (expected is not None)
    if found is not None and not modules.standing:
        assert heights(found.stacks, modules) == expected


@st.composite
def real_walls(draw: st.DrawFn) -> Wall:
    width, height = draw(st.integers(800, 7000)), draw(st.integers(1500, 3000))
    inside = []
    for _ in range(draw(st.integers(0, 4))):
        w, h = draw(st.integers(50, 900)), draw(st.integers(50, 1200))
        if w < width and h < height:
            inside.append((draw(st.integers(0, width - w)), draw(st.integers(0, height - h)), w, h))
    return wall(width, height, *inside)


real_spaces = st.builds(
    clear, st.sampled_from([0, 100, 200, 300, 600]), st.sampled_from([0, 200, 300, 500]),
    st.sampled_from([0, 300, 500, 1000]))
real_modules = st.builds(
    Modules,
    st.builds(Body, st.integers(300, 800), st.integers(160, 700), real_spaces),
    st.integers(1, 6), st.integers(1, 4), st.sampled_from([0, 100, 300]), st.booleans(),
    st.sampled_from([0, 90]))
real_converters = st.none() | st.builds(
    Body, st.integers(300, 500), st.integers(300, 600), real_spaces)


@settings(deadline=None)
@given(real_walls(), real_modules, real_converters)
def test_nothing_overlaps_anything_nor_its_clear_space(
    on: Wall, modules: Modules, converter: Body | None
) -> None:
    found = place(on, modules, converter)
    assume(found is not None)
    assert found is not None
    space = modules.body.clear
    stacks = [Rect(s.x_mm, s.y_mm, modules.body.width_mm, modules.stack_height_mm(s.modules))
              for s in found.stacks]
    assert sum(s.modules for s in found.stacks) == modules.count
    assert all(1 <= s.modules <= modules.per_stack for s in found.stacks)
    assert all(allowed(rect, space, on, standing=modules.standing) for rect in stacks)
    assert all(rect.y_mm == modules.foot_mm if modules.standing else rect.y_mm >= space.floor_mm
               for rect in stacks)
    assert all(right.x_mm - left.right_mm >= space.between_mm
               for left, right in pairwise(stacks))
    assert (found.converter is None) == (converter is None)
    if converter is not None and found.converter is not None:
        assert allowed(found.converter, converter.clear, on)
        assert found.converter.y_mm >= converter.clear.floor_mm
        assert all(apart(rect, space, found.converter, converter.clear) for rect in stacks)


@settings(deadline=None)
@given(real_walls(), real_modules, real_converters)
def test_more_modules_never_fit_where_fewer_do_not(
    on: Wall, modules: Modules, converter: Body | None
) -> None:
    fits = [place(on, replace(modules, count=n), converter) is not None
            for n in range(1, modules.count + 1)]
    assert fits == sorted(fits, reverse=True)
    most = most_modules(on, modules, converter)
    assert max(most, 0) == sum(fits)


@settings(deadline=None)
@given(real_walls(), real_modules, real_converters)
def test_the_same_question_has_the_same_answer(
    on: Wall, modules: Modules, converter: Body | None
) -> None:
    turned = replace(on, obstacles=on.obstacles[::-1])
    assert place(on, modules, converter) == place(turned, modules, converter)


@settings(deadline=None)
@given(real_walls(), real_modules, real_converters)
def test_the_wall_seen_in_a_mirror_holds_as_many(
    on: Wall, modules: Modules, converter: Body | None
) -> None:
    turned = replace(on, obstacles=tuple(
        each._replace(rect=each.rect._replace(x_mm=on.width_mm - each.rect.right_mm))
        for each in on.obstacles))
    assert most_modules(on, modules, converter) == most_modules(turned, modules, converter)


@settings(deadline=None)
@given(real_walls(), real_modules, real_converters, st.integers(0, 500))
def test_a_wider_wall_never_holds_fewer(
    on: Wall, modules: Modules, converter: Body | None, more: int
) -> None:
    wider = replace(on, width_mm=on.width_mm + more)
    assert most_modules(wider, modules, converter) >= most_modules(on, modules, converter)


@pytest.mark.parametrize("standing", [False, True])
@pytest.mark.parametrize("per_stack", [4, 60])
@pytest.mark.parametrize("width", [12_000, 1_000_000])
def test_the_work_is_bounded_for_the_largest_survey(
    monkeypatch: pytest.MonkeyPatch, width: int, per_stack: int, standing: bool
) -> None:
    # 60 modules and a wall of 1 km are the most that a survey takes. Without its limits the search
    # would try millions of places of the converter, each with thousands of places of a stack.
    looks = 0
    look = Stacks._options

    def counted(self: Stacks, x: int) -> object:
        nonlocal looks
        looks += 1
        return look(self, x)

    monkeypatch.setattr(Stacks, "_options", counted)
    things = [(width // 100 * n + n % 7, 600 + 7 * n, 31, 40 + n) for n in range(100)]
    space = clear(300, 300, 500)
    modules = Modules(Body(650, 480, space), 60, per_stack, 300, standing, 90)
    found = search(wall(width, 3000, *things), modules, Body(390, 500, space))
    assert 1_000 < looks < 600_000
    if found.placing is not None:
        assert sum(stack.modules for stack in found.placing.stacks) == 60


def test_what_a_standing_stack_stands_on_takes_room_on_the_wall() -> None:
    # A pipe 50 mm high along the floor: the module itself begins at 90, its base stands on the
    # floor. Beside the pipe, with the clear 100 mm, it stands.
    standing = Modules(Body(580, 160, clear(100, 300, 0)), 1, 1, 0, True, base_mm=90)
    assert place(wall(1000, 2400, (0, 0, 1000, 50)), standing, None) is None
    beside = place(wall(1000, 2400, (0, 0, 200, 50)), standing, None)
    assert beside is not None
    assert (beside.stacks[0].x_mm, beside.stacks[0].y_mm) == (300, 90)


# --- the places that only one of the pushes reaches, each worked by hand -------------------------


def test_a_converter_just_above_a_stack_whose_clear_space_is_not_over_it() -> None:
    # Width 6: the converter (2 wide, 2 clear each side) must be at 2, a stack (2 wide) at 0 or 4.
    # Height 5: the stack stands at 0 and asks 3 above, so nothing goes above the converter; the
    # converter must leave the stack out of its sides, from 2 up, and end at 5 at the most.
    found = place(wall(6, 5), Modules(Body(2, 2, clear(0, 3, 0)), 1, 1, 0),
                  Body(2, 2, clear(2, 0, 0)))
    assert found is not None
    assert found.converter == Rect(2, 2, 2, 2)
    assert found.stacks[0].y_mm == 0


def test_a_stack_just_above_a_converter_whose_clear_space_is_not_over_it() -> None:
    # The same with the parts changed: the stack must be at 2 and above the converter's top, 2.
    found = place(wall(6, 5), Modules(Body(2, 2, clear(2, 0, 0)), 1, 1, 0),
                  Body(2, 2, clear(0, 3, 0)))
    assert found is not None
    assert (found.stacks[0].x_mm, found.stacks[0].y_mm) == (2, 2)
    assert found.converter is not None
    assert found.converter.y_mm == 0


def test_a_converter_in_the_gap_between_two_stacks_and_above_them() -> None:
    # Width 10 is 4 + 2 + 4: stacks at 0 and 6. They ask 3 above up to the ceiling, 5, so the
    # converter (2 wide) is in the gap, at 4; its own 2 at the sides keep it above their tops, 2.
    found = place(wall(10, 5), Modules(Body(4, 2, clear(0, 3, 0, between=2)), 2, 1, 0),
                  Body(2, 2, clear(2, 0, 0)))
    assert found is not None
    assert found.converter == Rect(4, 2, 2, 2)


def test_a_module_is_pushed_to_the_right_towards_its_converter() -> None:
    # A beam over the left 2000 from 500 up: the converter, 800 high, goes right of it, between
    # 2100 and 3000 - 100 - 400 = 2500. Pushed left only, the module would be at 100, far away.
    space = clear(100, 0, 0)
    found = place(wall(3000, 1000, (0, 500, 2000, 500)), Modules(Body(400, 400, space), 1, 1, 0),
                  Body(400, 800, space))
    assert found is not None
    assert found.converter is not None
    assert 2100 <= found.converter.x_mm <= 2500
    assert found.converter.x_mm - (found.stacks[0].x_mm + 400) == 100
