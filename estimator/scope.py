"""The scope of a job in plain words, for the customer: what is fitted, where, what is not."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from catalogue.specs import ConverterSpec, PanelSpec, StorageSpec
from estimator.design.design import Design
from estimator.design.sheet import FactSheet, Unknown

EXCLUSIONS = (
    "work on the supplier's or the network's equipment",
    "repair of faults found in the existing installation, priced apart when found",
    "making good of decoration",
    "removal of asbestos or other hazardous material",
    "fees of planning or listed-building consent",
)


def scope_of(sheet: FactSheet, design: Design) -> tuple[str, ...]:
    """Return one sentence per part of the job; an unknown place or count is left out."""
    lines = [
        *_panels(sheet, design), *_storage(sheet, design), *_converter(sheet, design),
        *_backup(sheet),
        *_network(sheet),
        "A walk through the finished system, with the shut-down steps and the handover papers.",
    ]
    return tuple(lines)


def _known(env: Mapping[str, Any], path: str) -> Any:
    value = env.get(path)
    return None if isinstance(value, Unknown) else value


def plain(number: Decimal) -> str:
    """Return a decimal without trailing zeros (5.0 -> 5)."""
    return format(number.normalize(), "f")


def _panels(sheet: FactSheet, design: Design) -> list[str]:
    panel = design.kit.items["panel"]
    if "panels" not in sheet.parts or panel is None or not isinstance(panel.spec, PanelSpec):
        return []
    lines = []
    for name, env in zip(sheet.names["plane"], sheet.scopes["plane"], strict=True):
        count = _known(env, "plane.panels_placed")
        if count:
            power_kw = plain(count * panel.spec.power_w / 1000)
            lines.append(
                f"{count} solar panels of {plain(panel.spec.power_w)} W ({power_kw} kW in all) on "
                f"the {name} ({_covering(env)})."
            )
    return lines


def _covering(env: Mapping[str, Any]) -> str:
    kind, covering = _known(env, "plane.kind"), _known(env, "plane.covering")
    words = {"ground": "frame on the ground", "flat": "ballasted frames on the flat roof",
             "in-roof": "set into the roof"}.get(str(kind), "rails above the covering")
    return f"{words}, {covering}" if covering and kind != "ground" else words


def _storage(sheet: FactSheet, design: Design) -> list[str]:
    item, count = design.kit.items["storage"], _known(sheet.job, "storage.modules")
    if item is None or not count or not isinstance(item.spec, StorageSpec):
        return []
    mount = {"wall": "hung on the wall", "floor": "standing on the floor"}.get(
        str(_known(sheet.job, "storage.mount")), "")
    place = _known(sheet.job, "storage.place")
    where = ", ".join(part for part in (mount, f"place: {place}" if place else "") if part)
    energy = plain(count * item.spec.usable_kwh)
    plural = "s" if count > 1 else ""
    return [
        f"{count} storage module{plural} of {plain(item.spec.usable_kwh)} kWh usable "
        f"({energy} kWh in all){', ' + where if where else ''}."
    ]


def _converter(sheet: FactSheet, design: Design) -> list[str]:
    item = design.kit.items["converter"]
    if "converter" not in sheet.parts or item is None or not isinstance(item.spec, ConverterSpec):
        return []
    place = _known(sheet.job, "converter.place")
    phases = "three-phase" if item.spec.phases == 3 else "single-phase"
    where = f", {place} the house" if place else ""
    power_kw = plain(item.spec.ac_w / 1000)
    return [f"One {phases} converter of {power_kw} kW{where}, with its circuit."]


def _network(sheet: FactSheet) -> list[str]:
    """Return what goes to the network, and when work starts if it must agree first."""
    said = "Protective devices, isolation, labels, tests, certificates and the "
    route = _known(sheet.job, "network.route")
    if route in (None, "inform after"):
        return [f"{said}notice to the network."]
    least, most = (_known(sheet.job, f"network.{name}_weeks") for name in ("answer", "most"))
    wait = f", usually {least} to {most} weeks after we ask" if least and most else ""
    first = "Work starts when the network has agreed" if (
        "network.route" not in sheet.job.get("@assumed", ())
    ) else "If the network must agree first, work starts when it has"
    return [f"{said}application to the network.", f"{first}{wait}."]


def _backup(sheet: FactSheet) -> list[str]:
    circuits = _known(sheet.job, "backup.circuits")
    if "backup" not in sheet.parts or not circuits:
        return []
    plural = "s" if circuits > 1 else ""
    return [f"Backup supply for {circuits} circuit{plural} when the mains fails."]
