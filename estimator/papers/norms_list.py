"""The labour norms as a list, and what was accepted: for the terminal and as plain data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Protocol

from estimator.labour.norms import Norm
from estimator.learning.proposals import points_of
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.exact_json import whole_or_text
from estimator.papers.terminal import clean, shortened, table

_NAME = 44  # columns


class Listed(Protocol):
    """One version of a norm."""

    @property
    def norm(self) -> Norm: ...  # noqa: D102
    @property
    def file(self) -> str: ...  # noqa: D102
    @property
    def own(self) -> bool: ...  # noqa: D102
    @property
    def holds(self) -> bool: ...  # noqa: D102


class AcceptedNorms(Protocol):
    """A file of norms that was accepted."""

    @property
    def file(self) -> Path: ...  # noqa: D102
    @property
    def starts(self) -> date: ...  # noqa: D102
    @property
    def norms(self) -> Sequence[Norm]: ...  # noqa: D102
    @property
    def was(self) -> Mapping[str, Norm]: ...  # noqa: D102


def list_text(found: Sequence[Listed], on: date) -> str:
    """Return the norms for the terminal."""
    if not found:
        return "No norm has these words.\n"
    rows = [(each.norm.id, shortened(each.norm.name, _NAME), _minutes(each.norm), each.norm.per,
             str(each.norm.crew), each.norm.group,
             each.norm.from_date.isoformat() if each.own else "", each.file,
             "" if each.holds else "does not hold") for each in found]
    heading = f"NORMS of {words.day(on)}: person-minutes for one unit, low / likely / high"
    return clean("\n".join([heading, *table(rows, "lllllllll", (
        "norm", "", "minutes", "per", "crew", "group", "from", "file", ""))])) + "\n"


def list_data(found: Sequence[Listed]) -> list[dict[str, Any]]:
    """Return the norms as plain data; minutes are exact."""
    return [{
        "id": each.norm.id, "name": each.norm.name, "per": each.norm.per,
        "minutes": [whole_or_text(points) for points in points_of(each.norm)],
        "crew": each.norm.crew, "group": each.norm.group, "on_site": each.norm.on_site,
        "each_trip": each.norm.each_trip, "from": each.norm.from_date.isoformat(),
        "source": each.norm.source, "note": each.norm.note, "file": each.file, "own": each.own,
        "holds": each.holds} for each in found]


def accepted_lines(done: AcceptedNorms) -> str:
    """Return what was accepted for the terminal."""
    rows = [(norm.id, norm.name, _minutes(done.was[norm.id]), "becomes", _minutes(norm))
            for norm in done.norms]
    heading = f"{len(rows)} norm{'' if len(rows) == 1 else 's'} from {words.day(done.starts)} on"
    return clean("\n".join([heading, *table(rows, "lllll"), f"Written: {done.file}"])) + "\n"


def accepted_data(done: AcceptedNorms) -> dict[str, Any]:
    """Return what was accepted as plain data."""
    return {
        "file": str(done.file), "from": done.starts.isoformat(),
        "norms": [{"id": norm.id,
                   "was": [whole_or_text(each) for each in points_of(done.was[norm.id])],
                   "minutes": [whole_or_text(each) for each in points_of(norm)]}
                  for norm in done.norms]}


def _minutes(norm: Norm) -> str:
    return "/".join(plain(each) for each in points_of(norm))
