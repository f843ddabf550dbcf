"""What the catalogue commands print: tables for people, plain data for machines."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from catalogue.cell_text import in_text
from catalogue.money import Money, round_half_up
from catalogue.problems import Problem
from estimator.papers.terminal import clean, table

if TYPE_CHECKING:
    from estimator.workflow.catalogue import Found, Import, Shown

_PLACES = 6
_NAMED = 20  # most rows that a dry run names one by one


def as_json(value: Any) -> str:
    """Return a value as JSON; decimals, dates and money are text and keep every digit.

    A fraction, such as a share or the price of one unit, is text of six decimal places.
    """
    return json.dumps(value, default=_plain, ensure_ascii=False)


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, Fraction):
        return format(Decimal(round_half_up(value * 10**_PLACES)).scaleb(-_PLACES), "f")
    if isinstance(value, date | datetime):
        return value.isoformat()
    raise TypeError(type(value).__name__)


def money_data(price: Money | None) -> dict[str, Any] | None:
    """Return an amount as data."""
    return None if price is None else {"minor": price.minor, "currency": price.currency}


def found_data(found: Sequence[Found]) -> list[dict[str, Any]]:
    """Return the list of items as data."""
    return [asdict(each) | {"price": money_data(each.price)} for each in found]


def found_text(found: Sequence[Found]) -> str:
    """Return the list of items as a table."""
    if not found:
        return "No item found. Use fewer words, or leave out --family and --role."
    rows = [
        (each.code, each.name, each.family, "; ".join(each.roles), in_text(each.pack), each.unit,
         str(each.price or "no price"), each.supplier)
        for each in found
    ]
    headings = ("code", "name", "family", "roles", "pack", "unit", "price", "supplier")
    lines = table(rows, "llllrlrl", headings)
    plural = "s" if len(found) > 1 else ""
    return clean("\n".join([*lines, f"{len(found)} item{plural}"]))


def shown_data(shown: Shown) -> dict[str, Any]:
    """Return one item as data."""
    item = shown.item
    return {
        "code": item.code, "name": item.name, "family": item.family, "roles": item.roles,
        "unit": item.unit, "head": item.head, "held": item.held, "bin": item.bin,
        "mass_kg": item.mass_kg, "length_mm": item.length_mm, "width_mm": item.width_mm,
        "height_mm": item.height_mm, "waste": item.waste, "vat_class": item.vat_class,
        "serialised": item.serialised, "sold_apart": item.sold_apart, "note": item.note,
        "spec": {name: value for name, value, _ in shown.spec},
        "contents": [asdict(part) for part in shown.contents],
        "in_boxes_of": [{"code": code, "quantity": n} for code, n in shown.in_boxes_of],
        "offers": [asdict(offer) | {"price": money_data(offer.price)} for offer in shown.offers],
    }


def shown_text(shown: Shown) -> str:
    """Return one item as the terminal shows it."""
    return clean("\n".join(_shown_lines(shown)))


def _shown_lines(shown: Shown) -> Iterator[str]:
    item = shown.item
    yield f"{item.code}  {item.name}"
    yield from table(
        [(name, in_text(value), unit) for name, value, unit in (
            ("family", item.family, ""), ("roles", "; ".join(item.roles), ""),
            ("unit", item.unit, ""), ("cost head", item.head, ""), ("held", item.held, ""),
            ("bin", item.bin, ""), ("mass", item.mass_kg, "kg"), ("length", item.length_mm, "mm"),
            ("width", item.width_mm, "mm"), ("height", item.height_mm, "mm"),
            ("waste", item.waste, ""), ("tax class", item.vat_class, ""),
            ("serialised", item.serialised, ""), ("sold apart", item.sold_apart, ""),
            ("note", item.note, ""),
        ) if value not in (None, "")], "lll")
    yield "Specification (blank: not on the data sheet)"
    yield from table([(name, in_text(value), unit) for name, value, unit in shown.spec], "lll")
    if shown.contents:
        yield "In its box"
        yield from table([(str(part.quantity), part.item, span(part.from_date, part.to_date))
                          for part in shown.contents], "rll")
    if shown.in_boxes_of:
        yield "It lies in the box of"
        yield from table([(code, f"{n} in each") for code, n in shown.in_boxes_of], "ll")
    yield f"Offers on {shown.on}" if shown.offers else "No offer is known."
    yield from table(
        [(offer.state, offer.supplier, f"{in_text(offer.pack)} {item.unit}", str(offer.price),
          span(offer.from_date, offer.to_date),
          f"{offer.entered_from}, {offer.entered_by}, {offer.entered_at:%Y-%m-%d}")
         for offer in shown.offers],
        "lllrll", ("", "supplier", "pack", "price", "holds", "entered") if shown.offers else ())


def span(start: date, end: date | None) -> str:
    """Return the days on which a price holds."""
    return f"from {start}" if end is None else f"{start} to {end}"


def import_data(done: Import) -> dict[str, Any]:
    """Return what an import changes as data."""
    return {
        "new": done.new, "changed": done.changed, "unchanged": len(done.unchanged),
        "refused": done.refused, "written": done.written,
        "problems": [problem_data(each) for each in done.problems],
    }


def problem_data(problem: Problem) -> dict[str, Any]:
    """Return what is wrong with a row as data."""
    where = problem.where
    return {"code": problem.code, "file": where.file, "line": where.line, "cell": where.cell,
            "says": problem.says, "mend": problem.mend}


def import_text(done: Import) -> str:
    """Return what an import changes: counts, names, every refused row with cell and reason."""
    lines = [str(problem) for problem in done.problems]
    for what, names in (("new", done.new), ("changed", done.changed)):
        lines.extend(f"  {what}: {name}" for name in names[:_NAMED])
        if len(names) > _NAMED:
            lines.append(f"  {what}: and {len(names) - _NAMED} more")
    lines.append(
        f"{len(done.new)} new, {len(done.changed)} changed, {len(done.unchanged)} unchanged, "
        f"{done.refused} refused")
    return clean("\n".join(lines))
