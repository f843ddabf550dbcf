"""The main fuse against the maximum demand of the home: its usual loads and those surveyed.

The survey does not list the loads of a home, so usual ones are taken from the practice pack and
named in the answer; a demand over the fuse is then a caution that asks for the true list. On a
three-phase supply the usual loads are spread evenly, and charger, heat pump and storage are taken
on the same phase.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.electrical.comparing import at_least, at_most, shown
from estimator.design.electrical.demand import (
    Demand,
    Loads,
    LoadUse,
    fuse_check,
    fuse_needed_a,
    maximum_demand,
)
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.limits import Figure, limit_of
from estimator.design.sheet import Unknown

USUAL: tuple[LoadUse, ...] = ("lighting", "cooker", "standard circuit")
CHARGER: LoadUse = "vehicle charger"
HEAT_PUMP: LoadUse = "heat pump"
STORAGE: LoadUse = "storage charging"
# Loads that the survey tells of: the fact, the use, and the code of its finding.
TOLD: tuple[tuple[str, LoadUse, str], ...] = (
    ("supply.electric_vehicle", CHARGER, "vehicle-charger"),
    ("supply.heat_pump", HEAT_PUMP, "heat-pump"),
)
DECIDES = "designer, with the network operator"
ASKS = "What does the main fuse say, and what large loads are there or planned?"


class Known(NamedTuple):
    """What the survey says of the supply.

    Attributes:
        surely: loads beyond the usual ones that are there or planned.
        maybe: loads that nobody has ruled out.
        open: paths of the facts that are not known, the fuse among them.
        unsized: whether storage charges through a converter that is not chosen yet.
    """

    fuse_a: Fraction | None
    phases: int
    storage_a: Fraction
    surely: tuple[LoadUse, ...]
    maybe: tuple[LoadUse, ...]
    open: tuple[str, ...]
    unsized: bool


def supply_outcome(case: Case, figures: Figures) -> Outcome:
    """Return the checks of the main fuse, each load against the room that is left for it."""
    known = _known(case)
    least = _demand(figures, known, known.surely)
    worst = _demand(figures, known, (*known.surely, *known.maybe))
    told: list[Check | Unanswered] = []
    if known.fuse_a is not None:
        told += _small_fuse(known.fuse_a, limit_of(case.practice, "small_fuse_a", case.on))
    if known.fuse_a is None:
        smallest = figures.first_column("main_fuse")[0]
        told.append(_open(known, worst, smallest, "the smallest usual main fuse"))
    elif known.unsized:
        told.append(_open(known, worst, known.fuse_a, "the main fuse, storage on top"))
    else:
        told += _main_fuse(figures, known.fuse_a, known, least, worst)
        told += [_room(known.fuse_a, worst, use, code)
                 for _, use, code in TOLD if use in known.surely]
    told += _backup_start(case, figures, known)
    return Outcome(tuple(told), worked=(_worked(figures, known, worst),))


def _known(case: Case) -> Known:
    job = case.sheet.job

    def value(path: str) -> Any:
        found = job.get(path, Unknown(path))
        return None if isinstance(found, Unknown) else found

    fuse, amps = value("supply.fuse_a"), value("kit.converter.ac_a")
    charges = "storage" in case.sheet.parts
    asked = [path for path in ("supply.fuse_a", *(path for path, _, _ in TOLD))
             if value(path) is None]
    if charges and amps is None:
        asked += sorted(job["kit.converter.ac_a"].facts)
    return Known(
        None if fuse is None else Fraction(fuse), value("supply.phases") or 1,
        Fraction(amps or 0) if charges else Fraction(0),
        tuple(use for path, use, _ in TOLD if value(path) is True),
        tuple(use for path, use, _ in TOLD if value(path) is None), tuple(asked),
        charges and amps is None)


def _demand(figures: Figures, known: Known, more: tuple[LoadUse, ...]) -> Demand:
    """Return the demand of the most loaded phase, after diversity."""
    usual = maximum_demand(figures, [_loads(figures, use) for use in USUAL])
    loads = [_loads(figures, use) for use in more]
    if known.storage_a:
        loads.append(Loads(STORAGE, (known.storage_a,)))
    rest = maximum_demand(figures, loads)
    spread = tuple((use, amps / known.phases) for use, amps in usual.lines)
    lines = (*spread, *rest.lines)
    assumed = figures.cell("assumed_loads", USUAL[0], "each_a").source
    return Demand(lines, sum((amps for _, amps in lines), Fraction(0)),
                  f"{usual.source}; usual loads: {assumed}")


def _loads(figures: Figures, use: LoadUse) -> Loads:
    def part(column: str) -> Fraction:
        return figures.cell("assumed_loads", use, column).value

    return Loads(use, (part("each_a"),) * int(part("count")), int(part("sockets")))


def _open(known: Known, worst: Demand, fuse_a: Fraction, taken: str) -> Unanswered:
    check = replace(fuse_check(worst, fuse_a, "caution"), level="caution", decides=DECIDES)
    return Unanswered("main-fuse", known.open, ASKS, replace(
        check, says=f"maximum demand with usual loads against {taken}: a load limiter or a "
                    "larger fuse may be due"))


def _small_fuse(fuse_a: Fraction, small: Figure) -> list[Check]:
    if fuse_a > small.value:
        return []
    return [Check(
        "small-fuse", "caution", "supply",
        f"a main fuse of {shown(small.value)} A or less: list the loads of the home before more "
        "is joined to it", small.source, small.decides, fuse_a, small.value, small.unit)]


def _main_fuse(
    figures: Figures, fuse_a: Fraction, known: Known, least: Demand, worst: Demand
) -> list[Check | Unanswered]:
    """Return the demand against the fuse: at worst fine, at best too much, or open between."""
    check = fuse_check(worst, fuse_a, "caution")
    if check.passes:
        return [replace(check, decides=DECIDES,
                        says="maximum demand with usual loads, after diversity")]
    certain = fuse_check(least, fuse_a, "caution")
    if certain.passes:
        return [_open(known, worst, fuse_a, "the main fuse, if they are there")]
    return [replace(certain, decides=DECIDES, says=(
        f"maximum demand with usual loads is over the main fuse: {_needs(figures, least)}; list "
        "the true loads, fit a load limiter or ask for a larger fuse"))]


def _needs(figures: Figures, demand: Demand) -> str:
    try:
        return f"a main fuse of {shown(fuse_needed_a(figures, demand))} A would carry it"
    except OutsideTableError:
        return "no usual main fuse carries it"


def _room(fuse_a: Fraction, worst: Demand, use: LoadUse, code: str) -> Check:
    """Return a load against what the main fuse leaves for it after all others."""
    load = dict(worst.lines)[use]
    room = max(Fraction(0), fuse_a - (worst.total_a - load))
    return at_most(
        code, "supply", f"{use}, against the room that the main fuse leaves beside usual loads",
        load, Figure(room, "A", worst.source, DECIDES), "caution")


def _backup_start(case: Case, figures: Figures, known: Known) -> list[Check]:
    """Return whether the backup output carries a heat pump, if it is among what is kept alive."""
    watts, phases = case.sheet.job["kit.converter.backup_w"], case.sheet.job["kit.converter.phases"]
    unknown = isinstance(watts, Unknown) or isinstance(phases, Unknown)
    if "backup" not in case.sheet.parts or HEAT_PUMP not in known.surely or unknown:
        return []
    load = figures.cell("assumed_loads", HEAT_PUMP, "each_a")
    output = Fraction(watts) / (figures.number("network_volts").value * phases)
    return [at_least(
        "backup-heat-pump", "backup",
        "output kept up without the supply, against a heat pump's usual current; its starting "
        "current may be more, ask both makers before it is kept alive",
        output, Figure(load.value, "A", load.source, "designer, with both makers"), "caution")]


def _worked(figures: Figures, known: Known, worst: Demand) -> Worked:
    says = ("usual loads of a home with an electric cooker and two rings, since a survey lists "
            "none; an electric shower or another large load comes on top")
    if known.maybe:
        says += f"; taken as there, nobody knows: {', '.join(known.maybe)}"
    if known.phases > 1:
        says += "; usual loads spread evenly over the phases, the rest on one"
    sums = [Sum(f"{use} after diversity", amps, "A") for use, amps in worst.lines]
    sums.append(Sum("maximum demand", worst.total_a, "A"))
    if known.fuse_a is not None:
        sums.append(Sum("main fuse as read", known.fuse_a, "A"))
    return Worked("maximum-demand", "supply", f"{says}; {_needs(figures, worst)}",
                  "each use after diversity, added up", worst.source, tuple(sums))
