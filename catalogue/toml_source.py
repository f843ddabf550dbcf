"""A TOML file read with exact decimals, remembering on which line each key stands.

Every message about a value can so name its line. `toml_lines` finds the lines.
"""

from __future__ import annotations

import decimal
import difflib
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Any

import tomli  # compiled: three times as fast as the standard library's tomllib

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_lines import KeyPath, header_lines, lines_of

# No length, amount or count of a house needs more than fifteen digits before or after the point;
# beyond that, turning a number into another kind can take for ever.
_DIGITS = 15
_DEEPEST = 100
_MEND = "text stands in quotes, yes and no are written true and false, decimals have a point"


@dataclass(frozen=True)
class TomlSource:
    """The values of a TOML file and the line of every table, key and list entry in it."""

    file: str
    data: dict[str, Any]
    text: str = field(default="", repr=False)

    @cached_property
    def lines(self) -> dict[KeyPath, int]:
        """Return the line of every table, key and list entry; worked out when first asked for."""
        return lines_of(self.text)

    @cached_property
    def _headers(self) -> dict[KeyPath, int]:
        return header_lines(self.text)

    def place(self, path: Sequence[str | int]) -> Place:
        """Return the place of a key, or of the nearest table round it that is on a line."""
        key = tuple(path)
        # Rules keep the line of each table, and only a message asks for that of a key.
        if key in self._headers:
            return Place(self.file, self._headers[key])
        while key and key not in self.lines:
            key = key[:-1]
        return Place(self.file, self.lines.get(key))


def read_toml(path: Path, shown_as: str | None = None) -> TomlSource:
    """Read a TOML file.

    Raises:
        ProblemsFound: with code T001 if the file cannot be read, T002 if it is not UTF-8 text,
            T003 if it is not TOML, T004 for numbers that measure nothing (inf, nan, 1e99).
    """
    shown = shown_as or as_text(path)
    try:
        raw = path.read_bytes()
    except (OSError, ValueError) as error:
        raise ProblemsFound([_unreadable(path, shown, error)]) from error
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
    text = text.removeprefix("\ufeff")
    try:
        data = tomli.loads(text, parse_float=_exact)
        sound = all(_is_measure(value) for value in _values(data))
    except (ValueError, RecursionError) as error:
        raise ProblemsFound([_not_toml(error, text, shown_as)]) from error
    source = TomlSource(shown_as, data, text)
    if not sound:
        raise ProblemsFound([
            Problem("T004", source.place(path), f"{_dotted(path)}: this number measures nothing",
                    f"write a number with at most {_DIGITS} digits before and after the point")
            for path, value in _leaves(data)
            if not _is_measure(value)
        ])
    return source


def as_text(path: Path) -> str:
    """Return a path as messages and papers name it: bytes that are no text are marked."""
    return path.as_posix().encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _exact(text: str) -> Decimal:
    """Return the decimal as written; not-a-number where it is beyond all bounds."""
    try:
        return Decimal(text)
    except decimal.InvalidOperation:
        return Decimal("nan")


def _values(data: dict[str, Any]) -> Iterator[Any]:
    """Yield every value that is no table and no list, without its path, which costs time.

    Raises:
        RecursionError: if tables or lists are nested deeper than `lines_of` can follow.
    """
    level: list[Any] = [data]
    for _ in range(_DEEPEST):
        inside = []
        for each in level:
            for value in each.values() if isinstance(each, dict) else each:
                if isinstance(value, dict | list):
                    inside.append(value)
                else:
                    yield value
        if not inside:
            return
        level = inside
    raise RecursionError


def _leaves(value: Any, path: KeyPath = ()) -> Iterator[tuple[KeyPath, Any]]:
    """Yield every value that is no table and no list, in file order, without recursion."""
    waiting: list[tuple[KeyPath, Any]] = [(path, value)]
    while waiting:
        at, value = waiting.pop()
        if isinstance(value, dict):
            waiting.extend(((*at, key), value[key]) for key in reversed(value))
        elif isinstance(value, list):
            waiting.extend(((*at, i), value[i]) for i in range(len(value) - 1, -1, -1))
        else:
            yield at, value


def _is_measure(value: Any) -> bool:
    if isinstance(value, Decimal):
        exponent = value.as_tuple().exponent
        return isinstance(exponent, int) and exponent >= -_DIGITS and value.adjusted() < _DIGITS
    return not isinstance(value, int) or abs(value) < 10**_DIGITS


def _dotted(path: KeyPath) -> str:
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def _unreadable(path: Path, shown: str, error: Exception) -> Problem:
    """Say why a file cannot be read and what to do about it."""
    place = Place(shown)
    if isinstance(error, IsADirectoryError):
        return Problem("T001", place, "this is a folder, not a file", "name a file in it")
    if isinstance(error, PermissionError):
        return Problem("T001", place, "you are not allowed to read this file",
                       "ask its owner, or copy it to a place of your own")
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return Problem("T001", place, "there is no such file", _similar(path))
    reason = error.strerror if isinstance(error, OSError) else None
    return Problem("T001", place, f"the file cannot be read: {reason or 'its name is not valid'}",
                   "check the path and that the file may be read")


