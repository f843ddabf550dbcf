"""Reads which catalogue item a rule asks for, and checks family, role and specification fields."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache

from catalogue.problems import suggestion
from catalogue.specs import FAMILIES
from estimator.rules.dictionary import KIT, spec_fields
from estimator.rules.entries import Entry, Notes
from estimator.rules.facts import FactType
from estimator.rules.model import Formula, Selector

Role = tuple[str, str]
Compile = Callable[[str, tuple[str, ...], FactType | None], Formula | None]
Demands = tuple[tuple[str, Formula], ...]
_DEMANDS = ("exactly", "at_least", "at_most", "includes")
_KIT_CODE = re.compile(r"kit\.(\w+)\.code")
# Facts that name an item outright, and what such an item is.
_CODES: dict[str, Role] = {
    "plane.fixing_item": ("mounting", "roof fixing"),
    "plane.rail_other_code": ("mounting", "rail"),
    "storage.fixing_code": ("fixing", "wall fixing"),
    "storage.anti_tip_code": ("fixing", "anti-tip fixing"),
    "converter.fixing_code": ("fixing", "wall fixing"),
}


def read_selector(
    entry: Entry, notes: Notes, roles: frozenset[Role] | None, compile_: Compile
) -> Selector | None:
    """Return what a rule asks for, or None if that is wrong and has been noted."""
    if ("item" in entry.data) == ("code" in entry.data):
        notes.add("R003", entry.place(), f"rule '{entry.name}' needs either an item or a code",
                  'write item = { family = "...", role = "..." }, or code = "kit.storage.code"')
        return None
    if "code" in entry.data:
        return _by_code(entry, notes, compile_)
    role = _role(entry, notes)
    if role is None:
        return None
    if roles is not None and role not in roles:
        _note_missing(entry, notes, role, roles)
    demands = [_demands(entry, notes, kind, role[0], compile_) for kind in _DEMANDS]
    sound = [each for each in demands if each is not None]
    if len(sound) < len(demands):
        return None
    exactly, at_least, at_most, includes = sound
    return Selector(*role, exactly, at_least, at_most, includes)


def _by_code(entry: Entry, notes: Notes, compile_: Compile) -> Selector | None:
    for kind in _DEMANDS:
        if kind in entry.data:
            notes.add("R003", entry.place(kind), f"rule '{entry.name}' names its item by code, so "
                      f"'{kind}' has no use", f"leave {kind} out, or write item = instead of code")
            return None
    text = entry.data["code"]
    code = compile_(text, ("code",), "text")
    if code is None:
        return None
    kit = _KIT_CODE.fullmatch(text.strip())
    family, role = KIT.get(kit.group(1), ("", "")) if kit else _CODES.get(text.strip(), ("", ""))
    return Selector(family, role, code=code)


def _role(entry: Entry, notes: Notes) -> Role | None:
    item = entry.data["item"]
    wrong = [key for key in item if key not in ("family", "role")]
    for key in wrong:
        notes.add("R001", entry.place("item"),
                  f"the item of rule '{entry.name}' has an unknown key '{key}'",
                  "an item has family and role; demands stand in exactly, at_least, at_most or "
                  "includes")
    for key in ("family", "role"):
        if not isinstance(item.get(key), str) or not item[key]:
            notes.add("R002", entry.place("item"), f"the item of rule '{entry.name}' has no {key}",
                      'write item = { family = "...", role = "..." }')
            return None
    if item["family"] not in FAMILIES:
        notes.add("R005", entry.place("item"), f"there is no family '{item['family']}'",
                  suggestion(item["family"], FAMILIES))
        return None
    return None if wrong else (item["family"], item["role"])


def _note_missing(entry: Entry, notes: Notes, role: Role, roles: frozenset[Role]) -> None:
    family, name = role
    elsewhere = sorted(other for other, served in roles if served == name)
    if elsewhere:
        mend = f"family '{elsewhere[0]}' has that role"
    else:
        mend = suggestion(name, (served for other, served in roles if other == family))
    notes.add("R006", entry.place("item"), f"missing item: nothing in the catalogue serves as "
              f"'{name}' in family '{family}'", mend or "add an item with that role; "
              "`estimator catalogue complete` shows what the starter catalogue has")


def _demands(
    entry: Entry, notes: Notes, kind: str, family: str, compile_: Compile
) -> Demands | None:
    """Return the demands of one kind; None if any is wrong."""
    found: list[tuple[str, Formula]] = []
    table = entry.data.get(kind, {})
    for field, text in table.items():
        formula = _demand(entry, notes, kind, family, field, text, compile_)
        if formula is not None:
            found.append((field, formula))
    return tuple(found) if len(found) == len(table) else None


def _demand(
    entry: Entry, notes: Notes, kind: str, family: str, field: str, text: object,
    compile_: Compile,
) -> Formula | None:
    fields = _fields(family)
    if field not in fields:
        notes.add("R005", entry.place(kind, field),
                  f"items of family '{family}' have no field '{field}'",
                  suggestion(field, fields))
        return None
    held, words = fields[field]
    if not isinstance(text, str):
        shown = str(text).lower() if isinstance(text, bool) else text
        notes.add("R003", entry.place(kind, field),
                  f"the demand on '{field}' is not a formula in quotes",
                  f'write {field} = "{shown}"')
        return None
    expect: FactType = "number" if held == "whole" else held
    if (kind == "includes") != (held == "texts") or (
        kind in ("at_least", "at_most") and held == "text"
    ):
        notes.add("R003", entry.place(kind, field), f"'{kind}' does not suit the field '{field}'",
                  "a list of text takes includes; text takes exactly; numbers and yes/no take "
                  "exactly, at_least or at_most")
        return None
    formula = compile_(text, (kind, field), "text" if kind == "includes" else expect)
    wrong = [word for word in formula.words if words and word not in words] if formula else []
    for word in wrong:
        notes.add("R107", entry.text_place(text, 0, kind, field), f"'{field}' is never '{word}'",
                  suggestion(word, words))
    return None if wrong else formula


@cache
def _fields(family: str) -> dict[str, tuple[FactType, tuple[str, ...]]]:
    return spec_fields(FAMILIES[family])
