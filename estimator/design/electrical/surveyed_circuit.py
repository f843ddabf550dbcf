"""From the survey and the chosen converter to a circuit with its legs, or to what is missing.

The legs of a run are taken in the order in which the survey lists them. Where none is listed, the
whole route is one leg of the worst usual way in a house, in insulation.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from estimator.design.case import Case
from estimator.design.electrical.circuit import Circuit, Leg
from estimator.design.electrical.figures import Figures
from estimator.design.electrical.laying import ARMOURED, HIDDEN, WORST_USUAL, surveyed_leg
from estimator.design.electrical.voltage_drop import nominal_v
from estimator.design.sheet import Environment, Unknown


class Run(NamedTuple):
    """A circuit of the job: where its facts stand and what it is called.

    Attributes:
        listed_as: word of the survey for its legs (`leg.run`).
        facts: group of the facts that the rules read ("circuit.flat_mm2").
        unlisted: fact that holds its length where no leg is listed.
    """

    name: str
    listed_as: str
    facts: str
    unlisted: str


CONVERTER = Run("converter circuit", "converter circuit", "circuit", "converter.circuit_m")
BACKUP = Run("backup feed", "backup", "backup", "backup.feed_m")


class Surveyed(NamedTuple):
    """A run as surveyed.

    Attributes:
        circuit: the circuit; None while a fact is missing.
        missing: full paths of the facts without which it cannot be sized.
        lengths: lengths of flat and of armoured cable, as they change along the route; None while
            nobody knows how a leg is run.
        length_assumed: whether the length itself is priced by assumption.
        unseen: names of the legs that are taken as lying in insulation because nobody knows.
    """

    circuit: Circuit | None
    missing: tuple[str, ...]
    lengths: tuple[int, int] | None
    listed: bool
    length_assumed: bool
    unseen: tuple[str, ...]

    @property
    def assumed(self) -> bool:
        """Return whether the size of the cable rests on an assumption."""
        return self.length_assumed or bool(self.unseen)


def surveyed_run(case: Case, figures: Figures, run: Run) -> Surveyed:
    """Return the circuit of a run, or what is missing for it."""
    job = case.sheet.job
    converter = _converter(job, run)
    legs = list(_legs(case, run))
    unsure = [path for env, _ in legs for path in _unknown(env, "leg.run")]
    listed = [(env, name) for env, name in legs if not _unknown(env, "leg.run")]
    missing = [*unsure, *(p for v in converter.values() if isinstance(v, Unknown)
                          for p in sorted(v.facts))]
    laid: list[Any] = [env["leg.method"] for env, _ in listed]
    if not listed and not unsure:
        laid = [WORST_USUAL]
        missing += _unknown(job, run.unlisted)
    for env, _ in listed:
        missing += [*_unknown(env, "leg.method"), *_unknown(env, "leg.length_m")]
    lengths = None if unsure or any(isinstance(each, Unknown) for each in laid) else _changes(laid)
    length_assumed = not legs and run.unlisted in job.get("@assumed", ())
    if missing:
        return Surveyed(None, tuple(dict.fromkeys(missing)), lengths, bool(listed),
                        length_assumed, ())
    circuit = _circuit(figures, run, converter, tuple(_laid_legs(case, figures, run, listed)))
    return Surveyed(circuit, (), lengths, bool(listed), length_assumed,
                    tuple(name for env, name in listed if _in_insulation_unseen(env)))


def cable_lengths(case: Case, run: Run) -> dict[str, tuple[Decimal, ...]]:
    """Return the lengths of flat and of armoured cable of a run whose legs are all known.

    Legs one after the other in one kind of cable are one length, with an end to make off at
    either side and what bends and turns take, as the rules count them.
    """
    job = case.sheet.job
    found: dict[bool, list[Decimal]] = {False: [], True: []}
    before: bool | None = None
    for env, _ in _legs(case, run):
        steel = env["leg.method"] in ARMOURED
        factor = job["practice.cable_factor_" + (
            "hidden" if env["leg.method"] in HIDDEN else "open")]
        if steel is not before:
            found[steel].append(2 * job["practice.cable_end_m"])
        found[steel][-1] += env["leg.length_m"] * factor
        before = steel
    return {f"{run.facts}.flat_lengths": tuple(found[False]),
            f"{run.facts}.armoured_lengths": tuple(found[True])}


def _legs(case: Case, run: Run) -> Iterator[tuple[Environment, str]]:
    """Yield the legs of a run with their names, and those of which nobody knows the run."""
    for _, name, env in case.sheet.environments("leg"):
        if isinstance(env["leg.run"], Unknown) or env["leg.run"] == run.listed_as:
            yield env, name


def _unknown(env: Environment, path: str) -> list[str]:
    value = env.get(path, Unknown(path))
    return sorted(value.facts) if isinstance(value, Unknown) else []


def _converter(job: Environment, run: Run) -> dict[str, Any]:
    needed = ("ac_a", "device_a") if run is CONVERTER else ("backup_w",)
    return {name: job[f"kit.converter.{name}"] for name in (*needed, "phases")}


def _changes(laid: list[str]) -> tuple[int, int]:
    """Return how many lengths of flat and of armoured cable follow one another."""
    steel = [each in ARMOURED for each in laid]
    starts = [now for at, now in enumerate(steel) if at == 0 or steel[at - 1] != now]
    return starts.count(False), starts.count(True)


def _in_insulation_unseen(env: Environment) -> bool:
    if env["leg.method"] not in HIDDEN:
        return False
    unseen = isinstance(env.get("leg.insulation_contact", Unknown()), Unknown)
    return unseen or "leg.insulation_contact" in env.get("@assumed", ())


def _laid_legs(
    case: Case, figures: Figures, run: Run, listed: list[tuple[Environment, str]]
) -> Iterator[Leg]:
    phases: Literal[1, 3] = case.sheet.job["kit.converter.phases"]
    if not listed:
        yield surveyed_leg("the whole route", case.sheet.job[run.unlisted], WORST_USUAL,
                           phases=phases, insulation_contact=True)
    for env, name in listed:
        touches = env.get("leg.insulation_contact", Unknown())
        air = figures.number("loft_air_c").value if env["leg.method"] == "loft" else Fraction(30)
        yield surveyed_leg(
            name, env["leg.length_m"], env["leg.method"], phases=phases, air_c=air,
            insulation_contact=isinstance(touches, Unknown) or bool(touches))


def _circuit(
    figures: Figures, run: Run, converter: dict[str, Any], legs: tuple[Leg, ...]
) -> Circuit:
    phases: Literal[1, 3] = converter["phases"]
    if run is CONVERTER:
        return Circuit(run.name, Fraction(converter["ac_a"]), legs,
                       Fraction(converter["device_a"]), phases=phases, feeds_in=True)
    # A phase of a three-phase converter carries its third at the voltage to neutral.
    amps = Fraction(converter["backup_w"]) / (nominal_v(figures, 1) * phases)
    return Circuit(run.name, amps, legs, phases=phases)
