"""Checks rule files as a whole and tells which roles of the catalogue no rule asks for."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from catalogue.problems import Problem, ProblemsFound
from catalogue.toml_source import TomlSource
from estimator.rules.facts import FactDictionary
from estimator.rules.load import Role, load_rule_book
from estimator.rules.model import RuleBook
from estimator.rules.reads import formulas_of


@dataclass(frozen=True)
class RuleCheck:
    """The outcome of a check of rule files.

    Attributes:
        problems: everything wrong, by file and line; then there is no book and no count.
        book: the rules, if nothing is wrong.
        unasked: roles of the catalogue that no rule asks for (not a mistake).
    """

    problems: tuple[Problem, ...]
    book: RuleBook | None
    unasked: tuple[Role, ...] = ()

    @property
    def counts(self) -> dict[str, int]:
        """Return how many there are of each kind."""
        if self.book is None:
            return {}
        book = self.book
        return {
            "computed facts": len(book.computed), "material rules": len(book.materials),
            "tasks": len(book.tasks), "risks": len(book.risks), "checks": len(book.checks),
            "assumptions": len(book.assumptions),
        }


def check_rules(
    sources: Sequence[TomlSource],
    dictionary: FactDictionary,
    roles: frozenset[Role] | None = None,
    norms: Collection[str] | None = None,
    units: Mapping[Role, Collection[str]] | None = None,
) -> RuleCheck:
    """Check rule files; see `load_rule_book` for the arguments."""
    try:
        book = load_rule_book(sources, dictionary, roles, norms, units)
    except ProblemsFound as found:
        return RuleCheck(found.problems, None)
    asked = {(rule.selector.family, rule.selector.role) for rule in book.materials}
    unasked = tuple(sorted((roles or frozenset()) - asked))
    return RuleCheck((), book, unasked)


def readers(book: RuleBook) -> dict[str, tuple[str, ...]]:
    """Return, for each fact, the ids of the rules and names of the computed facts that read it."""
    found: dict[str, dict[str, None]] = {path: {} for path in book.facts}
    for computed in book.computed:
        for path in computed.value.paths:
            found[path][computed.fact.path] = None
    for rule in book.rules:
        for formula in formulas_of(rule):
            for path in formula.paths:
                found[path][rule.id] = None
    return {path: tuple(names) for path, names in found.items()}
