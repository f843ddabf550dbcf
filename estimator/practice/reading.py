"""Reads the files of a practice pack and gathers everything that is wrong in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal, TypeVar

from catalogue.problems import Place, Problem
from catalogue.toml_source import TomlSource
from estimator.practice.entry import NUMBER, STANDINGS, Entry
from estimator.practice.tables import PracticeTable, TableEntry

__all__ = ["STANDINGS", "PackReader", "PracticeTable", "PracticeValue"]


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


class ValueEntry(Entry):
    """One `[[value]]`."""

    head = "value"
    keys = ("name", "value", "unit", "meaning", "source", "standing", "from", "to", "decides")

    def read(self) -> PracticeValue | None:
        """Return the value, or None if anything in the entry is wrong."""
        before = len(self.problems)
        self.check_keys()
        start, end = self.days()
        value = PracticeValue(
            name=self.name(), value=self.value(), unit=self.text("unit", needed=False),
            meaning=self.text("meaning"), source=self.text("source"), standing=self.standing(),
            from_date=start, to_date=end, decides=self.text("decides", needed=False),
            where=self.source.place(("value", self.at)),
        )
        return value if len(self.problems) == before else None

    def value(self) -> Decimal | bool | str:
        """Return the value itself."""
        found = self.table.get("value")
        if isinstance(found, bool):
            return found
        if isinstance(found, str) and found.strip():
            return Decimal(found) if NUMBER.fullmatch(found) else found
        if found is None:
            self.missing("value")
        else:
            self.refuse("P003", "value", f"'value' is {found!r}",
                        "write a number or words in quotes, or true or false")
        return ""


Dated = TypeVar("Dated", PracticeValue, PracticeTable)


class PackReader:
    """Gathers the values, the tables and the problems of all files of one pack."""

    def __init__(self) -> None:
        self.found: list[PracticeValue] = []
        self.found_tables: list[PracticeTable] = []
        self.problems: list[Problem] = []

    def read(self, source: TomlSource) -> None:
        """Read one file."""
        for key in source.data:
            if key not in ("value", "table"):
                self.refuse("P001", source.place((key,)), f"'{key}' is not known in a pack",
                            "a pack holds [[value]] and [[table]] entries only")
        values, tables = (self.entries(source, key) for key in ("value", "table"))
        if values is None or tables is None:
            return
        if not source.data:
            return  # all of it is switched off, as in the example of a new firm's folder
        if not values and not tables:
            self.refuse("P009", source.place(("value",)),
                        "the file has no [[value]] and no [[table]]",
                        "write each value as a table headed [[value]]")
        for at, table in enumerate(values):
            value = ValueEntry(source, at, table, self.problems).read()
            if value is not None:
                self.found.append(value)
        for at, table in enumerate(tables):
            read = TableEntry(source, at, table, self.problems).read()
            if read is not None:
                self.found_tables.append(read)

    def entries(self, source: TomlSource, head: str) -> list[dict[str, Any]] | None:
        """Return the entries under a head; None, and a problem, if they are no entries."""
        found = source.data.get(head, [])
        if isinstance(found, list) and all(isinstance(each, dict) for each in found):
            return found
        self.refuse("P009", source.place((head,)), f"'{head}' is not headed [[{head}]]",
                    f"write each {head} as a table headed [[{head}]]")
        return None

    def by_name(self) -> dict[str, tuple[PracticeValue, ...]]:
        """Return the values by name in order of date, after checking that their dates fit."""
        return self.ordered(self.found)

    def tables_by_name(self) -> dict[str, tuple[PracticeTable, ...]]:
        """Return the tables by name in order of date, after checking that their dates fit."""
        return self.ordered(self.found_tables)

    def ordered(self, found: Iterable[Dated]) -> dict[str, tuple[Dated, ...]]:
        """Return entries by name in order of date."""
        grouped: dict[str, list[Dated]] = {}
        for value in found:
            grouped.setdefault(value.name, []).append(value)
        ordered = {
            name: tuple(sorted(each, key=lambda value: value.from_date))
            for name, each in grouped.items()
        }
        for values in ordered.values():
            self.check_dates(values)
        return ordered

    def check_dates(self, values: Sequence[Dated]) -> None:
        """Note every overlap, gap and change of kind between entries that follow one another."""
        for early, late in pairwise(values):
            if (early.type, early.unit) != (late.type, late.unit):
                self.refuse(
                    "P008", late.where,
                    f"'{late.name}' is a {late.type} in '{late.unit}' here and a {early.type} in "
                    f"'{early.unit}' before", "a name keeps its type and its unit; take a new name")
            if early.to_date is None or early.to_date >= late.from_date:
                self.refuse(
                    "P006", late.where,
                    f"'{late.name}' holds from {late.from_date}, but the one before it "
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
