"""Reads computed facts and puts them in the order in which they can be worked out."""

from __future__ import annotations

import keyword
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from estimator.design.sheet import SCOPES, Scope
from estimator.rules.entries import TYPES, Entry, Notes
from estimator.rules.facts import FactDef, FactDictionary
from estimator.rules.formula import Compiled, try_formula
from estimator.rules.model import ComputedFact, Formula

_NAME = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)+")


def computed_facts(
    entries: Sequence[Entry], dictionary: FactDictionary, notes: Notes
) -> tuple[dict[str, FactDef], tuple[ComputedFact, ...]]:
    """Return the whole dictionary and the computed facts, each after those it reads.

    A text fact's vocabulary follows from its formula, so that a comparison with any other word is
    found. Circles, clashes with other facts and faults of formulas are noted.
    """
    named = {entry.name: entry for entry in entries if _sound_name(entry, dictionary, notes)}
    facts = dict(dictionary)
    facts.update({
        name: _definition(entry) for name, entry in named.items() if entry.data.get("type") in TYPES
    })
    by_name = {name: entry for name, entry in named.items() if entry.sound}
    compiled = {name: _compile(entry, facts) for name, entry in by_name.items()}
    formulas = {
        name: each.formula for name, each in compiled.items() if each.formula is not None
    }
    computed: list[ComputedFact] = []
    for name in _in_order(formulas, by_name, notes):
        entry = by_name[name]
        compiled[name] = _with_words(compiled[name], entry, facts, formulas)
        formula = compiled[name].formula
        if formula is not None:
            facts[name] = replace(facts[name], values=formula.words)
            computed.append(ComputedFact(facts[name], formula, entry.place()))
    for name, each in compiled.items():
        text = by_name[name].data["value"]
        for fault in each.faults:
            place = by_name[name].text_place(text, fault.at, "value")
            notes.add(fault.code, place, fault.says, fault.mend)
    return facts, tuple(computed)


def _sound_name(entry: Entry, dictionary: FactDictionary, notes: Notes) -> bool:
    name, each = entry.name, entry.data.get("each", "")
    if not _NAME.fullmatch(name) or any(keyword.iskeyword(part) for part in name.split(".")):
        notes.add("R003", entry.place("name"), f"'{name}' is not the name of a fact",
                  "small letters, digits and underscores, with a dot: storage.stacks")
        return False
    if name in dictionary:
        notes.add("R010", entry.place("name"),
                  f"'{name}' is already a fact: {dictionary[name].meaning}",
                  "give the computed fact another name")
        return False
    root = name.split(".")[0]
    if (root in SCOPES or each) and root != each:
        notes.add("R004", entry.place("name"),
                  f"the fact '{name}' and its each = \"{each}\" do not fit",
                  "a fact of each plane is called plane.*, of each leg leg.*, and no other is")
        return False
    return True


def _definition(entry: Entry) -> FactDef:
    data = entry.data
    return FactDef(
        entry.name, data["type"], str(data.get("unit", "")), str(data.get("meaning", "")),
        _scope(entry), (), "computed",
    )


def _scope(entry: Entry) -> Scope:
    each = entry.data.get("each", "")
    return each if each in SCOPES else ""


def _compile(entry: Entry, facts: FactDictionary) -> Compiled:
    return try_formula(entry.data["value"], facts, _scope(entry), entry.data["type"])


def _with_words(
    compiled: Compiled, entry: Entry, facts: FactDictionary, formulas: Mapping[str, Formula]
) -> Compiled:
    """Compile again a formula that reads a text fact whose vocabulary is known by now."""
    if compiled.formula is None:
        return compiled
    reads_words = any(path in formulas and facts[path].values for path in compiled.formula.paths)
    return _compile(entry, facts) if reads_words else compiled


def _in_order(
    formulas: Mapping[str, Formula], entries: Mapping[str, Entry], notes: Notes
) -> list[str]:
    """Return the names, each after what it reads; note every circle once."""
    done: dict[str, None] = {}
    in_circles: set[str] = set()
    for name in formulas:
        _visit(name, [], formulas, done, in_circles, entries, notes)
    return list(done)


def _visit(
    name: str, trail: list[str], formulas: Mapping[str, Formula], done: dict[str, None],
    in_circles: set[str], entries: Mapping[str, Entry], notes: Notes,
) -> None:
    if name in done:
        return
    if name in trail:
        circle = trail[trail.index(name):]
        if not in_circles & set(circle):
            says = " -> ".join([*circle, name])
            notes.add("R009", entries[name].place("value"),
                      f"these computed facts go round in a circle: {says}",
                      "work one of them out from other facts")
        in_circles.update(circle)
        return
    for path in formulas[name].paths:
        if path in formulas:
            _visit(path, [*trail, name], formulas, done, in_circles, entries, notes)
    done[name] = None
