"""Finds the line of every table, key and list entry of a TOML text.

The standard reader gives values without positions. This one walks over the same text, which the
standard reader has already accepted, and keeps only where things stand.
"""

from __future__ import annotations

import re

import tomli

KeyPath = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t]*")
_BLANK_LINES = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_PLAIN_VALUE = re.compile(r"[^,\]}#\n]*")
# The commonest line by far, `key = "value"`, is passed over in one step.
_SIMPLE_LINE = re.compile(
    r"""([A-Za-z0-9_-]+)[ \t]*=[ \t]*(?:"(?!"")[^"\\\n]*"|'(?!'')[^'\n]*'|[A-Za-z0-9.+-]+)"""
    r"""[ \t]*(?:\#[^\n]*)?(?=\n|\Z)"""
)
# The commonest header by far, `[[name]]`.
_SIMPLE_HEADER = re.compile(r"\[\[([A-Za-z0-9_-]++)\]\](?=\n)")
# A run of lines that hold no header: blank, a remark, or a key with plain values, lists or rows.
_SCALAR = r"""(?:"(?!"")[^"\\\n]*+"|'(?!'')[^'\n]*+'|[A-Za-z0-9.+-]++)"""
_GAP = r"(?:[ \t\n]|\#[^\n]*+)*+"
_ROW = rf"(?:\[{_GAP}(?:{_SCALAR}{_GAP},?{_GAP})*+\])"
_LIST = rf"(?:\[{_GAP}(?:(?:{_SCALAR}|{_ROW}){_GAP},?{_GAP})*+\])"
_PAIR = rf"(?:[A-Za-z0-9_-]++[ \t]*+=[ \t]*+(?:{_SCALAR}|{_LIST})[ \t]*+)"
_TABLE = rf"(?:\{{[ \t]*+(?:{_PAIR},?[ \t]*+)*+\}})"
_PLAIN_LINES = re.compile(
    rf"(?:[ \t]*+(?:[A-Za-z0-9_-]++[ \t]*+=[ \t]*+(?:{_SCALAR}|{_LIST}|{_TABLE})[ \t]*+)?+"
    r"(?:\#[^\n]*+)?+\n)*+"
)
_STRINGS = tuple(
    re.compile(pattern, re.DOTALL)
    for pattern in (
        r'"""(?:\\.|[^\\])*?"""(?!")"{0,2}',
        r"'''.*?'''(?!')'{0,2}",
        r'"(?:\\.|[^"\\\n])*"',
        r"'[^'\n]*'",
    )
)


def lines_of(text: str) -> dict[KeyPath, int]:
    """Return the line (from 1) of every table, key and list entry.

    Args:
        text: a text that `tomli.loads` accepts, with or without carriage returns. For any
            other text the answer is some mapping; it never loops and never raises ValueError.

    Raises:
        RecursionError: if lists are nested deeper than Python can follow.
    """
    walker = _Walker(text.replace("\r\n", "\n"))
    walker.document()
    return walker.lines


def header_lines(text: str) -> dict[KeyPath, int]:
    """Return what `lines_of` does, of the tables under headers at least; many times as fast.

    Keys that stand on one line with their value may be missing; what is there is exact.
    """
    walker = _Walker(text.replace("\r\n", "\n"))
    walker.document(_PLAIN_LINES)
    return walker.lines


