"""Items as text and back: what of an item decides in an estimate, to be kept with it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.items import BoxPart, Item
from catalogue.specs import FAMILIES

_AS_THEY_ARE = (
    "code", "name", "family", "roles", "unit", "head", "held", "length_mm", "width_mm",
    "height_mm", "vat_class", "sold_apart",
)


def item_text(items: Iterable[Item]) -> str:
    """Return items as one JSON text, by code; bin, note and serial numbers decide nothing."""
    rows = [_row(item) for item in sorted(items, key=lambda item: item.code)]
    return json.dumps(rows, ensure_ascii=False, separators=(",", ":"))


def _row(item: Item) -> dict[str, Any]:
    return {
        **{name: getattr(item, name) for name in _AS_THEY_ARE},
        "mass_kg": None if item.mass_kg is None else str(item.mass_kg),
        "waste": str(item.waste),
        "spec": item.spec.model_dump_json(exclude_none=True),
        "contents": [
            (part.item, part.quantity, str(part.from_date),
             None if part.to_date is None else str(part.to_date))
            for part in item.contents
        ],
    }


def items_from(text: str) -> tuple[Item, ...]:
    """Return the items of such a text.

    Raises:
        ValueError: if a data sheet is none that this program knows.
        KeyError: if an item lacks what this program asks for, or its family is not known.
    """
    return tuple(_item(row) for row in json.loads(text))


def _item(row: dict[str, Any]) -> Item:
    plain = {name: row[name] for name in _AS_THEY_ARE}
    return Item(
        **{**plain, "roles": tuple(plain["roles"])},
        mass_kg=None if row["mass_kg"] is None else Decimal(row["mass_kg"]),
        waste=Decimal(row["waste"]),
        spec=FAMILIES[row["family"]].model_validate_json(row["spec"]),
        contents=tuple(
            BoxPart(item, quantity, date.fromisoformat(start),
                    None if end is None else date.fromisoformat(end))
            for item, quantity, start, end in row["contents"]
        ),
    )
