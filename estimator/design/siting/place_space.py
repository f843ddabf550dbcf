"""Space and protection round storage: clear depth, vehicles, what burns behind it, flood.

Check only where the country's pack states the value.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimator.design.check import Check, Level, Unanswered, limit_in
from estimator.design.siting.place_facts import DRIVEN_TO, GARAGES, PlaceFacts
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
        *_vehicle(facts, practice, on), *_barrier(facts, practice, on),
        *_flood(facts, practice, on),
    ]


def _least(
    code: str, metres: Decimal | None, limit: PracticeValue, level: Level, path: str, asks: str
) -> Told:
    """Judge a size that must be the limit or more."""
    least = limit_in(limit)
    value = "" if metres is None else metres
    bad = Check(code, level, SUBJECT, f"too little {limit.meaning}", limit.source,
                limit.decides, value, least, limit.unit, at_least=True)
    if metres is None:
        return Unanswered(code, (path,), asks, bad)
    if metres < least:
        return bad
    return Check(code, "fine", SUBJECT, f"{limit.meaning} is kept", limit.source,
                 limit.decides, value, least, limit.unit, at_least=True)


def _front(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> list[Told]:
    asked = [practice.at("siting_front_m", on)]
    if facts.place in CORRIDORS:
        asked.append(practice.at("siting_passage_m", on))
    limits = [value for value in asked if value is not None]
    if not limits:
        return []
    widest = max(limits, key=limit_in)
    own = practice.at("siting_front_level", on)
    if own is not None and own.value == "caution":
        level = "caution"
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


def _vehicle(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    """Judge whether a vehicle can strike the storage; a bollard is priced wherever one can."""
    rule = practice.at("siting_vehicle_barrier", on)
    if rule is None or rule.value is not True or facts.place not in DRIVEN_TO:
        return []
    if facts.vehicle is False:
        return [Check("place-vehicle", "fine", SUBJECT, "no vehicle can strike the storage",
                      rule.source, rule.decides)]
    due = Check("place-vehicle", "caution", SUBJECT,
                "a vehicle can strike the storage: a bollard before each stack is in the price, "
                "and the designer must agree that it is enough", rule.source, rule.decides)
    if facts.vehicle is None:
        return [Unanswered("place-vehicle", ("storage.vehicle_access",),
                           "Does a car park or pass there?", due)]
    return [_out_of_reach(facts, due, practice, on) or due]


def _out_of_reach(
    facts: PlaceFacts, due: Check, practice: Practice, on: date
) -> Told | None:
    """Return why a car in a garage cannot reach the units, or what is to be asked for that."""
    height = practice.at("siting_vehicle_height_m", on)
    exempt = practice.at("siting_vehicle_side_wall_exempt", on)
    if facts.place not in GARAGES:
        return None
    if exempt is not None and exempt.value is True and facts.side_wall:
        return Check("place-vehicle", "fine", SUBJECT, exempt.meaning, exempt.source,
                     exempt.decides, "side wall")
    if height is None:
        return None
    value = "" if facts.bottom_m is None else facts.bottom_m
    limit = f"above {limit_in(height)}"
    if facts.bottom_m is not None and facts.bottom_m > limit_in(height):
        return Check("place-vehicle", "fine", SUBJECT,
                     "the units hang above the height that a car strikes", height.source,
                     height.decides, value, limit, height.unit)
    low = Check(due.code, due.level, SUBJECT, due.says, height.source, height.decides, value,
                limit, height.unit)
    missing = [path for path, known in (("storage.side_wall", facts.side_wall),
                                        ("storage.bottom_m", facts.bottom_m)) if known is None]
    if not missing:
        return low
    return Unanswered("place-vehicle", tuple(missing),
                      "On which wall, and how high, do the units hang?", low)


def _barrier(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    """Judge what burns or lives behind the storage; a board is priced wherever something does."""
    rule = practice.at("siting_barrier", on)
    if rule is None or rule.value is not True:
        return []
    behind = {"storage.combustible_wall": (facts.combustible_wall, "the wall can burn"),
              "storage.habitable_behind": (facts.habitable_behind, "a room lies behind the wall")}
    found = [words for known, words in behind.values() if known]
    missing = tuple(path for path, (known, _) in behind.items() if known is None)
    why = " and ".join(found) or "the wall may burn, or a room lie behind it"
    due = Check("place-barrier", "caution", SUBJECT,
                f"{why}: board that does not burn is in the price, and the designer must agree "
                "that it is enough", rule.source, rule.decides)
    if found:
        return [due]
    if missing:
        return [Unanswered("place-barrier", missing,
                           "Can the wall burn, and what is on its far side?", due)]
    return [Check("place-barrier", "fine", SUBJECT,
                  "the wall does not burn and no room lies behind it", rule.source,
                  rule.decides)]


def _flood(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    rule = practice.at("siting_flood", on)
    if rule is None or rule.value is not True:
        return []
    if facts.flood is False:
        return [Check("place-flood", "fine", SUBJECT, "the place does not flood", rule.source,
                      rule.decides)]
    wet = Check("place-flood", "caution", SUBJECT,
                "the place can flood: storage and every connection stand above the flood level",
                rule.source, rule.decides)
    if facts.flood is None:
        return [Unanswered("place-flood", ("storage.flood_risk",), "Can the place flood?", wet)]
    return [wet]
