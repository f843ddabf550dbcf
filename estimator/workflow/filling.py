"""Answers written into a survey file, one at a time: the rest of the file stays as it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from catalogue.answers import Asked
from catalogue.toml_source import as_text, parse_toml
from estimator.questions.worth import Worth
from estimator.survey.model import Survey
from estimator.survey.toml import answer_of, read_survey, survey_from
from estimator.workflow.files import write_all
from estimator.workflow.survey_edit import Answer, field_of, value_of, with_answers


@dataclass(frozen=True)
class OpenQuestion:
    """One question as it is put: its words, what may be answered, and what hangs on it."""

    fact: str
    asks: str
    on: str
    asked: Asked
    meaning: str
    worth: Worth


def open_question(worth: Worth) -> OpenQuestion | None:
    """Return how a question is put; None for a fact that nobody types in."""
    model, field = field_of(worth.fact)
    asked = answer_of(model, field)
    if asked is None:
        return None
    meaning = model.model_fields[field].description or ""
    return OpenQuestion(worth.fact, worth.asks, worth.on, asked, meaning, worth)


def read_answer(text: str, question: OpenQuestion) -> Any:
    """Return what was typed as a value of the fact.

    Raises:
        CellError: if it is no answer to this question; it says what would be.
    """
    return value_of(text, question.fact, question.asked)


def save_answer(path: Path, fact: str, value: Any, evidence: str, words: str = "") -> Survey:
    """Write one answer into a survey file and return the survey that it then holds.

    The file is read again first, so that what was changed meanwhile by hand is kept; it is
    replaced whole by a file that has been read without fault.

    Raises:
        ProblemsFound: if the file has become faulty, or would by this answer; it is left as it is.
    """
    read_survey(path)
    text = with_answers(
        path.read_text(encoding="utf-8"), [Answer(fact, value, evidence, words)])
    survey = survey_from(parse_toml(text, as_text(path)))
    write_all({path: text.encode()})
    return survey


def vocabulary(asked: Asked) -> str:
    """Return in words what may be answered."""
    if asked.kind == "word":
        return ", ".join(f"{at} {word}" for at, word in enumerate(asked.words, start=1))
    return str(asked)


