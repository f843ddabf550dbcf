"""A user's mistake as data: what is wrong, where it stands, how to mend it.

A programmer's mistake is an exception; a user's mistake is a `Problem`. Readers gather every
problem of a file before they give up, and raise them together as one `ProblemsFound`.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands: a file, and a line and column or a cell in it."""

    file: str = ""
    line: int | None = None
    column: int | None = None
    cell: str = ""

    def __str__(self) -> str:
        """Return `file:line:column` or `file:Sheet!B7`, so that an editor can jump there."""
        parts = [self.file or "(no file)"]
        if self.cell:
            parts.append(self.cell)
        if self.line is not None:
            parts.append(str(self.line))
            if self.column is not None:
                parts.append(str(self.column))
        return ":".join(parts)


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake of a user: a stable code, the place, what is wrong, and how to mend it.

    A "caution" is read and told, but stops nothing; it is never raised.
    """

    code: str
    where: Place
    says: str
    mend: str = ""
    level: Literal["error", "caution"] = "error"

    def __str__(self) -> str:
        """Return the message as the terminal shows it: one line, and the remedy below it."""
        first = printable(f"{self.where}: {self.level} {self.code}: {self.says}")
        return f"{first}\n    {printable(self.mend)}" if self.mend else first


class ProblemsFound(Exception):  # noqa: N818  (a plural: it carries all of them)
    """Every problem of one input, raised together; the command prints them all and exits 1."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        """Hold the problems in the order in which a reader meets them in the file."""
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def printable(text: str) -> str:
    """Return the text without characters that could move a cursor, break a line or hide."""
    return text if text.isprintable() else "".join(
        sign if sign.isprintable() else "?" for sign in text)


def suggestion(word: str, known: Iterable[str]) -> str:
    """Return "did you mean 'x'?" for the closest known word, or the sorted choices, or ""."""
    choices = sorted(set(known))
    close = difflib.get_close_matches(word, choices, n=1, cutoff=0.6)
    if close:
        return f"did you mean '{close[0]}'?"
    if 0 < len(choices) <= 12:
        return "choose one of: " + ", ".join(choices)
    return ""
