"""Completes the sheet of a job: assumptions for unknown facts, then the computed facts.

An assumed fact is priced with a value but is not known: `known(path)` stays no, and its question
stays open. The key `@assumed` of an environment holds the paths that rest on an assumption.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from estimator.design.sheet import SCOPES, Detail, FactSheet, Scope, Unknown
from estimator.rules.decide import answer
from estimator.rules.exact import FormulaFailed
from estimator.rules.model import AssumeRule, ComputedFact, Formula, RuleBook

_INDEX = re.compile(r"\[\d+\]")


@dataclass(frozen=True)
class Completed:
    """A sheet with every fact of the dictionary, and the computed facts that have no answer.

    Attributes:
        sheet: every path of the dictionary is in every environment, unknown where not given.
        failed: full path of a computed fact -> what went wrong and which fact it is.
    """

    sheet: FactSheet
    failed: Mapping[str, tuple[FormulaFailed, ComputedFact]]


def plain_path(path: str) -> str:
    """Return a path without its index: plane[0].covering -> plane.covering."""
    return _INDEX.sub("", path)


def full_path(path: str, key: str) -> str:
    """Return a path as it stands on the sheet: plane.covering in plane[0] -> plane[0].covering."""
    scope = key.split("[", maxsplit=1)[0]
    return f"{key}{path[len(scope):]}" if scope and path.startswith(f"{scope}.") else path


def assume(book: RuleBook, sheet: FactSheet) -> FactSheet:
    """Return the sheet with values for unknown facts that the rules allow to be assumed.

    It may be called before the roof design, so that the design has the values too; `complete`
    calls it again, which then changes nothing.
    """
    draft = _Draft(book, sheet)
    for rule in book.assumptions:
        if rule.part == "job" or rule.part in sheet.parts:
            draft.assume(rule)
    return draft.sheet()


def complete(book: RuleBook, sheet: FactSheet) -> Completed:
    """Return the sheet with assumptions made and every computed fact worked out."""
    draft = _Draft(book, assume(book, sheet))
    draft.fill()
    for fact in book.computed:
        draft.compute(fact)
    return Completed(draft.sheet(), draft.failed)


class _Draft:
    """Environments that may still be written."""

    def __init__(self, book: RuleBook, sheet: FactSheet) -> None:
        self.book = book
        self.old = sheet
        self.job: dict[str, Any] = dict(sheet.job)
        self.scopes: dict[Scope, tuple[dict[str, Any], ...]] = {
            scope: tuple({**self.job, **env} for env in sheet.scopes.get(scope, ()))
            for scope in SCOPES
        }
        self.details: dict[str, Detail] = dict(sheet.details)
        self.failed: dict[str, tuple[FormulaFailed, ComputedFact]] = {}
        for env in self._all():
            env["@assumed"] = set(env.get("@assumed", ()))
            env.update((f"@{scope}", envs) for scope, envs in self.scopes.items())

    def _all(self) -> Iterator[dict[str, Any]]:
        yield self.job
        for envs in self.scopes.values():
            yield from envs

    def _places(self, scope: Scope) -> list[tuple[str, dict[str, Any]]]:
        if not scope:
            return [("", self.job)]
        return [(f"{scope}[{i}]", env) for i, env in enumerate(self.scopes[scope])]

    def sheet(self) -> FactSheet:
        names = {scope: self.old.names.get(scope, ()) for scope in SCOPES}
        return replace(self.old, job=self.job, scopes=self.scopes, names=names,
                       details=self.details)

    def fill(self) -> None:
        """Put every fact of the dictionary into every environment; name planes and legs."""
        for scope in self.scopes:
            for key, env in self._places(scope):
                _name_unknowns(env, key)
        everywhere = [env for envs in self.scopes.values() for env in envs]
        places = {scope: self._places(scope) for scope in self.scopes}
        for path, fact in self.book.facts.items():
            if fact.scope:
                for key, env in places[fact.scope]:
                    if path not in env:
                        env[path] = self._not_given(path, key)
                continue
            if path not in self.job:
                self.job[path] = self._not_given(path, "")
            for env in everywhere:
                env.setdefault(path, self.job[path])

    def _not_given(self, path: str, key: str) -> Any:
        if path == "job.trips":
            return 1
        if path.startswith("job."):
            return path.removeprefix("job.") in self.old.parts
        return Unknown(full_path(path, key))

    def _write(self, path: str, env: dict[str, Any], scope: Scope, value: Any) -> None:
        """Write a fact; one of the job goes into every environment."""
        for each in [env] if scope else self._all():
            each[path] = value

    def _mark(self, path: str, env: dict[str, Any], scope: Scope) -> None:
        for each in [env] if scope else self._all():
            each["@assumed"].add(path)

    def assume(self, rule: AssumeRule) -> None:
        scope = self.book.facts[rule.fact].scope
        paths = (*rule.value.paths, *(rule.when.paths if rule.when else ()))
        self._fill_across(paths)
        for key, env in self._places(scope):
            if env.get(rule.fact, _MISSING).__class__ is not Unknown:
                continue
            given = {path: env.get(path, Unknown(full_path(path, key))) for path in paths}
            try:
                holds = rule.when is None or answer(rule.when, {**env, **given}) is True
                value = answer(rule.value, {**env, **given})
            except FormulaFailed:
                continue
            if value.__class__ is Unknown or not holds:
                continue
            self._write(rule.fact, env, scope, value)
            self._mark(rule.fact, env, scope)
            self.details[full_path(rule.fact, key)] = Detail(
                "assumed", "assumed", rule.because, str(rule.where)
            )

    def _fill_across(self, paths: tuple[str, ...]) -> None:
        """Put facts into every plane or leg they belong to: a formula may read across them."""
        for path in paths:
            known = self.book.facts.get(path)
            for key, env in self._places(known.scope) if known and known.scope else ():
                env.setdefault(path, Unknown(full_path(path, key)))

    def compute(self, computed: ComputedFact) -> None:
        path, scope, formula = computed.fact.path, computed.fact.scope, computed.value
        for key, env in self._places(scope):
            full = full_path(path, key)
            try:
                value = answer(formula, env)
            except FormulaFailed as failure:
                self.failed[full] = failure, computed
                value = Unknown(full)
            self._write(path, env, scope, value)
            assumed = rests_on_assumption(formula, env)
            if assumed:
                self._mark(path, env, scope)
            self.details[full] = Detail(
                "computed", "assumed" if assumed else "", f"= {formula.text}",
                str(computed.where),
            )


_MISSING = Unknown()


def _name_unknowns(env: dict[str, Any], key: str) -> None:
    """Give unknown facts of a plane or leg its number: plane.covering -> plane[0].covering."""
    for path, value in env.items():
        if value.__class__ is Unknown:
            env[path] = Unknown(*(full_path(fact, key) for fact in value.facts))


def rests_on_assumption(formula: Formula, env: Mapping[str, Any]) -> bool:
    """Return whether a formula reads a fact that is assumed, or computed from one that is."""
    for span in formula.spans:
        for path in span.paths:
            if path in env["@assumed"]:
                return True
            if span.across and any(
                path in each["@assumed"] for each in env.get(f"@{path.split('.')[0]}", ())
            ):
                return True
    return False
