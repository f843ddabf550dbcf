"""Facts written into the text of a survey; all else in it, remarks too, stays as it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from catalogue.answers import Asked
from catalogue.cells import read_cell
from catalogue.columns import Column
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.survey.toml import REPEATED, group_model

_TABLES = {scope: name for name, scope in REPEATED.items()}


@dataclass(frozen=True, slots=True)
class Answer:
    """A fact as it is now: its path, such as "plane[0].covering", and how it is known."""

    fact: str
    value: Any
    evidence: str
    words: str = ""
    photo: str = ""


def field_of(fact: str) -> tuple[Any, str]:
    """Return the model of the part of the survey that a fact belongs to, and its name there.

    Raises:
        KeyError: if the survey has no such part.
    """
    head, _, field = fact.partition(".")
    scope = head.partition("[")[0]
    return group_model(_TABLES.get(scope, scope)), field


def value_of(text: str, fact: str, asked: Asked) -> Any:
    """Return what was typed as a value of a fact.

    Raises:
        CellError: if it is no value of it; it says what would be.
    """
    word = asked.short_forms.get(text.strip().lower(), text)
    if asked.kind == "yes or no":
        word = {"y": "yes", "n": "no"}.get(text.strip().lower(), text)
    elif asked.kind == "word":
        word = _whole_word(word, asked)
    return read_cell(word, Column(fact, asked))


def _whole_word(text: str, asked: Asked) -> str:
    """Return the word of the vocabulary that a few of its first letters, or its number, mean."""
    low = text.strip().lower()
    if low.isdecimal() and 1 <= int(low) <= len(asked.words):
        return asked.words[int(low) - 1]
    same = [word for word in asked.words if word.lower() == low]
    begun = same or [word for word in asked.words if low and word.lower().startswith(low)]
    return begun[0] if len(begun) == 1 else text


def with_answers(text: str, answers: Iterable[Answer]) -> str:
    """Return the text of a survey with facts written into it.

    Raises:
        ProblemsFound: S013 for a plane or leg that it has not.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    for answer in answers:
        group, field = _table(document, answer.fact)
        made = tomlkit.inline_table()
        made["value"] = _as_toml(answer.value)
        made["evidence"] = answer.evidence
        for name, said in (("words", answer.words), ("photo", answer.photo)):
            if said:
                made[name] = said
        group[field] = made
    return tomlkit.dumps(document)


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
