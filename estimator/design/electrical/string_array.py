"""The array of a job as its strings see it: panel, converter, and the panels of every plane."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, cast

from catalogue.items import Item
from catalogue.specs import ConverterSpec, PanelSpec
from estimator.design.case import Case
from estimator.design.check import Check, Unanswered
from estimator.design.electrical.figures import Figures
from estimator.design.electrical.string_plan import PlanePanels, even_strings
from estimator.design.electrical.strings import (
    PanelVolts,
    Temperatures,
    method_for,
    panel_volts,
    window,
)
from estimator.design.sheet import Unknown

# What a data sheet must say before a string can be sized, and how it is asked for.
NEEDED = {
    "dc_max_v": "highest input voltage", "mppt_low_v": "lowest tracker voltage",
    "mppt_high_v": "highest tracker voltage", "trackers": "number of trackers",
}


@dataclass(frozen=True)
class Array:
    """What is to be strung.

    Attributes:
        converter: the chosen item, or None where none could be chosen.
        planes: number of a plane -> its panels, where they are known and not nought.
        unknown: number of a plane -> the facts on which its panels hang.
    """

    figures: Figures
    panel: PanelSpec
    converter: Item | None
    planes: Mapping[int, PlanePanels]
    unknown: Mapping[int, Unknown]

    @property
    def spec(self) -> ConverterSpec:
        """Return the converter's data sheet.

        Raises:
            ValueError: without a converter.
        """
        if self.converter is None:
            raise ValueError("no converter is chosen")
        return cast(ConverterSpec, self.converter.spec)

    @property
    def panels(self) -> int:
        """Return the panels of all planes whose panels are known."""
        return sum(plane.panels for plane in self.planes.values())

    @property
    def name(self) -> str:
        """Return the name of the one plane, or that of the whole."""
        names = [plane.name for plane in self.planes.values()]
        return names[0] if len(names) == 1 else "array"


def array_of(case: Case, panel: PanelSpec) -> Array:
    """Return the array of a job whose panel is chosen."""
    envs, names = case.sheet.scopes["plane"], case.sheet.names["plane"]
    placed = [env["plane.panels_placed"] for env in envs]
    return Array(
        Figures(case.practice, case.on), panel, case.kit.items["converter"],
        {
            i: PlanePanels(
                names[i], count, _known(env["plane.azimuth_deg"]), _known(env["plane.pitch_deg"]),
                _known(env["plane.strings"]))
            for i, (env, count) in enumerate(zip(envs, placed, strict=True))
            if not isinstance(count, Unknown) and count > 0
        },
        {i: count for i, count in enumerate(placed) if isinstance(count, Unknown)},
    )


def _known(value: Any) -> Any:
    return None if isinstance(value, Unknown) else value


def volts_of(array: Array) -> PanelVolts:
    """Return a panel's voltages at the site's temperatures, by the method its sheet allows."""
    figures = array.figures
    temperatures = Temperatures(
        figures.number("coldest_c").value, figures.number("hottest_cell_c").value)
    return panel_volts(
        figures, array.panel, temperatures, method_for(figures, array.panel))


def blanks(array: Array) -> tuple[str, ...]:
    """Return what the converter's data sheet must say and does not."""
    return tuple(field for field in NEEDED if not getattr(array.spec, field))


def surveyed_strings(array: Array, volts: PanelVolts | None) -> dict[int, tuple[int, ...]]:
    """Return the strings of each plane as surveyed, else as few as the cold allows.

    They are what is priced where no lawful layout is to be had. A plane without surveyed strings
    is left out where no window (`volts`) says how long a string may be.
    """
    found = {}
    for i, plane in array.planes.items():
        count = plane.strings
        if count is None and volts is not None:
            most = max(1, window(array.panel, array.spec, volts).most)
            count = -(-plane.panels // most)
        if count is not None:
            found[i] = even_strings(plane.panels, count)
    return found


def unanswered_sheet(array: Array) -> Iterator[Unanswered]:
    """Yield the checks that lack a figure of the converter's data sheet."""
    optional = {"start_v": ("string-start", "start voltage"),
                "tracker_a": ("tracker-current", "highest working current of a tracker"),
                "tracker_isc_a": ("tracker-short-circuit",
                                  "highest short-circuit current of a tracker")}
    lacks = [(field, *told) for field, told in optional.items()
             if getattr(array.spec, field) is None]
    lacks += [(field, "string-window", NEEDED[field]) for field in blanks(array)]
    for field, code, words in lacks:
        worst = Check(
            code, "caution" if code == "tracker-current" else "stop", array.name,
            f"the converter's data sheet does not give its {words}: its strings are unproved",
            "converter's data sheet", "converter maker")
        yield Unanswered(
            code, (f"kit.converter.{field}",),
            f"What does the data sheet of the converter give as its {words}?", worst)
