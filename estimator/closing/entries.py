"""What must be read and ticked at the end of a job, as `readings.toml` lists it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Literal

import tomli

READINGS_FILE = Path(__file__).with_name("readings.toml")
Of = Literal["job", "string", "circuit", "phase"]
BoxKind = Literal["number", "yes", "word", "text", "day"]
YES, NO = "yes", "no"
PACK, PAPERS = "Handover pack", "Papers with a day"


@dataclass(frozen=True, slots=True)
class Group:
    """Readings that are taken together: who may take them, and what can hurt."""

    name: str
    who: str
    caution: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing to be read; see the head of `readings.toml`.

    Attributes:
        read: what is read, in words.
        of: whether it is read once, or of each string, circuit or phase.
        when: it is due where any of these words holds for the job; always if there are none.
        limits: names of practice values; figure: a figure of the design, or another reading's code.
    """

    code: str
    group: Group
    read: str
    box: BoxKind
    source: str
    standing: str
    from_date: date
    to_date: date | None = None
    unit: str = ""
    of: Of = "job"
    when: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    expect: str = ""
    limits: tuple[str, ...] = ()
    figure: str = ""

    def in_force(self, on: date) -> bool:
        """Return whether it is to be read on a day."""
        return self.from_date <= on and (self.to_date is None or on <= self.to_date)


@cache
def all_entries() -> tuple[Entry, ...]:
    """Return every entry in the order of the file, which is the order of the work.

    Raises:
        TypeError: for a key that no entry has, or one that is missing.
        KeyError: for a group that is not there.
    """
    with READINGS_FILE.open("rb") as file:
        data = tomli.load(file)
    groups = {each["name"]: Group(**each) for each in data["group"]}
    return tuple(_entry(each, groups) for each in data["reading"])


def _entry(table: Mapping[str, Any], groups: Mapping[str, Group]) -> Entry:
    given: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value
        for key, value in table.items() if key not in ("group", "from", "to")}
    return Entry(**given, group=groups[table["group"]], from_date=table["from"],
                 to_date=table.get("to"))
