"""docs/substitutes.md: every field of every family, hard or soft, which way is better, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from catalogue.hard_fields import FamilyFields, HardField, hard_fields
from tools.markdown import code, page, table

HEADS = ("Field", "A substitute must be", "Why", "Source")
WORDS = {
    "equal": "equal", "at_least": "at least as much", "at_most": "at most as much",
    "superset": "all of it, or more", "yes_if_yes": "yes where the original is",
    "in_order": "the same or later", "in_order_down": "the same or earlier",
    "ip": "a code that covers it", "soft": "anything",
}


def hard_fields_page() -> str:
    """Return the page."""
    fields = hard_fields()
    common = _shared(tuple(fields.families.values()))
    sections = ["## Every item\n\n" + table(HEADS, _rows(common))]
    sections += [
        f"## {family}\n\n" + _papers(each) + table(HEADS, [
            *_rows({name: field for name, field in each.item.items()
                    if name not in common and name not in each.spec}),
            *_rows(each.spec)])
        for family, each in fields.families.items()]
    return page(
        "Substitutes",
        "An item may stand in for another only if every hard field is equal or better. What is not "
        "known is not better: a blank on the substitute fails where the original has a value, and "
        "a value fails where the original is blank, unless it says that a blank asks nothing. "
        f"From {fields.from_date}; data: `catalogue/hard_fields.toml`. The standard in force, the "
        "maker's manual and a licensed person come first.", sections)


def _shared(families: Sequence[FamilyFields]) -> dict[str, HardField]:
    """Return the fields of every item that no family takes otherwise."""
    return {name: field for name, field in families[0].item.items()
            if all(each.item[name] == field for each in families)}


def _papers(each: FamilyFields) -> str:
    return f"Stands on: {', '.join(each.papers)}.\n\n" if each.papers else ""


def _rows(fields: Mapping[str, HardField]) -> Iterator[tuple[str, ...]]:
    for name, field in fields.items():
        yield code(name), _must(field), field.why, "" if field.must == "soft" else field.source


def _must(field: HardField) -> str:
    parts = [WORDS[field.must]]
    if field.order:
        parts.append(f"in the order {', '.join(field.order)}")
    parts += [f"as {role}: {WORDS[must]}" for role, must in field.roles.items()]
    if field.blank_asks_nothing:
        parts.append("a blank asks nothing")
    return "; ".join(parts)
