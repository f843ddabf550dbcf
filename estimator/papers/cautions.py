"""Which cautions a paper of this job carries; the texts and their sources are data."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, Literal

import tomli

from estimator.papers.contract import EstimateJson

Paper = Literal["site", "customer"]
CAUTIONS_FILE = Path(__file__).with_name("cautions.toml")


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    Attributes:
        step: the work it belongs to; steps: what is to be done, in this order, or ().
        papers: where it stands; the rest says when, see cautions.toml.
        lifted: where a line takes more than one person to lift, by the guide of the pack.
        below: limit of the surveyed number `fact`; an unknown fact counts as below it.
    """

    id: str
    step: str
    says: str
    source: str
    standing: str
    papers: tuple[str, ...]
    steps: tuple[str, ...] = ()
    always: bool = False
    parts: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    tasks: tuple[str, ...] = ()
    lifted: bool = False
    fact: str = ""
    below: Decimal | None = None


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Return every caution in the order of the file, which is the order of the work."""
    with CAUTIONS_FILE.open("rb") as file:
        tables = tomli.load(file, parse_float=Decimal)["caution"]
    return tuple(
        Caution(**{key: _value(value) for key, value in table.items()}) for table in tables
    )


def _value(value: Any) -> Any:
    if isinstance(value, list):
        return tuple(value)
    return Decimal(value) if type(value) is int else value


def cautions_for(estimate: EstimateJson, paper: Paper) -> tuple[Caution, ...]:
    """Return the cautions that a paper of this job carries, in the order of the work."""
    return tuple(
        each for each in all_cautions() if paper in each.papers and _applies(each, estimate)
    )


def _applies(caution: Caution, estimate: EstimateJson) -> bool:
    return (
        caution.always
        or _any(caution.parts, estimate.job.parts)
        or _any(caution.families, (line.family for line in estimate.lines))
        or _any(caution.groups, (task.group for task in estimate.tasks))
        or _any(caution.tasks, (task.task for task in estimate.tasks))
        or (caution.lifted and any(line.lift for line in estimate.lines))
        or _below(caution, estimate)
    )


def _any(wanted: tuple[str, ...], found: Any) -> bool:
    return bool(wanted) and not set(wanted).isdisjoint(found)


def _below(caution: Caution, estimate: EstimateJson) -> bool:
    if caution.below is None:
        return False
    values = [fact.value for fact in estimate.facts if fact.path == caution.fact]
    numbers = [Decimal(str(value)) for value in values if _is_number(value)]
    return not numbers or min(numbers) < caution.below


def _is_number(value: Any) -> bool:
    if isinstance(value, str):
        return value.replace(".", "", 1).isdecimal()
    return isinstance(value, int) and not isinstance(value, bool)
