"""Standing in is reflexive and transitive, whatever the data sheets say."""

from __future__ import annotations

import types
import typing
from decimal import Decimal as D
from typing import Any, Literal, Union, get_args, get_origin

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.items import Item
from catalogue.specs import FAMILIES
from catalogue.substitutes import judge, may_stand_in
from tests.factories import ItemFactory

NUMBERS = [D(1), D("2.5"), D(4)]
CODES = [0, 20, 44, 54, 55, 65, 67, 68, 69]
TEXTS = ["", "a", "b"]
NEGATIVE = ("voc_pct_per_k", "vmp_pct_per_k")


def values(name: str, annotation: Any) -> list[Any]:
    """Return a few values of a field's type, blank among them where it may be."""
    if name == "ip":
        return CODES
    if name in NEGATIVE:
        return [D("-0.3"), D("-0.25")]
    origin, inside = get_origin(annotation), get_args(annotation)
    if origin is typing.Annotated:
        return values(name, inside[0])
    if origin in (Union, types.UnionType):
        return [value for arg in inside for value in (
            [None] if arg is type(None) else values(name, arg))]
    if origin is Literal:
        return list(inside)
    if origin is tuple:
        words = get_args(inside[0]) if get_origin(inside[0]) is Literal else ("a", "b")
        return [(), words[:1], words[1:2], words[:2]]
    plain: dict[Any, list[Any]] = {bool: [True, False], str: TEXTS, int: [1, 2, 4], D: NUMBERS}
    return plain[annotation]


def drawn(family: str, name: str) -> st.SearchStrategy[Any]:
    return st.sampled_from(values(name, FAMILIES[family].model_fields[name].annotation))


def specs(family: str) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({
        name: drawn(family, name) for name in FAMILIES[family].model_fields})


def changed(family: str, fields: dict[str, Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Return the fields with two of them at most drawn anew, so that many pairs pass."""
    names = st.lists(st.sampled_from(sorted(fields)), max_size=2, unique=True)
    return names.flatmap(lambda some: st.fixed_dictionaries(
        {name: drawn(family, name) for name in some})).map(lambda new: {**fields, **new})


def item(family: str, fields: dict[str, Any], sizes: tuple[int | None, ...] = ()) -> Item:
    length, width, height = sizes or (None, None, None)
    return ItemFactory(family=family, spec=FAMILIES[family].model_validate(fields),
                       length_mm=length, width_mm=width, height_mm=height)


@pytest.mark.parametrize("family", FAMILIES)
@given(data=st.data())
@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_item_may_stand_in_for_itself(family: str, data: st.DataObject) -> None:
    one = item(family, data.draw(specs(family)))
    assert {each.verdict for each in judge(one, one)} == {"equal"}


@pytest.mark.parametrize("family", FAMILIES)
@given(data=st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_what_stands_in_for_a_substitute_stands_in_for_the_original(
    family: str, data: st.DataObject
) -> None:
    size = st.sampled_from([None, 100, 200])
    first = data.draw(specs(family))
    a, b, c = (
        item(family, data.draw(changed(family, first)), data.draw(st.tuples(size, size, size)))
        for _ in range(3))
    if may_stand_in(judge(c, b)) and may_stand_in(judge(b, a)):
        assert may_stand_in(judge(c, a))


@pytest.mark.parametrize(("family", "field"), [
    (family, field) for family, model in FAMILIES.items() for field in model.model_fields])
def test_every_field_by_itself_is_transitive(family: str, field: str) -> None:
    """Brute force: each three of the values of one field, blank among them."""
    every = {name: values(name, each.annotation)
             for name, each in FAMILIES[family].model_fields.items()}
    base = {name: held[-1] for name, held in every.items()}
    made = [item(family, {**base, field: value}) for value in every[field]]
    good = {(i, j) for i, one in enumerate(made) for j, other in enumerate(made)
            if may_stand_in(judge(one, other))}
    assert all((i, i) in good for i in range(len(made)))
    assert all((i, k) in good for i, j in good for j2, k in good if j == j2)
