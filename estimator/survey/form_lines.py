"""What a survey form asks, line by line: one fact a line, made from the model of the survey.

Who writes the form and who reads it back take the lines from here, so they cannot come apart. A
line is known by its path (`plane.pitch_deg`), which stands on the form beside the answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

from catalogue.answers import Asked
from catalogue.table_reader import asked_of, extra_of
from estimator.survey.fact import Evidence
from estimator.survey.group import Obstruction
from estimator.survey.model import Header, Survey
from estimator.survey.template import HEADER_MEANING
from estimator.survey.toml import REPEATED, SHORT_FORMS, answer_of, group_model

# What a sheet is called, in the order of the walk round the house.
SHEETS = {
    "job": "Job", "site": "Site", "planes": "Plane", "legs": "Legs", "storage": "Storage",
    "converter": "Converter", "supply": "Supply", "board": "Board", "metering": "Metering",
    "backup": "Backup", "wishes": "Wishes",
}
WORDS_SHEET = "words"  # the vocabularies of the drop-downs; never read
PATH = "Path"  # header of the column of paths, by which a row of headers is known
FACT_HEADERS = ("Fact", "Answer", "How it is known", "Words as noted", "Photo", "Guidance", PATH)
THING_HEADERS = ("Thing in the way", "From the left [m]", "From below [m]", "Width [m]",
                 "Height [m]", "Guidance", PATH)
THINGS = "obstructions"
LISTED = ("parts", "remarks", "private_remarks")  # a line of its own for each
REQUIRED = "(required)"
_HEADER_LABELS = {
    "id": "number of the job", "evidence": "how most facts are known",
    "parts": "part of the job, at least one", "remarks": "remark, may be printed",
    "private_remarks": "private remark, never printed",
}
EVIDENCE = Asked("word", words=tuple(str(each) for each in Evidence))


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the form.

    Attributes:
        path: scope and field, such as site.storeys, plane.pitch_deg, job.parts.
        group: the part of the survey, such as site, planes, job.
        field: its field there.
        label: what is asked, with unit, and in words whether it must be given.
        asked: what the answer must be.
        guidance: the question as put, and what may be answered.
        is_fact: whether it has columns for evidence, words and photo.
    """

    path: str
    group: str
    field: str
    label: str
    asked: Asked
    guidance: str = ""
    is_fact: bool = True


@cache
def lines_of(group: str) -> tuple[Line, ...]:
    """Return the lines of a part of the survey, things in the way not among them."""
    return tuple(_header_lines() if group == "job" else _group_lines(group))


@cache
def all_lines() -> dict[str, Line]:
    """Return every line by its path."""
    return {line.path: line for group in Survey.model_fields for line in lines_of(group)}


@cache
def things_paths() -> dict[str, str]:
    """Return the path of the lines for things in the way -> the part of the survey."""
    return {
        f"{scope_of(group)}.{THINGS}": group for group in Survey.model_fields
        if THINGS in group_model(group).model_fields
    }


def scope_of(group: str) -> str:
    """Return how a path names a part of the survey: plane for planes."""
    return REPEATED.get(group, group)


def things_asked() -> dict[str, Asked]:
    """Return what the columns of a thing in the way ask for, in their order."""
    return {name: asked_of(Obstruction, name) for name in Obstruction.model_fields}


def _header_lines() -> Iterator[Line]:
    for name, field in Header.model_fields.items():
        asked = replace(asked_of(Header, name), is_list=False, short_forms=SHORT_FORMS)
        if name == "evidence":  # most facts of a survey cannot be unknown
            asked = replace(asked, words=EVIDENCE.words[:-1])
        meaning = HEADER_MEANING[name]
        needed = f" {REQUIRED}" if field.is_required() else ""
        label = _HEADER_LABELS.get(name, name.replace("_", " "))
        guidance = _sentences(meaning, may_be(asked))
        yield Line(f"job.{name}", "job", name, _capital(label) + needed, asked, guidance,
                   is_fact=False)


def _group_lines(group: str) -> Iterator[Line]:
    model = group_model(group)
    for name in model.model_fields:
        path = f"{scope_of(group)}.{name}"
        asked = answer_of(model, name)
        if asked is not None:
            asked = replace(asked, short_forms=SHORT_FORMS)
            meaning = model.model_fields[name].description or ""
            unit = f" [{asked.unit}]" if asked.unit else ""
            ask = extra_of(model, name).get("ask", "")
            yield Line(path, group, name, _capital(meaning) + unit, asked,
                       _sentences(ask, may_be(asked)))
        elif name != THINGS:
            yield Line(path, group, name, f"Name of the {scope_of(group)}",
                       asked_of(model, name),
                       "As the papers are to say it. Each has a name of its own.", is_fact=False)


def may_be(asked: Asked) -> str:
    """Return in words what may be answered."""
    if asked.kind == "yes or no":
        return "yes or no"
    if asked.kind == "text":
        return ""
    if asked.kind == "date":
        return "a date, such as 2026-03-31"
    return str(asked).replace('"', "")


def _sentences(*parts: str) -> str:
    return " ".join(
        _capital(part) + ("" if part.endswith(("?", ".")) else ".") for part in parts if part)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
