"""Three-valued logic against the strong tables of S. C. Kleene, Introduction to Metamathematics,
1952, section 64 (from memory): t, f and u (unknown).
"""

from __future__ import annotations

from decimal import Decimal, DecimalException
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.design.sheet import Unknown
from estimator.rules.exact import FormulaFailed
from tests.rules.facts_of_tests import FACTS, PLACE, compile_formula, run

AND = {"tt": "t", "tf": "f", "tu": "u", "ft": "f", "ff": "f", "fu": "f",
       "ut": "u", "uf": "f", "uu": "u"}
OR = {"tt": "t", "tf": "t", "tu": "t", "ft": "t", "ff": "f", "fu": "u",
      "ut": "t", "uf": "u", "uu": "u"}
NOT = {"t": "f", "f": "t", "u": "u"}


def value(letter: str, path: str) -> Any:
    return {"t": True, "f": False, "u": Unknown(path)}[letter]


def letter(result: Any) -> str:
    if isinstance(result, Unknown):
        return "u"
    return {True: "t", False: "f"}[result]


@pytest.mark.parametrize(("word", "table"), [("and", AND), ("or", OR)])
@pytest.mark.parametrize("pair", sorted(AND))
def test_and_and_or_follow_the_strong_tables(
    word: str, table: dict[str, str], pair: str
) -> None:
    env = {"flag.a": value(pair[0], "flag.a"), "flag.b": value(pair[1], "flag.b")}
    assert letter(run(f"flag.a {word} flag.b", env)) == table[pair]


@pytest.mark.parametrize(("word", "table"), [("and", AND), ("or", OR)])
@pytest.mark.parametrize("pair", sorted(AND))
@pytest.mark.parametrize("third", "tfu")
def test_a_chain_of_three_is_two_chains_of_two(
    word: str, table: dict[str, str], pair: str, third: str
) -> None:
    paths = ("flag.a", "flag.b", "flag.c")
    env = {path: value(each, path) for path, each in zip(paths, pair + third, strict=True)}
    assert letter(run(f"flag.a {word} flag.b {word} flag.c", env)) == table[table[pair] + third]


@pytest.mark.parametrize("one", "tfu")
def test_not_follows_the_strong_table(one: str) -> None:
    assert letter(run("not flag.a", {"flag.a": value(one, "flag.a")})) == NOT[one]


def test_an_unknown_answer_names_every_fact_it_hangs_on() -> None:
    env = {"flag.a": Unknown("flag.a"), "flag.b": Unknown("flag.b"), "flag.c": True}
    assert run("flag.a and flag.b and flag.c", env).facts == {"flag.a", "flag.b"}


def test_an_unknown_condition_matters_only_where_the_answers_differ() -> None:
    env = {"flag.a": Unknown("flag.a"), "storage.modules": 3}
    assert run("3 if flag.a else storage.modules", env) == 3
    assert run("4 if flag.a else storage.modules", env).facts == {"flag.a"}


@pytest.mark.parametrize("text", [
    "number.x > 2", "2 < number.x", "number.x == 2", "number.x != 2", "number.x + 1 > 2",
    "0 < number.x < 5", "ceil(number.x) >= 1", "max(number.x, 1) > 3", "-number.x < 0",
    "abs(number.x) > 1", "number.x // 2 == 1", "number.x / 2 == 1", "2 / number.x == 1",
    "number.x in (1, 2)",
])
def test_comparing_an_unknown_number_is_unknown(text: str) -> None:
    result = run(text, {"number.x": Unknown("number.x")})
    assert isinstance(result, Unknown)
    assert result.facts == {"number.x"}


@pytest.mark.parametrize("text", [
    "storage.mount == 'wall'", "storage.mount != 'wall'", "storage.mount in ('wall', 'floor')",
    "storage.mount not in ('wall',)", "storage.mount in kit.converter.storage_allowed",
])
def test_comparing_an_unknown_word_is_unknown(text: str) -> None:
    env = {"storage.mount": Unknown("storage.mount"), "kit.converter.storage_allowed": ("wall",)}
    assert run(text, env).facts == {"storage.mount"}


def test_an_unknown_list_leaves_membership_unknown() -> None:
    env = {"kit.converter.storage_allowed": Unknown("wishes.converter")}
    assert run("'wall' in kit.converter.storage_allowed", env).facts == {"wishes.converter"}


def test_a_false_guard_keeps_a_division_by_zero_from_being_reckoned() -> None:
    assert run("number.x > 0 and number.y / number.x > 2",
               {"number.x": 0, "number.y": 1}) is False


def test_behind_an_unknown_guard_a_division_by_zero_leaves_the_guard_s_question() -> None:
    env = {"flag.a": Unknown("flag.a"), "number.x": 0, "number.y": 1}
    assert run("flag.a and number.y / number.x > 2", env).facts == {"flag.a"}
    assert run("number.y / number.x if flag.a else 0", env).facts == {"flag.a"}


def test_known_is_never_unknown_and_an_assumed_fact_is_not_known() -> None:
    assert run("known(flag.a)", {"flag.a": Unknown("flag.a")}) is False
    assert run("known(flag.a)", {"flag.a": False}) is True
    assert run("known(flag.a)", {"flag.a": False, "@assumed": {"flag.a"}}) is False


