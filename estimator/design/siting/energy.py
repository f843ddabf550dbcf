"""Energy caps of a place, compared before rounding: 40 kWh passes a cap of 40, 40.1 does not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from estimator.design.check import Check, Level, Unanswered, limit_in, words_of
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
    missing = _missing(facts)
    storage, vehicle = facts.energy_kwh or Fraction(0), Fraction(0)
    if _vehicle_counts(facts, practice, on):
        if facts.vehicle_kwh is None:
            missing.append("storage.vehicle_kwh")
        else:
            vehicle = Fraction(facts.vehicle_kwh)
    total = storage + vehicle
    what = "energy in the place" + (", with the car's" if vehicle else "")
    if undecided and total > limit_in(cap):
        high = practice.needed("siting_energy_high_kwh", on)
        if total > limit_in(high):  # too much whatever the separation
            return _judged("place-energy", total, high, level, what)
        missing.append("storage.separation_min")
    judged = _judged("place-energy", total, cap, level, what)
    if not missing or (judged.level != "fine" and not undecided):
        return judged
    worst = _beyond("place-energy", cap, level, what) if judged.level == "fine" else judged
    return Unanswered("place-energy", tuple(missing), _question(missing), worst)


def _missing(facts: PlaceFacts) -> list[str]:
    """Return the facts without which the energy of the storage cannot be told."""
    modules = ["storage.modules"] if facts.modules is None else []
    return modules + list(facts.kit_waits_for if facts.module_kwh is None else ())


def _vehicle_counts(facts: PlaceFacts, practice: Practice, on: date) -> bool:
    """Return whether a car kept in the place counts, be it able to strike the storage or not."""
    counts = practice.at("siting_energy_vehicle_counts", on)
    return (counts is not None and counts.value is True
            and facts.place in (None, *GARAGES))


def _judged(
    code: str, kwh: Fraction, cap: PracticeValue, level: Level, what: str
) -> Check:
    most: Decimal = limit_in(cap)
    over = kwh > most
    says = (f"too much {what}: fewer or smaller modules here, or another place" if over else
            f"{what} is within the cap, by the usable energy of the data sheet: compare the "
            "nominal too")
    return Check(code, level if over else "fine", SUBJECT, says, cap.source, cap.decides, kwh,
                 most, cap.unit)


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
