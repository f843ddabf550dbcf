"""The survey form as a file: written, and read back from what a spreadsheet program saved."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from catalogue.toml_source import as_text
from estimator.papers.survey_form import survey_form
from estimator.survey.form import survey_of_form
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey
from estimator.survey.writing import survey_text
from estimator.workflow.files import refuse_if_taken, write_all
from estimator.workflow.form_file import read_form_file


@dataclass(frozen=True)
class ReadForm:
    """A survey read from a form, and its text as a survey file."""

    survey: Survey
    text: str


def write_form(out: Path, survey: Path | None = None, *, replace: bool = False) -> None:
    """Write a form to fill in.

    Args:
        out: the workbook.
        survey: a survey file whose facts are filled in already.
        replace: whether a file that is there may be replaced.

    Raises:
        ProblemsFound: for mistakes in the survey; F007 for another ending than .xlsx, F008 if the
            file is there already.
    """
    refuse_if_taken(out, ".xlsx", replace=replace)
    known = read_survey(survey) if survey is not None else None
    write_all({out: survey_form(known)})


def read_form(path: Path, out: Path | None = None, *, replace: bool = False) -> ReadForm:
    """Read a filled-in form, and write its survey if asked.

    Raises:
        ProblemsFound: with every mistake in the form; nothing is written then.
    """
    if out is not None:
        refuse_if_taken(out, ".toml", replace=replace)
    sheets, told = read_form_file(path)
    survey = survey_of_form(as_text(path), sheets, told)
    text = survey_text(survey)
    if out is not None:
        write_all({out: text.encode()})
    return ReadForm(survey, text)
