"""A small dictionary of facts and short ways to compile and run formulas in tests."""

from __future__ import annotations

from typing import Any

from catalogue.problems import Place, ProblemsFound
from estimator.design.sheet import Scope
from estimator.rules.facts import FactDef, FactType
from estimator.rules.formula import compile_formula

_FACTS: tuple[tuple[str, FactType, Scope, tuple[str, ...]], ...] = (
    ("storage.modules", "whole", "", ()),
    ("storage.mount", "text", "", ("wall", "floor")),
    ("storage.place", "text", "", ("garage", "hall", "neighbour's ground")),
    ("storage.frost", "flag", "", ()),
    ("flag.a", "flag", "", ()),
    ("flag.b", "flag", "", ()),
    ("flag.c", "flag", "", ()),
    ("number.x", "number", "", ()),
    ("number.y", "number", "", ()),
    ("number.z", "number", "", ()),
    ("board.family", "text", "", ()),
    ("kit.converter.storage_allowed", "texts", "", ()),
    ("plane.covering", "text", "plane", ("natural slate", "felt")),
    ("plane.pitch_deg", "number", "plane", ()),
    ("leg.length_m", "number", "leg", ()),
    ("leg.run", "text", "leg", ("data", "d.c.")),
    ("leg.outdoors", "flag", "leg", ()),
)
FACTS = {
    path: FactDef(path, kind, "", f"meaning of {path}", scope, values)
    for path, kind, scope, values in _FACTS
}
PLACE = Place("firm.toml", 7, 9)


def run(text: str, env: dict[str, Any] | None = None, **facts: Any) -> Any:
    """Return what a formula yields; `storage__modules=3` gives a fact its value."""
    values = {name.replace("__", "."): value for name, value in facts.items()}
    return compile_formula(text, FACTS, PLACE).run({**(env or {}), **values})


def problems(
    text: str, scope: Scope = "", expect: FactType | None = None
) -> list[tuple[str, int | None, str]]:
    """Return (code, column within the formula from 1, words) of every mistake of a formula."""
    try:
        compile_formula(text, FACTS, Place("firm.toml", 7, 1), scope, expect)
    except ProblemsFound as found:
        return [(each.code, each.where.column, each.says) for each in found.problems]
    return []
