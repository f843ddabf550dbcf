"""docs/rules.md: every rule by part of the job: when, how much, of what, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from estimator.rules.model import (
    PARTS,
    AssumeRule,
    CheckRule,
    MaterialRule,
    RiskRule,
    RuleBook,
    Selector,
    TaskRule,
)
from tools.markdown import code, page, table
from tools.standard_book import rule_book

_PARTS = {
    "job": "Every job", "storage": "Storage", "panels": "Panels", "converter": "Converter",
    "backup": "Backup",
}
_SIGNS = {"exactly": "=", "at_least": "at least", "at_most": "at most", "includes": "includes"}
R = TypeVar("R", MaterialRule, TaskRule, RiskRule, CheckRule, AssumeRule)


def rules_page() -> str:
    """Return the page."""
    book = rule_book()
    sections = [section for part in PARTS for section in _part(part, book)]
    return page(
        "Rules",
        "The standard rules, by the part of the job they belong to. A rule whose answer hangs on "
        "an unknown fact adds nothing: it asks. Cases for each stand in `tests/rule_cases/`. A "
        "firm's own folder `rules` overrides by id.", sections)


def _part(part: str, book: RuleBook) -> Iterator[str]:
    yield f"## {_PARTS[part]}"
    yield from _kind("Materials", part, book.materials, _material,
                     ("Rule", "When", "Quantity", "Item", "Because"))
    yield from _kind("Tasks", part, book.tasks, _task,
                     ("Task", "When", "Units", "Norm", "People", "Because"))
    yield from _kind("Risks", part, book.risks, _risk,
                     ("Risk", "When", "Chance", "Cost", "Because", "The price holds if"))
    yield from _kind("Checks", part, book.checks, _check,
                     ("Check", "When", "Level", "Says", "Source", "Who decides"))
    yield from _kind("Assumptions", part, book.assumptions, _assume,
                     ("Assumption", "While unknown", "Value", "Because"))


def _kind(
    title: str, part: str, rules: Sequence[R], row: Callable[[R], tuple[str, ...]],
    heads: Sequence[str],
) -> Iterator[str]:
    own = [rule for rule in rules if rule.part == part]
    if own:
        yield f"### {title}: {_PARTS[part].lower()}\n\n{table(heads, map(row, own))}"


def _name(rule: MaterialRule | TaskRule | RiskRule | CheckRule) -> str:
    each = f", each {rule.each}" if rule.each else ""
    option = ", an option" if isinstance(rule, MaterialRule) and rule.option else ""
    return f"{code(rule.id)}{each}{option}"


def _material(rule: MaterialRule) -> tuple[str, ...]:
    runs = f", in {code(rule.runs.text)} lengths" if rule.runs is not None else ""
    return (_name(rule), code(rule.when.text), code(rule.quantity.text) + runs,
            _item(rule.selector), rule.because)


def _item(selector: Selector) -> str:
    if selector.code is not None:
        return f"the item {code(selector.code.text)}"
    demands = [
        f"{field} {sign} {code(formula.text)}"
        for kind, sign in _SIGNS.items() for field, formula in getattr(selector, kind)]
    return "; ".join([f"{selector.family}: {selector.role}", *demands])


def _task(rule: TaskRule) -> tuple[str, ...]:
    people = "the norm's crew" if rule.people is None else code(rule.people.text)
    return (_name(rule), code(rule.when.text), code(rule.units.text), code(rule.norm), people,
            rule.because)


def _risk(rule: RiskRule) -> tuple[str, ...]:
    return (_name(rule), code(rule.when.text), str(rule.chance), str(rule.cost), rule.because,
            rule.holds_if)


def _check(rule: CheckRule) -> tuple[str, ...]:
    return (_name(rule), code(rule.when.text), rule.level, rule.says, rule.source, rule.decides)


def _assume(rule: AssumeRule) -> tuple[str, ...]:
    dearest = ", the dearest answer" if rule.dearest else ""
    return code(rule.id), code(rule.fact), code(rule.value.text) + dearest, rule.because
