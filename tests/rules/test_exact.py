"""Arithmetic of formulas against exact fractions (Python's fractions.Fraction)."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.problems import ProblemsFound
from estimator.rules import exact
from estimator.rules.exact import FormulaFailed
from tests.rules.facts_of_tests import FACTS, PLACE, compile_formula, run

Tree = Any
leaves = st.one_of(
    st.integers(0, 10**6).map(str),
    st.decimals(0, 10**6, places=4).map(lambda d: format(d, "f")),
    st.sampled_from(("number.x", "number.y")),
)
trees = st.recursive(
    leaves,
    lambda inner: st.tuples(inner, st.sampled_from(("+", "-", "*", "/", "//")), inner),
    max_leaves=8,
)
values = st.one_of(
    st.integers(-(10**9), 10**9),
    st.decimals(-(10**6), 10**6, places=6),
    st.fractions(-1000, 1000, max_denominator=999),
)


def written(tree: Tree) -> str:
    if isinstance(tree, str):
        return tree
    left, sign, right = tree
    return f"({written(left)} {sign} {written(right)})"


def by_fractions(tree: Tree, facts: dict[str, Any]) -> Fraction:
    if isinstance(tree, str):
        return Fraction(facts[tree]) if tree in facts else Fraction(tree)
    left, right = by_fractions(tree[0], facts), by_fractions(tree[2], facts)
    if tree[1] == "+":
        return left + right
    if tree[1] == "-":
        return left - right
    if tree[1] == "*":
        return left * right
    return left / right if tree[1] == "/" else Fraction(math.floor(left / right))


@settings(max_examples=300, deadline=None)
@given(tree=trees, x=values, y=values)
def test_a_formula_gives_exactly_what_fractions_give(tree: Tree, x: Any, y: Any) -> None:
    facts = {"number.x": x, "number.y": y}
    try:
        expected = by_fractions(tree, facts)
    except ZeroDivisionError:
        with pytest.raises((FormulaFailed, ProblemsFound)):
            compile_formula(written(tree), FACTS, PLACE).run(facts)
        return
    result = compile_formula(written(tree), FACTS, PLACE).run(facts)
    assert not isinstance(result, float)
    assert Fraction(result) == expected


@settings(deadline=None)
@given(number=st.fractions(-10**9, 10**9))
def test_ceil_and_floor_are_those_of_a_fraction(number: Fraction) -> None:
    assert run("ceil(number.x)", {"number.x": number}) == math.ceil(number)
    assert run("floor(number.x)", {"number.x": number}) == math.floor(number)
    assert type(run("ceil(number.x)", {"number.x": number})) is int


@given(number=st.fractions(-10**6, 10**6, max_denominator=10**6))
def test_tidying_changes_the_form_of_a_number_but_not_the_number(number: Fraction) -> None:
    tidied = exact.tidy(number)
    assert Fraction(tidied) == number
    assert isinstance(tidied, int) is (number.denominator == 1)


def test_division_is_exact_and_comes_back_to_decimals() -> None:
    assert run("7 / 2") == Decimal("3.5")
    assert run("1 / 3") == Fraction(1, 3)
    assert run("1 / 3 * 3") == 1
    assert type(run("1 / 3 * 3")) is int
    assert run("1 / 3 + number.x", {"number.x": Decimal("0.5")}) == Fraction(5, 6)
    # Whole times a third is compared with its limit exactly, not after rounding.
    assert run("2 / 3 * 3 <= 2") is True


def test_whole_division_goes_down_also_below_zero() -> None:
    # Decimal's own // would give -3: it cuts towards zero.
    assert run("-7 // 2") == -4
    assert run("number.x // 2", {"number.x": Decimal("-7")}) == -4
    assert run("7 // 2") == 3


def test_more_digits_than_decimals_usually_hold_are_kept() -> None:
    # The standard decimal context rounds to 28 digits; this product has 30.
    x = Decimal("123456789012345.123456")
    assert Fraction(run("number.x * number.x", {"number.x": x})) == Fraction(x) * Fraction(x)
    y = Decimal("1E-30")
    assert Fraction(run("number.x + number.y", {"number.x": Decimal(10) ** 20, "number.y": y})) == (
        Fraction(10**20) + Fraction(1, 10**30))


def test_literals_are_taken_as_written_not_as_binary_fractions() -> None:
    assert run("0.1 + 0.1 + 0.1 == 0.3") is True
    assert run("0.10") == Decimal("0.10")


@pytest.mark.parametrize("text", ["1 / number.x", "1 // number.x", "number.y / number.x"])
def test_division_by_a_known_zero_fails_with_its_place_and_no_traceback(text: str) -> None:
    with pytest.raises(FormulaFailed) as caught:
        run(text, {"number.x": Decimal(0), "number.y": Decimal(0)})
    assert caught.value.says == "division by zero"
    assert caught.value.at == 0


@pytest.mark.parametrize(("text", "x"), [
    *((text, x) for text in ("ceil(number.x)", "number.x // 3")
      for x in (Decimal("1E+999999"), Decimal("NaN"), Decimal("Infinity"))),
    ("number.x + 1", Decimal("1E+999999")), ("number.x * 3", Decimal("1E-999999")),
])
def test_a_number_beyond_all_measure_fails_at_once(text: str, x: Decimal) -> None:
    with pytest.raises(FormulaFailed):
        run(text, {"number.x": x})
