"""The starter catalogue as items and offers, read once for the tests about its data."""

from __future__ import annotations

import csv
import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import catalogue
from catalogue.items import BoxPart, Item, Offer
from catalogue.money import Money
from catalogue.specs import FAMILIES, HEADS

FOLDER = Path(catalogue.__file__).parent / "starter"
FLAG = {"yes": True, "no": False}
Row = dict[str, str]


def rows(name: str) -> list[Row]:
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def spec_values(family: str, row: Row) -> dict[str, Any]:
    """Return the filled cells of a specification: flags as yes/no, lists parted by ';'."""
    values: dict[str, Any] = {}
    for name, field in FAMILIES[family].model_fields.items():
        if row[name] == "":
            continue
        if field.annotation is bool:
            values[name] = FLAG[row[name]]
        elif str(field.annotation).startswith("tuple"):
            values[name] = tuple(row[name].split(";"))
        else:
            values[name] = row[name]
    if family in ("converter", "surge", "meter", "enclosure") and "phases" in values:
        values["phases"] = int(values["phases"])
    return values


def whole(cell: str) -> int | None:
    return int(cell) if cell else None


def item_of(family: str, row: Row, boxes: list[Row]) -> Item:
    return Item(
        code=row["code"], name=row["name"], family=family, roles=tuple(row["roles"].split(";")),
        unit=row["unit"], spec=FAMILIES[family].model_validate(spec_values(family, row)),
        head=row["head"] or HEADS[family], held=row["held"],  # type: ignore[arg-type]
        bin=row["bin"], mass_kg=Decimal(row["mass_kg"]) if row["mass_kg"] else None,
        length_mm=whole(row["length_mm"]), width_mm=whole(row["width_mm"]),
        height_mm=whole(row["height_mm"]), waste=Decimal(row["waste"]),
        vat_class=row["vat_class"],  # type: ignore[arg-type]
        serialised=FLAG[row["serialised"]], sold_apart=FLAG[row["sold_apart"]], note=row["note"],
        contents=tuple(
            BoxPart(box["item"], int(box["quantity"]), date.fromisoformat(box["from"]),
                    date.fromisoformat(box["to"]) if box["to"] else None)
            for box in boxes if box["box"] == row["code"]
        ),
    )


def offer_of(row: Row, prices_from: date) -> Offer:
    return Offer(row["code"], row["supplier"], Decimal(row["pack"]), Money.of(row["price"]),
                 prices_from, lead_days=int(row["lead_days"]))


ABOUT = tomllib.loads((FOLDER / "about.toml").read_text(encoding="utf-8"))
BOXES = rows("boxes")
SUPPLIERS = {row["name"] for row in rows("suppliers")}
READ = [(family, row) for family in FAMILIES for row in rows(family)]
ITEMS = tuple(item_of(family, row, BOXES) for family, row in READ)
OFFERS = tuple(offer_of(row, ABOUT["prices_from"]) for _, row in READ if row["supplier"])
