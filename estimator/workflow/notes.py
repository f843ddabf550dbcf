"""Reads a free-text note of a survey, and writes what it says as a survey file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text, parse_toml
from estimator.survey.model import Survey
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
    text, _ = _survey_of(read, request, as_text(request.out))
    write_all({request.out: text.encode()})
    return read


def survey_of_note(note: Path, job: str, parts: Sequence[str]) -> Survey:
    """Return what a note says as a survey of a job.

    Args:
        note: the file.
        job: number of the job.
        parts: what is asked for, where the note does not say it.

    Raises:
        ProblemsFound: as `notes_read`.
    """
    read = read_notes_file(note, load_vocabulary(None))
    request = NotesRequest(note, job=job, parts=() if read.parts else parts)
    return _survey_of(read, request, as_text(note))[1]


def _survey_of(read: NotesRead, request: NotesRequest, shown_as: str) -> tuple[str, Survey]:
    if not request.parts and not read.parts:
        raise ProblemsFound([Problem(
            "G003", Place(as_text(request.note)),
            "the note does not say what is asked for, and a survey must",
            "say it with --part panels, --part storage, --part converter or --part backup")])
    text = survey_toml(read, request.job, request.parts)
    return text, survey_from(parse_toml(text, shown_as))  # what is written can be read
