"""The dictionary of facts: every path a formula may name, with type, unit and meaning."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from estimator.design.sheet import Origin, Scope

FactType = Literal["whole", "number", "flag", "text", "texts"]


@dataclass(frozen=True, slots=True)
class FactDef:
    """What a path means.

    Attributes:
        path: `storage.modules`, `plane.covering`, `kit.panel.voc_v`, `practice.edge_zone_m`.
        type: "whole" number, any "number", "flag" (yes/no), "text" or "texts" (a list of words).
        unit: unit of a number; empty for counts, words and flags.
        meaning: one sentence.
        scope: "" for a fact of the job, "plane" or "leg" for one that repeats.
        values: the vocabulary, if the text is one of a few words.
        origin: survey, data sheet, practice or computed.
        ask: the question to put when the fact is unknown (survey facts only).
    """

    path: str
    type: FactType
    unit: str
    meaning: str
    scope: Scope = ""
    values: tuple[str, ...] = ()
    origin: Origin = "survey"
    ask: str = ""


FactDictionary = Mapping[str, FactDef]
