"""Which size of panel cable each plane's strings need, and every check of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

from catalogue.price_book import PriceBook
from catalogue.specs import CableSpec
from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.electrical.comparing import telling
from estimator.design.electrical.dc_cable import DcDesign, StringRun, design_run
from estimator.design.electrical.string_array import Array
from estimator.design.electrical.strings import PanelVolts, part_a
from estimator.design.sheet import Environment, Unknown

METHOD = ("smallest size on offer whose current, volt drop and voltage keep within the limits; "
          "current out and back, two cables side by side")
VOLTAGE = ("dc-cable-rated-voltage", "dc-cable-voltage")
SOURCE = "EN 50618; IEC 60228; guide to the installation of photovoltaic systems, 2012"


@dataclass(frozen=True)
class Sized:
    """The panel cable of one plane: its size [mm²], or the facts on which it hangs."""

    size_mm2: Decimal | Unknown
    told: tuple[Check | Unanswered, ...] = ()
    worked: tuple[Worked, ...] = ()
    because: str = ""


def sized_cable(
    array: Array, volts: PanelVolts, plane: int, lengths: tuple[int, ...], env: Environment,
    prices: PriceBook,
) -> Sized:
    """Return the panel cable of a plane.

    Args:
        lengths: panels of each string of the plane; at least one string.
        env: facts of the plane.
    """
    name = array.planes[plane].name
    length = _length_m(env)
    if isinstance(length, Unknown):
        worst = Check(
            "dc-volt-drop", "caution", name,
            "the d.c. route is not measured: a long one needs thicker cable", SOURCE, "designer")
        return Sized(length, (Unanswered(
            "dc-volt-drop", tuple(sorted(length.facts)), "How long is the d.c. route?", worst),))
    run = _run(array, volts, name, lengths, length)
    found = design_run(array.figures, run, _offered(array, prices))
    size = Decimal(found.size_mm2.numerator) / Decimal(found.size_mm2.denominator)
    told = telling(found.checks, VOLTAGE)
    return Sized(size, told, (_answer(found, run),), found.reason)


def _run(
    array: Array, volts: PanelVolts, name: str, lengths: tuple[int, ...], length: Fraction
) -> StringRun:
    """Return the run: the shortest string feels the drop most, the longest has most volts."""
    figures, panel = array.figures, array.panel
    return StringRun(
        name=name, current_a=panel.imp_a, most_a=part_a(figures, panel, 1).value,
        working_v=Fraction(panel.vmp_v) * min(lengths), cold_v=volts.voc_cold_v * max(lengths),
        length_m=length, laying="adjacent", air_c=figures.number("dc_cable_air_c").value,
        conductor_c=figures.number("dc_conductor_c").value,
    )


def _length_m(env: Mapping[str, Any]) -> Fraction | Unknown:
    """Return the d.c. route one way with an end to make off; a ground array's trench is in it."""
    parts = [env["plane.dc_loft_m"], env["plane.dc_outside_m"]]
    kind = env["plane.kind"]
    if isinstance(kind, Unknown) or kind == "ground":
        trench = env["plane.trench_m"]
        parts.append(kind.join(trench) if isinstance(kind, Unknown) else trench)
    missing = [fact for part in parts if isinstance(part, Unknown) for fact in part.facts]
    if missing:
        return Unknown(*missing)
    return sum((Fraction(part) for part in parts), Fraction(env["practice.dc_end_m"]))


def _offered(array: Array, prices: PriceBook) -> list[Decimal] | None:
    """Return the sizes of panel cable on offer, or None where none is: then any size may be asked.

    What no supplier offers shows as a gap in the bill.
    """
    able = array.figures.keys("dc_cable_a", "adjacent")
    sizes = [
        cast(CableSpec, item.spec).size_mm2 for item in prices.with_role("cable", "panel cable")
        if prices.offer(item.code) is not None and item.sold_apart
    ]
    return [size for size in sizes if size in able] or None


def _answer(found: DcDesign, run: StringRun) -> Worked:
    return Worked("dc-cable", run.name, found.reason, METHOD, SOURCE, (
        Sum("size", found.size_mm2, "mm²"),
        Sum("route one way, with an end", Fraction(run.length_m), "m"),
        Sum("volt drop out and back", found.drop_v, "V"),
        Sum("working voltage of the shortest string", Fraction(run.working_v), "V"),
        Sum("most current", Fraction(run.most_a), "A"),
    ))
