"""What an accepted revision says of the readings at its end; no database.

Strings come from the chosen layout, else from the panels of each plane; circuits from the sizing of
their cables; the data sheet of the panel from what was kept with the revision. Panel electronics
change what a string shows, so that nothing is expected of it then. What nobody knows of the house
is not taken for no: its reading is due, and may say why it was left out.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from catalogue.items import Item
from catalogue.specs import ConverterSpec, PanelSpec
from estimator.closing.design import CircuitOf, Design, PanelData, StringOf
from estimator.design.electrical.string_plan import even_strings
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import WorkedJson

_LAYOUT = re.compile(r"(.+), (?:as surveyed|the best of the lawful layouts)")
_LOAD = re.compile(r"(?:([0-9]+) x )?([0-9]+)")
_R1R2, _RISE = "R1 + R2 of the flat cable at 20 degrees", "drop or rise over all legs"
_PITCHED = ("pitched", "in-roof")
_CLAMPED = ("clamp-lead", "data-meter")
_CUT = ("roof-entry", "core-brick", "core-stone")


def design_of(estimate: EstimateJson, items: Iterable[Item] = ()) -> Design:
    """Return what was designed, from a revision and the items that were kept with it."""
    facts = {fact.path: fact.value for fact in estimate.facts}
    kept = {item.code: item for item in items}
    specs = [kept[line.item].spec for line in estimate.lines if line.item in kept]
    converter = next((spec for spec in specs if isinstance(spec, ConverterSpec)), None)
    surveyed = facts.get("supply.phases")
    electronics = any(line.family == "electronics" for line in estimate.lines)
    return Design(
        circumstances=frozenset(_circumstances(estimate, facts)),
        strings=tuple(_strings(estimate, facts)),
        circuits=tuple(_circuits(estimate)),
        panel=None if electronics else _panel(specs),
        no_panel="as the manual of the panel electronics says" if electronics else "",
        phases=converter.phases if converter else surveyed if surveyed == 3 else 1,
        earthing=str(facts.get("supply.earthing") or ""),
        figures=dict(_figures(facts)),
    )


def papers_of(parts: Collection[str], tasks: Collection[str]) -> Mapping[str, bool]:
    """Return the words for a job on which its papers with a day hang."""
    converter, asked = "converter" in parts, "office-approval" in tasks
    return {"converter": converter, "told after": converter and not asked,
            "asked first": converter and asked}


def _circumstances(estimate: EstimateJson, facts: Mapping[str, Any]) -> Iterator[str]:
    tasks = {task.task for task in estimate.tasks}
    families = {line.family for line in estimate.lines if not line.option}
    parts = set(estimate.job.parts)
    storage, metering = "storage" in parts, not tasks.isdisjoint(_CLAMPED)
    pitched = any(facts.get(path) in _PITCHED for path in facts
                  if re.fullmatch(r"plane\[[0-9]+\]\.kind", path))
    holds = {
        "panels": "panels" in parts,
        "storage": storage,
        **papers_of(parts, tasks),
        "backup": "backup" in parts,
        "storage without backup": storage and "backup" not in parts,
        "vehicle and storage": storage and facts.get("supply.electric_vehicle") is not False,
        "roof": "panels" in parts and pitched,
        "electrode": facts.get("supply.earthing") in (None, "TT") or "electrode" in tasks,
        "metering": metering,
        "metering and storage": metering and storage,
        "metering and panels": metering and "panels" in parts,
        "several phases": metering and facts.get("supply.phases") == 3,
        "export limit": "limit-test" in tasks or _cap_w(facts) is not None,
        "alarm": "alarm" in families,
        "sealing": "sealing" in families,
        "cut": not tasks.isdisjoint(_CUT),
        "frost": storage and facts.get("storage.frost") is not False,
    }
    return (name for name, is_so in holds.items() if is_so)


def _cap_w(facts: Mapping[str, Any]) -> Decimal | None:
    cap = _number(facts.get("supply.network_cap_w"))
    return cap if cap else None


def _figures(facts: Mapping[str, Any]) -> Iterator[tuple[str, Decimal]]:
    for name, value in (("storage.modules", _number(facts.get("storage.modules"))),
                        ("export.cap_w", _cap_w(facts))):
        if value is not None:
            yield name, value


def _number(value: Any) -> Decimal | None:
    if value is None or isinstance(value, bool):
        return None
    try:
        return Decimal(str(value))
    except InvalidOperation:
        return None


def _panel(specs: Iterable[Any]) -> PanelData | None:
    found = next((spec for spec in specs if isinstance(spec, PanelSpec)), None)
    return None if found is None else PanelData(
        Decimal(found.voc_v), Decimal(found.isc_a), found.voc_pct_per_k)


# -- strings and circuits --------------------------------------------------------------------------


def _strings(estimate: EstimateJson, facts: Mapping[str, Any]) -> Iterator[StringOf]:
    worked = next((each for each in estimate.worked if each.code == "string-layouts"), None)
    told = _LAYOUT.fullmatch(worked.says) if worked is not None else None
    loads = list(_told(told[1]) if told else _surveyed(estimate, facts))
    count: Counter[str] = Counter()
    for faces, panels in loads:
        count[faces] += 1
        yield StringOf(f"{faces}, string {count[faces]}", panels, faces)


def _told(layout: str) -> Iterator[tuple[str, int]]:
    """Yield faces and panels of each string: "south: 8 + 8; east and west: 2 x 6"."""
    for part in layout.split("; "):
        faces, _, told = part.rpartition(": ")
        for load in told.split(" + "):
            found = _LOAD.fullmatch(load)
            if found is not None:
                yield from [(faces, int(found[2]))] * int(found[1] or 1)


def _surveyed(
    estimate: EstimateJson, facts: Mapping[str, Any]
) -> Iterator[tuple[str, int | None]]:
    """Yield the strings as surveyed where no layout was chosen: even, and one where unknown."""
    if "panels" not in estimate.job.parts:
        return
    planes = sorted({int(found[1]) for path in facts
                     if (found := re.fullmatch(r"plane\[([0-9]+)\]\..+", path))})
    for i in planes or [0]:
        panels, strings = facts.get(f"plane[{i}].panels"), facts.get(f"plane[{i}].strings")
        name = f"plane {i + 1}"
        if isinstance(panels, int) and isinstance(strings, int):
            yield from ((name, each) for each in even_strings(panels, strings))
        else:
            yield name, None


def _circuits(estimate: EstimateJson) -> Iterator[CircuitOf]:
    sized = [each for each in estimate.worked if each.code == "circuit-cable"]
    for each in sized:
        yield CircuitOf(each.subject, _sum(each, _R1R2), _sum(each, _RISE))
    if not sized and "converter" in estimate.job.parts:
        yield CircuitOf("converter circuit")


def _sum(worked: WorkedJson, name: str) -> Decimal | None:
    return next((_number(each.value) for each in worked.sums if each.name == name), None)
