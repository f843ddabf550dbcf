"""What a close-out sheet says: the one record from which it is written, kept and read back."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from pydantic import BaseModel, ConfigDict

from estimator.closing.due import Due
from estimator.closing.entries import BoxKind
from estimator.closing.expected import sign_of

LAYOUT = 1  # raised when the sheet changes so that an older one can no longer be read


class Frozen(BaseModel):
    """A part of a sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class ReadRow(Frozen):
    """One reading or tick, in the order of the work; `key` counts the rows from 1."""

    key: str
    code: str
    group: str
    read: str
    subject: str
    unit: str
    box: BoxKind
    words: tuple[str, ...]
    expected: str
    tolerance: str


class GroupRow(Frozen):
    """Readings that are taken together: who may take them, and what can hurt."""

    name: str
    who: str
    caution: str


class CloseOutSheet(Frozen):
    """What is to be read and ticked on a job, for an accepted revision."""

    kind: Literal["close-out"] = "close-out"
    layout: int = LAYOUT
    job: str
    title: str
    address: str
    revision: int
    on: date
    groups: tuple[GroupRow, ...]
    rows: tuple[ReadRow, ...]


def groups_of(due: Sequence[Due]) -> tuple[GroupRow, ...]:
    """Return the groups of the readings that are due, in the order of the work."""
    found = {each.entry.group.name: each.entry.group for each in due}
    return tuple(GroupRow(name=g.name, who=g.who, caution=g.caution) for g in found.values())


def rows_of(due: Sequence[Due]) -> tuple[ReadRow, ...]:
    """Return a row for every reading that is due; those of one group stand together by subject.

    Within a group all that is read of one string, circuit or phase comes before the next one.
    """
    order = {name: at for at, name in enumerate(dict.fromkeys(map(_place, due)))}
    groups = {group.name: at for at, group in enumerate(groups_of(due))}
    sorted_due = sorted(
        due, key=lambda each: (groups[each.entry.group.name], order[_place(each)]))
    return tuple(
        ReadRow(
            key=str(n), code=each.code, group=each.entry.group.name, read=each.entry.read,
            subject=each.subject, unit=sign_of(each.entry.unit), box=each.entry.box,
            words=each.words, expected=each.expected.words, tolerance=each.expected.tolerance)
        for n, each in enumerate(sorted_due, 1))


def _place(each: Due) -> tuple[str, str]:
    return each.entry.group.name, each.subject
