"""Sets one fact of a survey, or takes it away: how a survey would read with another answer."""

from __future__ import annotations

import re
from typing import Any

from estimator.survey.fact import Evidence, Fact
from estimator.survey.group import Group
from estimator.survey.model import Survey

_PATH = re.compile(r"(?P<group>[a-z]+)(?:\[(?P<at>\d+)\])?\.(?P<field>[a-z0-9_]+)")
_LISTS = {"plane": "planes", "leg": "legs"}


def fact_at(survey: Survey, path: str) -> Fact[Any] | None:
    """Return the fact of a path such as storage.wall or plane[0].covering; None if none is there.
    """
    found = _find(survey, path)
    if found is None:
        return None
    fact: Fact[Any] = getattr(found[2], found[3])
    return fact


def with_fact(
    survey: Survey, path: str, value: Any, evidence: Evidence = Evidence.MEASURED, words: str = "",
    place: str = "",
) -> Survey:
    """Return the survey with one fact set; a value of None makes it unknown.

    The value is taken as it is: whoever gives it has read it against the survey's model.

    Raises:
        KeyError: if the survey has no such fact.
    """
    found = _find(survey, path)
    if found is None:
        raise KeyError(path)
    name, at, group, field = found
    made: Fact[Any] = Fact() if value is None else Fact(
        value=value, evidence=evidence, words=words, place=place)
    changed = group.model_copy(update={field: made})
    if at is None:
        return survey.model_copy(update={name: changed})
    held = list(getattr(survey, name))
    held[at] = changed
    return survey.model_copy(update={name: tuple(held)})


def _find(survey: Survey, path: str) -> tuple[str, int | None, Group, str] | None:
    """Return the survey's field, the number in it if it is a list, the group and its field."""
    match = _PATH.fullmatch(path)
    if match is None:
        return None
    name, number, field = match["group"], match["at"], match["field"]
    group: Any = None
    at = None if number is None else int(number)
    if at is None:
        group = getattr(survey, name, None)
    elif name in _LISTS:
        name = _LISTS[name]
        held = getattr(survey, name)
        group = held[at] if at < len(held) else None
    if not isinstance(group, Group) or not isinstance(getattr(group, field, None), Fact):
        return None
    return name, at, group, field
