"""Which fields of an item a substitute must equal or better, as dated and sourced data.

The data stand in `hard_fields.toml` beside this file, which also says what each word means. They
come with the program, so that what is wrong in them is a programmer's mistake, not a user's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_args

from catalogue.toml_source import read_toml

Must = Literal[
    "equal", "at_least", "at_most", "superset", "yes_if_yes", "in_order", "in_order_down", "ip",
    "soft",
]
HARD_FIELDS = Path(__file__).with_name("hard_fields.toml")
_KEYS = frozenset({
    "must", "why", "soft", "source", "blank_asks_nothing", "order", "covers", "roles"})


@dataclass(frozen=True, slots=True)
class HardField:
    """What a substitute must be in one field.

    Attributes:
        must: the direction in which a value is better, or "soft".
        why: why the field is hard, or why it is soft.
        blank_asks_nothing: whether any value will do where the original's is blank.
        order: the words of a field that goes by an order, the least first.
        covers: what a word of the field stands for, where it stands for several.
        roles: another direction for items that serve a role.
    """

    must: Must
    why: str
    source: str
    blank_asks_nothing: bool = False
    order: tuple[str, ...] = ()
    covers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    roles: Mapping[str, Must] = field(default_factory=dict)

    def for_role(self, role: str) -> Must:
        """Return the direction for a role."""
        return self.roles.get(role, self.must)


@dataclass(frozen=True, slots=True)
class FamilyFields:
    """The fields of a family: those of every item, those of its specification, and its papers.

    Attributes:
        papers: drawings and certificates on which an item of the family stands.
    """

    item: Mapping[str, HardField]
    spec: Mapping[str, HardField]
    papers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HardFields:
    """Every family's fields, from a day on; and what the second numeral of an IP code covers."""

    from_date: date
    families: Mapping[str, FamilyFields]
    ip_second: tuple[frozenset[str], ...]


@cache
def hard_fields() -> HardFields:
    """Return the hard fields that come with the program; read once.

    Raises:
        ValueError: if the file says a word that means nothing.
    """
    return read_hard_fields(read_toml(HARD_FIELDS, HARD_FIELDS.name).data)


def read_hard_fields(data: Mapping[str, Any]) -> HardFields:
    """Return the hard fields that a file's tables describe; see `hard_fields`."""
    orders = {name: tuple(table["words"]) for name, table in data["order"].items()}
    every = _fields(data["item"], data["source"], orders)
    tables: Mapping[str, Any] = data["family"]
    families = {name: _family(tables, name, every, data["source"], orders) for name in tables}
    second = tuple(frozenset(numerals) for numerals in data["ip"]["second"])
    return HardFields(data["from"], families, second)


def _family(
    tables: Mapping[str, Any], name: str, every: Mapping[str, HardField], source: str,
    orders: Mapping[str, tuple[str, ...]],
) -> FamilyFields:
    table = tables[name]
    papers = tuple(table["papers"])
    if "like" in table:
        return replace(_family(tables, table["like"], every, source, orders), papers=papers)
    source = table.get("source", source)
    item = {**every, **_fields(table.get("item", {}), source, orders)}
    return FamilyFields(item, _fields(table["fields"], source, orders), papers)


def _fields(
    table: Mapping[str, Mapping[str, Any]], source: str, orders: Mapping[str, tuple[str, ...]]
) -> dict[str, HardField]:
    return {name: _field(name, each, source, orders) for name, each in table.items()}


def _field(
    name: str, each: Mapping[str, Any], source: str, orders: Mapping[str, tuple[str, ...]]
) -> HardField:
    must: Must = each.get("must", "soft")
    roles = dict(each.get("roles", {}))
    wrong = [word for word in (must, *roles.values()) if word not in get_args(Must)]
    wrong += sorted(set(each) - _KEYS)
    if wrong or ("must" in each) == ("soft" in each):
        raise ValueError(f"hard field '{name}' says {wrong or sorted(each)}")
    return HardField(
        must, each.get("why") or each["soft"], each.get("source", source),
        each.get("blank_asks_nothing", False),
        orders[each["order"]] if "order" in each else (),
        {word: tuple(parts) for word, parts in each.get("covers", {}).items()}, roles,
    )