def legs(*rows: tuple[Any, Any]) -> dict[str, Any]:
    return {"@leg": tuple({"leg.length_m": length, "leg.run": kind} for length, kind in rows)}


def test_over_no_legs_every_sum_is_zero_and_nothing_holds() -> None:
    env = {"@leg": ()}
    assert run("total(leg.length_m)", env) == 0
    assert run("count(leg.run == 'data')", env) == 0
    assert run("largest(leg.length_m)", env) == 0
    assert run("any_of(leg.run == 'data')", env) is False


def test_sums_go_over_the_legs_for_which_the_condition_holds() -> None:
    env = legs((Decimal("2.5"), "data"), (Decimal("4"), "d.c."), (Decimal("1.25"), "data"))
    assert run("total(leg.length_m, leg.run == 'data')", env) == Decimal("3.75")
    assert run("count(leg.run == 'data')", env) == 2
    assert run("largest(leg.length_m, leg.run == 'data')", env) == Decimal("2.5")
    assert run("any_of(leg.length_m > 3.9 and leg.run == 'd.c.')", env) is True


def test_an_unknown_leg_leaves_a_sum_unknown_unless_it_cannot_matter() -> None:
    missing = Unknown("leg[1].run")
    env = legs((Decimal(5), "data"), (Decimal(4), missing))
    assert run("total(leg.length_m, leg.run == 'data')", env).facts == {"leg[1].run"}
    assert run("count(leg.run == 'data')", env).facts == {"leg[1].run"}
    # The longest data leg is 5 m whether or not the leg of 4 m is one.
    assert run("largest(leg.length_m, leg.run == 'data')", env) == 5
    assert run("any_of(leg.run == 'data')", env) is True
    # A leg of no length adds nothing, whichever run it belongs to.
    assert run("total(leg.length_m, leg.run == 'data')",
               legs((Decimal(5), "data"), (Decimal(0), missing))) == 5


def test_the_largest_of_legs_that_may_not_count_is_unknown_or_zero() -> None:
    missing = Unknown("leg[0].run")
    assert run("largest(leg.length_m, leg.run == 'data')",
               legs((Decimal(4), missing))).facts == {"leg[0].run"}
    assert run("largest(leg.length_m, leg.run == 'data')", legs((Decimal(0), missing))) == 0
    assert run("largest(leg.length_m)",
               legs((Unknown("leg[0].length_m"), "data"), (Decimal(2), "data")),
               ).facts == {"leg[0].length_m"}


NUMBERS = ("number.x", "number.y", "number.z")
FLAGS = ("flag.a", "flag.b", "flag.c")
numbers = st.recursive(
    st.sampled_from((*NUMBERS, "0", "1", "2.5")),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from("+-*/"), inner).map(lambda p: f"({p[0]} {p[1]} {p[2]})"),
        st.tuples(inner, inner).map(lambda p: f"max({p[0]}, {p[1]})"),
        st.tuples(inner, st.sampled_from(FLAGS), inner).map(
            lambda p: f"({p[0]} if {p[1]} else {p[2]})"),
    ),
    max_leaves=5,
)
conditions = st.recursive(
    st.one_of(
        st.sampled_from((*FLAGS, "storage.mount == 'wall'", "storage.mount in ('wall', 'floor')")),
        st.tuples(numbers, st.sampled_from(("<", "<=", "==", "!=", ">")), numbers).map(" ".join),
    ),
    lambda inner: st.one_of(
        inner.map(lambda p: f"not ({p})"),
        st.lists(inner, min_size=2, max_size=3).map(lambda p: "(" + ") and (".join(p) + ")"),
        st.lists(inner, min_size=2, max_size=3).map(lambda p: "(" + ") or (".join(p) + ")"),
        st.tuples(inner, inner, inner).map(lambda p: f"(({p[0]}) if ({p[1]}) else ({p[2]}))"),
    ),
    max_leaves=5,
)
whole_facts = st.fixed_dictionaries({
    **{path: st.booleans() for path in FLAGS},
    **{path: st.sampled_from((0, 1, 3, Decimal("2.5"))) for path in NUMBERS},
    "storage.mount": st.sampled_from(("wall", "floor")),
})


@settings(max_examples=400, deadline=None)
@given(text=conditions, full=whole_facts, hidden=st.sets(st.sampled_from((*FLAGS, *NUMBERS))))
def test_knowing_more_never_changes_a_known_answer(
    text: str, full: dict[str, Any], hidden: set[str]
) -> None:
    if len(text) > 400 or "/ 0" in text:
        return
    formula = compile_formula(text, FACTS, PLACE)
    partly = {path: Unknown(path) if path in hidden else each for path, each in full.items()}
    try:
        before = formula.run(partly)
    except (FormulaFailed, DecimalException):
        return
    if isinstance(before, Unknown):
        assert before.facts <= hidden
        return
    try:
        after = formula.run(full)
    except (FormulaFailed, DecimalException):
        return  # a divisor turned out to be zero: told as a problem, not as another answer
    assert after is before
