"""What a formula may hold: types, scopes, vocabularies, and the places of mistakes.

Columns are counted by hand in the formulas below, from 1.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from catalogue.problems import Place, ProblemsFound
from estimator.rules.facts import FactType
from estimator.rules.faults import DEEPEST, MOST_CHARACTERS, MOST_NODES
from tests.rules.facts_of_tests import FACTS, PLACE, compile_formula, problems, run


@pytest.mark.parametrize(("text", "kind"), [
    ("storage.modules", "whole"), ("storage.modules * 2 - 1", "whole"),
    ("storage.modules / 2", "number"), ("storage.modules // 2", "whole"),
    ("number.x // 2", "whole"), ("number.x + 1", "number"), ("2.5", "number"),
    ("ceil(number.x)", "whole"), ("floor(2.5)", "whole"), ("abs(storage.modules - 9)", "whole"),
    ("max(storage.modules, 2)", "whole"), ("max(storage.modules, 2.5)", "number"),
    ("1 if flag.a else 2", "whole"), ("1 if flag.a else 2.5", "number"),
    ("'wall' if flag.a else 'floor'", "text"), ("flag.a and not flag.b", "flag"),
    ("0 < number.x <= 5", "flag"), ("('a', 'b')", "texts"), ("known(number.x)", "flag"),
    ("total(leg.length_m)", "number"), ("count(leg.run == 'data')", "whole"),
    ("any_of(leg.outdoors)", "flag"), ("largest(leg.length_m, leg.outdoors)", "number"),
])
def test_the_type_of_a_formula_follows_from_its_parts(text: str, kind: str) -> None:
    assert compile_formula(text, FACTS, PLACE).type == kind


def test_a_formula_names_the_facts_it_reads_in_order_and_once() -> None:
    formula = compile_formula(
        "storage.modules > 2 and known(flag.a) and total(leg.length_m, leg.run == 'data') > "
        "storage.modules", FACTS, PLACE)
    assert formula.paths == ("storage.modules", "flag.a", "leg.length_m", "leg.run")
    assert [part.text for part in formula.conjuncts] == [
        "storage.modules > 2", "known(flag.a)",
        "total(leg.length_m, leg.run == 'data') > storage.modules",
    ]


@pytest.mark.parametrize(("text", "code", "column", "words"), [
    ("storage.module > 2", "R104", 1, "'storage.module' is not a fact"),
    ("flag.a and storage.mont == 'wall'", "R104", 12, "'storage.mont' is not a fact"),
    ("storage.mount == 'wal'", "R107", 18, "'storage.mount' is never 'wal'"),
    ("'Wall' == storage.mount", "R107", 1, "'storage.mount' is never 'Wall'"),
    ("storage.mount in ('wall', 'flor')", "R107", 27, "'storage.mount' is never 'flor'"),
    ("1 + plane.pitch_deg", "R105", 5, "'plane.pitch_deg' is a fact of each plane"),
    ("total(1)", "R105", 1, "'total' names no fact of a plane or leg"),
    ("total(leg.length_m + plane.pitch_deg)", "R105", 1, "facts of more than one kind"),
    ("total(total(leg.length_m))", "R108", 7, "stands inside another function"),
    ("flag.a + 1", "R106", 1, "must be a number, not yes or no"),
    ("2 * (storage.mount)", "R106", 6, "must be a number, not text"),
    ("flag.a and storage.modules", "R106", 12, "must be yes or no, not a whole number"),
    ("flag.a and 1", "R106", 12, "must be yes or no"),
    ("not storage.modules", "R106", 5, "must be yes or no"),
    ("storage.mount < 'wall'", "R106", 17, "cannot be compared"),
    ("storage.mount == 3", "R106", 18, "text and a whole number cannot be compared"),
    ("flag.a == 1", "R106", 11, "yes or no and a whole number cannot be compared"),
    ("storage.mount in 'wall'", "R106", 18, "behind `in` stands a list"),
    ("3 if flag.a else 'x'", "R106", 18, "both answers of an `if` must be alike"),
    ("number.x / 0", "R106", 12, "division by zero"),
    ("ceil(1, 2)", "R108", 1, "takes one number, not 2"),
    ("max(1)", "R108", 1, "takes two or more numbers, not 1"),
    ("known(1)", "R108", 1, "takes the name of one fact"),
    ("rond(2.5)", "R108", 1, "'rond' is not a function"),
    ("ceil", "R108", 1, "needs its values in brackets"),
    ("true + 1", "R106", 1, "must be a number"),
    ("True", "R103", 1, "'True' is not a word of formulas"),
    ("storage.mount == 'wall' and None", "R103", 29, "'None' is not a value of formulas"),
    ("storage.modules = 3", "R102", 17, "cannot be read from"),
    ("storage.modules >", "R102", 17, "cannot be read from"),
    ("flag.a && flag.b", "R102", 8, "'&&' is not part of a formula"),
    ("!flag.a", "R102", 1, "'!' is not part of a formula"),
    ("1 # a remark", "R102", 3, "'#' is not part of a formula"),
    ("flag.a is true", "R103", 1, "may not hold `is`"),
    ("  storage.module", "R104", 3, "'storage.module' is not a fact"),
    ("number.x == 2 == flag.a", "R106", 18, "cannot be compared"),
    ("", "R101", 1, "the formula is empty"),
    ("   ", "R101", 1, "the formula is empty"),
])
def test_a_mistake_is_told_with_its_code_and_column(
    text: str, code: str, column: int, words: str
) -> None:
    found = problems(text)
    assert [(c, at) for c, at, _ in found] == [(code, column)]
    assert words in found[0][2]


def test_every_mistake_of_a_formula_is_told_at_once_from_left_to_right() -> None:
    found = problems("storage.mont == 'wall' and storage.mount == 'wal' and flag.a + 1 > 2")
    assert [(code, column) for code, column, _ in found] == [
        ("R104", 1), ("R107", 45), ("R106", 55)]


def test_a_column_counts_from_where_the_formula_starts_in_its_file() -> None:
    with pytest.raises(ProblemsFound) as caught:
        compile_formula("1 + storage.mont", FACTS, Place("firm.toml", 7, 9))
    assert caught.value.problems[0].where == Place("firm.toml", 7, 13)
    assert caught.value.problems[0].mend == "did you mean 'storage.mount'?"


def test_a_formula_over_two_lines_gives_the_line_of_the_mistake() -> None:
    with pytest.raises(ProblemsFound) as caught:
        compile_formula("flag.a and\n  storage.mont == 'wall'", FACTS, Place("firm.toml", 7, 9))
    assert caught.value.problems[0].where == Place("firm.toml", 8, 3)


def test_letters_beyond_ascii_do_not_shift_the_column() -> None:
    found = problems("board.family == 'Größe' and storage.mont == 'wall'")
    assert [(code, column) for code, column, _ in found] == [("R104", 29)]


def test_a_word_with_an_apostrophe_stands_in_double_quotes() -> None:
    assert run("storage.place == \"neighbour's ground\"",
               {"storage.place": "neighbour's ground"}) is True


@pytest.mark.parametrize(("text", "expect", "words"), [
    ("storage.modules / 2", "whole", "a whole number is needed here"),
    ("storage.modules", "flag", "yes or no is needed here"),
    ("storage.mount", "number", "a number is needed here"),
    ("flag.a", "text", "text is needed here"),
    ("(1, 2)", "whole", "a list of numbers is not an answer"),
])
def test_a_formula_of_the_wrong_type_is_refused(
    text: str, expect: FactType, words: str
) -> None:
    found = problems(text, expect=expect)
    assert [code for code, _, _ in found] == ["R109"]
    assert words in found[0][2]


def test_a_whole_number_serves_where_a_number_is_wanted() -> None:
    assert compile_formula("storage.modules", FACTS, PLACE, "", "number").type == "whole"


def test_a_formula_of_each_plane_reads_the_plane_and_the_job() -> None:
    formula = compile_formula("plane.pitch_deg > 45 and flag.a", FACTS, PLACE, "plane")
    assert formula.run({"plane.pitch_deg": Decimal(50), "flag.a": True}) is True
    assert problems("leg.outdoors", scope="plane")[0][0] == "R105"


HOSTILE = {
    "text times a number": "'a' * 1000000000",
    "text added for ever": "'a' + 'a'",
    "power": "9 ** 9 ** 9",
    "remainder": "7 % 3",
    "huge number": "1" + "0" * 300,
    "exponent": "1e999999",
    "hexadecimal": "0xffff",
    "imaginary": "2j",
    "underscore in a number": "1_000",
    "dunder": "storage.modules.__class__",
    "dunder name": "__import__",
    "call of a dunder": "__import__('os').system('true')",
    "method of text": "'a'.join(kit.converter.storage_allowed)",
    "attribute of a number": "(1).real",
    "index": "kit.converter.storage_allowed[0]",
    "slice": "kit.converter.storage_allowed[0:1]",
    "lambda": "lambda: 1",
    "comprehension": "[x for x in kit.converter.storage_allowed]",
    "generator": "total(x for x in (1, 2))",
    "set": "{1, 2}",
    "placeholder": "f'{storage.modules}'",
    "bytes": "b'abc'",
    "assignment": "(y := 1)",
    "star": "max(*kit.converter.storage_allowed)",
    "double star": "max(**kit.converter.storage_allowed)",
    "named value": "ceil(x=1)",
    "await": "await storage.modules",
    "yield": "(yield 1)",
    "two statements": "1; 2",
    "new line of code": "1\nimport os",
    "null byte": "storage.modules\x00",
    "lone surrogate": "board.family == '\ud800'",
    "line continuation": "1 + \\\n 2",
    "escape": "board.family == '\\x41'",
    "bit operation": "storage.modules | 1",
    "shift": "1 << 1000000",
    "inversion": "~storage.modules",
    "matrix product": "storage.modules @ 2",
    "ellipsis": "...",
    "deep brackets": "(" * 190 + "1" + ")" * 190,
    "deep open brackets": "(" * 399,
    "deep lists": "[" * 190 + "1" + "]" * 190,
    "deep not": "not " * 90 + "flag.a",
    "deep minus": "-" * 398 + "1",
    "long sum": "1+" * 199 + "1",
    "many parts": "max(" + "1," * 190 + "1)",
    "too long": "storage.modules + " * 30 + "1",
}


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_a_hostile_formula_is_refused_when_rules_load(name: str) -> None:
    found = problems(HOSTILE[name])
    assert found
    assert all(code.startswith("R10") for code, _, _ in found)


def test_what_a_formula_can_cost_is_bounded_by_its_length_depth_and_parts() -> None:
    assert (MOST_CHARACTERS, DEEPEST, MOST_NODES) == (400, 32, 150)
    assert problems("x" * (MOST_CHARACTERS + 1))[0][0] == "R101"
    assert problems("-" * (DEEPEST - 1) + "storage.modules") == []
    assert problems("-" * DEEPEST + "storage.modules")[0][0] == "R101"
    assert len(problems(" + ".join(["no.fact"] * 30))) == 10  # ten mistakes are enough to mend


def test_a_text_fact_may_be_compared_with_any_word_if_it_has_no_vocabulary() -> None:
    assert run("board.family == 'standard'", {"board.family": "standard"}) is True


@pytest.mark.parametrize(("text", "facts", "expected"), [
    ("storage.modules in (1, 3)", {"storage.modules": 3}, True),
    ("storage.modules not in (1, 3)", {"storage.modules": 3}, False),
    ("'x' in kit.converter.storage_allowed", {"kit.converter.storage_allowed": ("x",)}, True),
    ("min(3, 2.5)", {}, Decimal("2.5")), ("max(1, 2, 3)", {}, 3), ("abs(-2.5)", {}, Decimal("2.5")),
    ("ceil(2.1)", {}, 3), ("floor(2.9)", {}, 2), ("ceil(-2.5)", {}, -2), ("floor(-2.5)", {}, -3),
    ("1 < 2 < 3", {}, True), ("3 if false else 4", {}, 4), ("-(2 - 5)", {}, 3),
])
def test_a_formula_gives_the_value_worked_out_by_hand(
    text: str, facts: dict[str, Any], expected: Any
) -> None:
    assert run(text, facts) == expected
