"""Reads the `[[value]]` tables of a practice pack and gathers everything that is wrong in them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal

from catalogue.problems import Place, Problem, suggestion
from catalogue.toml_source import TomlSource

STANDINGS = ("published", "common practice", "from memory")

_KEYS = ("name", "value", "unit", "meaning", "source", "standing", "from", "to", "decides")
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_NAME = re.compile(r"[a-z][a-z0-9_]*")


@dataclass(frozen=True, slots=True)
class PracticeValue:
    """One value of a pack, in force from `from_date` to `to_date` (included; None = open)."""

    name: str
    value: Decimal | bool | str
    unit: str
    meaning: str
    source: str
    standing: str
    from_date: date
    to_date: date | None
    decides: str
    where: Place

    @property
    def type(self) -> Literal["number", "flag", "text"]:
        """Return what kind of value it is."""
        if isinstance(self.value, bool):
            return "flag"
        return "number" if isinstance(self.value, Decimal) else "text"

    def in_force(self, on: date) -> bool:
        """Return whether the value holds on a day."""
        return self.from_date <= on and (self.to_date is None or on <= self.to_date)


class PackReader:
    """Gathers the values and the problems of all files of one pack."""

    def __init__(self) -> None:
        self.found: list[PracticeValue] = []
        self.problems: list[Problem] = []

    def read(self, source: TomlSource) -> None:
        """Read one file."""
        for key in source.data:
            if key != "value":
                self.refuse("P001", source.place((key,)), f"'{key}' is not known in a pack",
                            "a pack holds [[value]] tables only")
        tables = source.data.get("value")
        if not isinstance(tables, list) or not all(isinstance(each, dict) for each in tables):
            self.refuse("P009", source.place(("value",)), "the file has no [[value]] tables",
                        "write each value as a table headed [[value]]")
            return
        for at, table in enumerate(tables):
            value = _Table(source, at, table, self.problems).read()
            if value is not None:
                self.found.append(value)

    def by_name(self) -> dict[str, tuple[PracticeValue, ...]]:
        """Return the values by name in order of date, after checking that their dates fit."""
        grouped: dict[str, list[PracticeValue]] = {}
        for value in self.found:
            grouped.setdefault(value.name, []).append(value)
        ordered = {
            name: tuple(sorted(each, key=lambda value: value.from_date))
            for name, each in grouped.items()
        }
        for values in ordered.values():
            self.check_dates(values)
        return ordered

    def check_dates(self, values: Sequence[PracticeValue]) -> None:
        """Note every overlap, gap and change of kind between values that follow one another."""
        for early, late in pairwise(values):
            if (early.type, early.unit) != (late.type, late.unit):
                self.refuse(
                    "P008", late.where,
                    f"'{late.name}' is a {late.type} in '{late.unit}' here and a {early.type} in "
                    f"'{early.unit}' before", "a name keeps its type and its unit; take a new name")
            if early.to_date is None or early.to_date >= late.from_date:
                self.refuse(
                    "P006", late.where,
                    f"'{late.name}' holds from {late.from_date}, but the value before it "
                    f"{'has no end' if early.to_date is None else f'holds to {early.to_date}'}",
                    f"end the earlier value with to = {late.from_date - timedelta(days=1)}")
            elif early.to_date + timedelta(days=1) < late.from_date:
                self.refuse(
                    "P007", late.where,
                    f"'{late.name}' has no value between {early.to_date} and {late.from_date}",
                    "make the dates follow one another")

    def refuse(self, code: str, where: Place, says: str, mend: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(code, where, says, mend))


class _Table:
    """One `[[value]]` table."""

    def __init__(
        self, source: TomlSource, at: int, table: Mapping[str, Any], problems: list[Problem]
    ) -> None:
        self.source = source
        self.at = at
        self.table = table
        self.problems = problems

    def read(self) -> PracticeValue | None:
        """Return the value, or None if anything in the table is wrong."""
        before = len(self.problems)
        for key in self.table:
            if key not in _KEYS:
                self.refuse("P001", key, f"'{key}' is not known in a practice value",
                            suggestion(key, _KEYS))
        start, end = self.day("from"), self.day("to") if "to" in self.table else None
        if start and end and end < start:
            self.refuse("P005", "to", f"it holds from {start} to {end}",
                        "'to' is the last day, on or after 'from'")
        value = PracticeValue(
            name=self.name(), value=self.value(), unit=self.text("unit", needed=False),
            meaning=self.text("meaning"), source=self.text("source"), standing=self.standing(),
            from_date=start or date.min, to_date=end,
            decides=self.text("decides", needed=False),
            where=self.source.place(("value", self.at)),
        )
        return value if len(self.problems) == before else None

    def name(self) -> str:
        name = self.text("name")
        if name and not _NAME.fullmatch(name):
            self.refuse("P003", "name", f"'{name}' cannot be the name of a fact",
                        "write small letters, digits and _ (a formula names it)")
        return name

    def value(self) -> Decimal | bool | str:
        found = self.table.get("value")
        if isinstance(found, bool):
            return found
        if isinstance(found, str) and found.strip():
            return Decimal(found) if _NUMBER.fullmatch(found) else found
        if found is None:
            self.missing("value")
        else:
            self.refuse("P003", "value", f"'value' is {found!r}",
                        "write a number or words in quotes, or true or false")
        return ""

    def standing(self) -> str:
        standing = self.text("standing")
        if standing and standing not in STANDINGS:
            self.refuse("P004", "standing", f"'{standing}' is not a standing",
                        suggestion(standing, STANDINGS))
        return standing

    def text(self, key: str, needed: bool = True) -> str:
        found = self.table.get(key)
        if isinstance(found, str) and (found.strip() or not needed):
            return found
        if found is not None and not isinstance(found, str):
            self.refuse("P003", key, f"'{key}' is {found!r}", "write words in quotes")
        elif needed:
            self.missing(key)
        return ""

    def day(self, key: str) -> date | None:
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
        named = f"'{self.table['name']}'" if isinstance(self.table.get("name"), str) else "a value"
        self.refuse("P002", key, f"{named} has no '{key}'", f"add a line {key} = ...")

    def refuse(self, code: str, key: str, says: str, mend: str) -> None:
        self.problems.append(
            Problem(code, self.source.place(("value", self.at, key)), says, mend)
        )
