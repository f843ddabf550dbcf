"""Several surveys of one house, from survey files, forms and notes, made into one survey file."""

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

    A note does not say which job it is of, and seldom what is asked for: that is taken from the
    other files.

    Raises:
        ProblemsFound: every mistake of every file; or what contradicts itself in the survey that
            they make together. Nothing is written then.
    """
    read: dict[Path, Survey] = {}
    problems: list[Problem] = []
    for path in sorted(dict.fromkeys(paths), key=_is_note):
        try:
            read[path] = _note(path, tuple(read.values())) if _is_note(path) else _survey(path)
        except ProblemsFound as found:
            problems.extend(found.problems)
    if problems:
        raise ProblemsFound(problems)
    merged = merge_surveys([(as_text(path), read[path]) for path in dict.fromkeys(paths)])
    text = survey_text(merged.survey)
    survey_from(parse_toml(text, "the merged survey"))
    if out is not None:
        write_all({out: text.encode()})
    return merged, text


def _is_note(path: Path) -> bool:
    return path.suffix.lower() == ".txt"


def _note(path: Path, others: Sequence[Survey]) -> Survey:
    """Return the survey that a free-text note makes, of the job that the others are of."""
    from estimator.workflow.notes import survey_of_note

    parts = tuple(dict.fromkeys(part for other in others for part in other.job.parts))
    return survey_of_note(path, others[-1].job.id if others else "NOTE", parts)


def _survey(path: Path) -> Survey:
    """Return the survey that a file holds: a filled-in form by its ending, else a survey file."""
    if path.suffix.lower() not in FORMS:
        return read_survey(path)
    from estimator.workflow.survey_form import read_form

    return read_form(path).survey
