"""What a `[[value]]` and a `[[table]]` of a practice pack share: source, standing, dates."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from catalogue.problems import Problem, suggestion
from catalogue.toml_source import TomlSource

STANDINGS = ("published", "common practice", "from memory")
NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")

_NAME = re.compile(r"[a-z][a-z0-9_]*")


class Entry:
    """One table of a pack's file; notes what is wrong with it, with its line.

    Attributes:
        head: "value" or "table", as in the file.
        keys: keys it may hold.
    """

    head = ""
    keys: Sequence[str] = ()

    def __init__(
        self, source: TomlSource, at: int, table: Mapping[str, Any], problems: list[Problem]
    ) -> None:
        self.source = source
        self.at = at
        self.table = table
        self.problems = problems

    def check_keys(self) -> None:
        """Note every key that such an entry does not have."""
        for key in self.table:
            if key not in self.keys:
                self.refuse("P001", key, f"'{key}' is not known in a practice {self.head}",
                            suggestion(key, self.keys))

    def days(self) -> tuple[date, date | None]:
        """Return the first and the last day; None where it has no end."""
        start, end = self.day("from"), self.day("to") if "to" in self.table else None
        if start and end and end < start:
            self.refuse("P005", "to", f"it holds from {start} to {end}",
                        "'to' is the last day, on or after 'from'")
        return start or date.min, end

    def name(self) -> str:
        """Return the name."""
        name = self.text("name")
        if name and not _NAME.fullmatch(name):
            self.refuse("P003", "name", f"'{name}' cannot be the name of a fact",
                        "write small letters, digits and _ (a formula names it)")
        return name

    def standing(self) -> str:
        """Return how well the entry is known."""
        standing = self.text("standing")
        if standing and standing not in STANDINGS:
            self.refuse("P004", "standing", f"'{standing}' is not a standing",
                        suggestion(standing, STANDINGS))
        return standing

    def text(self, key: str, needed: bool = True) -> str:
        """Return the words of a key, or "" if there are none."""
        found = self.table.get(key)
        if isinstance(found, str) and (found.strip() or not needed):
            return found
        if found is not None and not isinstance(found, str):
            self.refuse("P003", key, f"'{key}' is {found!r}", "write words in quotes")
        elif needed:
            self.missing(key)
        return ""

    def day(self, key: str) -> date | None:
        """Return the date of a key, or None if there is none."""
        found = self.table.get(key)
        if type(found) is date:
            return found
        if found is None:
            self.missing(key)
        else:
            self.refuse("P003", key, f"'{key}' is {found!r}",
                        "write a date such as 2026-01-31, without quotes")
        return None

    def missing(self, key: str) -> None:
        """Note that a key is missing."""
        named = (
            f"'{self.table['name']}'" if isinstance(self.table.get("name"), str)
            else f"a {self.head}"
        )
        self.refuse("P002", key, f"{named} has no '{key}'", f"add a line {key} = ...")

    def refuse(self, code: str, key: str, says: str, mend: str) -> None:
        """Note a problem at a key."""
        self.problems.append(
            Problem(code, self.source.place((self.head, self.at, key)), says, mend)
        )
