"""What a circuit tells: facts for the rules, checks beside their limits, and the way worked out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Sum, Unanswered, Worked
from estimator.design.electrical.cable_on_offer import (
    clipped_needed_a,
    is_armoured,
    overstated,
)
from estimator.design.electrical.capacity import device_factor, tabulated_a
from estimator.design.electrical.circuit import (
    FOLLOW,
    IN_GROUND,
    Circuit,
    circuit_drop_v,
    drop_limits_v,
    factor_parts,
    leg_factors,
)
from estimator.design.electrical.comparing import shown
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.electrical.protective import cpc_mm2, earth_path_ohm
from estimator.design.electrical.size_circuit import Sized, size_circuit
from estimator.design.electrical.surveyed_circuit import (
    BACKUP,
    CONVERTER,
    Run,
    Surveyed,
    cable_lengths,
    surveyed_run,
)
from estimator.design.electrical.voltage_drop import DropLeg, drop_v, mv_per_a_m
from estimator.design.sheet import Unknown

SIZE_FACTS = ("flat_mm2", "flat_clipped_a", "armoured_mm2", "armoured_clipped_a", "rating_a")
FLAT = "flat twin and earth"
DESIGNER = "designer"


def circuit_outcome(case: Case, figures: Figures, run: Run) -> Outcome:
    """Return what is found of a run of the job: its cable, or the question that bars it."""
    surveyed = surveyed_run(case, figures, run)
    facts: dict[str, Any] = {f"{run.facts}.over_to_armoured": False, **_lengths(run, surveyed)}
    if surveyed.circuit is None:
        facts.update({f"{run.facts}.{name}": Unknown(*surveyed.missing) for name in SIZE_FACTS})
        rating = case.sheet.job["kit.converter.device_a"]
        if run is CONVERTER:
            facts[f"{run.facts}.rating_a"] = rating
        return Outcome((_unanswered(run, surveyed),), facts)
    try:
        sized = size_circuit(figures, surveyed.circuit, case.prices)
    except OutsideTableError as short:
        facts.update({f"{run.facts}.{name}": Decimal(0) for name in SIZE_FACTS})
        facts[f"{run.facts}.rating_a"] = _decimal(Fraction(surveyed.circuit.rating_a or 0))
        return Outcome((_stop(run, short),), facts)
    facts.update(_facts(figures, run, sized))
    assumed = frozenset(f"{run.facts}.{name}" for name in SIZE_FACTS) if (
        surveyed.assumed) else frozenset()
    because = dict.fromkeys(
        (f"{run.facts}.{name}" for name in (*SIZE_FACTS, "over_to_armoured")), _reason(sized))
    return Outcome(
        (*_told(figures, case, run, surveyed, sized),), facts, because=because, assumed=assumed,
        worked=(_worked(figures, run, surveyed, sized),),
        lengths={} if sized.over else cable_lengths(case, run))


def _lengths(run: Run, surveyed: Surveyed) -> dict[str, Any]:
    if surveyed.lengths is None:
        flat = steel = Unknown(*surveyed.missing)
        return {f"{run.facts}.flat_lengths": flat, f"{run.facts}.armoured_lengths": steel}
    return {f"{run.facts}.flat_lengths": surveyed.lengths[0],
            f"{run.facts}.armoured_lengths": surveyed.lengths[1]}


def _facts(figures: Figures, run: Run, sized: Sized) -> dict[str, Any]:
    """Return the facts of a sized circuit; 0 for a kind of cable that it does not have."""
    facts: dict[str, Any] = {
        f"{run.facts}.rating_a": _decimal(sized.design.rating_a),
        **dict.fromkeys((f"{run.facts}.{name}" for name in SIZE_FACTS[:4]), Decimal(0))}
    for cable, size in sized.design.sizes:
        kind = "armoured" if is_armoured(cable) else "flat"
        facts[f"{run.facts}.{kind}_mm2"] = _decimal(size)
        facts[f"{run.facts}.{kind}_clipped_a"] = _decimal(clipped_needed_a(
            figures, sized.circuit, sized.design.rating_a, cable, size))
    if sized.over:
        facts.update({f"{run.facts}.over_to_armoured": True, f"{run.facts}.flat_lengths": 0,
                      f"{run.facts}.armoured_lengths": 1})
    return facts


def _decimal(value: Fraction) -> Decimal | Fraction:
    """Return the same number as a decimal where one holds it."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return Decimal(value.numerator) / Decimal(value.denominator) if rest == 1 else value


def _unanswered(run: Run, surveyed: Surveyed) -> Unanswered:
    return Unanswered(
        "circuit-cable", surveyed.missing,
        f"What is still open on the {run.name}: leg by leg, how is it run and how long?",
        Check("circuit-cable", "stop", run.name,
              "the cable cannot be sized: it may be that none on offer carries the device and "
              "keeps the volt drop", "BS 7671, Appendix 4", DESIGNER))


def _stop(run: Run, short: OutsideTableError) -> Check:
    return Check("circuit-cable", "stop", run.name,
                 f"the cable cannot be sized: {short}; the designer sizes it", short.source,
                 DESIGNER)


def _reason(sized: Sized) -> str:
    return f"{sized.why_over}. {sized.design.reason}" if sized.over else sized.design.reason


