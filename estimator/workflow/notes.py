"""Reads a free-text note of a survey, and writes what it says as a survey file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text, parse_toml
from estimator.survey.notes.claims import NotesRead
from estimator.survey.notes.reader import read_notes_file
from estimator.survey.notes.survey_text import survey_toml
from estimator.survey.notes.vocabulary import load_vocabulary
from estimator.survey.toml import survey_from
from estimator.workflow.files import refuse_if_taken, write_all


@dataclass(frozen=True)
class NotesRequest:
    """Which note, which words of the firm's own, and where to write the survey, if anywhere."""

    note: Path
    vocabulary: Path | None = None
    out: Path | None = None
    job: str = "NOTE"
    parts: Sequence[str] = ()
    replace: bool = False


def notes_read(request: NotesRequest) -> NotesRead:
    """Return what a note says, and write it as a survey file if asked.

    Raises:
        ProblemsFound: F003, F007 or F008 for a file that cannot be written, G001 for a note that
            cannot be read, G002 for a vocabulary that does not fit, G003 if a survey is to be
            written and nothing says what is asked for, S004 for a number of a job that is none.
    """
    if request.out is not None:
        refuse_if_taken(request.out, ".toml", replace=request.replace)
    read = read_notes_file(request.note, load_vocabulary(request.vocabulary))
    if request.out is None:
        return read
    if not request.parts and not read.parts:
        raise ProblemsFound([Problem(
            "G003", Place(as_text(request.note)),
            "the note does not say what is asked for, and a survey must",
            "say it with --part panels, --part storage, --part converter or --part backup")])
    text = survey_toml(read, request.job, request.parts)
    survey_from(parse_toml(text, as_text(request.out)))  # what is written can be read
    write_all({request.out: text.encode()})
    return read
