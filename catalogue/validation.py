"""Turns what a checked model refuses into problems in plain words, each with its place.

One door for every reader (survey, item file, rule file, settings): unknown keys and words outside
a vocabulary come with the closest known one.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING, Annotated, Any, Literal, Union, get_args, get_origin

from catalogue.problems import Place, Problem, suggestion
from catalogue.toml_lines import KeyPath
from catalogue.toml_source import TomlSource

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError
    from pydantic_core import ErrorDetails

PlaceOf = Callable[[KeyPath], Place]
_SHOWN = 60  # longest part of a wrong value that a message repeats


def problems_from(
    error: ValidationError,
    source: TomlSource | PlaceOf,
    code: str,
    model: type[BaseModel],
    at: Callable[[KeyPath], KeyPath] = lambda path: path,
) -> list[Problem]:
    """Return one problem for each value that the model refused, in the order of the file.

    Args:
        error: what pydantic raised for `model`.
        source: the file read, or a function from a key's path to its place.
        code: code of every problem.
        model: the model that was validated; its field names and vocabularies give the
            suggestions.
        at: maps a path of the model to the path in the file, where the two differ.
    """
    found: list[Problem] = []
    seen: set[KeyPath] = set()
    details = error.errors(include_url=False)
    for detail in details:
        loc = tuple(detail["loc"])
        if detail["type"] == "too_short" and any(
            len(other["loc"]) > len(loc) and other["loc"][: len(loc)] == loc for other in details
        ):
            continue  # the list is only short by the entries that are told themselves
        path = at(loc)
        if isinstance(source, TomlSource) and detail["type"] not in ("missing", "extra_forbidden"):
            path = _present(path, source.data)
        if path in seen:  # a value that may be of several kinds is refused once for each kind
            continue
        seen.add(path)
        place = source.place(path) if isinstance(source, TomlSource) else source(path)
        says, mend = _in_words(detail, model, loc)
        label = dotted(path)
        found.append(Problem(code, place, f"{label}: {says}" if label else says, mend))
    return sorted(found, key=lambda problem: problem.where.line or 0)


def dotted(path: Sequence[str | int]) -> str:
    """Return a key's path as text; entries of a list count from 1 ("planes.2.pitch_deg")."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def choices_of(annotation: Any) -> tuple[str, ...]:
    """Return the words a field may hold, looking through optional values and lists."""
    annotation = _bare(annotation)
    if get_origin(annotation) is Literal:
        return tuple(str(word) for word in get_args(annotation))
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return tuple(str(member.value) for member in annotation)
    if get_origin(annotation) in (tuple, list, Sequence):
        return choices_of(get_args(annotation)[0])
    return ()


def kind_of(annotation: Any) -> str:
    """Return in plain words what a field holds ("a whole number", "true or false")."""
    annotation = _bare(annotation)
    words = choices_of(annotation)
    origin = get_origin(annotation)
    if origin in (tuple, list, Sequence):
        return "a list in square brackets"
    if words:
        return "one of: " + ", ".join(words)
    if origin in (dict, Mapping) or hasattr(annotation, "model_fields"):
        return "a table with its own keys"
    # bool before int: a flag is a kind of int in Python, never in a file.
    for kind, says in _KINDS:
        if annotation is kind:
            return says
    return ""


