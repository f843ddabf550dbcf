"""Builds the dictionary of facts: every path a formula may name.

Survey facts come from the survey model, data-sheet facts from the specification models, practice
values from the practice pack, and what the roof design works out from its own table.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from catalogue.specs import FAMILIES
from estimator.design.judged_facts import JUDGED_FACTS
from estimator.design.plane_facts import PLANE_FACTS
from estimator.design.sheet import Scope
from estimator.practice.pack import Practice
from estimator.rules.facts import FactDef, FactType
from estimator.survey.fact import Fact
from estimator.survey.model import Survey
from estimator.survey.words import Part

# Which family the chosen items of a kit belong to, and the role they serve.
KIT: dict[str, tuple[str, str]] = {
    "panel": ("panel", "panel"),
    "converter": ("converter", "converter"),
    "storage": ("storage", "storage module"),
    "rail": ("mounting", "rail"),
}
_REPEATED: dict[str, Scope] = {"planes": "plane", "legs": "leg"}
_TYPES: dict[type, FactType] = {int: "whole", Decimal: "number", bool: "flag", str: "text"}
_UNITS = {
    "mm2": "mm²", "mm": "mm", "m": "m", "w": "W", "kwh": "kWh", "v": "V", "a": "A", "k": "%/K",
    "c": "°C", "deg": "deg", "kn": "kN", "db": "dB", "kg": "kg", "n": "N", "ml": "ml",
    "min": "min",
}
# What the catalogue says of every item, beside its specification.
_ITEM_FIELDS: tuple[tuple[str, FactType], ...] = (
    ("code", "text"), ("name", "text"), ("mass_kg", "number"),
)
_SHEET_MEANINGS = {
    "voc_v": "open-circuit voltage at standard test conditions",
    "vmp_v": "voltage at greatest power, at standard test conditions",
    "isc_a": "short-circuit current at standard test conditions",
    "imp_a": "current at greatest power, at standard test conditions",
    "voc_pct_per_k": "change of the open-circuit voltage with temperature",
    "vmp_pct_per_k": "change of the voltage at greatest power with temperature",
    "isc_pct_per_k": "change of the short-circuit current with temperature",
    "ac_w": "greatest output, alternating current",
    "ac_a": "greatest current, alternating current side",
    "ip": "ingress protection code",
    "couple_mm": "height between the top and the lowest row of its wall fixings",
    "depth_mm": "from its back to its front",
    "code": "item code",
    "name": "name in the catalogue",
    "mass_kg": "mass of one",
}


def fact_dictionary(practice: Mapping[str, FactDef]) -> dict[str, FactDef]:
    """Return every fact by path: survey, job flags, data sheets, roof design, practice values.

    Args:
        practice: the values of the practice pack, by path ("practice.edge_zone_m").
    """
    facts: dict[str, FactDef] = {}
    for each in (*_survey_facts(), *_job_flags(), *_kit_facts(), *_design_facts()):
        facts[each.path] = each
    facts.update(practice)
    return facts


def _survey_facts() -> Iterator[FactDef]:
    for group, field in Survey.model_fields.items():
        annotation: Any = field.annotation
        scope: Scope = _REPEATED.get(group, "")
        model = get_args(annotation)[0] if scope else annotation
        prefix = scope or group
        for name, each in model.model_fields.items():
            value = _fact_value(each)
            if value is not None:
                yield _survey_fact(f"{prefix}.{name}", value, each, scope)


def _fact_value(field: FieldInfo) -> Any:
    """Return T of a field Fact[T], or None for a field that is not a fact."""
    annotation = field.annotation
    if not isinstance(annotation, type) or not issubclass(annotation, Fact):
        return None
    return annotation.__pydantic_generic_metadata__["args"][0]


def _survey_fact(path: str, value: Any, field: FieldInfo, scope: Scope) -> FactDef:
    kind, words = _kind(value)
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    return FactDef(
        path, kind, str(extra.get("unit", "")), field.description or "", scope, words, "survey",
        str(extra.get("ask", "")),
    )


def _kind(annotation: Any) -> tuple[FactType, tuple[str, ...]]:
    """Return the type and vocabulary of an annotation of the survey or specification models."""
    origin = get_origin(annotation)
    if origin is typing.Annotated:
        return _kind(get_args(annotation)[0])
    if origin in (Union, types.UnionType):
        return _kind(next(arg for arg in get_args(annotation) if arg is not type(None)))
    if origin is tuple:
        return "texts", _kind(get_args(annotation)[0])[1]
    if origin is Literal:
        words = get_args(annotation)
        if all(isinstance(word, str) for word in words):
            return "text", words
        return "whole", ()
    return _TYPES[annotation], ()


def _job_flags() -> Iterator[FactDef]:
    for part in get_args(Part):
        yield FactDef(f"job.{part}", "flag", "", f"the job asks for {part}")
    yield FactDef("job.trips", "whole", "", "journeys to the site, one for each day begun; no "
                  "task on site may hang on it", origin="computed")


def _kit_facts() -> Iterator[FactDef]:
    for kit, (family, role) in KIT.items():
        for field, (kind, words) in spec_fields(FAMILIES[family]).items():
            yield _kit_fact(kit, role, field, kind, words)
        for field, kind in _ITEM_FIELDS:
            yield _kit_fact(kit, role, field, kind, ())


def _kit_fact(
    kit: str, role: str, field: str, kind: FactType, words: tuple[str, ...]
) -> FactDef:
    unit = _unit(field) if kind in ("number", "whole") else ""
    plain = field.removesuffix("_" + field.rsplit("_", 1)[-1]) if unit else field
    meaning = _SHEET_MEANINGS.get(field, plain.replace("_", " "))
    return FactDef(f"kit.{kit}.{field}", kind, unit, f"{role}: {meaning}", "", words, "data sheet")


def _unit(field: str) -> str:
    return _UNITS.get(field.rsplit("_", 1)[-1], "") if "_" in field else ""


def spec_fields(spec: type[BaseModel]) -> dict[str, tuple[FactType, tuple[str, ...]]]:
    """Return the fields of a specification model with their type and vocabulary."""
    return {name: _kind(field.annotation) for name, field in spec.model_fields.items()}


def _design_facts() -> Iterator[FactDef]:
    for name, kind, unit, meaning in PLANE_FACTS:
        yield FactDef(
            f"plane.{name}", typing.cast(FactType, kind), unit, meaning, "plane", (), "computed"
        )
    for path, kind, unit, meaning in JUDGED_FACTS:
        scope: Scope = "plane" if path.startswith("plane.") else ""
        yield FactDef(path, typing.cast(FactType, kind), unit, meaning, scope, (), "computed")


def practice_definitions(practice: Practice, on: date) -> dict[str, FactDef]:
    """Return the definition of every practice value in force on a day, by path."""
    return {
        path: FactDef(path, fact.type, fact.unit, fact.meaning, origin="practice")
        for path, fact in practice.facts(on).items()
    }
