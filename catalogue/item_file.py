"""One new item from a TOML file: its keys are the columns of its family's sheet.

```toml
family = "cable"
code = "03060-TE"
name = "Flat twin and earth 6 mm²"
roles = ["circuit cable"]
unit = "m"
kind = "flat twin and earth"
size_mm2 = 6
cores = 2
supplier = "Counter North"
pack = 100
price = 184.00

[[box]]                 # what lies in its box, if anything does
item = "09010"
quantity = 4
from = 2026-11-02
```
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.rows import RawRow, RawSheet
from catalogue.specs import FAMILIES
from catalogue.toml_source import TomlSource

BOX = "box"
_PLAIN = (str, bool, int, Decimal, date)


def item_sheets(source: TomlSource) -> list[RawSheet]:
    """Return the item, and what lies in its box, as raw sheets.

    Raises:
        ProblemsFound: L110 if the family is missing or unknown, L101 for tables and lists where
            none may stand.
    """
    data = dict(source.data)
    family, boxes = data.pop("family", None), data.pop(BOX, [])
    if family not in FAMILIES:
        says = "family: this value is missing" if family is None else (
            f"family: '{family}' is no family of items")
        raise ProblemsFound([Problem("L110", source.place(["family"]), says,
                                     suggestion(str(family), FAMILIES)
                                     or "the families are: " + ", ".join(FAMILIES))])
    problems: list[Problem] = []
    cells = {key: _cell(value, source.place([key]), key, problems) for key, value in data.items()}
    sheets = [_sheet(family, cells, lambda key: source.place([key]))]
    for number, part in enumerate(boxes if isinstance(boxes, list) else [boxes]):
        if not isinstance(part, Mapping):
            problems.append(Problem("L101", source.place([BOX]), "box: a table is needed",
                                    "begin each part of the box with [[box]]"))
            continue
        inside = {"box": data.get("code"), **part}
        sheets.append(_sheet("boxes", inside, _places(source, number)))
    if problems:
        raise ProblemsFound(problems)
    return sheets


def _places(source: TomlSource, number: int) -> Callable[[str], Place]:
    return lambda key: source.place([BOX, number, key])


def _sheet(name: str, cells: dict[str, Any], place: Callable[[str], Place]) -> RawSheet:
    return RawSheet(name, list(cells), place, [RawRow(cells, place)])


def _cell(value: Any, place: Place, key: str, problems: list[Problem]) -> Any:
    """Return a value as a cell holds it; the words of a list are parted by ';'."""
    if isinstance(value, _PLAIN):
        return value
    if isinstance(value, list) and all(isinstance(word, str) for word in value):
        if not any(";" in word for word in value):
            return ";".join(value)
        problems.append(Problem("L101", place, f"{key}: a word of a list has no ';'",
                                "leave the mark out"))
    else:
        problems.append(Problem("L101", place, f"{key}: one value or a list of words is needed",
                                "all keys of an item stand in one table; see the help"))
    return None
