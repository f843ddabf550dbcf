"""What was found on the job, as it was typed: which facts of the survey are otherwise now.

A fact is named as the dictionary of facts names it. One of a plane or a leg says which, by name or
number: plane.garage.covering, plane[0].covering; where there is only one, plane.covering will do.

Codes of the problems: Z111 not FACT=VALUE, Z112 no such fact, Z113 a plane or leg that is not
there, Z114 a value that does not fit, Z115 told twice, Z116 as it was.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from catalogue.answers import Asked
from catalogue.cells import CellError
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from estimator.papers.digits import plain
from estimator.survey.fact import Evidence
from estimator.survey.group import Group
from estimator.survey.model import Survey
from estimator.survey.setting import fact_at
from estimator.survey.toml import REPEATED, SHORT_FORMS, answer_of, group_model
from estimator.workflow.survey_edit import Answer, value_of

CUSTOMER = "customer change"
_LISTS = {scope: name for name, scope in REPEATED.items()}
_NUMBERED = re.compile(r"(?P<scope>[a-z]+)\[(?P<at>\d+)\]")


@dataclass(frozen=True, slots=True)
class FoundFact:
    """One fact as it is now, read against the survey, and in words."""

    answer: Answer

    def __str__(self) -> str:
        """Return `path = value`."""
        return f"{self.answer.fact} = {_written(self.answer.value)}"


def read_changes(
    typed: Sequence[str], survey: Survey, words: str, photo: str, reason: str
) -> tuple[list[FoundFact], list[Problem]]:
    """Return the facts that are otherwise now, and everything that is wrong with what was typed.

    Args:
        typed: FACT=VALUE.
        survey: as it stands.
        words, photo: what was found, kept with each fact.
        reason: of the variation; a fact is known by it.
    """
    found: list[FoundFact] = []
    problems: list[Problem] = []
    for each in typed:
        try:
            path, asked, value = _read(each, survey)
        except ProblemsFound as amiss:
            problems += amiss.problems
            continue
        problems += _idle(each, path, value, survey, found)
        found.append(FoundFact(Answer(path, value, _evidence(asked, reason), words, photo)))
    return found, problems


def _read(typed: str, survey: Survey) -> tuple[str, Asked, Any]:
    """Return path, form and value of what was typed.

    Raises:
        ProblemsFound: Z111 to Z114.
    """
    where = Place(f"--set {typed}")
    name, sign, text = (part.strip() for part in typed.partition("="))
    if not (name and sign and text):
        raise ProblemsFound([Problem(
            "Z111", where, "this is not FACT=VALUE",
            "write for example storage.wall=stone or plane.garage.covering=natural slate")])
    head, _, field = name.rpartition(".")
    scope, at = _group(head, survey, where)
    asked = answer_of(group_model(_LISTS.get(scope, scope)), field) if _has(scope, field) else None
    if asked is None:
        raise ProblemsFound([Problem(
            "Z112", where, f"the survey has no fact '{scope}.{field}'",
            suggestion(f"{scope}.{field}", _facts()) or "estimator facts lists them")])
    path = f"{head if at is None else f'{scope}[{at}]'}.{field}"
    try:
        return path, asked, value_of(_long_form(text, asked), path, asked)
    except CellError as error:
        raise ProblemsFound([Problem(
            "Z114", where, f"{path}: {error.says}", error.mend or f"wanted: {asked}")]) from error


def _long_form(text: str, asked: Asked) -> str:
    word = SHORT_FORMS.get(text.lower(), text)
    return word if word in asked.words else text


def _group(head: str, survey: Survey, where: Place) -> tuple[str, int | None]:
    """Return the part of the survey that is meant, and which one of its planes or legs."""
    numbered = _NUMBERED.fullmatch(head)
    scope, _, name = head.partition(".")
    if numbered:
        scope = numbered["scope"]
    if scope not in _LISTS:
        return head, None
    held: tuple[Group, ...] = getattr(survey, _LISTS[scope])
    names = [str(getattr(each, "name", "")) for each in held]
    if numbered and int(numbered["at"]) < len(held):
        return scope, int(numbered["at"])
    if not numbered and name in names:
        return scope, names.index(name)
    if not numbered and not name and len(held) == 1:
        return scope, 0
    known = ", ".join(f"{scope}.{each}" for each in names)
    raise ProblemsFound([Problem(
        "Z113", where, f"the survey has no {head}" if name or numbered else
        f"it is not said which {scope} is meant", f"it has: {known}" if known else
        "it has none: what is new as a whole is a quote of its own")])


def _has(scope: str, field: str) -> bool:
    name = _LISTS.get(scope, scope)
    return name in Survey.model_fields and name != "job" and (
        field in group_model(name).model_fields)


def _facts() -> list[str]:
    return [f"{REPEATED.get(name, name)}.{field}" for name in Survey.model_fields if name != "job"
            for field in group_model(name).model_fields
            if answer_of(group_model(name), field) is not None]


def _idle(typed: str, path: str, value: Any, survey: Survey, found: Sequence[FoundFact]
          ) -> Iterator[Problem]:
    where, there = Place(f"--set {typed}"), fact_at(survey, path)
    if path in [each.answer.fact for each in found]:
        yield Problem("Z115", where, f"{path} is told twice", "say once what it is")
    elif there is not None and there.known and there.value == value:
        yield Problem("Z116", where, f"{path} was {_written(value)} before, so nothing changes",
                      "say what is otherwise than the accepted quote has it")


def _evidence(asked: Asked, reason: str) -> Evidence:
    """Say how a fact is known that was found on the job: by measure, by eye, by word of mouth."""
    if reason == CUSTOMER:
        return Evidence.CUSTOMER_SAID
    return Evidence.MEASURED if asked.unit else Evidence.SEEN


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return plain(value) if isinstance(value, Decimal) else str(value)
