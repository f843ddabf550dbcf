"""The kit of a job: which panel, converter, storage module and rail, chosen or named.

A code in the survey's wishes is taken as it stands. Where none is given the choice is stated:
the panel that costs least per watt; the storage module that costs least per kWh and mounts as
surveyed; the smallest converter that fits phases, place, storage, array and strings, without a
storage port where no storage is asked for and one does; the rail that costs least per metre. Ties
go to the lower item code.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, cast

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.specs import FAMILIES, ConverterSpec, MountingSpec, PanelSpec, StorageSpec
from estimator.design.sheet import Detail, FactSheet, Unknown

SLOTS = {"panel": ("panel", "panel"), "converter": ("converter", "converter"),
         "storage": ("storage", "storage module"), "rail": ("mounting", "rail")}


@dataclass(frozen=True)
class Kit:
    """The chosen items; None where the part is not asked for or a missing fact bars the choice.

    Attributes:
        waits_for: slot -> facts without which no choice can be made.
        because: slot -> why this item.
        nothing_fits: slots that are asked for and for which the catalogue holds nothing that fits.
    """

    items: Mapping[str, Item | None]
    waits_for: Mapping[str, tuple[str, ...]]
    because: Mapping[str, str]
    nothing_fits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Choice:
    item: Item | None
    waits_for: tuple[str, ...] = ()
    because: str = ""


def choose_kit(sheet: FactSheet, prices: PriceBook) -> Kit:
    """Return the kit of a job.

    Raises:
        ProblemsFound: K001 for a wished code that is not in the catalogue or is of another kind.
    """
    _refuse_unknown_wishes(sheet, prices)
    storage = _storage(sheet, prices)
    panel = _panel(sheet, prices)
    choices = {
        "panel": panel,
        "storage": storage,
        "converter": _converter(sheet, prices, storage.item, panel.item),
        "rail": _cheapest(prices, "rail", _rail_cost, "costs least per metre of rail")
        if "panels" in sheet.parts else _Choice(None),
    }
    return Kit(
        {slot: choice.item for slot, choice in choices.items()},
        {slot: choice.waits_for for slot, choice in choices.items() if choice.waits_for},
        {slot: choice.because for slot, choice in choices.items() if choice.because},
        tuple(
            slot for slot, choice in choices.items()
            if choice.item is None and not choice.waits_for and _asked(slot, sheet)
        ),
    )


def with_stand_ins(kit: Kit, swaps: Mapping[str, str], prices: PriceBook) -> Kit:
    """Return the kit with each substitute in the place of its original.

    Args:
        swaps: code of the original -> code of the substitute.
    """
    items, because = dict(kit.items), dict(kit.because)
    for slot, item in kit.items.items():
        if item is not None and item.code in swaps:
            items[slot] = prices.items[swaps[item.code]]
            because[slot] = f"stands in for {item.code}"
    return replace(kit, items=items, because=because)


def _asked(slot: str, sheet: FactSheet) -> bool:
    return {"panel": "panels", "rail": "panels"}.get(slot, slot) in sheet.parts


def _refuse_unknown_wishes(sheet: FactSheet, prices: PriceBook) -> None:
    problems = []
    for slot in ("panel", "converter", "storage"):
        code = sheet.job.get(f"wishes.{slot}")
        if not isinstance(code, str):
            continue
        known = [item.code for item in prices.with_role(*SLOTS[slot])]
        if code not in known:
            detail = sheet.detail(f"wishes.{slot}")
            file, _, line = detail.place.rpartition(":")
            where = Place(file, int(line)) if line.isdigit() else Place(detail.place)
            problems.append(Problem(
                "K001", where, f"wishes.{slot}: no {slot} '{code}' is in the catalogue",
                suggestion(code, known) or "see: estimator catalogue find " + slot,
            ))
    if problems:
        raise ProblemsFound(problems)


def _wished(sheet: FactSheet, prices: PriceBook, slot: str) -> _Choice | None:
    code = sheet.job.get(f"wishes.{slot}")
    if isinstance(code, str):
        return _Choice(prices.items[code], because="named in the survey's wishes")
    return None


def _cheapest(
    prices: PriceBook, slot: str, cost: Callable[[Item, Fraction], Any], because: str,
    fits: Callable[[Item], bool] = lambda item: True,
) -> _Choice:
    """Return the item of a slot with the lowest cost key among those on offer that fit."""
    found = []
    for item in prices.with_role(*SLOTS[slot]):
        offer = prices.offer(item.code)
        if offer is not None and item.sold_apart and fits(item):
            found.append((cost(item, offer.unit_price_minor), item.code, item))
    if not found:
        return _Choice(None)
    return _Choice(min(found, key=lambda each: each[:2])[2], because=because)


def _rail_cost(item: Item, price: Fraction) -> Fraction:
    stick = cast(MountingSpec, item.spec).stick_m
    return price / Fraction(stick) if stick else price


def _panel(sheet: FactSheet, prices: PriceBook) -> _Choice:
    if "panels" not in sheet.parts:
        return _Choice(None)
    return _wished(sheet, prices, "panel") or _cheapest(
        prices, "panel",
        lambda item, price: price / Fraction(cast(PanelSpec, item.spec).power_w),
        "costs least per watt",
    )


def _storage(sheet: FactSheet, prices: PriceBook) -> _Choice:
    if "storage" not in sheet.parts:
        return _Choice(None)
    wished = _wished(sheet, prices, "storage")
    if wished:
        return wished
    mount = sheet.job["storage.mount"]
    if isinstance(mount, Unknown):
        return _Choice(None, tuple(sorted(mount.facts)))
    return _cheapest(
        prices, "storage",
        lambda item, price: price / Fraction(cast(StorageSpec, item.spec).usable_kwh),
        f"costs least per kWh of those for the {mount}",
        lambda item: cast(StorageSpec, item.spec).mounts in (mount, "both"),
    )


def _converter(
    sheet: FactSheet, prices: PriceBook, storage: Item | None, panel: Item | None
) -> _Choice:
    wished = _wished(sheet, prices, "converter")
    if wished:
        return wished
    if "converter" not in sheet.parts:
        return _Choice(None)
    needs = ["supply.phases", "converter.place"]
    missing = [f for path in needs if isinstance(v := sheet.job[path], Unknown) for f in v.facts]
    if missing:
        return _Choice(None, tuple(sorted(missing)))
    wanted_w = _wanted_w(sheet, panel)
    counts = [env["plane.strings"] for env in sheet.scopes["plane"]]
    strings = sum(n if isinstance(n, int) else 1 for n in counts)  # a plane has one at the least

    def fits(item: Item) -> bool:
        return _converter_fits(sheet, cast(ConverterSpec, item.spec), storage, panel)

    def cost(item: Item, price: Fraction) -> tuple[bool, bool, bool, Fraction, Fraction]:
        spec = cast(ConverterSpec, item.spec)
        ac_w = Fraction(spec.ac_w)
        short = ac_w < wanted_w
        few_inputs = spec.has_panel_input and _inputs(spec) < strings
        idle_port = spec.has_storage_port and "storage" not in sheet.parts
        return short, few_inputs, idle_port, -ac_w if short else ac_w, price

    return _cheapest(prices, "converter", cost,
                     "smallest output that fits phases, place, storage and array", fits)


def _inputs(spec: ConverterSpec) -> int:
    """Return the strings that the converter has inputs for."""
    return (spec.trackers or 0) * (spec.strings_per_tracker or 0)


def _wanted_w(sheet: FactSheet, panel: Item | None) -> Fraction:
    """Return the output that the wanted array asks for: its power over the usual d.c. ratio."""
    ratio = sheet.job.get("practice.dc_ac_ratio_most")
    counts = [plane_panels(env) for env in sheet.scopes["plane"]]
    if panel is None or (not isinstance(ratio, int) and not hasattr(ratio, "as_tuple")):
        return Fraction(0)
    known = [n for n in counts if isinstance(n, int)]
    return Fraction(cast(PanelSpec, panel.spec).power_w) * sum(known) / Fraction(cast(Any, ratio))


def plane_panels(env: Mapping[str, Any]) -> int | Unknown:
    """Return the panels a plane is wanted to hold: rows x columns, or the stated count."""
    rows, columns = env["plane.rows"], env["plane.columns"]
    if isinstance(rows, int) and isinstance(columns, int):
        return rows * columns
    return cast("int | Unknown", env["plane.panels"])


def converters_that_fit(sheet: FactSheet, prices: PriceBook, kit: Kit) -> list[Item]:
    """Return the converters on offer that fit phases, place and storage as the chosen one must."""
    if any(isinstance(sheet.job[path], Unknown) for path in ("supply.phases", "converter.place")):
        return []
    return [
        item for item in prices.with_role(*SLOTS["converter"])
        if prices.offer(item.code) is not None and item.sold_apart and _converter_fits(
            sheet, cast(ConverterSpec, item.spec), kit.items["storage"], kit.items["panel"])
    ]


def _converter_fits(
    sheet: FactSheet, spec: ConverterSpec, storage: Item | None, panel: Item | None
) -> bool:
    outside = sheet.job["converter.place"] == "outside"
    modules = sheet.job["storage.modules"]
    count = modules if isinstance(modules, int) else 1
    takes_storage = "storage" not in sheet.parts or (
        spec.has_storage_port and spec.storage_max_modules >= count
        and (storage is None or storage.code in spec.storage_allowed)
    )
    return (
        spec.phases == sheet.job["supply.phases"]
        and (spec.outdoor or not outside)
        and takes_storage
        and (spec.has_panel_input or panel is None)
    )


def kit_facts(kit: Kit) -> tuple[dict[str, Any], dict[str, Detail]]:
    """Return the data-sheet values of the chosen items as facts `kit.<slot>.<field>`."""
    values: dict[str, Any] = {}
    details: dict[str, Detail] = {}
    for slot, (family, _) in SLOTS.items():
        item = kit.items[slot]
        missing = kit.waits_for.get(slot, (f"wishes.{slot}",))
        for field in spec_fields(family):
            path = f"kit.{slot}.{field}"
            value = None if item is None else _field(item, field)
            values[path] = Unknown(*(missing if item is None else (path,))) \
                if value is None else value
            details[path] = Detail("data sheet", "", f"item {item.code}" if item else "")
    return values, details


def _field(item: Item, field: str) -> Any:
    if field in ("code", "name", "mass_kg"):
        return getattr(item, field)
    return getattr(item.spec, field)


def spec_fields(family: str) -> tuple[str, ...]:
    """Return the data-sheet fields of a family that are facts, with code, name and mass."""
    return ("code", "name", "mass_kg", *FAMILIES[family].model_fields)