class _Walker:
    """Walks once over the text; every step moves forward."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.lines: dict[KeyPath, int] = {}
        self.opened: dict[KeyPath, int] = {}
        self.table: KeyPath = ()

    def document(self, passed_over: re.Pattern[str] = _BLANK_LINES) -> None:
        while True:
            self.skip(passed_over)
            self.skip(_BLANK_LINES)
            if self.at >= len(self.text):
                return
            before = self.at
            if self.text[self.at] == "[":
                self.header()
            else:
                self.statement(self.table)
            if self.at == before:
                self.move(1)

    def move(self, length: int) -> str:
        """Go forward and count the lines passed."""
        passed = self.text[self.at : self.at + length]
        self.at += len(passed)
        self.line += passed.count("\n")
        return passed

    def skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        return self.move(found.end() - self.at) if found else ""

    def sees(self, mark: str) -> bool:
        return self.text.startswith(mark, self.at)

    def string(self) -> str | None:
        """Pass over a quoted text and return it with its quotes; None if there is none."""
        if self.text[self.at : self.at + 1] not in ('"', "'"):
            return None
        for pattern in _STRINGS:
            found = pattern.match(self.text, self.at)
            if found:
                return self.move(found.end() - self.at)
        return self.move(1)

    def names(self) -> list[str]:
        """Pass over a key, dotted or not, and return its parts."""
        names: list[str] = []
        while True:
            self.skip(_BLANK)
            quoted = self.string()
            names.append(self.skip(_BARE) if quoted is None else _unquoted(quoted))
            self.skip(_BLANK)
            if not self.sees("."):
                return names
            self.move(1)

    def resolve(self, names: list[str]) -> KeyPath:
        """Return the path of a table; inside an array of tables it is the last one opened."""
        path: KeyPath = ()
        for name in names:
            path = (*path, name)
            self.lines.setdefault(path, self.line)
            if path in self.opened:
                path = (*path, self.opened[path] - 1)
        return path

    def header(self) -> None:
        simple = _SIMPLE_HEADER.match(self.text, self.at)
        if simple:
            self.at = simple.end()
            self.open_array((simple.group(1),))
            return
        array = self.sees("[[")
        self.move(2 if array else 1)
        names = self.names()
        if array:
            self.open_array((*self.resolve(names[:-1]), names[-1]))
        else:
            self.table = self.resolve(names)
            # A table that earlier lines only implied stands where its own header is.
            self.lines[self.table] = self.line
        while self.sees("]"):
            self.move(1)

    def open_array(self, base: KeyPath) -> None:
        """Note the next table of an array of tables."""
        self.lines.setdefault(base, self.line)
        self.opened[base] = self.opened.get(base, 0) + 1
        self.table = (*base, self.opened[base] - 1)
        self.lines[self.table] = self.line

    def statement(self, table: KeyPath) -> None:
        """Pass over `key = value`."""
        simple = _SIMPLE_LINE.match(self.text, self.at)
        if simple:
            self.lines.setdefault((*table, simple.group(1)), self.line)
            self.at = simple.end()
            return
        line = self.line
        names = self.names()
        for end in range(1, len(names) + 1):
            self.lines.setdefault((*table, *names[:end]), line)
        if self.sees("="):
            self.move(1)
            self.skip(_BLANK)
            self.value((*table, *names))

    def value(self, path: KeyPath) -> None:
        if self.sees("["):
            self.entries(path)
        elif self.sees("{"):
            self.inline(path)
        elif self.string() is None:
            self.skip(_PLAIN_VALUE)

    def entries(self, path: KeyPath) -> None:
        """Pass over a list; each entry stands on its own line."""
        self.move(1)
        number = 0
        while self.at < len(self.text):
            self.skip(_BLANK_LINES)
            if self.sees("]"):
                self.move(1)
                return
            before = self.at
            self.lines[(*path, number)] = self.line
            self.value((*path, number))
            number += 1
            self.skip(_BLANK_LINES)
            if self.sees(",") or self.at == before:
                self.move(1)

    def inline(self, path: KeyPath) -> None:
        """Pass over an inline table."""
        self.move(1)
        while self.at < len(self.text):
            self.skip(_BLANK_LINES)
            if self.sees("}"):
                self.move(1)
                return
            before = self.at
            self.statement(path)
            self.skip(_BLANK_LINES)
            if self.sees(",") or self.at == before:
                self.move(1)


def _unquoted(raw: str) -> str:
    """Return a quoted key as the standard reader reads it."""
    try:
        return str(tomli.loads(f"key = {raw}")["key"])
    except tomli.TOMLDecodeError:
        return raw
