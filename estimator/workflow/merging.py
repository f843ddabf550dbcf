"""Several surveys of one house, from survey files and forms, made into one survey file."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from catalogue.problems import Problem, ProblemsFound
from catalogue.toml_source import as_text, parse_toml
from estimator.survey.merge import Merged, merge_surveys
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey, survey_from
from estimator.survey.writing import survey_text
from estimator.workflow.files import write_all

FORMS = (".xlsx", ".ods")


def merge_files(paths: Sequence[Path], out: Path | None) -> tuple[Merged, str]:
    """Return one survey of several files, and its text; write it if a file is named.

    Raises:
        ProblemsFound: every mistake of every file; or what contradicts itself in the survey that
            they make together. Nothing is written then.
    """
    sources: list[tuple[str, Survey]] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            sources.append((as_text(path), _survey(path)))
        except ProblemsFound as found:
            problems.extend(found.problems)
    if problems:
        raise ProblemsFound(problems)
    merged = merge_surveys(sources)
    text = survey_text(merged.survey)
    survey_from(parse_toml(text, "the merged survey"))
    if out is not None:
        write_all({out: text.encode()})
    return merged, text


def _survey(path: Path) -> Survey:
    """Return the survey that a file holds: a filled-in form by its ending, else a survey file."""
    if path.suffix.lower() not in FORMS:
        return read_survey(path)
    from estimator.workflow.survey_form import read_form

    return read_form(path).survey