def _told(
    figures: Figures, case: Case, run: Run, surveyed: Surveyed, sized: Sized
) -> Iterator[Check | Unanswered]:
    for check in sized.design.checks:
        if check.code in FOLLOW and check.passes:
            continue
        if surveyed.length_assumed and check.code.startswith("volt-"):
            yield _length_open(run, check)
        else:
            yield check
    for cable, size in sized.design.sizes:
        yield from overstated(figures, case.prices, cable, size)
    if sized.over:
        yield Check("over-to-armoured", "caution", run.name,
                    f"{sized.why_over}: armoured cable is priced all the way; a shorter route, or "
                    "a converter nearer the board, may do with flat cable", "BS 7671, Appendix 4",
                    DESIGNER)


def _length_open(run: Run, check: Check) -> Unanswered:
    return Unanswered(
        check.code, (run.unlisted,), f"How long is the route of the {run.name}, leg by leg?",
        Check(check.code, "caution", run.name,
              "a route that is longer than the one assumed may need a thicker cable",
              check.source, check.decides, check.value, check.limit, check.unit))


def _worked(figures: Figures, run: Run, surveyed: Surveyed, sized: Sized) -> Worked:
    light = figures.number("group_light_share").value * 100
    gap = figures.number("group_gap_diameters").value
    says = [_reason(sized)]
    if surveyed.unseen:
        says.append(f"Taken as lying in insulation, nobody knows: {', '.join(surveyed.unseen)}")
    if not surveyed.listed:
        says.append("No leg is listed: taken as one leg under a floor, in insulation")
    if sized.unoffered:
        says.append(f"Nobody offers {' or '.join(sized.unoffered)}: sized from the tables")
    if run is BACKUP:
        says.append(f"Sized for a device of {shown(sized.design.rating_a)} A, the next rating "
                    "made: the converter's manual says what protects its backup output")
    says.append(
        f"Taken as running alone: circuits in the same trunking or within {shown(gap)} cable "
        f"diameters lower what it carries, save those loaded to {shown(light)} % or less")
    earth, earth_source = _earth_path(figures, sized.circuit, dict(sized.design.sizes))
    return Worked(
        "circuit-cable", run.name, ". ".join(says),
        "tabulated current >= In / (Ca Cg Ci Cc), volt drop = mV/A/m x Ib x L",
        _sources(sized, earth_source), (*_sums(figures, sized), *earth))


def _sources(sized: Sized, more: str) -> str:
    sources = (*(check.source for check in sized.design.checks), more)
    return "; ".join(dict.fromkeys(
        part for source in sources for part in source.split("; ")
        if part and part != "no factor applies"))


def _sums(figures: Figures, sized: Sized) -> Iterator[Sum]:
    circuit, design = sized.circuit, sized.design
    chosen = dict(design.sizes)
    yield Sum("design current Ib", design.design_a, "A")
    yield Sum("device In", design.rating_a, "A")
    for leg in circuit.legs:
        size = chosen[leg.cable]
        table = tabulated_a(figures, leg.cable, leg.method, size, circuit.terminal_c).value
        yield Sum(f"{leg.name}: {shown(size)} mm² {leg.cable}, method {leg.method}, tabulated",
                  table, "A")
        for name, factor in factor_parts(figures, circuit, design.rating_a, leg):
            if factor.value != 1:
                yield Sum(f"{leg.name}: factor for {name}", factor.value)
        buried = device_factor(figures, circuit.device, leg.method == IN_GROUND).value
        if buried != 1:
            yield Sum(f"{leg.name}: factor for the device", buried)
        carries = table * leg_factors(figures, circuit, design.rating_a, leg).value
        yield Sum(f"{leg.name}: carries", carries, "A")
        yield Sum(f"{leg.name}: drop over {shown(Fraction(leg.length_m))} m", drop_v(
            circuit.design_a,
            [DropLeg(leg.length_m, mv_per_a_m(figures, leg.cable, leg.method, size).value)]), "V")
    yield from _whole(figures, circuit, sized)


def _whole(figures: Figures, circuit: Circuit, sized: Sized) -> Iterator[Sum]:
    """Yield the drop over all legs, its limits, and the drop with each next larger size."""
    most, aim = drop_limits_v(figures, circuit)
    yield Sum("drop or rise over all legs", sized.design.drop_v, "V")
    yield Sum("limit", most, "V")
    if circuit.feeds_in:
        yield Sum("aim for the rise", aim, "V")
    chosen = dict(sized.design.sizes)
    for cable, size in sized.design.sizes:
        larger = next((each for each in sized.offered.get(cable, ()) if each > size), None)
        if larger is not None:
            yield Sum(f"with the next size up, {shown(larger)} mm² {cable}",
                      circuit_drop_v(figures, circuit, {**chosen, cable: larger}), "V")


def _earth_path(
    figures: Figures, circuit: Circuit, chosen: Mapping[str, Fraction]
) -> tuple[tuple[Sum, ...], str]:
    """Return protective conductor and R1 + R2 of flat cable, for the fault loop, and the source."""
    size = chosen.get(FLAT)
    if size is None or size not in figures.first_column("cable_flat_cpc"):
        return (), ""
    length = sum((Fraction(leg.length_m) for leg in circuit.legs if leg.cable == FLAT),
                 Fraction(0))
    return (
        Sum("protective conductor of the flat cable", cpc_mm2(figures, size), "mm²"),
        Sum("R1 + R2 of the flat cable at 20 degrees", earth_path_ohm(figures, size, length),
            "ohm"),
    ), figures.cell("cable_flat_cpc", size, "cpc_mm2").source
