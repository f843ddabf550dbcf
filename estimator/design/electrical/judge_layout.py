"""Are the strings of a job lawful, and which other ways to string its panels would be?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.electrical.comparing import at_most, shown, telling
from estimator.design.electrical.layouts import Load, lawful_loads, refusals
from estimator.design.electrical.string_array import Array
from estimator.design.electrical.string_plan import (
    Face,
    Plan,
    PlanePanels,
    faces,
    in_words,
    plans,
)
from estimator.design.electrical.strings import (
    COLD,
    REACHES,
    SHEET,
    SHORT,
    PanelVolts,
    Window,
    current_checks,
    string_checks,
    string_fuse_a,
    window,
)
from estimator.design.limits import Figure

SHOWN = 5  # lawful layouts told; the rest are counted
LAW = ("IEC 62548; data sheets of panel and converter; a tracker for each way that panels face: "
       "common practice, no source")


@dataclass(frozen=True)
class Search:
    """Every lawful way to string an array on its converter.

    Attributes:
        lawful: every lawful plan, the best first.
        fitting: those with as many strings as surveyed.
        unsure: whether a fitting plan turns up if planes of unknown direction face alike.
    """

    planes: tuple[PlanePanels, ...]
    grouped: tuple[Face, ...]
    loads: Mapping[Load, int]
    lawful: tuple[Plan, ...]
    fitting: tuple[Plan, ...]
    unsure: bool


def search(array: Array, volts: PanelVolts) -> Search:
    """Return every lawful way to string the planes whose panels are known."""
    planes, trackers = tuple(array.planes.values()), array.spec.trackers
    alike = array.figures.number("string_alike_deg").value
    grouped = faces(planes, alike)
    loads = lawful_loads(array.figures, array.panel, array.spec, volts, array.panels)
    lawful = plans(planes, grouped, trackers, loads, as_surveyed=False)
    fitting = plans(planes, grouped, trackers, loads, as_surveyed=True)
    unsure = not fitting and bool(plans(
        planes, faces(planes, alike, unknown_alike=True), trackers, loads, as_surveyed=True))
    return Search(planes, grouped, loads, lawful, fitting, unsure)


def verdict(array: Array, found: Search, volts: PanelVolts, others: str) -> Check | Unanswered:
    """Return whether the strings are lawful; if not, what would be.

    Args:
        others: converters that would take the panels, in words; "" if none would.
    """
    if found.fitting:
        chosen = in_words(found.fitting[0], found.planes)
        return Check("string-layout", "fine", array.name,
                     f"the strings make a lawful layout ({chosen})", LAW, "designer")
    if found.lawful:
        says = (f"the strings as surveyed ({_surveyed(found.planes)}) make no lawful layout; "
                f"lawful: {_listed(found.lawful, found.planes)}")
    else:
        says = _why_none(array, found, window(array.panel, array.spec, volts), others)
    stop = Check("string-layout", "stop", array.name, says, LAW, "designer")
    if not found.unsure:
        return stop
    facts = tuple(
        f"plane[{i}].{field}" for i, plane in array.planes.items()
        for field in ("azimuth_deg", "pitch_deg") if getattr(plane, field) is None)
    return Unanswered("string-layout", facts, "Which planes face alike and may share a string?",
                      stop)


def _surveyed(planes: Sequence[PlanePanels]) -> str:
    return "; ".join(
        f"{plane.name}: {plane.panels} panels in {plane.strings}" for plane in planes
        if plane.strings is not None)


def _listed(lawful: Sequence[Plan], planes: Sequence[PlanePanels]) -> str:
    told = ", or ".join(in_words(plan, planes) for plan in lawful[:SHOWN])
    more = len(lawful) - SHOWN
    return f"{told}, and {more} more" if more > 0 else told


def _why_none(array: Array, found: Search, holds: Window, others: str) -> str:
    """Return why no layout is lawful, and how to mend it."""
    trackers = array.spec.trackers
    barred = refusals(current_checks(array.figures, array.panel, array.spec, 1, array.name))
    alone = [
        f"{' and '.join(found.planes[i].name for i in face)}: "
        f"{sum(found.planes[i].panels for i in face)} panels"
        for face in found.grouped
        if not plans(found.planes, (face,), trackers, found.loads, as_surveyed=False)]
    if barred:
        why = f"no layout is lawful: {'; '.join(barred)}"
    elif len(found.grouped) > trackers:
        why = (f"no layout is lawful: the panels face {len(found.grouped)} ways, and the converter "
               f"has {trackers} trackers")
    elif alone:
        why = f"no layout is lawful: {holds} ({'; '.join(alone)})"
    else:
        why = f"no layout is lawful: all planes together need more than {trackers} trackers"
    return f"{why}. Change the number of panels, or take another converter" + (
        f": {others} would do" if others else "")


def lawful_answer(array: Array, found: Search) -> Worked:
    """Return the lawful layouts with the chosen one, as kept with the estimate."""
    surveyed = any(plane.strings is not None for plane in found.planes)
    if found.fitting:
        says = f"{in_words(found.fitting[0], found.planes)}, " + (
            "as surveyed" if surveyed and found.fitting[0] != found.lawful[0] else
            "the best of the lawful layouts")
    else:
        says = "none is chosen: see the finding"
    return Worked(
        "string-layouts", array.name, says,
        "every way to lay the panels out over the trackers is tried; first come fewest cautions, "
        "strings that keep to their plane, fewest strings, even lengths", LAW,
        (Sum("lawful layouts", len(found.lawful)), *(
            Sum(f"lawful layout {i}", in_words(plan, found.planes))
            for i, plan in enumerate(found.lawful[:SHOWN], 1))),
    )


def plane_checks(
    array: Array, volts: PanelVolts, strings: Mapping[int, tuple[int, ...]], found: Search
) -> Iterator[Check]:
    """Yield the checks of the longest and the shortest string of each plane, and of currents."""
    for i, lengths in strings.items():
        if not lengths:
            continue
        name = array.planes[i].name
        longest, shortest = (
            string_checks(array.panel, array.spec, volts, n, name)
            for n in (max(lengths), min(lengths)))
        yield from telling(
            (low if low.at_least else high for high, low in zip(longest, shortest, strict=True)),
            COLD, REACHES)
        parallel = _parallel(array, strings, found, i)
        yield from telling(
            current_checks(array.figures, array.panel, array.spec, parallel, name), SHORT)
        yield from _fuses(array, parallel, name)
    yield _inputs(array, strings)
    if found.fitting and any(each.crosses for each in found.fitting[0]):
        yield Check(
            "string-shared", "caution", array.name,
            "a string runs from one plane to another: the link between them is not in the price",
            LAW, "designer")


def _parallel(
    array: Array, strings: Mapping[int, tuple[int, ...]], found: Search, plane: int
) -> int:
    """Return the most strings in parallel on a tracker that serves a plane."""
    if found.fitting:
        at = list(array.planes).index(plane)
        return max(load.strings for each in found.fitting[0] if at in each.face
                   for load in each.layout)
    total = sum(len(lengths) for lengths in strings.values())
    return max(1, -(-total // array.spec.trackers))


def _fuses(array: Array, parallel: int, name: str) -> Iterator[Check]:
    fuse = string_fuse_a(array.figures, array.panel, parallel)
    if fuse is not None:
        low, high = map(shown, fuse)
        yield Check(
            "string-fuses", "caution", name,
            f"{parallel} strings in parallel can drive more back through one than its panels "
            f"stand: string fuses of {low} to {high} A are the designer's, and not in the price",
            "IEC 62548 (from memory); panel's data sheet", "designer")


def _inputs(array: Array, strings: Mapping[int, tuple[int, ...]]) -> Check:
    spec = array.spec
    limit = Figure(Fraction(spec.trackers * spec.strings_per_tracker), "", SHEET, "designer")
    return at_most("string-inputs", array.name, "strings, against the inputs of the converter",
                   Fraction(sum(map(len, strings.values()))), limit)
