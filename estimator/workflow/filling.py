"""Answers written into a survey file, one at a time: the rest of the file stays as it is."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

from catalogue.answers import Asked
from catalogue.cells import read_cell
from catalogue.columns import Column
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text, parse_toml
from estimator.questions.worth import Worth
from estimator.survey.model import Survey
from estimator.survey.toml import REPEATED, answer_of, group_model, read_survey, survey_from
from estimator.workflow.files import write_all

_TABLES = {scope: name for name, scope in REPEATED.items()}


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
    model, field = _field(worth.fact)
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
    asked = question.asked
    word = asked.short_forms.get(text.strip().lower(), text)
    if asked.kind == "yes or no":
        word = {"y": "yes", "n": "no"}.get(text.strip().lower(), text)
    elif asked.kind == "word":
        word = _whole_word(word, asked)
    return read_cell(word, Column(question.fact, asked))


def _whole_word(text: str, asked: Asked) -> str:
    """Return the word of the vocabulary that a few of its first letters, or its number, mean."""
    low = text.strip().lower()
    if low.isdecimal() and 1 <= int(low) <= len(asked.words):
        return asked.words[int(low) - 1]
    same = [word for word in asked.words if word.lower() == low]
    begun = same or [word for word in asked.words if low and word.lower().startswith(low)]
    return begun[0] if len(begun) == 1 else text


def save_answer(path: Path, fact: str, value: Any, evidence: str, words: str = "") -> Survey:
    """Write one answer into a survey file and return the survey that it then holds.

    The file is read again first, so that what was changed meanwhile by hand is kept; it is
    replaced whole by a file that has been read without fault.

    Raises:
        ProblemsFound: if the file has become faulty, or would by this answer; it is left as it is.
    """
    import tomlkit

    read_survey(path)
    document: Any = tomlkit.parse(path.read_text(encoding="utf-8"))
    group, field = _table(document, fact)
    made = tomlkit.inline_table()
    made["value"] = _as_toml(value)
    made["evidence"] = evidence
    if words:
        made["words"] = words
    group[field] = made
    text = tomlkit.dumps(document)
    survey = survey_from(parse_toml(text, as_text(path)))
    write_all({path: text.encode()})
    return survey


def _table(document: Any, fact: str) -> tuple[Any, str]:
    """Return the table of a fact in the document, made if it is not there, and the key."""
    import tomlkit

    head, _, field = fact.partition(".")
    scope, bracket, rest = head.partition("[")
    if not bracket:
        if scope not in document:
            document[scope] = tomlkit.table()
        return document[scope], field
    at = int(rest.rstrip("]"))
    held = document.get(_TABLES[scope], [])
    if at >= len(held):
        raise ProblemsFound([Problem(
            "S013", Place("the survey"), f"{fact}: there is no {scope} number {at + 1} any more",
            "begin again: the file has been changed meanwhile")])
    return held[at], field


def _as_toml(value: Any) -> Any:
    import tomlkit

    return tomlkit.value(f"{value:f}") if isinstance(value, Decimal) else value


def _field(fact: str) -> tuple[Any, str]:
    head, _, field = fact.partition(".")
    scope = head.partition("[")[0]
    return group_model(_TABLES.get(scope, scope)), field


def vocabulary(asked: Asked) -> str:
    """Return in words what may be answered."""
    if asked.kind == "word":
        return ", ".join(f"{at} {word}" for at, word in enumerate(asked.words, start=1))
    return str(asked)


