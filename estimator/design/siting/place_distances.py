"""Distances that storage keeps: to stored flammables, to openings, to the boundary.

Compared unrounded: 1 m keeps a limit of 1 m. What the survey says in steps ("within 1 m: no")
settles a limit only where the step reaches it; else the metres are asked for.
"""

from __future__ import annotations

from datetime import date

from estimator.design.check import Check, Level, Unanswered, limit_in, shown
from estimator.design.siting.place_facts import OUTDOORS, Distance, PlaceFacts
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

SUBJECT = "storage"
Told = Check | Unanswered


def distance_checks(
    facts: PlaceFacts, practice: Practice, on: date, level: Level
) -> list[Told]:
    """Return the outcomes on the distances that the pack states; `level` is that of a breach."""
    return [
        *_flammables(facts, practice, on, level), *_openings(facts, practice, on, level),
        *_boundary(facts, practice, on),
    ]


def _flammables(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> list[Told]:
    limit = practice.at("siting_flammables_m", on)
    if limit is None:
        return []
    fact = "storage.flammables_m" if facts.flammables.told else "storage.flammables_within_2m"
    return [_kept(
        "place-flammables", facts.flammables, limit, level, fact,
        f"Are fuel, paint or gas kept within {shown(limit_in(limit), 3)} m?",
        "fuel, paint or gas stands near: move it for good, or the storage")]


def _openings(facts: PlaceFacts, practice: Practice, on: date, level: Level) -> list[Told]:
    limit = practice.at("siting_opening_m", on)
    if limit is None:
        return []
    only = practice.at("siting_opening_outdoors_only", on)
    if facts.place not in (None, *OUTDOORS) and (only is None or only.value is True):
        return []
    fact = "storage.opening_m" if facts.opening.told else "storage.opening_within_1m"
    return [_kept(
        "place-opening", facts.opening, limit, level, fact,
        f"Is a door, window or vent within {shown(limit_in(limit), 3)} m?",
        "a door, window, vent or way out is near: move the storage along the wall")]


def _kept(
    code: str, distance: Distance, limit: PracticeValue, level: Level, fact: str, asks: str,
    says: str,
) -> Told:
    """Judge a distance; `fact` and `asks` are what is asked if it is not known well enough."""
    far = limit_in(limit)
    bad = Check(code, level, SUBJECT, says, limit.source, limit.decides, distance.amount, far,
                limit.unit, at_least=True)
    keeps = distance.keeps(far)
    if keeps is None:
        return Unanswered(code, (fact,), asks, bad)
    if not keeps:
        return bad
    return Check(code, "fine", SUBJECT, f"{limit.meaning} is kept", limit.source, limit.decides,
                 distance.amount, far, limit.unit, at_least=True)


def _boundary(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    limit = practice.at("siting_boundary_m", on)
    if limit is None or facts.place not in (None, *OUTDOORS):
        return []
    least = limit_in(limit)
    near = Check("place-boundary", "caution", SUBJECT,
                 "near the boundary: ask whether a building warrant is called for", limit.source,
                 limit.decides, "" if facts.boundary_m is None else facts.boundary_m, least,
                 limit.unit, at_least=True)
    if facts.boundary_m is None:
        return [Unanswered("place-boundary", ("storage.boundary_m",),
                           "How far is the boundary from the storage?", near)]
    if facts.boundary_m < least:
        return [near]
    return [Check("place-boundary", "fine", SUBJECT, f"{limit.meaning} is kept", limit.source,
                  limit.decides, facts.boundary_m, least, limit.unit, at_least=True)]
