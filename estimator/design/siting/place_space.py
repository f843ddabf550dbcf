"""Space and protection round storage that some countries ask for: front, boundary, cars, barrier.

Check only where the country's pack states the value.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimator.design.check import Check, Level, Unanswered, limit_in
from estimator.design.siting.place_facts import GARAGES, PlaceFacts
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

SUBJECT = "storage"
CORRIDORS = ("hall", "corridor", "landing")
Told = Check | Unanswered


def space_checks(
    facts: PlaceFacts, practice: Practice, on: date, level: Level
) -> list[Told]:
    """Return the outcomes on the space round the storage; `level` is that of a breach."""
    return [
        *_front(facts, practice, on, level), *_width(facts, practice, on, level),
        *_boundary(facts, practice, on), *_vehicle(facts, practice, on, level),
        *_barrier(facts, practice, on),
    ]


def _least(
    code: str, metres: Decimal | None, limit: PracticeValue, level: Level, path: str, asks: str
) -> Told:
    """Judge a size that must be the limit or more."""
    least = limit_in(limit)
    shown_as = "" if metres is None else str(metres)
    bad = Check(code, level, SUBJECT, f"too little room: {limit.meaning}", limit.source,
                  limit.decides, shown_as, str(least), limit.unit)
    if metres is None:
        return Unanswered(code, (path,), asks, bad)
    if metres < least:
        return bad
    return Check(code, "fine", SUBJECT, f"{limit.meaning} is kept", limit.source,
                   limit.decides, shown_as, str(least), limit.unit)


def _front(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> list[Told]:
    asked = [practice.at("siting_front_m", on)]
    if facts.place in CORRIDORS:
        asked.append(practice.at("siting_passage_m", on))
    limits = [value for value in asked if value is not None]
    if not limits:
        return []
    widest = max(limits, key=limit_in)
    return [_least("place-front", facts.front_m, widest, level, "storage.front_m",
                   "How deep is the clear space in front?")]


def _width(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> list[Told]:
    asked = (("width", facts.wall_width_m, "wide"), ("height", facts.wall_height_m, "high"))
    told: list[Told] = []
    for name, metres, how in asked:
        limit = practice.at(f"siting_working_{name}_m", on)
        if limit is not None:
            told.append(_least(f"place-working-{name}", metres, limit, level,
                               f"storage.wall_{name}_m", f"How {how} is the wall?"))
    return told


def _boundary(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    limit = practice.at("siting_boundary_m", on)
    if limit is None or facts.boundary_m is None or facts.boundary_m >= limit_in(limit):
        return []
    return [Check("place-boundary", "caution", SUBJECT,
                    "near the boundary: ask whether a warrant is called for", limit.source,
                    limit.decides, str(facts.boundary_m), str(limit_in(limit)), limit.unit)]


def _vehicle(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> list[Told]:
    height = practice.at("siting_vehicle_height_m", on)
    if height is None or facts.place not in GARAGES or facts.vehicle is False:
        return []
    bad = Check("place-vehicle", level, SUBJECT,
                  "a car can strike the storage: a barrier or bollard is due", height.source,
                  height.decides, "" if facts.bottom_m is None else str(facts.bottom_m),
                  str(limit_in(height)), height.unit)
    if facts.vehicle is None:
        return [Unanswered("place-vehicle", ("storage.vehicle_access",),
                           "Does a car park or pass there?", bad)]
    exempt = practice.at("siting_vehicle_side_wall_exempt", on)
    if facts.side_wall and exempt is not None and exempt.value is True:
        return [Check("place-vehicle", "fine", SUBJECT, exempt.meaning, exempt.source,
                        exempt.decides)]
    if facts.bottom_m is not None and facts.bottom_m > limit_in(height):
        return [Check("place-vehicle", "fine", SUBJECT,
                        "the units hang above the height that a car strikes", height.source,
                        height.decides, str(facts.bottom_m), str(limit_in(height)), height.unit)]
    return [bad]


def _barrier(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    rule = practice.at("siting_barrier", on)
    if rule is None or rule.value is not True or facts.habitable_behind is False:
        return []
    due = Check("place-barrier", "caution", SUBJECT, f"due here: {rule.meaning}", rule.source,
                  rule.decides)
    if facts.habitable_behind is None:
        return [Unanswered("place-barrier", ("storage.habitable_behind",),
                           "What is on the far side of the wall?", due)]
    return [due]
