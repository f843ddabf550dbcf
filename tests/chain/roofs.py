"""Demo surveys with other facts, and what the checks of their roof find, without any bill."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from estimator.design.case import Case
from estimator.design.check import Check, Unanswered, Worked
from estimator.design.design import design_job
from estimator.design.facts import survey_sheet
from estimator.design.judging import Judgement, judge_design
from estimator.design.sheet import FactSheet
from estimator.estimate import Basis
from estimator.rules.complete import assume
from estimator.survey.fact import Evidence, Fact
from estimator.survey.group import Group
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey

DEMO = Path(__file__).parents[2] / "demo_jobs"


def surveyed(
    job: str = "panels-and-storage", site: dict[str, object] | None = None, **plane: object
) -> Survey:
    """Return a demo survey with other facts of its site and its first plane; None = unknown."""
    survey = read_survey(DEMO / job / "survey.toml")
    first, *others = survey.planes
    return survey.model_copy(update={
        "site": _with(survey.site, site or {}), "planes": (_with(first, plane), *others)})


def _with(group: Group, changed: dict[str, object]) -> Any:
    return group.model_copy(update={
        name: Fact() if value is None else Fact[type(value)](  # type: ignore[misc]
            value=value, evidence=Evidence.MEASURED)
        for name, value in changed.items()
    })


def judged(survey: Survey, basis: Basis) -> tuple[Judgement, FactSheet]:
    """Return what the checks find in a survey, and the sheet with the facts they worked out."""
    return judge_design(case_of(survey, basis))


def case_of(survey: Survey, basis: Basis) -> Case:
    """Return a survey as designed, before any check."""
    values = {name: value.value for name, value in basis.practice.on(basis.on).items()}
    design, sheet = design_job(
        assume(basis.rules, survey_sheet(survey, values, {})), basis.prices)
    return Case(survey, sheet, design.kit, design.planes, basis.prices, basis.practice, basis.on)


def check(judgement: Judgement, code: str) -> Check:
    """Return the only check of a code."""
    (found,) = (each for each in judgement.checked if each.code == code)
    return found


def asked(judgement: Judgement, code: str) -> Unanswered:
    """Return the only unanswered check of a code."""
    (found,) = (each for each in judgement.unanswered if each.code == code)
    return found


def worked(judgement: Judgement, code: str = "roof-wind") -> Worked:
    """Return the only worked answer of a code."""
    (found,) = (each for each in judgement.worked if each.code == code)
    return found


def figure(answer: Worked, name: str) -> float:
    """Return a figure of a worked answer."""
    (found,) = (each for each in answer.sums if each.name == name)
    return float(found.value)
