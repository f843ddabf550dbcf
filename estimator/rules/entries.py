"""Reads the tables of rule files: which keys each kind has, and whose entry counts.

A later folder overrides an earlier one by id (a computed fact by name); within one folder an id
stands once. Everything that is wrong with a table's shape is noted here; formulas are not read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import PurePosixPath
from typing import Any

from catalogue.problems import Place, Problem, suggestion
from catalogue.toml_source import TomlSource
from estimator.rules.model import PARTS

# For each kind of table: key -> what it holds; "?" marks a key that may be left out.
KINDS: dict[str, dict[str, str]] = {
    "fact": {
        "name": "text", "type": "text", "unit": "text?", "each": "text?", "meaning": "text",
        "value": "text",
    },
    "rule": {
        "id": "text", "for": "text", "each": "text?", "when": "text", "item": "table?",
        "exactly": "table?", "at_least": "table?", "at_most": "table?", "includes": "table?",
        "code": "text?", "quantity": "text", "runs": "text?", "because": "text",
        "option": "flag?",
    },
    "task": {
        "id": "text", "for": "text", "each": "text?", "when": "text", "norm": "text",
        "units": "text", "people": "text?", "because": "text",
    },
    "risk": {
        "id": "text", "for": "text", "each": "text?", "when": "text", "chance": "number",
        "cost": "number", "because": "text", "closed_by": "text?",
        "holds_if": "text?",
    },
    "check": {
        "id": "text", "for": "text", "each": "text?", "when": "text", "level": "text",
        "says": "text", "source": "text", "decides": "text",
    },
    "assume": {
        "id": "text", "for": "text", "fact": "text", "value": "text", "because": "text",
        "when": "text?", "dearest": "flag?",
    },
}
TYPES = ("whole", "number", "flag", "text")
_CHOICES: dict[str, tuple[str, ...]] = {
    "for": PARTS,
    "each": ("", "plane", "leg"),
    "level": ("fine", "caution", "stop"),
    "type": TYPES,
}
_ID = re.compile(r"[a-z0-9]+(?:[.-][a-z0-9]+)*")
# A backslash at the end of a line joins it to the next within a multi-line text.
_JOINED_LINES = re.compile(r"\\[ \t]*\n\s*")
_HOLDS = {
    "text": "text in quotes", "flag": "true or false", "table": "a table { ... }",
    "number": "a number, as text in quotes",
}


@dataclass
class Notes:
    """The problems met while rule files are read."""

    problems: list[Problem] = field(default_factory=list)

    def add(self, code: str, where: Place, says: str, mend: str = "") -> None:
        """Note a problem."""
        self.problems.append(Problem(code, where, says, mend))

    def in_order(self) -> list[Problem]:
        """Return the problems by file, line and column."""
        return sorted(
            self.problems,
            key=lambda p: (p.where.file, p.where.line or 0, p.where.column or 0, p.code, p.says),
        )


@dataclass(frozen=True)
class Entry:
    """One table of a rule file; `sound` unless something about its keys has been noted."""

    kind: str
    name: str
    source: TomlSource
    index: int
    data: Mapping[str, Any]
    sound: bool = True

    def place(self, *path: str) -> Place:
        """Return the line of the table, or of a key in it."""
        return self.source.place((self.kind, self.index, *path))

    def text_place(self, text: str, at: int, *path: str) -> Place:
        """Return where a character of a text value stands in the file.

        Args:
            text: the value as read.
            at: which character, from 0.
            path: the keys that lead to the value.

        A text written with unusual escapes is not found; then the line is that of its key and
        the column counts within the text.
        """
        place = self.place(*path)
        raw = self.source.text.replace("\r\n", "\n")
        if place.line is None:
            return Place(place.file, None, at + 1)
        start = 0
        for _ in range(place.line - 1):
            start = raw.find("\n", start) + 1
        opened = re.compile(
            rf"(?<![\w-]){re.escape(path[-1])}[\"']?[ \t]*=[ \t]*(?:\"\"\"\n?|\'\'\'\n?|\"|')"
        ).search(raw, start)
        found = None if opened is None else _follow(raw, opened.end(), text, at)
        if found is None:
            return Place(place.file, place.line, at + 1)
        line = raw.count("\n", 0, found) + 1
        return Place(place.file, line, found - raw.rfind("\n", 0, found))


def _follow(raw: str, at: int, text: str, until: int) -> int | None:
    """Return where in the raw file the given character of a value stands; None if it differs."""
    for n, character in enumerate(text):
        joined = _JOINED_LINES.match(raw, at)
        if joined:
            at = joined.end()
        elif raw.startswith("\\" + character, at):
            at += 1
        if n == until:
            return at
        if not raw.startswith(character, at):
            return None
        at += 1
    return at


def read_entries(sources: Sequence[TomlSource], notes: Notes) -> list[Entry]:
    """Return the entries that count, in file order; an override keeps the place it overrides."""
    chosen: dict[tuple[bool, str], Entry] = {}
    for source in sources:
        for entry in _entries(source, notes):
            if not entry.name:
                continue
            key = (entry.kind == "fact", entry.name)
            earlier = chosen.get(key)
            if earlier is not None and _folder(earlier) == _folder(entry):
                what = "name" if entry.kind == "fact" else "id"
                notes.add("R008", entry.place(what),
                          f"the {what} '{entry.name}' is used twice in this folder",
                          f"it stands first at {earlier.place(what)}; give one another {what}")
                continue
            chosen[key] = entry
    return list(chosen.values())


def _folder(entry: Entry) -> PurePosixPath:
    return PurePosixPath(entry.source.file).parent


def _entries(source: TomlSource, notes: Notes) -> Iterator[Entry]:
    for kind, tables in source.data.items():
        place = source.place((kind,))
        if kind not in KINDS:
            notes.add("R001", place, f"a rule file has no tables called '{kind}'",
                      suggestion(kind, KINDS))
            continue
        if not isinstance(tables, list) or not all(isinstance(each, dict) for each in tables):
            notes.add("R003", place, f"'{kind}' is not a list of tables",
                      f"write [[{kind}]] above each entry")
            continue
        for index, table in enumerate(tables):
            yield _entry(kind, source, index, table, notes)


def _entry(
    kind: str, source: TomlSource, index: int, table: dict[str, Any], notes: Notes
) -> Entry:
    keys = KINDS[kind]
    label = "name" if kind == "fact" else "id"
    name = table.get(label)
    named = f"{kind} '{name}'" if isinstance(name, str) and name else f"this {kind}"
    entry = Entry(kind, name if isinstance(name, str) else "", source, index, table)
    before = len(notes.problems)
    for key in table:
        if key not in keys:
            notes.add("R001", entry.place(key), f"{named} has an unknown key '{key}'",
                      suggestion(key, keys))
    for key, holds in keys.items():
        _check_key(entry, named, key, holds, notes)
    if kind != "fact" and isinstance(name, str) and name and not _ID.fullmatch(name):
        notes.add("R003", entry.place("id"), f"'{name}' is not an id",
                  "use small letters, digits and hyphens, such as storage-bracket")
    return entry if len(notes.problems) == before else replace(entry, sound=False)


def _check_key(entry: Entry, named: str, key: str, holds: str, notes: Notes) -> None:
    kind = holds.removesuffix("?")
    if key not in entry.data:
        if not holds.endswith("?"):
            notes.add("R002", entry.place(), f"{named} has no '{key}'",
                      f"add {key} = ..., {_HOLDS[kind]}")
        return
    value = entry.data[key]
    if not _holds(value, kind):
        shown = str(value).lower() if isinstance(value, bool) else value
        mend = f'write it in quotes: {key} = "{shown}"' if kind in ("text", "number") and not (
            isinstance(value, dict | list)) else ""
        notes.add("R003", entry.place(key), f"'{key}' of {named} is not {_HOLDS[kind]}", mend)
    elif kind == "text" and not value.strip() and not holds.endswith("?"):
        notes.add("R003", entry.place(key), f"'{key}' of {named} is empty", "give it a value")
    elif key in _CHOICES and value not in _CHOICES[key]:
        notes.add("R004", entry.place(key), f"'{key}' of {named} cannot be '{value}'",
                  suggestion(value, [word for word in _CHOICES[key] if word]))


def _holds(value: object, kind: str) -> bool:
    if kind == "text":
        return isinstance(value, str)
    if kind == "flag":
        return isinstance(value, bool)
    if kind == "number":
        return isinstance(value, str | int | Decimal) and not isinstance(value, bool)
    return isinstance(value, dict)
