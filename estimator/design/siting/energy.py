"""Energy caps of a place, compared before rounding: 40 kWh passes a cap of 40, 40.1 does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

from estimator.design.check import Check, Level, Unanswered, limit_in, shown, words_of
from estimator.design.siting.place_facts import GARAGES, PlaceFacts
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

SUBJECT = "storage"
Told = Check | Unanswered


def energy_checks(
    facts: PlaceFacts, practice: Practice, on: date, level: Level
) -> list[Told]:
    """Return the outcomes on the energy of one unit and of all; `level` is that of a breach."""
    told: list[Told] = []
    unit = practice.at("siting_energy_unit_kwh", on)
    if unit is not None:
        told.append(_one(facts, unit, level))
    if practice.at("siting_energy_kwh", on) is not None:
        told.append(_total(facts, practice, on, level))
    return told


def _one(facts: PlaceFacts, cap: PracticeValue, level: Level) -> Told:
    code, what = "place-energy-unit", "energy in one unit"
    if facts.module_kwh is not None:
        return _judged(code, Fraction(facts.module_kwh), cap, level, what)
    if facts.module_most_kwh is not None and facts.module_most_kwh <= limit_in(cap):
        return _within(code, Fraction(0), Fraction(facts.module_most_kwh), cap, what)
    return Unanswered(code, facts.kit_waits_for, _question(list(facts.kit_waits_for)),
                      _beyond(code, cap, level, what))


def cap_of(facts: PlaceFacts, practice: Practice, on: date) -> tuple[PracticeValue, bool]:
    """Return the cap of a place, and whether a higher one hangs on an unknown separation."""
    low = practice.needed("siting_energy_kwh", on)
    if facts.place not in words_of(practice, "siting_energy_high_places", on):
        return low, False
    high = practice.needed("siting_energy_high_kwh", on)
    if facts.place not in words_of(practice, "siting_energy_separated_places", on):
        return high, False
    if facts.separation_min is None:
        return low, True
    enough = practice.number("siting_energy_separation_min", on)
    return (high if facts.separation_min >= enough else low), False


def _total(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> Told:
    cap, undecided = cap_of(facts, practice, on)
    counts = _vehicle_counts(facts, practice, on)
    least, most = _bounds(facts, counts)
    code, what = "place-energy", "energy in the place"
    if counts and facts.vehicle_kwh:
        what += ", with the car's"
    if most is not None and most <= limit_in(cap):
        return _within(code, least, most, cap, what)
    missing = _missing(facts, counts)
    if least > limit_in(cap):
        if not undecided:
            return _judged(code, least, cap, level, what)
        high = practice.needed("siting_energy_high_kwh", on)
        if least > limit_in(high):  # too much whatever the separation
            return _judged(code, least, high, level, what)
        missing.append("storage.separation_min")
        worst = _judged(code, least, cap, level, what)
    else:
        worst = _beyond(code, cap, level, what)
    return Unanswered(code, tuple(missing), _question(missing), worst)


def _bounds(facts: PlaceFacts, counts: bool) -> tuple[Fraction, Fraction | None]:
    """Return the energy in the place at least, and at most if that can be told [kWh]."""
    least = facts.energy_kwh or Fraction(0)
    unit = facts.module_kwh if facts.module_kwh is not None else facts.module_most_kwh
    most = None
    if facts.modules is not None and unit is not None:
        most = facts.modules * Fraction(unit)
    if not counts:
        return least, most
    if facts.vehicle_kwh is None:
        return least, None
    vehicle = Fraction(facts.vehicle_kwh)
    return least + vehicle, None if most is None else most + vehicle


def _missing(facts: PlaceFacts, counts: bool) -> list[str]:
    """Return the facts without which the energy in the place cannot be told."""
    missing = ["storage.modules"] if facts.modules is None else []
    missing += facts.kit_waits_for if facts.module_kwh is None else ()
    return [*missing, "storage.vehicle_kwh"] if counts and facts.vehicle_kwh is None else missing


def _vehicle_counts(facts: PlaceFacts, practice: Practice, on: date) -> bool:
    """Return whether a car kept in the place counts, be it able to strike the storage or not."""
    counts = practice.at("siting_energy_vehicle_counts", on)
    return (counts is not None and counts.value is True
            and facts.place in (None, *GARAGES))


def _judged(
    code: str, kwh: Fraction, cap: PracticeValue, level: Level, what: str
) -> Check:
    if kwh <= limit_in(cap):
        return _within(code, kwh, kwh, cap, what)
    return Check(code, level, SUBJECT,
                 f"too much {what}: fewer or smaller modules here, or another place", cap.source,
                 cap.decides, kwh, limit_in(cap), cap.unit)


def _within(
    code: str, least: Fraction, most: Fraction, cap: PracticeValue, what: str
) -> Check:
    says = f"{what} is within the cap, by the usable energy of the data sheet: compare the nominal"
    return Check(code, "fine", SUBJECT, says, cap.source, cap.decides,
                 most if least == most else f"at most {shown(most, 3)}", limit_in(cap), cap.unit)


def _beyond(code: str, cap: PracticeValue, level: Level, what: str) -> Check:
    """Return the breach of a cap by an energy nobody knows."""
    return replace(_judged(code, Fraction(limit_in(cap)) + 1, cap, level, what), value="")


def _question(facts: list[str]) -> str:
    asks = {
        "storage.modules": "How many storage modules?",
        "storage.mount": "Hung on the wall or on the floor?",
        "storage.vehicle_kwh":
            "Is an electric car kept in the same place, and how large is its battery?",
        "storage.separation_min":
            "How long do walls, ceiling and door towards the house resist fire?",
    }
    return " ".join(asks.get(fact, "Which storage module?") for fact in facts)
