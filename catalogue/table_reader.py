"""Reads tables of a TOML file against models and gathers every mistake, in file order.

What a mistake is called: the letter of the reader ("S" for surveys, "C" for settings) and the
number of its kind from `answers`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from catalogue.answers import (
    MISSING,
    UNKNOWN_KEY,
    WRONG_KIND,
    WRONG_SHAPE,
    Asked,
    asked_for,
    misfit,
)
from catalogue.problems import Problem, suggestion
from catalogue.toml_lines import KeyPath
from catalogue.toml_source import TomlSource
from catalogue.validation import dotted, shown

if TYPE_CHECKING:
    from pydantic import BaseModel


def extra_of(model: type[BaseModel], name: str) -> dict[str, str]:
    """Return what a field declares beside its type, such as its unit."""
    extra = model.model_fields[name].json_schema_extra
    return {k: str(v) for k, v in extra.items()} if isinstance(extra, dict) else {}


def asked_of(model: type[BaseModel], name: str) -> Asked:
    """Return what a plain field of a model asks for."""
    field = model.model_fields[name]
    unit = extra_of(model, name).get("unit", "") or ("m" if name.endswith("_m") else "")
    return asked_for(field.annotation, field.metadata, unit)


class TableReader:
    """Gathers the problems of one file while its tables are read."""

    def __init__(self, source: TomlSource, letter: str,
                 short_forms: Mapping[str, str] | None = None) -> None:
        self.source = source
        self.letter = letter
        self.short_forms = short_forms or {}
        self.problems: list[Problem] = []

    def tell(self, number: int, path: KeyPath, says: str, mend: str = "") -> None:
        """Note one mistake at a key, or at the table round it where the key is missing."""
        label = dotted(path)
        self.problems.append(
            Problem(f"{self.letter}{number:03}", self.source.place(path),
                    f"{label}: {says}" if label else says, mend))

    def in_file_order(self) -> list[Problem]:
        """Return the problems as a reader of the file meets them."""
        return sorted(self.problems, key=lambda problem: problem.where.line or 0)

    def table(self, value: Any, path: KeyPath) -> Mapping[str, Any]:
        """Return a table; note a mistake and return an empty one if it is something else."""
        if isinstance(value, Mapping):
            return value
        name = dotted(path)
        if isinstance(value, list):
            self.tell(WRONG_SHAPE, path, "this part stands once, not as a list",
                      f"write [{name}], with one pair of brackets, and only once")
        else:
            self.tell(WRONG_SHAPE, path, f"{shown(value)} is not a table",
                      f"write [{name}] on a line of its own and its keys below")
        return {}

    def tables(self, value: Any, path: KeyPath) -> list[tuple[KeyPath, Mapping[str, Any]]]:
        """Return the tables of a list with their paths; note what is none."""
        name = ".".join(part for part in path if isinstance(part, str))
        mend = f"write [[{name}]], with two pairs of brackets, before each"
        if not isinstance(value, list):
            self.tell(WRONG_SHAPE, path, "this part may repeat, so it is a list of tables", mend)
            return []
        found: list[tuple[KeyPath, Mapping[str, Any]]] = []
        for number, each in enumerate(value):
            if isinstance(each, Mapping):
                found.append(((*path, number), each))
            else:
                self.tell(WRONG_SHAPE, (*path, number), f"{shown(each)} is not a table", mend)
        return found

    def keys(self, table: Mapping[str, Any], path: KeyPath, known: Iterable[str],
             elsewhere: Mapping[str, str] | None = None) -> None:
        """Note each key that is not known, with the key or the table that was probably meant.

        Args:
            elsewhere: keys of other tables -> the name of their table.
        """
        names = tuple(known)
        for key in table:
            if key in names:
                continue
            mend = suggestion(key, names)
            if elsewhere and key in elsewhere:
                mend = f"it belongs to {elsewhere[key]}"
            kind = "key" if path else "part"
            self.tell(UNKNOWN_KEY, (*path, key), f"there is no such {kind} here",
                      mend or f"the {kind}s here are: " + ", ".join(names))

    def value(self, value: Any, asked: Asked, path: KeyPath, written: str = "") -> bool:
        """Note what is wrong with a value or a list of values; return whether it fits.

        Args:
            written: how the value is written, where what is asked does not say it.
        """
        if not asked.is_list:
            wrong = misfit(value, replace(asked, short_forms=self.short_forms))
            if wrong:
                number, says, mend = wrong
                self.tell(number, path, says, mend or written)
            return wrong is None
        if not isinstance(value, list):
            self.tell(WRONG_KIND, path, f"{shown(value)} is not a list",
                      f"put it in square brackets: {path[-1]} = [{_quoted(value)}]")
            return False
        one = replace(asked, is_list=False)
        fits = [self.value(each, one, (*path, i)) for i, each in enumerate(value)]
        return False not in fits

    def fields(self, model: type[BaseModel], table: Mapping[str, Any], path: KeyPath,
               names: Iterable[str] | None = None,
               mends: Mapping[str, str] | None = None) -> dict[str, Any]:
        """Read the plain fields of a model; return those that fit, by name.

        Args:
            names: which fields; all of the model if not given.
            mends: how a field is written, for those whose kind does not say it.
        """
        mends = mends or {}
        read: dict[str, Any] = {}
        for name in model.model_fields if names is None else names:
            field = model.model_fields[name]
            if name not in table:
                if field.is_required():
                    self.tell(MISSING, (*path, name), "this key is missing",
                              f"give {name}: {mends.get(name) or asked_of(model, name)}")
                continue
            if self.value(table[name], asked_of(model, name), (*path, name),
                          mends.get(name, "")):
                read[name] = table[name]
        return read



def _quoted(value: Any) -> str:
    short = isinstance(value, str) and len(value) <= 40 and value.isprintable()
    return f'"{value}"' if short else "..."
