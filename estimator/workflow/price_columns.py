"""Which column of a price list holds what: as the user says, as was kept, or guessed to be seen."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from catalogue.price_lists.column_map import (
    FIELDS,
    ColumnMap,
    FieldSet,
    parse_column_map,
    read_column_map,
)
from catalogue.problems import Place, Problem, ProblemsFound

_BARE = re.compile(r"[0-9]+(\.[0-9]+)?|true|false")
_QUANTITY = re.compile(r"[0-9]+(\.[0-9]+)?")
_AS_TEXT = ("currency", "decimal_mark", "price_per")  # whose values are text even if digits
EXCHANGE = "xml"


@dataclass(frozen=True)
class Layout:
    """What the user says about a list's layout.

    Attributes:
        columns: one path of a TOML file, or `key=header` words; none for the kept map.
        decimal_mark, currency, sheet, date_order: said beside the map; "" is as the map has it.
    """

    columns: Sequence[str] = ()
    decimal_mark: str = ""
    currency: str = ""
    sheet: str = ""
    date_order: str = ""


@dataclass(frozen=True)
class Chosen:
    """A column map and where it comes from: "given", "kept", "guessed" or "the file itself"."""

    columns: ColumnMap
    origin: str


def choose_columns(
    layout: Layout, file: Path, kept: str | None, currency: str, about: FieldSet | None = None
) -> Chosen:
    """Return how a price list, or another table, is to be read.

    Args:
        layout: what the user says.
        file: the price list.
        kept: text of the map that is kept for the supplier.
        currency: the catalogue's, where nothing says another.
        about: the fields of the table; those of a price list if not given.

    Raises:
        ProblemsFound: for every mistake in a map; A211 if no column can be guessed that must be
            known; as `catalogue.price_lists.reading.read_header`.
    """
    if layout.columns:
        return Chosen(_given(layout, currency, about), "given")
    if kept is not None:
        return Chosen(_with(parse_column_map(kept, "the kept column map", about), layout), "kept")
    return _guessed(layout, file, currency, about)


def _given(layout: Layout, currency: str, about: FieldSet | None) -> ColumnMap:
    fields = FIELDS if about is None else about.meanings
    first = layout.columns[0]
    if len(layout.columns) == 1 and "=" not in first:
        return _with(read_column_map(Path(first), about=about), layout)
    lines: dict[str, list[str]] = {"": [], "columns": [], "price_breaks": []}
    for each in layout.columns:
        key, sign, value = (part.strip() for part in each.partition("="))
        if not sign or not key:
            raise ProblemsFound([Problem(
                "A210", Place("--columns"), f"'{each}' is no pair of field and header",
                'write one such as --columns code="Part no", or the path of one TOML file')])
        table = "columns" if key in fields else "price_breaks" if _QUANTITY.fullmatch(key) else ""
        bare = not table and key not in _AS_TEXT and _BARE.fullmatch(value)
        lines[table].append(f"{_text(key)} = {value if bare else _text(value)}")
    if not any(line.startswith('"currency"') for line in lines[""]):
        lines[""].append(f'"currency" = {_text(layout.currency or currency)}')
    text = "\n".join(
        line for table, rows in lines.items() if rows
        for line in ([f"[{table}]"] if table else []) + rows)
    return _with(parse_column_map(text, "--columns", about), layout)


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False)


def _with(columns: ColumnMap, layout: Layout) -> ColumnMap:
    """Return a map with what the user says beside it."""
    said: dict[str, Any] = {
        name: value for name, value in (
            ("decimal_mark", layout.decimal_mark), ("currency", layout.currency),
            ("sheet", layout.sheet), ("date_order", layout.date_order)) if value}
    return replace(columns, **said)


def _guessed(
    layout: Layout, file: Path, currency: str, about: FieldSet | None
) -> Chosen:
    from catalogue.price_lists.guessing import PRICES, guess
    from catalogue.price_lists.reading import form_of, read_header

    about = PRICES if about is None else about
    shown = file.as_posix()
    plain = _with(ColumnMap(currency=currency), layout)
    if form_of(file, shown) == EXCHANGE:
        return Chosen(plain, "the file itself")
    titles, row = read_header(file, plain, shown)
    guessed = _with(guess(titles, plain.currency, about.titles), layout)
    lacking = list(about.lacks(guessed))
    if lacking:
        heads = [title for title in titles if title]
        header = ", ".join(f"'{title}'" for title in heads)
        raise ProblemsFound([Problem(
            "A211", Place(shown, row or None), f"the header does not tell {each}; it reads: "
            f"{header}", about.mend.format(first=heads[0] if heads else "Part no"))
            for each in lacking])
    return Chosen(guessed, "guessed")
