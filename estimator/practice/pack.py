"""A practice pack: limits, factors and rates of a country, each with its source and its dates.

A pack is a folder of TOML files. A name may stand several times, for dates that follow one
another; a firm's own folder replaces every value of a name it states again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Literal

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import TomlSource, read_toml
from estimator.practice.reading import PackReader, PracticeTable, PracticeValue

PACKS = Path(__file__).parent
FACT_PREFIX = "practice."
_NOWHERE = Place("practice")


@dataclass(frozen=True, slots=True)
class PracticeFact:
    """A value in force, as plain data for the dictionary of facts; `name` has the prefix."""

    name: str
    type: Literal["number", "flag", "text"]
    unit: str
    meaning: str
    value: Decimal | bool | str
    source: str
    standing: str
    decides: str


@dataclass(frozen=True)
class Pack:
    """The files of one folder as they are, and what kept others from being read."""

    sources: tuple[TomlSource, ...]
    broken: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class Practice:
    """Every value and every table of a pack: by name, in order of date."""

    values: Mapping[str, tuple[PracticeValue, ...]]
    tables: Mapping[str, tuple[PracticeTable, ...]] = field(default_factory=dict)

    def at(self, name: str, on: date) -> PracticeValue | None:
        """Return the value of a name in force on a day, or None."""
        return next((each for each in self.values.get(name, ()) if each.in_force(on)), None)

    def on(self, day: date) -> Mapping[str, PracticeValue]:
        """Return every value in force on a day by name; a name without one is left out."""
        found = {name: self.at(name, day) for name in self.values}
        return {name: value for name, value in found.items() if value is not None}

    def number(self, name: str, on: date) -> Decimal:
        """Return a number in force on a day.

        Raises:
            ProblemsFound: P020 if the pack has no such value on that day, P021 if it is no number.
        """
        found = self.needed(name, on).value
        if not isinstance(found, Decimal):
            raise ProblemsFound([Problem(
                "P021", self.needed(name, on).where, f"'{name}' is {found!r}, not a number",
                "write the number in quotes",
            )])
        return found

    def needed(self, name: str, on: date) -> PracticeValue:
        """Return the value of a name on a day.

        Raises:
            ProblemsFound: P020 if the pack has no such value on that day.
        """
        found = self.at(name, on)
        if found is None:
            stated = self.values.get(name)
            where = stated[-1].where if stated else _NOWHERE
            raise ProblemsFound([Problem(
                "P020", where, f"the practice pack has no '{name}' on {on}",
                "add a [[value]] for that date, with its source",
            )])
        return found

    def table(self, name: str, on: date) -> PracticeTable:
        """Return the table of a name in force on a day.

        Raises:
            ProblemsFound: P020 if the pack has no such table on that day.
        """
        stated = self.tables.get(name, ())
        found = next((each for each in stated if each.in_force(on)), None)
        if found is None:
            raise ProblemsFound([Problem(
                "P020", stated[-1].where if stated else _NOWHERE,
                f"the practice pack has no table '{name}' on {on}",
                "add a [[table]] for that date, with its source",
            )])
        return found

    def facts(self, on: date) -> Mapping[str, PracticeFact]:
        """Return every value in force on a day as a fact `practice.NAME`."""
        return {
            FACT_PREFIX + name: PracticeFact(
                FACT_PREFIX + name, value.type, value.unit, value.meaning, value.value,
                value.source, value.standing, value.decides,
            )
            for name, value in self.on(on).items()
        }

    def warnings(self, on: date) -> tuple[str, ...]:
        """Return a sentence for every name that has run out, or is not in force yet, on a day."""
        stated: dict[str, Sequence[PracticeValue | PracticeTable]] = {**self.values, **self.tables}
        return tuple(
            _out_of_date(name, values, on) for name, values in stated.items()
            if not any(each.in_force(on) for each in values)
        )


def _out_of_date(name: str, values: Sequence[PracticeValue | PracticeTable], on: date) -> str:
    if on < values[0].from_date:
        return f"{name} is in force from {values[0].from_date} only ({values[0].where})"
    last = values[-1]
    return (
        f"{name} ran out on {last.to_date}: look up the current edition of "
        f"\"{last.source}\" ({last.where})"
    )


def read_practice(folders: Iterable[Path]) -> Practice:
    """Read the packs in these folders, each over the ones before it.

    Raises:
        ProblemsFound: every mistake of every file at once. P001 a key that no value has; P002
            something missing; P003 a value of the wrong kind; P004 an unknown standing; P005
            `to` before `from`; P006 dates that overlap; P007 a gap between dates; P008 a name
            that changes its type or its unit; P009 a file without values; P010 a folder without
            files; P012 to P014 columns, rows or keys of a table that do not fit. T001 to T003
            for a file that cannot be read.
    """
    return practice_from(read_packs(folders))


def read_packs(folders: Iterable[Path]) -> list[Pack]:
    """Read the files of these folders as they are; what is wrong is told by `practice_from`."""
    return [Pack(tuple(sources), tuple(broken)) for sources, broken in map(_sources, folders)]


def practice_from(packs: Iterable[Pack]) -> Practice:
    """Return what these packs state, each over the ones before it; see `read_practice`."""
    values: dict[str, tuple[PracticeValue, ...]] = {}
    tables: dict[str, tuple[PracticeTable, ...]] = {}
    problems: list[Problem] = []
    for pack in packs:
        reader = PackReader()
        for source in pack.sources:
            reader.read(source)
        values.update(reader.by_name())
        tables.update(reader.tables_by_name())
        problems.extend((*pack.broken, *reader.problems))
    if problems:
        raise ProblemsFound(problems)
    return Practice(dict(sorted(values.items())), dict(sorted(tables.items())))


def practice_values(
    sources: Sequence[TomlSource],
) -> tuple[dict[str, tuple[PracticeValue, ...]], tuple[Problem, ...]]:
    """Return the values of one pack by name in order of date, and every problem found."""
    reader = PackReader()
    for source in sources:
        reader.read(source)
    return reader.by_name(), tuple(reader.problems)


def country_folder(country: str) -> Path:
    """Return the folder of the pack of a country that comes with the program ("gb").

    Raises:
        ProblemsFound: P011 if there is none.
    """
    folder = PACKS / country
    known = sorted(path.parent.name for path in PACKS.glob("*/*.toml"))
    if country not in known:
        raise ProblemsFound([Problem(
            "P011", _NOWHERE, f"there is no practice pack for the country '{country}'",
            f"choose one of: {', '.join(sorted(set(known)))}; or give a folder of your own",
        )])
    return folder


def _sources(folder: Path) -> tuple[list[TomlSource], list[Problem]]:
    sources: list[TomlSource] = []
    problems: list[Problem] = []
    paths = sorted(folder.glob("*.toml"))
    if not paths:
        problems.append(Problem(
            "P010", Place(folder.as_posix()), "the folder holds no practice values",
            "give a folder with .toml files of [[value]] and [[table]] entries",
        ))
    own = folder.is_relative_to(PACKS)
    for path in paths:
        try:
            shown = path.relative_to(PACKS.parent).as_posix() if own else None
            sources.append(read_toml(path, shown))
        except ProblemsFound as found:
            problems.extend(found.problems)
    return sources, problems
