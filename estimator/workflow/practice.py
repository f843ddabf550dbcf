"""List and check the practice values of a country, with the firm's own over them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.practice.reading import PracticeTable, PracticeValue
from estimator.settings import Settings
from estimator.workflow.firm import FirmFiles
from estimator.workflow.folder import SETTINGS

SOON = timedelta(days=90)
Entry = PracticeValue | PracticeTable
Warned = Literal["out of date", "ends soon", "no edition", "no source", "nobody decides"]
_EDITION = re.compile(r"\b(1[89]|20)\d\d\b|\bissue\b|\bedition\b|\bamendment\b", re.IGNORECASE)
_NO_SOURCE = re.compile(r"\bno source\b|\binvented\b|\bfrom memory\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Line:
    """One value as listed; a table shows its size in place of a value."""

    name: str
    value: str
    unit: str
    meaning: str
    source: str
    standing: str
    from_date: date
    to_date: date | None
    decides: str
    place: str


@dataclass(frozen=True, slots=True)
class Notice:
    """What is to be looked at in a pack; it stops nothing."""

    kind: Warned
    name: str
    says: str


@dataclass(frozen=True, slots=True)
class PackCheck:
    """How a pack stands on a day.

    Attributes:
        standings: how many values in force are published, common practice or from memory.
    """

    country: str
    on: date
    values: int
    standings: tuple[tuple[str, int], ...]
    warnings: tuple[Notice, ...]


def practice_of(files: FirmFiles, country: str | None) -> tuple[str, Practice]:
    """Return the country and its pack with the firm's own values over it.

    Args:
        country: a pack that comes with the program; None for the one of the firm's settings.

    Raises:
        ProblemsFound: P011 for a country without a pack; every mistake in the files.
    """
    chosen = country or _country_of(files)
    return chosen, read_practice([country_folder(chosen), *files.own("practice")])


def _country_of(files: FirmFiles) -> str:
    from estimator.settings_file import read_settings

    settings = Settings() if files.folder is None else read_settings(files.folder / SETTINGS)
    return settings.firm.country


def listed(practice: Practice, on: date, words: Sequence[str] = ()) -> tuple[Line, ...]:
    """Return the values in force on a day whose name, meaning or source holds all the words."""
    lines = (_line(entry) for entry in _in_force(practice, on))
    return tuple(
        line for line in lines
        if all(word.lower() in f"{line.name} {line.meaning} {line.source}".lower()
               for word in words)
    )


def checked(country: str, practice: Practice, on: date) -> PackCheck:
    """Return how a pack stands on a day: counts by standing, and what is to be looked at."""
    in_force = tuple(_in_force(practice, on))
    counts: dict[str, int] = {}
    for entry in in_force:
        counts[entry.standing] = counts.get(entry.standing, 0) + 1
    return PackCheck(country, on, len(in_force), tuple(sorted(counts.items())),
                     (*_out_of_date(practice, on), *_to_look_at(practice, in_force, on)))


def _in_force(practice: Practice, on: date) -> Iterator[Entry]:
    yield from practice.on(on).values()
    for tables in practice.tables.values():
        yield from (table for table in tables if table.in_force(on))


def _line(entry: Entry) -> Line:
    return Line(entry.name, _value(entry), entry.unit, entry.meaning, entry.source,
                entry.standing, entry.from_date, entry.to_date, entry.decides, str(entry.where))


def _value(entry: Entry) -> str:
    if isinstance(entry, PracticeTable):
        return f"table of {len(entry.rows)} rows by {len(entry.columns)} columns"
    if isinstance(entry.value, bool):
        return "yes" if entry.value else "no"
    return f"{entry.value:f}" if isinstance(entry.value, Decimal) else str(entry.value)


def _out_of_date(practice: Practice, on: date) -> Iterator[Notice]:
    for says in practice.warnings(on):
        yield Notice("out of date", says.split(" ", maxsplit=1)[0], says)


def _to_look_at(
    practice: Practice, in_force: Sequence[Entry], on: date
) -> Iterator[Notice]:
    for entry in in_force:
        yield from _ends(practice, entry, on)
        if entry.standing == "published" and not _EDITION.search(entry.source):
            yield Notice("no edition", entry.name,
                           f"the source names no year, issue or edition: {entry.source}")
        if entry.standing == "published" and _NO_SOURCE.search(entry.source):
            yield Notice("no source", entry.name,
                           f"it is said to be published, yet its source says: {entry.source}")
        if not entry.decides:
            yield Notice("nobody decides", entry.name, "it does not say who must decide")


def _ends(practice: Practice, entry: Entry, on: date) -> Iterator[Notice]:
    """Warn of a value that ends soon, unless another follows it."""
    if entry.to_date is None or entry.to_date - on > SOON:
        return
    day_after = entry.to_date + timedelta(days=1)
    stated: Sequence[Entry] = (*practice.values.get(entry.name, ()),
                               *practice.tables.get(entry.name, ()))
    if not any(each.in_force(day_after) for each in stated):
        yield Notice("ends soon", entry.name,
                       f"it holds to {entry.to_date} and nothing follows it")