def shown(value: Any) -> str:
    """Return a wrong value as a message repeats it: short, text in quotes."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping) or hasattr(value, "model_fields"):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, str):
        # A line break or an escape sequence in a value must not break up the message.
        value = "".join(each if each.isprintable() else "·" for each in value)
        return f"'{value}'" if len(value) <= _SHOWN else f"'{value[:_SHOWN]}…'"
    text = str(value)
    return text if len(text) <= _SHOWN else f"{text[:_SHOWN]}…"


_KINDS: tuple[tuple[type, str], ...] = (
    (bool, "true or false"),
    (int, "a whole number"),
    (Decimal, "a number"),
    (str, "a text in quotes"),
    (date, "a date such as 2026-06-30"),
)

# The kind of value that an error of this family asks for.
_WANTED: tuple[tuple[str, str], ...] = (
    ("int_", "a whole number is needed"),
    ("decimal_type", "a number is needed"),
    ("decimal_parsing", "a number is needed"),
    ("float_", "a number is needed"),
    ("finite_number", "a number that measures something is needed"),
    ("bool_", "true or false is needed"),
    ("string_type", "a text is needed"),
    ("string_sub_type", "a text is needed"),
    ("date_", "a date such as 2026-06-30 is needed"),
    ("tuple_type", "a list is needed"),
    ("list_type", "a list is needed"),
    ("dict_type", "a table is needed"),
    ("model_", "a table is needed"),
)

# Bounds: what the error carries, and how it is said.
_BOUNDS: dict[str, tuple[str, str]] = {
    "greater_than": ("gt", "it must be more than {}"),
    "greater_than_equal": ("ge", "it must be at least {}"),
    "less_than": ("lt", "it must be less than {}"),
    "less_than_equal": ("le", "it must be at most {}"),
    "multiple_of": ("multiple_of", "it must be a multiple of {}"),
    "decimal_max_places": ("decimal_places", "it may have at most {} digits after the point"),
    "decimal_max_digits": ("max_digits", "it may have at most {} digits"),
    "decimal_whole_digits": ("whole_digits", "it may have at most {} digits before the point"),
    "string_too_short": ("min_length", "it needs at least {} characters"),
    "string_too_long": ("max_length", "it may have at most {} characters"),
}


def _in_words(detail: ErrorDetails, model: type[BaseModel], loc: KeyPath) -> tuple[str, str]:
    """Return what is wrong and how to mend it."""
    kind, value, context = detail["type"], detail["input"], detail.get("ctx", {})
    annotation = _find(model, loc)
    if kind == "missing":
        wanted = kind_of(annotation)
        return "this value is missing", f"give {wanted}" if wanted else "give it"
    if kind == "extra_forbidden":
        return "there is no such key", _keys_like(str(loc[-1]), _find(model, loc[:-1]))
    if kind in ("literal_error", "enum"):
        words = choices_of(annotation)
        return f"{shown(value)} is not a word used here", _words_like(value, words)
    if kind in ("too_short", "too_long"):
        bound = context.get("min_length") if kind == "too_short" else context.get("max_length")
        return f"the list holds {context.get('actual_length')} entries", (
            f"it must hold at {'least' if kind == 'too_short' else 'most'} {bound}")
    if kind in _BOUNDS:
        name, says = _BOUNDS[kind]
        return f"{shown(value)} cannot be right: {says.format(context.get(name))}", (
            "check the unit and the decimal point" if not isinstance(value, str) else "")
    if kind == "string_pattern_mismatch":
        return f"{shown(value)} has characters or a length that cannot be used here", (
            f"the pattern is {context.get('pattern')}")
    if kind in ("value_error", "assertion_error"):
        return str(context.get("error", "this value cannot be used here")), ""
    for start, says in _WANTED:
        if kind.startswith(start):
            return f"{says}, not {shown(value)}", _remedy(value, annotation)
    wanted = kind_of(annotation)
    return f"{shown(value)} cannot be used here", f"give {wanted}" if wanted else ""


def _remedy(value: Any, annotation: Any) -> str:
    annotation = _bare(annotation)
    if annotation is str:
        return "put the value in quotes"
    if annotation in (int, Decimal) and isinstance(value, str):
        return "write the number without quotes, unit or group separator"
    if annotation is bool:
        return "write true or false, without quotes"
    return ""


def _words_like(value: Any, words: Sequence[str]) -> str:
    return suggestion(str(value), words) or "choose one of: " + ", ".join(words)


def _keys_like(key: str, annotation: Any) -> str:
    keys = [name for name, _ in _fields(_bare(annotation))]
    return suggestion(key, keys) or ("the keys here are: " + ", ".join(keys) if keys else "")


def _bare(annotation: Any) -> Any:
    """Return the annotation without limits and without "or nothing"."""
    while True:
        origin = get_origin(annotation)
        if origin is Annotated:
            annotation = get_args(annotation)[0]
        elif origin in (Union, types.UnionType):
            kinds = [arg for arg in get_args(annotation) if arg is not type(None)]
            if len(kinds) != 1:
                return annotation
            annotation = kinds[0]
        else:
            return annotation


def _fields(annotation: Any) -> Iterable[tuple[str, Any]]:
    """Yield the keys of a table as the file writes them, with what each holds."""
    for name, info in getattr(annotation, "model_fields", {}).items():
        yield info.alias or name, info.annotation


def _find(annotation: Any, path: KeyPath) -> Any:
    """Return what the model holds at a path; parts that pydantic adds for kinds are passed."""
    for part in path:
        annotation = _bare(annotation)
        origin, inner = get_origin(annotation), get_args(annotation)
        if isinstance(part, int) and origin in (tuple, list, Sequence) and inner:
            several = origin is tuple and Ellipsis not in inner
            annotation = inner[part] if several and part < len(inner) else inner[0]
        elif origin in (dict, Mapping) and len(inner) == 2:
            annotation = inner[1]
        else:
            annotation = dict(_fields(annotation)).get(str(part), annotation)
    return annotation


def _present(path: KeyPath, data: Any) -> KeyPath:
    """Return the longest start of a path that the file really holds."""
    for number, part in enumerate(path):
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return path[:number]
    return path
