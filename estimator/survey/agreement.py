"""Checks whether the facts of one survey agree with each other.

Works on the values that fit on their own, so that contradictions are told together with all other
mistakes. It finds contradictions, not gaps: an unknown fact agrees with everything.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.answers import MISSING
from catalogue.toml_lines import KeyPath

EVIDENCE_AMISS, NAME_TWICE, OFF_PLANE, DATES_AMISS, CONTRADICTION = 7, 8, 9, 10, 11

Tell = Callable[[int, KeyPath, str, str], None]
Data = Mapping[str, Any]


def check_agreement(data: Data, tell: Tell) -> None:
    """Tell every contradiction in a survey.

    Args:
        data: the survey as plain data, by group and field; what did not fit is left out.
        tell: takes kind of mistake, path of the key, what is wrong, and how to mend it.
    """
    for check in _CHECKS:
        check(data, tell)


def _parts(data: Data, tell: Tell) -> None:
    parts: Sequence[str] | None = data["job"].get("parts")
    path = ("job", "parts")
    if parts is None:
        return
    if not parts:
        tell(MISSING, path, "no part of a job is asked for",
             "name at least one of: backup, converter, panels, storage")
    for number, part in enumerate(parts):
        if part in parts[:number]:
            tell(NAME_TWICE, (*path, number), f"'{part}' is asked for twice", "name it once")
    if "panels" in parts and not data.get("planes"):
        tell(MISSING, path, "panels are asked for, yet there is no roof plane",
             "add each plane, as [[planes]] or a sheet of the form; what is not known of it "
             "may be left out")


def _names(data: Data, tell: Tell) -> None:
    for group in ("planes", "legs"):
        seen: dict[str, int] = {}
        for number, each in enumerate(data.get(group, ())):
            name = each["name"]
            if name in seen:
                tell(NAME_TWICE, (group, number, "name"),
                     f"'{name}' is already the name of number {seen[name] + 1}",
                     "give each a name of its own")
            seen.setdefault(name, number)


def _dates(data: Data, tell: Tell) -> None:
    surveyed: date | None = data["job"].get("surveyed_on")
    supply: date | None = data["job"].get("supply_date")
    if surveyed and supply and supply < surveyed:
        days = (surveyed - supply).days
        tell(DATES_AMISS, ("job", "supply_date"),
             f"{supply} is {days} day{'s' if days != 1 else ''} before the survey of {surveyed}",
             "the supply date is the day of the work, for the tax; check both years")


def _obstructions(data: Data, tell: Tell) -> None:
    for number, plane in enumerate(data.get("planes", ())):
        _inside(plane, ("eaves_length_m", "slope_length_m"), "plane", ("planes", number), tell)
    for group in ("storage", "converter"):
        _inside(data.get(group, {}), ("wall_width_m", "wall_height_m"), "wall", (group,), tell)


def _inside(face: Data, sides: tuple[str, str], named: str, path: KeyPath, tell: Tell) -> None:
    """Tell every thing that reaches beyond the plane or the wall it is on."""
    for at, thing in enumerate(face.get("obstructions", ())):
        for start, size, side in zip(("x_m", "y_m"), ("width_m", "height_m"), sides, strict=True):
            whole = _value(face, side)
            if whole is None or start not in thing or size not in thing:
                continue
            end = Decimal(thing[start]) + Decimal(thing[size])
            if end > whole:
                tell(OFF_PLANE, (*path, "obstructions", at, size),
                     f"{thing.get('name', 'it')} reaches to {end} m, {end - whole} m beyond "
                     f"{side}, {whole} m",
                     f"{start} is measured from the lower left corner of the {named} to the "
                     "lower left corner of the thing")


def _layout(data: Data, tell: Tell) -> None:
    """Rows and columns are set out as asked, so a count beside them must be their product."""
    for number, plane in enumerate(data.get("planes", ())):
        rows, columns, panels = (_value(plane, name) for name in ("rows", "columns", "panels"))
        if None in (rows, columns, panels) or panels == rows * columns:
            continue
        whole = rows * columns
        way = "more" if panels > whole else "less"
        tell(CONTRADICTION, ("planes", number, "panels"),
             f"rows and columns make {rows} x {columns} = {whole} panels, and {panels} is "
             f"{abs(panels - whole)} {way}",
             "correct one of the three, or leave rows and columns out")


def _strings(data: Data, tell: Tell) -> None:
    """A string is at least one panel long."""
    for number, plane in enumerate(data.get("planes", ())):
        strings, panels = _value(plane, "strings"), _panels(plane)
        if strings is None or panels is None or strings <= panels:
            continue
        tell(CONTRADICTION, ("planes", number, "strings"),
             f"{strings} strings of {panels} panel{'s' if panels != 1 else ''}: "
             f"{strings - panels} would have none",
             "a string is a chain of panels on one pair of cables; correct one of the two")


def _panels(plane: Data) -> int | None:
    """Return the panels wanted on a plane, stated or as rows by columns; None while unknown."""
    stated, rows, columns = (_value(plane, name) for name in ("panels", "rows", "columns"))
    if stated is None and rows is not None and columns is not None:
        return int(rows * columns)
    return None if stated is None else int(stated)


def _phases(data: Data, tell: Tell) -> None:
    if _value(data.get("supply", {}), "phases") == 2:
        tell(CONTRADICTION, ("supply", "phases"), "a supply has one phase or three, not 2",
             "read the cut-out: one fuse is one phase, three fuses are three")


def _distances(data: Data, tell: Tell) -> None:
    """A distance that was measured must lie on the side that the answer beside it says."""
    storage = data.get("storage", {})
    for asked, measured, step_m in (("flammables_within_2m", "flammables_m", 2),
                                    ("opening_within_1m", "opening_m", 1)):
        within, metres = _value(storage, asked), _value(storage, measured)
        if within is None or metres is None or metres == step_m or within is (metres < step_m):
            continue
        says = "within" if within else "farther than"
        tell(CONTRADICTION, ("storage", measured),
             f"{metres} m, yet {asked} says that it is {says} {step_m} m",
             "correct one of the two, or leave one out")


def _value(group: Data, name: str) -> Any:
    """Return the value of a fact, or None while it is unknown."""
    return group.get(name, {}).get("value")


_CHECKS: tuple[Callable[[Data, Tell], None], ...] = (
    _parts, _names, _dates, _obstructions, _layout, _strings, _phases, _distances,
)
