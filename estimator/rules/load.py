"""Loads rule files: every formula compiled and checked, every problem reported at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import cast

from catalogue.items import COUNTED_UNITS
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.problems import Problem, ProblemsFound, suggestion
from catalogue.toml_source import TomlSource, read_toml
from estimator.design.sheet import SCOPES, Scope
from estimator.rules.computed import computed_facts
from estimator.rules.entries import Entry, Notes, read_entries
from estimator.rules.facts import FactDef, FactDictionary, FactType
from estimator.rules.formula import Compiled, try_formula
from estimator.rules.model import (
    AssumeRule,
    CheckRule,
    Formula,
    Level,
    MaterialRule,
    RiskRule,
    Rule,
    RuleBook,
    TaskRule,
)
from estimator.rules.selectors import read_selector

Role = tuple[str, str]
_PROGRAM = Path(__file__).resolve().parents[1]
STANDARD_RULES = _PROGRAM / "rules" / "data"


def read_rule_files(folders: Sequence[Path]) -> list[TomlSource]:
    """Read the rule files (*.toml, by name) of folders; a later folder overrides by id.

    Raises:
        ProblemsFound: for every folder or file that cannot be read (T001 to T004).
    """
    sources: list[TomlSource] = []
    problems: list[Problem] = []
    for folder in folders:
        paths = sorted(folder.glob("*.toml")) if folder.is_dir() else [folder]
        for path in paths:
            try:
                sources.append(read_toml(path, _shown(path)))
            except ProblemsFound as found:
                problems.extend(found.problems)
    if problems:
        raise ProblemsFound(problems)
    return sources


def _shown(path: Path) -> str | None:
    """Return the name under which a file that comes with the program is shown on any machine."""
    inside = path.resolve().is_relative_to(_PROGRAM)
    return path.resolve().relative_to(_PROGRAM.parent).as_posix() if inside else None


def role_units(prices: PriceBook) -> dict[Role, frozenset[str]]:
    """Return the units of the items that serve each (family, role)."""
    return {
        role: frozenset(item.unit for item in prices.with_role(*role)) for role in prices.roles()
    }


def load_rule_book(
    sources: Sequence[TomlSource],
    dictionary: FactDictionary,
    roles: frozenset[Role] | None = None,
    norms: Collection[str] | None = None,
    units: Mapping[Role, Collection[str]] | None = None,
    currency: str = "GBP",
) -> RuleBook:
    """Load and check rules.

    Args:
        sources: rule files in order; a file of a later folder overrides by id.
        dictionary: facts that are not computed by rules.
        roles: every (family, role) the catalogue serves; None leaves that unchecked.
        norms: every task with a labour norm; None leaves that unchecked.
        units: units of the items of each role; a counted item's quantity must be whole.
        currency: currency of the risks' cost.

    Raises:
        ProblemsFound: every problem of all files (codes R001 to R109), by file and line.
    """
    notes = Notes()
    return compile_entries(
        read_entries(sources, notes), dictionary, roles, norms, units, currency, notes)


def compile_entries(
    entries: Sequence[Entry],
    dictionary: FactDictionary,
    roles: frozenset[Role] | None = None,
    norms: Collection[str] | None = None,
    units: Mapping[Role, Collection[str]] | None = None,
    currency: str = "GBP",
    notes: Notes | None = None,
) -> RuleBook:
    """Check and compile the entries of rule files; `load_rule_book` says what is checked.

    Args:
        entries: what counts, in order.
        dictionary, roles, norms, units, currency: as for `load_rule_book`.
        notes: what was wrong with the entries' shape, if anything.
    """
    notes = Notes() if notes is None else notes
    facts, computed = computed_facts(
        [entry for entry in entries if entry.kind == "fact"], dictionary, notes
    )
    loader = _Loader(facts, notes, roles, norms, units or {}, currency)
    rules = [loader.rule(entry) for entry in entries if entry.kind != "fact"]
    _check_assumptions(rules, {each.fact.path for each in computed}, notes)
    if notes.problems:
        raise ProblemsFound(notes.in_order())
    return RuleBook(
        facts=facts,
        computed=computed,
        materials=tuple(rule for rule in rules if isinstance(rule, MaterialRule)),
        tasks=tuple(rule for rule in rules if isinstance(rule, TaskRule)),
        risks=tuple(rule for rule in rules if isinstance(rule, RiskRule)),
        checks=tuple(rule for rule in rules if isinstance(rule, CheckRule)),
        assumptions=tuple(rule for rule in rules if isinstance(rule, AssumeRule)),
    )


def _check_assumptions(
    rules: Sequence[Rule | None], computed: Collection[str], notes: Notes
) -> None:
    """Note assumptions that rest on computed facts, which are worked out only afterwards."""
    for rule in rules:
        if not isinstance(rule, AssumeRule):
            continue
        for path in (*rule.value.paths, *(rule.when.paths if rule.when else ())):
            if path in computed:
                notes.add("R011", rule.where, f"the assumption '{rule.id}' reads '{path}', which "
                          "is computed after assumptions are made",
                          "assume from surveyed facts, data sheets and practice values only")


class _Loader:
    """Turns sound entries into rules; notes what is wrong with their formulas and names."""

    def __init__(
        self, facts: Mapping[str, FactDef], notes: Notes, roles: frozenset[Role] | None,
        norms: Collection[str] | None, units: Mapping[Role, Collection[str]], currency: str,
    ) -> None:
        self.facts = facts
        self.notes = notes
        self.roles = roles
        self.norms = norms
        self.units = units
        self.currency = currency
        self._compiled: dict[tuple[str, Scope, FactType | None], Compiled] = {}

    def rule(self, entry: Entry) -> Rule | None:
        """Return the rule of an entry, or None if something is wrong with it."""
        if not entry.sound:
            self.formulas_only(entry)
            return None
        build = {
            "rule": self.material, "task": self.task, "risk": self.risk, "check": self.check,
            "assume": self.assume,
        }[entry.kind]
        return build(entry)

    def formula(
        self, entry: Entry, text: str, path: tuple[str, ...], expect: FactType | None,
        scope: Scope,
    ) -> Formula | None:
        """Compile a formula of an entry and note its faults where they stand in the file."""
        key = (text, scope, expect)
        compiled = self._compiled.get(key)
        if compiled is None:
            compiled = self._compiled[key] = try_formula(text, self.facts, scope, expect)
        if compiled.formula is None:
            for fault in compiled.faults:
                place = entry.text_place(text, fault.at, *path)
                self.notes.add(fault.code, place, fault.says, fault.mend)
        return compiled.formula

    def field(self, entry: Entry, key: str, expect: FactType) -> Formula | None:
        return self.formula(entry, entry.data[key], (key,), expect, _scope(entry))

    def formulas_only(self, entry: Entry) -> None:
        """Check the formulas and the norm of an entry whose other keys are wrong."""
        for key, expect in (
            ("when", "flag"), ("quantity", "number"), ("units", "number"), ("people", "whole"),
            ("runs", "whole"),
        ):
            if isinstance(entry.data.get(key), str):
                self.field(entry, key, cast("FactType", expect))
        if entry.kind == "task" and isinstance(entry.data.get("norm"), str):
            self._check_norm(entry)

    def _check_norm(self, entry: Entry) -> None:
        norm = entry.data["norm"]
        if self.norms is not None and norm not in self.norms:
            self.notes.add("R007", entry.place("norm"), f"there is no labour norm '{norm}'",
                           suggestion(norm, self.norms) or "add it to the norms")

    def material(self, entry: Entry) -> MaterialRule | None:
        when = self.field(entry, "when", "flag")
        selector = read_selector(
            entry, self.notes, self.roles,
            lambda text, path, expect: self.formula(entry, text, path, expect, _scope(entry)),
        )
        counted = selector is not None and bool(
            set(self.units.get((selector.family, selector.role), ())) & COUNTED_UNITS
        )
        quantity = self.field(entry, "quantity", "whole" if counted else "number")
        data = entry.data
        runs = self.field(entry, "runs", "whole") if "runs" in data else None
        if when is None or selector is None or quantity is None or (
                "runs" in data and runs is None):
            return None
        return MaterialRule(
            entry.name, data["for"], _scope(entry), when, quantity, selector, data["because"],
            entry.place(), data.get("option", False), runs,
        )

    def task(self, entry: Entry) -> TaskRule | None:
        when = self.field(entry, "when", "flag")
        units = self.field(entry, "units", "number")
        data = entry.data
        people = self.field(entry, "people", "whole") if "people" in data else None
        self._check_norm(entry)
        if when is None or units is None or ("people" in data and people is None):
            return None
        return TaskRule(entry.name, data["for"], _scope(entry), when, units, data["norm"],
                        data["because"], entry.place(), people)

    def risk(self, entry: Entry) -> RiskRule | None:
        when = self.field(entry, "when", "flag")
        chance, cost = self._chance(entry), self._cost(entry)
        closed_by = entry.data.get("closed_by", "")
        if closed_by and closed_by not in self.facts:
            self.notes.add("R104", entry.text_place(closed_by, 0, "closed_by"),
                           f"'{closed_by}' is not a fact", suggestion(closed_by, self.facts))
        if when is None or chance is None or cost is None:
            return None
        return RiskRule(entry.name, entry.data["for"], _scope(entry), when, chance, cost,
                        entry.data["because"], entry.place(), closed_by,
                        entry.data.get("holds_if", ""))

    def _chance(self, entry: Entry) -> Decimal | None:
        try:
            chance = Decimal(entry.data["chance"])
            if Decimal(0) <= chance <= Decimal(1):
                return chance
        except InvalidOperation:
            pass
        self.notes.add("R003", entry.place("chance"),
                       f"the chance '{entry.data['chance']}' is not a number from 0 to 1",
                       "one in four is \"0.25\"")
        return None

    def _cost(self, entry: Entry) -> Money | None:
        try:
            cost = Money.of(entry.data["cost"], self.currency)
            if cost.minor >= 0:
                return cost
        except (InvalidOperation, ValueError, OverflowError):
            pass
        self.notes.add("R003", entry.place("cost"),
                       f"the cost '{entry.data['cost']}' is not an amount of money",
                       "write pounds and pence, such as \"140.00\"")
        return None

    def check(self, entry: Entry) -> CheckRule | None:
        when = self.field(entry, "when", "flag")
        if when is None:
            return None
        data = entry.data
        return CheckRule(entry.name, data["for"], _scope(entry), when, cast("Level", data["level"]),
                         data["says"], data["source"], data["decides"], entry.place())

    def assume(self, entry: Entry) -> AssumeRule | None:
        data = entry.data
        fact = self.facts.get(data["fact"])
        if fact is None or fact.origin != "survey" or fact.path.startswith("job."):
            self.notes.add("R104", entry.text_place(data["fact"], 0, "fact"),
                           f"'{data['fact']}' is not a surveyed fact, so it cannot be assumed",
                           suggestion(data["fact"], (path for path, each in self.facts.items()
                                                     if each.origin == "survey")))
            return None
        value = self.formula(entry, data["value"], ("value",), fact.type, fact.scope)
        if value is None:
            return None
        for word in value.words if fact.values else ():
            if word not in fact.values:
                self.notes.add("R107", entry.text_place(data["value"], 0, "value"),
                               f"'{fact.path}' is never '{word}'", suggestion(word, fact.values))
        when = None
        if "when" in data:
            when = self.formula(entry, data["when"], ("when",), "flag", fact.scope)
        return AssumeRule(entry.name, data["for"], fact.path, value, data["because"],
                          entry.place(), when, entry.data.get("dearest", False))


def _scope(entry: Entry) -> Scope:
    each = entry.data.get("each", "")
    return each if each in SCOPES else ""
