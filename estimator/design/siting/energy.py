"""Energy caps of a place, compared before rounding: 40 kWh passes a cap of 40, 40.1 does not."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
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
    if unit is not None and facts.module_kwh is not None:
        told.append(_judged("place-energy-unit", Fraction(facts.module_kwh), unit, level,
                            "energy of one unit"))
    if practice.at("siting_energy_kwh", on) is not None:
        told.append(_total(facts, practice, on, level))
    return told


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
    energy = facts.energy_kwh
    missing = [] if energy is not None else ["storage.modules", "kit.storage.usable_kwh"]
    total = energy or Fraction(0)
    if _vehicle_counts(facts, practice, on):
        if facts.vehicle_kwh is None:
            missing.append("storage.vehicle_kwh")
        else:
            total += Fraction(facts.vehicle_kwh)
    if undecided and total > limit_in(cap):
        high = practice.needed("siting_energy_high_kwh", on)
        if total > limit_in(high):  # too much whatever the separation
            return _judged("place-energy", total, high, level, "energy in the place")
        missing.append("storage.separation_min")
    judged = _judged("place-energy", total, cap, level, "energy in the place")
    if missing and judged.level == "fine":
        over = _judged("place-energy", Fraction(limit_in(cap)) + 1, cap, level,
                       "energy in the place")
        judged = Check(over.code, over.level, over.subject, over.says, over.source,
                         over.decides, "", over.limit, over.unit)
        return Unanswered("place-energy", tuple(missing), _question(missing), judged)
    if "storage.separation_min" in missing:
        return Unanswered("place-energy", tuple(missing), _question(missing), judged)
    return judged


def _vehicle_counts(facts: PlaceFacts, practice: Practice, on: date) -> bool:
    counts = practice.at("siting_energy_vehicle_counts", on)
    return (counts is not None and counts.value is True and facts.place in GARAGES
            and facts.vehicle is not False)


def _judged(
    code: str, kwh: Fraction, cap: PracticeValue, level: Level, what: str
) -> Check:
    most: Decimal = limit_in(cap)
    over = kwh > most
    says = (f"{what} is more than {shown(most)} kWh: fewer modules here, or another place"
            if over else f"{what} is within {shown(most)} kWh; by the data sheet's usable energy, "
            "compare the nominal too")
    return Check(code, level if over else "fine", SUBJECT, says, cap.source, cap.decides,
                   shown(kwh, 3), shown(most), cap.unit)


def _question(facts: list[str]) -> str:
    asks = {
        "storage.modules": "How many storage modules?",
        "kit.storage.usable_kwh": "Which storage module?",
        "storage.vehicle_kwh":
            "Is an electric car kept in the same place, and how large is its battery?",
        "storage.separation_min":
            "How long do walls, ceiling and door towards the house resist fire?",
    }
    return " ".join(asks[fact] for fact in facts)
