"""Reads the cases of tests/rule_cases and asks the rules (see the README there)."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from catalogue.toml_source import TomlSource, read_toml
from estimator.design.sheet import SCOPES, FactSheet, Scope, Unknown
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.complete import Completed, complete, full_path
from estimator.rules.decide import Outcome, decide, decide_material, decide_task
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.facts import FactDef
from estimator.rules.load import load_rule_book, read_rule_files
from estimator.rules.model import (
    AssumeRule,
    MaterialRule,
    Rule,
    RuleBook,
    TaskRule,
)

ON = date(2026, 7, 1)
FOLDER = Path(__file__).parents[1] / "rule_cases"
DATA = Path(__file__).parents[2] / "estimator" / "rules" / "data"
KINDS = ("fires", "does not fire", "edge", "unknown")
_KEYS = {"rule", "name", "kind", "parts", "facts", "planes", "legs", "expect", "demands"}
_EXPECT = {"quantity", "runs", "units", "people", "fires", "unknown", "value"}


@dataclass(frozen=True)
class Case:
    """One case as written."""

    rule: str
    name: str
    kind: str
    where: str
    parts: tuple[str, ...]
    facts: dict[str, Any]
    planes: tuple[dict[str, Any], ...]
    legs: tuple[dict[str, Any], ...]
    expect: dict[str, Any]
    demands: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Answer:
    """What a rule said over all its planes or legs."""

    fires: bool
    amount: Decimal
    unknown: frozenset[str]
    demands: dict[str, Any]
    value: Any = None
    people: int = 0
    runs: int = 0


@cache
def practice_values() -> dict[str, Any]:
    facts = read_practice([country_folder("gb")]).facts(ON)
    return {path: fact.value for path, fact in facts.items()}


@cache
def rule_book() -> RuleBook:
    practice = read_practice([country_folder("gb")])
    dictionary = fact_dictionary(practice_definitions(practice, ON))
    return load_rule_book(read_rule_files([DATA]), dictionary)


@cache
def all_rules() -> dict[str, Rule]:
    return {rule.id: rule for rule in rule_book().rules}


def read_cases() -> list[Case]:
    return [
        _case(source, i, table)
        for path in sorted(FOLDER.glob("*.toml"))
        for source in [read_toml(path, path.name)]
        for i, table in enumerate(source.data.get("case", []))
    ]


def _case(source: TomlSource, index: int, table: dict[str, Any]) -> Case:
    where = str(source.place(("case", index)))
    assert set(table) <= _KEYS, f"{where}: unknown keys {sorted(set(table) - _KEYS)}"
    assert table.get("kind") in KINDS, f"{where}: kind is one of {KINDS}"
    expect = table.get("expect", {})
    assert expect, f"{where}: a case expects something"
    assert set(expect) <= _EXPECT, f"{where}: unknown expectation {sorted(expect)}"
    return Case(
        table["rule"], table["name"], table["kind"], where, tuple(table.get("parts", ())),
        table.get("facts", {}), tuple(table.get("planes", ())), tuple(table.get("legs", ())),
        expect, table.get("demands", {}),
    )


def sheet_of(case: Case, facts: dict[str, FactDef]) -> FactSheet:
    """Return the sheet of a case; facts that are not given are unknown."""
    job: dict[str, Any] = {**practice_values()}
    own: dict[Scope, dict[str, Any]] = {"plane": {}, "leg": {}}
    for path, raw in case.facts.items():
        assert path in facts, f"{case.where}: '{path}' is not a fact"
        value = _value(case, facts[path], raw)
        scope = facts[path].scope
        (own[scope] if scope else job)[path] = value
    scopes: dict[Scope, tuple[dict[str, Any], ...]] = {}
    for scope, listed in (("plane", case.planes), ("leg", case.legs)):
        rows = [own[scope]] if own[scope] else []
        for each in listed:
            row = {}
            for name, raw in each.items():
                path = f"{scope}.{name}"
                assert path in facts, f"{case.where}: '{path}' is not a fact"
                row[path] = _value(case, facts[path], raw)
            rows.append(row)
        scopes[scope] = tuple({**job, **row} for row in rows)
    names = {scope: tuple(f"{scope} {i + 1}" for i in range(len(scopes[scope])))
             for scope in SCOPES}
    return FactSheet(frozenset(case.parts), job, scopes, names, {})


def _value(case: Case, fact: FactDef, raw: Any) -> Any:
    """Return a value of a case as its fact's type; a wrong one is a mistake of the case."""
    what = f"{case.where}: {fact.path} = {raw!r}"
    if fact.type in ("whole", "number"):
        assert isinstance(raw, int | str | Decimal), f"{what} is not a number"
        assert not isinstance(raw, bool), f"{what} is not a number"
        number = Decimal(raw)
        assert fact.type == "number" or number == int(number), f"{what} is not whole"
        return int(number) if fact.type == "whole" else number
    if fact.type == "flag":
        assert isinstance(raw, bool), f"{what} is not true or false"
        return raw
    if fact.type == "texts":
        assert isinstance(raw, list), f"{what} is not a list"
        return tuple(raw)
    assert isinstance(raw, str), f"{what} is not text"
    assert not fact.values or raw in fact.values, f"{what} is not one of {fact.values}"
    return raw


def ask(case: Case) -> Answer:
    """Return what the rule of a case says."""
    book = rule_book()
    rule = all_rules()[case.rule]
    completed = complete(book, sheet_of(case, dict(book.facts)))
    if rule.part != "job" and rule.part not in case.parts:
        return Answer(False, Decimal(0), frozenset(), {})
    if isinstance(rule, AssumeRule):
        return _assumed(rule, completed)
    outcomes = [
        decide_task(rule, env) if isinstance(rule, TaskRule)
        else decide_material(rule, env) if isinstance(rule, MaterialRule)
        else decide(rule.when, None, env)
        for _, _, env in completed.sheet.environments(rule.each)
    ]
    return _together(outcomes)


def _together(outcomes: list[Outcome]) -> Answer:
    fired = [each for each in outcomes if each.state == "fires"]
    unknown: set[str] = set()
    for each in outcomes:
        if each.missing is not None:
            unknown |= each.missing.facts
    demands: dict[str, Any] = {}
    for each in fired:
        if each.demands is not None:
            for kind in ("exactly", "at_least", "at_most", "includes"):
                demands.update(getattr(each.demands, kind))
            if each.demands.code:
                demands["code"] = each.demands.code
    amounts = [each.amount for each in fired if each.amount is not None]
    return Answer(bool(fired), sum(amounts, Decimal(0)), frozenset(unknown), demands,
                  people=max((each.people for each in fired), default=0),
                  runs=sum(each.runs for each in fired))


def _assumed(rule: AssumeRule, completed: Completed) -> Answer:
    scope = rule_book().facts[rule.fact].scope
    values = [
        env[rule.fact] for key, _, env in completed.sheet.environments(scope)
        if completed.sheet.details.get(full_path(rule.fact, key)) is not None
        and completed.sheet.detail(rule.fact, key).origin == "assumed"
    ]
    assert not any(isinstance(value, Unknown) for value in values)
    return Answer(bool(values), Decimal(0), frozenset(), {}, values[0] if values else None)
