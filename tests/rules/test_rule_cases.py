"""Every rule of the program against its cases (tests/rule_cases/README.md has the format)."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import Any

import pytest

from estimator.rules.model import AssumeRule
from estimator.rules.reads import asked_facts, formulas_of, reads_nothing
from tests.rules.rule_cases import Case, all_rules, ask, read_cases, rule_book

CASES = read_cases()


def _label(case: Case) -> str:
    return f"{case.rule}: {case.name}"


@pytest.mark.parametrize("case", CASES, ids=_label)
def test_rule_says_what_its_case_expects(case: Case) -> None:
    assert case.rule in all_rules(), f"{case.where}: there is no rule '{case.rule}'"
    answer = ask(case)
    expect = case.expect
    if "unknown" in expect:
        assert answer.unknown == frozenset(expect["unknown"]), case.where
        assert not answer.fires, case.where
    else:
        assert not answer.unknown, case.where
    if "fires" in expect:
        assert answer.fires is expect["fires"], case.where
    for key in ("quantity", "units"):
        if key in expect:
            assert answer.fires, case.where
            assert answer.amount == Decimal(expect[key]), case.where
    if "runs" in expect:
        assert answer.runs == int(expect["runs"]), case.where
    if "people" in expect:
        assert answer.people == int(expect["people"]), case.where
    if "value" in expect:
        assert answer.fires, case.where
        assert _same(answer.value, expect["value"]), case.where
    for name, value in case.demands.items():
        assert name in answer.demands, f"{case.where}: nothing is asked of '{name}'"
        assert _same(answer.demands[name], value), case.where


def _same(value: Any, expected: Any) -> bool:
    if isinstance(value, str | bool):
        return bool(value == expected)
    return bool(value == Decimal(expected))


@pytest.mark.parametrize("case", CASES, ids=_label)
def test_kind_of_a_case_fits_what_it_expects(case: Case) -> None:
    expects_no = case.expect.get("fires") is False
    expects_unknown = "unknown" in case.expect
    if case.kind == "fires":
        assert not expects_no, case.where
        assert not expects_unknown, case.where
    elif case.kind == "does not fire":
        assert expects_no, case.where
    elif case.kind == "unknown":
        assert expects_unknown, case.where


@cache
def always_assumed() -> frozenset[str]:
    """Return the facts that have a value even where nothing at all is known."""
    return frozenset(
        rule.fact for rule in rule_book().assumptions
        if not rule.fact.startswith("plane.")
        and ask(Case(rule.id, "", "fires", "", (rule.part,), {}, (), (), {}, {})).fires
    )


def kinds_needed(rule: Any) -> set[str]:
    if isinstance(rule, AssumeRule):
        return {"fires", "does not fire"}
    needed = {"fires", "does not fire", "edge", "unknown"}
    formulas = formulas_of(rule)
    if not set(asked_facts(formulas, rule_book())) - always_assumed():
        needed.discard("unknown")
    if rule.part == "job" and all(reads_nothing(formula) for formula in formulas):
        needed -= {"does not fire", "edge"}
    return needed


@pytest.mark.parametrize("rule", sorted(all_rules()))
def test_rule_has_a_case_of_every_kind_it_needs(rule: str) -> None:
    have = {case.kind for case in CASES if case.rule == rule}
    assert not kinds_needed(all_rules()[rule]) - have, f"rule '{rule}' has cases only of {have}"
