"""Which facts a formula reads, also through computed facts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from estimator.rules.model import (
    AssumeRule,
    Formula,
    MaterialRule,
    Rule,
    RuleBook,
    Selector,
    TaskRule,
)


def formulas_of(rule: Rule) -> tuple[Formula, ...]:
    """Return every formula of a rule: condition, quantity, its runs, the demands on its item."""
    if isinstance(rule, AssumeRule):
        return (rule.value,) if rule.when is None else (rule.when, rule.value)
    if isinstance(rule, TaskRule):
        people = () if rule.people is None else (rule.people,)
        return rule.when, rule.units, *people
    if isinstance(rule, MaterialRule):
        runs = () if rule.runs is None else (rule.runs,)
        return rule.when, rule.quantity, *runs, *_of_selector(rule.selector)
    return (rule.when,)


def _of_selector(selector: Selector) -> Iterator[Formula]:
    kinds = (selector.exactly, selector.at_least, selector.at_most, selector.includes)
    yield from (formula for kind in kinds for _, formula in kind)
    if selector.code is not None:
        yield selector.code


def reads_nothing(formula: Formula) -> bool:
    """Return whether a formula names no fact at all."""
    return not formula.paths


def reads_by_rule(book: RuleBook) -> Mapping[str, tuple[str, ...]]:
    """Return every fact that a rule reads, by its id; `RuleBook.reads` holds it."""
    return {rule.id: _all_paths(formulas_of(rule), book) for rule in book.rules}


def _all_paths(formulas: Iterable[Formula], book: RuleBook) -> tuple[str, ...]:
    """Return every fact that formulas read, each followed by those it is computed from."""
    values = book.formulas
    found: dict[str, None] = {}

    def visit(path: str) -> None:
        if path in found:
            return
        found[path] = None
        if path in values:
            for each in values[path].paths:
                visit(each)

    for formula in formulas:
        for path in formula.paths:
            visit(path)
    return tuple(found)


def asked_facts(formulas: Iterable[Formula], book: RuleBook) -> tuple[str, ...]:
    """Return the surveyed facts that can leave one of the formulas unknown.

    A fact that the formula guards by `known(...)` cannot, nor can the parts the job asks for.
    """
    values = book.formulas
    found: dict[str, None] = {}
    seen: set[str] = set()

    def visit(formula: Formula) -> None:
        for path in _open_paths(formula):
            if path in values:
                if path not in seen:
                    seen.add(path)
                    visit(values[path])
            elif book.facts[path].origin == "survey" and not path.startswith("job."):
                found[path] = None

    for formula in formulas:
        visit(formula)
    return tuple(found)


def _open_paths(formula: Formula) -> Iterator[str]:
    """Yield the paths a formula reads for their value, without those it guards by known(...)."""
    guarded = {
        path for span in formula.spans for path in span.paths if path not in span.open_paths
    }
    for span in formula.spans:
        yield from (path for path in span.open_paths if path not in guarded)
