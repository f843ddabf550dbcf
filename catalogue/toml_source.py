"""A TOML file read with exact decimals, remembering on which line each key stands.

The standard reader gives values without positions. This one scans the text a second time for
table headers and keys, so that every message about a value can name its line.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

from catalogue.problems import Place, Problem, ProblemsFound

KeyPath = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[?)([^\[\]]+)(\]\]?)\s*(#.*)?$")
_KEY = re.compile(r"^\s*((?:[\w-]+|\"[^\"]*\"|'[^']*')(?:\s*\.\s*(?:[\w-]+|\"[^\"]*\"|'[^']*'))*)\s*=")
_PART = re.compile(r"[\w-]+|\"[^\"]*\"|'[^']*'")


@dataclass(frozen=True)
class TomlSource:
    """The values of a TOML file and the line of every table and key in it."""

    file: str
    data: dict[str, Any]
    lines: dict[KeyPath, int] = field(default_factory=dict)

    def place(self, path: Sequence[str | int]) -> Place:
        """Return the place of a key, or of the nearest table round it that is on a line."""
        key = tuple(path)
        while key and key not in self.lines:
            key = key[:-1]
        return Place(self.file, self.lines.get(key))


def read_toml(path: Path, shown_as: str | None = None) -> TomlSource:
    """Read a TOML file.

    Raises:
        ProblemsFound: with code T001 if the file cannot be read, T002 if it is not UTF-8 text,
            T003 if it is not TOML.
    """
    shown = shown_as or path.as_posix()
    try:
        raw = path.read_bytes()
    except OSError as error:
        reason = error.strerror or str(error)
        raise ProblemsFound(
            [Problem("T001", Place(shown), f"the file cannot be read: {reason}",
                     "check the path and that the file may be read")]
        ) from error
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise ProblemsFound(
            [Problem("T002", Place(shown, line), "the file is not UTF-8 text",
                     "save it as UTF-8 in the text editor")]
        ) from error
    return parse_toml(text, shown)


def parse_toml(text: str, shown_as: str) -> TomlSource:
    """Read TOML text; see `read_toml`."""
    try:
        data = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise ProblemsFound([_not_toml(error, shown_as)]) from error
    return TomlSource(shown_as, data, _scan(text))


def _not_toml(error: Exception, shown_as: str) -> Problem:
    found = re.search(r"^(.*?)\s*\(at line (\d+), column (\d+)\)$", str(error))
    if found is None:
        return Problem("T003", Place(shown_as), f"this is not TOML: {error}",
                       "text values stand in quotes; see demo_jobs/ for examples")
    says, line, column = found.group(1), int(found.group(2)), int(found.group(3))
    return Problem("T003", Place(shown_as, line, column), f"this is not TOML: {says}",
                   "text values stand in quotes; see demo_jobs/ for examples")


def _parts(dotted: str) -> list[str]:
    return [part.strip("\"'") for part in _PART.findall(dotted)]


class _Scanner:
    """Follows headers and keys; knows how many tables of an array have been opened."""

    def __init__(self) -> None:
        self.lines: dict[KeyPath, int] = {}
        self.counts: dict[KeyPath, int] = {}
        self.table: KeyPath = ()
        self.quote = ""
        self.depth = 0

    def resolve(self, names: list[str]) -> KeyPath:
        path: KeyPath = ()
        for name in names:
            path = (*path, name)
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        return path

    def header(self, names: list[str], number: int, array: bool) -> None:
        if not array:
            self.table = self.resolve(names)
            self.lines.setdefault(self.table, number)
            return
        base = (*self.resolve(names[:-1]), names[-1])
        self.lines.setdefault(base, number)
        self.counts[base] = self.counts.get(base, 0) + 1
        self.table = (*base, self.counts[base] - 1)
        self.lines[self.table] = number

    def line(self, line: str, number: int) -> None:
        if not self.quote and self.depth == 0:
            header = _HEADER.match(line)
            if header:
                self.header(_parts(header.group(2)), number, header.group(1) == "[[")
                return
            key = _KEY.match(line)
            if key:
                self.key(_parts(key.group(1)), number)
                line = line[key.end():]
        self.skip(line)

    def key(self, names: list[str], number: int) -> None:
        for end in range(1, len(names) + 1):
            self.lines.setdefault((*self.table, *names[:end]), number)

    def skip(self, line: str) -> None:
        """Follow strings and brackets so that text inside a value is not taken for a key."""
        at = 0
        while at < len(line):
            at = self._step(line, at)
        if len(self.quote) == 1:
            self.quote = ""

    def _step(self, line: str, at: int) -> int:
        if self.quote:
            if self.quote[0] == '"' and line[at] == "\\":
                return at + 2
            if line.startswith(self.quote, at):
                at += len(self.quote)
                self.quote = ""
                return at
            return at + 1
        for mark in ('"""', "'''", '"', "'"):
            if line.startswith(mark, at):
                self.quote = mark
                return at + len(mark)
        if line[at] == "#":
            return len(line)
        if line[at] in "[{":
            self.depth += 1
        elif line[at] in "]}":
            self.depth = max(0, self.depth - 1)
        return at + 1


def _scan(text: str) -> dict[KeyPath, int]:
    scanner = _Scanner()
    for number, line in enumerate(text.split("\n"), start=1):
        scanner.line(line, number)
    return scanner.lines
