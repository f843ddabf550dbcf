"""A survey written as the text of a survey file, which reads back as the same survey."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from pydantic import BaseModel

from estimator.survey.fact import Fact
from estimator.survey.group import Group
from estimator.survey.model import Header, Survey

_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}
_DEL, _SPACE = 0x7F, 0x20


def survey_text(survey: Survey) -> str:
    """Return the text of a survey file: what is known, with its evidence, and what was said of it.

    The place of a fact is not written: it is where the new file has it.
    """
    lines = ["[job]", *_header(survey.job)]
    for name in type(survey).model_fields:
        held: Any = getattr(survey, name)
        if name == "job":
            continue
        if isinstance(held, tuple):
            for each in held:
                lines += ["", f"[[{name}]]", *_group(each)]
            continue
        facts = list(_group(held))
        if facts:
            lines += ["", f"[{name}]", *facts]
    return "\n".join(lines) + "\n"


def _header(header: Header) -> Iterator[str]:
    for name in type(header).model_fields:
        value: Any = getattr(header, name)
        if value not in ("", None, ()):
            yield f"{name} = {toml_value(value)}"


def _group(group: Group) -> Iterator[str]:
    for name in type(group).model_fields:
        value: Any = getattr(group, name)
        if isinstance(value, Fact):
            if value.known or value.words or value.photo:
                yield f"{name} = {_fact(value)}"
        elif isinstance(value, tuple):
            if value:
                inner = ",\n".join(f"    {_table(each)}" for each in value)
                yield f"{name} = [\n{inner},\n]"
        elif value != "":
            yield f"{name} = {toml_value(value)}"


def _fact(fact: Fact[Any]) -> str:
    value = toml_value(fact.value) if fact.known else '"unknown"'
    parts = [f"value = {value}"]
    if fact.known:
        parts.append(f"evidence = {toml_value(fact.evidence)}")
    parts += [f"{name} = {toml_value(getattr(fact, name))}"
              for name in ("words", "photo") if getattr(fact, name)]
    return "{ " + ", ".join(parts) + " }"


def _table(group: BaseModel) -> str:
    parts = (f"{name} = {toml_value(getattr(group, name))}" for name in type(group).model_fields)
    return "{ " + ", ".join(parts) + " }"


def toml_value(value: Any) -> str:
    """Return a value as TOML writes it.

    Raises:
        TypeError: for a value that no survey holds.
    """
    match value:
        case bool():
            return "true" if value else "false"
        case StrEnum() | str():
            return _quoted(str(value))
        case int():
            return str(value)
        case Decimal():
            return f"{value:f}"
        case date():
            return value.isoformat()
        case tuple() | list():
            return "[" + ", ".join(toml_value(each) for each in value) + "]"
    raise TypeError(f"{value!r} is no value of a survey")


def _quoted(text: str) -> str:
    return '"' + "".join(_escaped(sign) for sign in text) + '"'


def _escaped(sign: str) -> str:
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    hidden = ord(sign) < _SPACE or ord(sign) == _DEL
    return f"\\u{ord(sign):04X}" if hidden else sign
