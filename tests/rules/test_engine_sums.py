"""Quantities of rules that cannot be worked out, or are no count; expected figures by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from catalogue.problems import ProblemsFound
from estimator.design.sheet import LENGTHS
from tests.rules.small_job import results, rule

BOTH = {"storage.mount": "wall", "storage.modules": 3}


def test_a_division_by_zero_is_a_problem_that_names_rule_line_and_facts() -> None:
    text = rule("true", "12 // storage.rated_crossings", id_="seal")
    with pytest.raises(ProblemsFound) as caught:
        results(text, {"storage.rated_crossings": 0})
    (problem,) = caught.value.problems
    assert str(problem).splitlines()[0] == (
        "own/rules.toml:1: error R201: rule 'seal' cannot be worked out: division by zero in "
        "'12 // storage.rated_crossings', with storage.rated_crossings = 0")


def test_a_sum_that_has_no_answer_is_no_problem_for_a_rule_stopped_before_it() -> None:
    found = results(
        rule("storage.frost and total(1 / leg.length_m) > 2"), {"storage.frost": False},
        legs=({"leg.length_m": Decimal(0)},))
    assert found.not_fired[0].numbers == "false and total(1 / leg.length_m) > 2"


def test_a_computed_fact_without_an_answer_matters_only_to_rules_that_read_it() -> None:
    fact = """
[[fact]]
name = "storage.share"
type = "number"
meaning = "share"
value = "1 / storage.rated_crossings"
"""
    zero = {"storage.rated_crossings": 0}
    assert len(results(fact + rule(), zero).demands) == 1
    with pytest.raises(ProblemsFound) as caught:
        results(fact + rule("storage.share > 2", id_="a") + rule("storage.share > 3", id_="b"),
                zero)
    (problem,) = caught.value.problems
    assert "the computed fact 'storage.share' cannot be worked out" in problem.says
    assert "storage.rated_crossings = 0" in problem.says


def test_a_negative_or_broken_count_is_a_problem_and_all_are_told_together() -> None:
    text = (rule("true", "storage.modules - 5", id_="less")
            + rule("true", "storage.modules / 2", id_="half"))
    with pytest.raises(ProblemsFound) as caught:
        results(text, BOTH)
    assert [problem.code for problem in caught.value.problems] == ["R202", "R202"]
    assert "negative quantity, -2" in caught.value.problems[0].says
    assert "1.5 of 'BR2', which is counted in whole pieces" in caught.value.problems[1].says


def test_a_measured_quantity_may_be_broken_and_a_third_is_raised_to_the_next_millionth() -> None:
    cable = 'item = { family = "cable", role = "data cable" }'
    assert results(rule("true", "storage.modules / 2", cable), BOTH).demands[0].quantity == (
        Decimal("1.5"))
    assert results(rule("true", "1 / storage.modules", cable), BOTH).demands[0].quantity == (
        Decimal("0.333334"))


CABLE = 'item = { family = "cable", role = "data cable" }'


def test_a_quantity_is_one_run_unless_its_rule_says_how_many_and_they_add_up_to_it() -> None:
    assert results(rule("true", "10", CABLE), BOTH).demands[0].runs == (10,)
    shared = results(rule("true", "10", CABLE, 'runs = "storage.modules"'), BOTH).demands[0].runs
    # 10 / 3 does not part: the last takes the millionth that is left
    assert shared == (Decimal("3.333333"), Decimal("3.333333"), Decimal("3.333334"))


def test_runs_are_as_long_as_the_design_found_them_where_they_add_up_to_the_quantity() -> None:
    text = rule("true", "10", CABLE, 'runs = "storage.modules"')
    found = {"storage.modules": (Decimal(2), Decimal(7), Decimal(1))}
    assert results(text, {**BOTH, LENGTHS: found}).demands[0].runs == (2, 7, 1)
    other = {"storage.modules": (Decimal(2), Decimal(7), Decimal(2))}  # a rule of another formula
    assert results(text, {**BOTH, LENGTHS: other}).demands[0].runs != (2, 7, 2)


def test_a_quantity_in_no_run_at_all_is_a_problem() -> None:
    with pytest.raises(ProblemsFound) as caught:
        results(rule("true", "10", CABLE, 'runs = "storage.modules - 3"'), BOTH)
    assert str(caught.value) == (
        "own/rules.toml:1: error R203: rule 'the-rule' asks for 10 in 0 runs\n"
        "    a quantity above zero is at least one run: correct the facts, or use max(1, ...)")


def test_runs_that_hang_on_an_unknown_fact_are_asked_for() -> None:
    found = results(rule("true", "10", CABLE, 'runs = "storage.modules"'), {})
    assert (found.demands, [each.fact for each in found.questions]) == ((), ["storage.modules"])
