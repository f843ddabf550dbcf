"""The search for a set-out against one that tries every place of a small grid, and its laws."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from estimator.design.siting.columns import Body, Modules, most_modules, place
from estimator.design.siting.shapes import Rect, Wall
from tests.design.siting.walls import (
    allowed,
    apart,
    clear,
    heights,
    least_height_on_grid,
    wall,
)

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
    body = replace(body, clear=replace(body.clear, between_mm=apart_mm))
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
    assert all(allowed(rect, space, on) for rect in stacks)
    assert all(rect.y_mm == modules.base_mm if modules.standing else rect.y_mm >= space.floor_mm
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
@given(real_walls(), real_modules, real_converters, st.integers(0, 500))
def test_a_wider_wall_never_loses_a_fit(
    on: Wall, modules: Modules, converter: Body | None, more: int
) -> None:
    if place(on, modules, converter) is not None:
        assert place(replace(on, width_mm=on.width_mm + more), modules, converter) is not None
