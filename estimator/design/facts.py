"""The surveyed facts and the practice values of a job, laid on one sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from estimator.design.sheet import Detail, FactSheet, Unknown, Value
from estimator.survey.fact import Fact
from estimator.survey.group import Group
from estimator.survey.model import Survey

GROUPS = (
    "site", "storage", "converter", "supply", "board", "metering", "backup", "wishes",
)
PARTS = ("storage", "panels", "converter", "backup")


def survey_sheet(
    survey: Survey, practice: Mapping[str, Value], sources: Mapping[str, str]
) -> FactSheet:
    """Return the sheet of a survey before any design.

    Args:
        survey: the house as surveyed.
        practice: practice values in force, by name ("edge_zone_m").
        sources: where each practice value comes from, by name.
    """
    job: dict[str, Any] = {}
    details: dict[str, Detail] = {}
    for part in PARTS:
        job[f"job.{part}"] = part in survey.job.parts
        details[f"job.{part}"] = Detail("survey", "", "parts asked for")
    job["job.trips"], details["job.trips"] = 1, Detail("computed", "", "days on site")
    for name, value in practice.items():
        job[f"practice.{name}"] = value
        details[f"practice.{name}"] = Detail("practice", "", sources.get(name, ""))
    for group in GROUPS:
        for field, fact in _facts(getattr(survey, group)):
            path = f"{group}.{field}"
            job[path], details[path] = _value(fact, path)
    planes = _scope("plane", survey.planes, job, details)
    legs = _scope("leg", survey.legs, job, details)
    return FactSheet(
        parts=frozenset(survey.job.parts),
        job={**job, "@plane": planes, "@leg": legs},
        scopes={"plane": planes, "leg": legs},
        names={
            "plane": tuple(p.name or f"plane {i}" for i, p in enumerate(survey.planes, 1)),
            "leg": tuple(leg.name or f"leg {i}" for i, leg in enumerate(survey.legs, 1)),
        },
        details=details,
    )


def _facts(group: Group) -> Iterator[tuple[str, Fact[Any]]]:
    for field in type(group).model_fields:
        value = getattr(group, field)
        if isinstance(value, Fact):
            yield field, value


def _value(fact: Fact[Any], path: str) -> tuple[Any, Detail]:
    detail = Detail("survey", str(fact.evidence), "", fact.place, fact.words)
    return (Unknown(path) if fact.value is None else fact.value), detail


def _scope(
    scope: str, groups: tuple[Group, ...], job: Mapping[str, Any], details: dict[str, Detail]
) -> tuple[dict[str, Any], ...]:
    """Return one environment per repeated group; each holds the job's facts too."""
    environments = []
    for i, group in enumerate(groups):
        env = dict(job)
        for field, fact in _facts(group):
            value, details[f"{scope}[{i}].{field}"] = _value(fact, f"{scope}[{i}].{field}")
            env[f"{scope}.{field}"] = value
        env["@obstructions"] = getattr(group, "obstructions", ())
        environments.append(env)
    return tuple(environments)


def with_facts(
    sheet: FactSheet,
    job: Mapping[str, Any],
    planes: tuple[Mapping[str, Any], ...],
    details: Mapping[str, Detail],
) -> FactSheet:
    """Return the sheet with more facts of the job and of each plane."""
    plane_envs = tuple(
        {**env, **job, **extra} for env, extra in zip(sheet.scopes["plane"], planes, strict=True)
    )
    leg_envs = tuple({**env, **job} for env in sheet.scopes["leg"])
    return FactSheet(
        parts=sheet.parts,
        job={**sheet.job, **job, "@plane": plane_envs, "@leg": leg_envs},
        scopes={"plane": plane_envs, "leg": leg_envs},
        names=sheet.names,
        details={**sheet.details, **details},
    )


def with_trips(sheet: FactSheet, trips: int) -> FactSheet:
    """Return the sheet with the number of journeys that the hours on site turned out to need."""
    nothing_more: tuple[dict[str, Any], ...] = tuple({} for _ in sheet.scopes["plane"])
    return with_facts(sheet, {"job.trips": trips}, nothing_more, {})
