"""The direct-current side of a job: strings, their layout on the trackers, and panel cable."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

from catalogue.specs import ConverterSpec, PanelSpec
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.electrical.figures import OutsideTableError
from estimator.design.electrical.judge_dc_cable import Sized, sized_cable
from estimator.design.electrical.judge_layout import (
    Search,
    lawful_answer,
    plane_checks,
    search,
    verdict,
)
from estimator.design.electrical.string_array import (
    Array,
    array_of,
    blanks,
    surveyed_strings,
    unanswered_sheet,
    volts_of,
)
from estimator.design.electrical.strings import (
    SHEET,
    PanelVolts,
    part_v,
    power_ratio,
    window,
)
from estimator.design.kit import converters_that_fit
from estimator.design.sheet import Environment, Unknown

Told = list[Check | Unanswered]
Strings = Mapping[int, tuple[int, ...]]


def judge_strings(case: Case) -> Outcome:
    """Return the checks of strings and panel cable of a job with panels, and facts of each plane.

    Facts: `plane.strings_used`, `plane.panels_per_string`, `plane.dc_mm2`.
    """
    item, envs = case.kit.items["panel"], case.sheet.scopes["plane"]
    if item is None:
        missing = Unknown(*case.kit.waits_for.get("panel", ("wishes.panel",)))
        return Outcome(planes=tuple(_facts(missing) for _ in envs))
    if not envs:
        return Outcome()
    try:
        return _judged(case, array_of(case, cast(PanelSpec, item.spec)))
    except OutsideTableError as failure:
        stop = Check("string-window", "stop", "array", str(failure),
                     "the practice pack's tables for strings and panel cable", "designer")
        unproved = _facts(Unknown("practice.coldest_c", "practice.dc_cable_air_c"))
        return Outcome((stop,), planes=tuple(unproved for _ in envs))


def _judged(case: Case, array: Array) -> Outcome:
    envs, volts = case.sheet.scopes["plane"], volts_of(array)
    told: Told = []
    worked: list[Worked] = []
    groups = _strings(case, array, volts, told, worked)
    strings = _of_all(groups)
    cables = {
        i: sized_cable(array, volts, i, lengths, envs[i], case.prices)
        for i, lengths in strings.items() if lengths
    }
    told += [each for cable in cables.values() for each in cable.told]
    worked += [each for cable in cables.values() for each in cable.worked]
    because = {f"plane[{i}].dc_mm2": cable.because for i, cable in cables.items()
               if cable.because}
    because |= {f"plane[{i}].{name}": "layout of the strings on the converter's trackers"
                for i in strings for name in ("strings_used", "panels_per_string")}
    planes = tuple(_plane_facts(case, array, i, strings, cables) for i in range(len(envs)))
    return Outcome(tuple(told), planes=planes, because=because, worked=tuple(worked),
                   strings=groups)


def _of_all(groups: Iterable[Strings]) -> Strings:
    return {plane: lengths for group in groups for plane, lengths in group.items()}


def _apart(strings: Strings) -> tuple[Strings, ...]:
    return tuple({plane: lengths} for plane, lengths in strings.items())


def _strings(
    case: Case, array: Array, volts: PanelVolts, told: Told, worked: list[Worked]
) -> tuple[Strings, ...]:
    """Return the strings of each group of planes, as far as they can be told.

    What the checks found goes to `told` and `worked`. Planes whose strings are known from the
    survey alone are a group each.
    """
    told += _open_panels(array)
    if array.converter is None:
        told += _no_converter(case, array)
        return _apart(surveyed_strings(array, None))
    if not array.spec.has_panel_input:
        told.append(Check(
            "string-input", "stop", array.name,
            f"the converter ({array.converter.name}) has no input for panels: take another",
            SHEET, "designer"))
        return _apart(surveyed_strings(array, None))
    told += unanswered_sheet(array)
    if blanks(array):
        return _apart(surveyed_strings(array, None))
    if not array.planes:
        return ()
    found = search(array, volts)
    told += _verdict(case, array, found, volts)
    groups = _chosen(array, found) or _apart(surveyed_strings(array, volts))
    strings = _of_all(groups)
    told += plane_checks(array, volts, strings, found)
    told += _electronics(case, array)
    told += _ratio(case, array)
    worked += [*_windows(array, volts, strings), lawful_answer(array, found)]
    return groups


def _open_panels(array: Array) -> Iterator[Unanswered]:
    """Yield the question for planes whose panels are not known: their strings are unproved."""
    for missing in array.unknown.values():
        worst = Check(
            "string-layout", "stop", "array",
            "the panels of a plane are not known: its strings may not fit the converter",
            SHEET, "designer")
        yield Unanswered("string-layout", tuple(sorted(missing.facts)), "How many panels here?",
                         worst)


def _no_converter(case: Case, array: Array) -> Iterator[Unanswered]:
    """Yield the question for a converter that is not chosen, unless the kit has told of it."""
    if "converter" in case.kit.nothing_fits:
        return
    facts = case.kit.waits_for.get("converter", ("wishes.converter",))
    yield Unanswered(
        "string-layout", facts, "Which converter takes the strings?",
        Check("string-layout", "stop", array.name,
              "no converter is chosen: voltage and current of the strings are unproved", SHEET,
              "designer"))


def _verdict(
    case: Case, array: Array, found: Search, volts: PanelVolts
) -> Iterator[Check | Unanswered]:
    told = verdict(array, found, volts, "" if found.lawful else _others(case, array))
    # A plane whose panels are not known may yet want a tracker: `_open_panels` has asked.
    if not (array.unknown and isinstance(told, Check) and told.passes):
        yield told


def _others(case: Case, array: Array) -> str:
    """Return the smallest other converter on offer that takes the panels lawfully, by name."""
    items = sorted(
        converters_that_fit(case.sheet, case.prices, case.kit),
        key=lambda item: (cast(ConverterSpec, item.spec).ac_w, item.code))
    for item in items:
        other = Array(array.figures, array.panel, item, array.planes, array.unknown)
        if other.spec.has_panel_input and not blanks(other) and search(
                other, volts_of(other)).fitting:
            return f"{item.name} ({item.code})"
    return ""


def _chosen(array: Array, found: Search) -> tuple[Strings, ...]:
    """Return the strings of the best fitting plan, face by face; none without a plan."""
    if not found.fitting:
        return ()
    numbers = list(array.planes)
    return tuple(
        {numbers[at]: lengths for at, lengths in zip(each.face, each.strings, strict=True)}
        for each in found.fitting[0])


def _electronics(case: Case, array: Array) -> Iterator[Check]:
    """Yield a caution if panels get electronics at them: their maker has limits of its own."""
    wished = case.sheet.job["wishes.panel_electronics"]
    fitted = [
        plane.name for i, plane in array.planes.items()
        if (_heavy(case.sheet.scopes["plane"][i]) if isinstance(wished, Unknown) else wished)]
    if fitted:
        yield Check(
            "string-electronics", "caution", ", ".join(fitted),
            "electronics at the panels: their maker's manual may set other limits to a string "
            "than panel and converter do", "electronics maker's manual", "designer")


def _heavy(env: Environment) -> bool:
    shade = env["plane.shade"]
    return not isinstance(shade, Unknown) and shade == "heavy"


def _ratio(case: Case, array: Array) -> Iterator[Check]:
    if array.unknown:
        return  # asked by `_open_panels`
    yield power_ratio(
        array.figures, array.panels * Fraction(array.panel.power_w), array.spec.ac_w,
        storage="storage" in case.sheet.parts)


def _windows(array: Array, volts: PanelVolts, strings: Strings) -> Iterator[Worked]:
    """Yield for each plane how many panels a string may hold, with the method that says so."""
    holds, figures = window(array.panel, array.spec, volts), array.figures
    for i, lengths in strings.items():
        parts = part_v(figures, array.panel, max(lengths, default=0))
        yield Worked(
            "string-window", array.planes[i].name,
            f"{holds}; up to {holds.most_working} keep within the tracker's range in the cold",
            f"by {volts.method}", volts.source, (
                Sum("coldest cell in light", figures.number("coldest_c").value, "degC"),
                Sum("hottest cell in sun", figures.number("hottest_cell_c").value, "degC"),
                Sum("open circuit of a panel in the cold", volts.voc_cold_v, "V"),
                Sum("working voltage of a panel in the cold", volts.vmp_cold_v, "V"),
                Sum("working voltage of a panel in the heat", volts.vmp_hot_v, "V"),
                Sum("fewest panels in series", holds.least),
                Sum("most panels in series", holds.most),
                Sum("least rated voltage of d.c. parts", parts.value, "V"),
            ))


def _plane_facts(
    case: Case, array: Array, plane: int, strings: Strings, cables: Mapping[int, Sized]
) -> dict[str, Any]:
    if plane in array.unknown:
        return _facts(array.unknown[plane])
    if plane not in array.planes:  # no panel on it
        return {"plane.strings_used": 0, "plane.panels_per_string": 0, "plane.dc_mm2": Decimal(0)}
    if plane not in strings:
        return _facts(Unknown(*_missing(case, array)))
    lengths = strings[plane]
    return {
        "plane.strings_used": len(lengths), "plane.panels_per_string": max(lengths, default=0),
        "plane.dc_mm2": cables[plane].size_mm2 if lengths else Decimal(0),
    }


def _missing(case: Case, array: Array) -> tuple[str, ...]:
    """Return the facts without which nobody can say how many strings a plane has."""
    if array.converter is None or not array.spec.has_panel_input:
        return case.kit.waits_for.get("converter", ("wishes.converter",))
    return tuple(f"kit.converter.{field}" for field in blanks(array))


def _facts(missing: Unknown) -> dict[str, Any]:
    return dict.fromkeys(
        ("plane.strings_used", "plane.panels_per_string", "plane.dc_mm2"), missing)