def _similar(path: Path) -> str:
    """Return a file beside the missing one whose name is much like it."""
    try:
        names = sorted(entry.name for entry in path.parent.iterdir() if entry.is_file())
    except (OSError, ValueError):
        return "check the path"
    close = difflib.get_close_matches(path.name, names, n=1, cutoff=0.6)
    return f"did you mean '{close[0]}'?" if close else "check the path"


# What the standard reader says, and how it is said here: (its words, our words, the remedy).
_SAYINGS = (
    (r"Cannot overwrite a value", "this key or table is given twice", "keep one of the two"),
    (r"Cannot declare \((.*?),?\) twice", "the table [{0}] is given twice",
     "put all its keys under one header; a table that repeats has two brackets: [[planes]]"),
    (r"Cannot mutate immutable namespace.*", "this key is already given as a whole",
     "put all its values in one place"),
    (r"Invalid value", "no value can be read here{rest}", _MEND),
    (r"Expected newline or end of document after a statement",
     "the value is followed by something else{rest}", _MEND),
    (r"Expected '=' after a key in a key/value pair", "an equals sign is missing after the key",
     "write key = value; the key has no spaces"),
    (r"Invalid statement|Invalid initial character for a key part",
     "no key can be read here{rest}", "write key = value, or a # before a remark"),
    (r"Unterminated string|Expected \"'+\"", "a text is opened and never closed",
     "close it with the same quotes"),
    (r"Illegal character '\\n'", "a text is not closed on its line",
     "close it with the same quotes"),
    (r"Illegal character .*|Found invalid character .*",
     "a character here cannot stand in a text file", "delete it and type the text again"),
    (r"Unescaped '\\\\' in a string|Invalid hex value|Escaped character is not .*",
     "a backslash stands in a text", "write it twice, or put the text in single quotes"),
    (r"Unclosed array", "a list is opened and never closed", "close it with ]"),
    (r"Unclosed inline table", "a table is opened and never closed", "close it with }"),
    (r"Expected '\]\]?' at the end of a table declaration|Expected '\]\]' .*",
     "a table header is not closed", "write [name] or, for one that repeats, [[name]]"),
)


def _not_toml(error: Exception, text: str, shown_as: str) -> Problem:
    found = re.search(r"^(.*?)\s*\(at (?:line (\d+), column (\d+)|end of document)\)$", str(error),
                      re.DOTALL)
    if found is None:
        deep = isinstance(error, RecursionError)
        says = "tables or lists are nested too deep" if deep else "a number in it is too long"
        return Problem("T003", Place(shown_as), f"this is not TOML: {says}", _MEND)
    if found.group(2):
        place = Place(shown_as, int(found.group(2)), int(found.group(3)))
    else:
        place = Place(shown_as, _last_sound_line(found.group(1), text))
    if _begins_with_nought(text, place):
        return Problem("T003", place, "this is not TOML: a number begins with 0",
                       "put a telephone number or an item code in quotes")
    says, mend = _in_plain_words(found.group(1), _rest_of_line(text, place))
    return Problem("T003", place, f"this is not TOML: {says}", mend)


def _last_sound_line(reason: str, text: str) -> int:
    """Return where a text was opened that never closes, else the last line with anything on it."""
    quote = re.fullmatch(r"Expected \"('+)\"|Unterminated string", reason)
    opened = text.rfind(quote.group(1) or '"') if quote else len(text.rstrip())
    return text.count("\n", 0, opened) + 1


def _begins_with_nought(text: str, place: Place) -> bool:
    """Return whether the reader stopped after the 0 of something like 01632 or 00440."""
    if place.line is None or place.column is None:
        return False
    line = text.split("\n")[place.line - 1]
    before, after = line[: place.column - 1], line[place.column - 1 :]
    return bool(re.search(r"(?<![\w.-])0$", before)) and after[:1].isdigit()


def _rest_of_line(text: str, place: Place) -> str:
    """Return what stands from the place to the end of its line, as far as it can be printed."""
    if place.line is None or place.column is None:
        return ""
    line = text.split("\n")[place.line - 1][place.column - 1 :].strip()
    shown = line if len(line) <= 30 else line[:29] + "…"
    return f": {shown}" if shown and shown.isprintable() else ""


def _in_plain_words(reason: str, rest: str) -> tuple[str, str]:
    for pattern, says, mend in _SAYINGS:
        match = re.fullmatch(pattern, reason)
        if match:
            names = [re.sub(r"'(.*?)'(?:, )?", r"\1.", g).rstrip(".") for g in match.groups()]
            return says.format(*names, rest=rest), mend
    return reason[:1].lower() + reason[1:], _MEND
