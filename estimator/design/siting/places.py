"""Judges a place for storage by the rules of a country's practice pack.

The rules are data: which places are refused, distances, energy caps, separation, detection, and
the weight that the document has on the day of the design. A rule the pack does not state is not
checked; a fact that is missing gives a question with the worst case, never a pass.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from estimator.design.check import (
    Check,
    Level,
    Report,
    Unanswered,
    limit_in,
    report_of,
    shown,
)
from estimator.design.siting.energy import energy_checks
from estimator.design.siting.place_facts import OUTDOORS, Distance, PlaceFacts
from estimator.design.siting.place_space import space_checks
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

SUBJECT = "storage"
LINKED = ("interlinked wired", "interlinked radio")
Told = Check | Unanswered


def judge_place(facts: PlaceFacts, practice: Practice, on: date) -> Report:
    """Return every outcome on a place, worst first, and every question.

    Args:
        facts: what is known of the place.
        practice: the pack of the country.
        on: day of the design; it chooses the edition.
    """
    if practice.at("siting_document", on) is None:
        return report_of([_no_rules()])
    told: list[Told] = []
    for check in _CHECKS:
        told.extend(check(facts, practice, on))
    told.extend(energy_checks(facts, practice, on, level_of(practice, "limit", on)))
    told.extend(space_checks(facts, practice, on, level_of(practice, "limit", on)))
    return report_of(told)


def level_of(practice: Practice, what: str, on: date) -> Level:
    """Return the level of a finding on a day: of a "refused" place, or of a "limit"."""
    value = practice.at(f"siting_{what}_level", on)
    return "caution" if value is not None and value.value == "caution" else "stop"


def class_of(place: str, practice: Practice, on: date) -> PracticeValue | None:
    """Return how the pack takes a place ("refused", "separated" ...), or None if it is silent."""
    return practice.at("siting_place_" + place.replace(" ", "_"), on)


def _no_rules() -> Check:
    return Check(
        "place-rules", "caution", SUBJECT,
        "no place rules are in force on the day of the design: the designer decides alone",
        "the practice pack", "designer, with the fire-safety adviser")


def _edition(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    document = practice.needed("siting_document", on)
    standing = practice.needed("siting_standing", on)
    says = f"the place is judged by {document.value}, which is {standing.value} on that day"
    wiring = practice.at("siting_wiring_edition", on)
    if wiring is not None:
        says += f"; wiring by {wiring.value}"
        either = practice.at("siting_wiring_either", on)
        if either is not None and either.value is True:
            says += " or already by the next edition"
    return [Check("place-edition", "fine", SUBJECT, says, standing.source, standing.decides,
                    str(standing.value))]


def _scope(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    told: list[Told] = []
    used = practice.at("siting_second_life", on)
    if facts.second_life and used is not None and used.value is False:
        told.append(Check(
            "place-second-life", level_of(practice, "refused", on), SUBJECT,
            "packs with a second life are outside the document: do not fit them in a dwelling "
            "by it", used.source, used.decides))
    area = practice.at("siting_scope_area_m2", on)
    if area is None:
        return told
    limit = limit_in(area)
    outside = Check(
        "place-scope", "caution", SUBJECT,
        f"the document holds for dwellings under {shown(limit)} m2 only: a larger one needs a "
        "design of its own", area.source, area.decides,
        "" if facts.floor_area_m2 is None else str(facts.floor_area_m2), str(limit), area.unit)
    if facts.floor_area_m2 is None:
        told.append(Unanswered("place-scope", ("site.floor_area_m2",),
                               "What is the floor area of the dwelling?", outside))
    elif facts.floor_area_m2 >= limit:
        told.append(outside)
    return told


def _place(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    if facts.place is None:
        document = practice.needed("siting_document", on)
        worst = Check("place-refused", level_of(practice, "refused", on), SUBJECT,
                        "the place may be one that is refused", document.source, document.decides)
        return [Unanswered("place-refused", ("storage.place",),
                           "Where is the storage to go?", worst)]
    found = class_of(facts.place, practice, on)
    if found is None or found.value == "ask":
        document = found or practice.needed("siting_document", on)
        return [Check("place-unlisted", "caution", SUBJECT,
                        f"{facts.place}: the pack does not say whether storage may stand there",
                        document.source, document.decides, facts.place)]
    if found.value == "refused":
        return [Check("place-refused", level_of(practice, "refused", on), SUBJECT,
                        f"{facts.place}: storage may not stand there ({found.meaning}); find "
                        "another place", found.source, found.decides, facts.place)]
    if found.value == "separated":
        return _separation(facts, found, practice, on)
    words = {"preferred": "is a preferred place for storage"}
    says = words.get(str(found.value), "is a place where storage may stand")
    return [Check("place-allowed", "fine", SUBJECT, f"{facts.place}: {says}", found.source,
                    found.decides, facts.place)]


def _separation(
    facts: PlaceFacts, found: PracticeValue, practice: Practice, on: date
) -> list[Told]:
    bad = Check(
        "place-separation", level_of(practice, "limit", on), SUBJECT,
        f"{facts.place}: walls, ceiling and door towards the house must resist fire; out of doors "
        "is better", found.source, found.decides,
        "" if facts.separation_min is None else str(facts.separation_min), "above 0", "min")
    if facts.separation_min is None:
        return [Unanswered("place-separation", ("storage.separation_min",),
                           "How long do walls, ceiling and door towards the house resist fire?",
                           bad)]
    if facts.separation_min <= 0:
        return [bad]
    return [Check(
        "place-separation", "caution", SUBJECT,
        f"{facts.place}: is the separation of {facts.separation_min} minutes enough? have it "
        "looked at; out of doors is better", found.source, found.decides,
        str(facts.separation_min), "above 0", "min")]


def _distance(
    code: str, distance: Distance, limit: PracticeValue, level: Level,
    words: tuple[str, str, str],
) -> list[Told]:
    """Judge a distance; `words` are the path of the fact, the question and what to do."""
    path, asks, says = words
    far = limit_in(limit)
    bad = Check(code, level, SUBJECT, says, limit.source, limit.decides, str(distance),
                  str(far), limit.unit)
    keeps = distance.keeps(far)
    if keeps is None:
        return [Unanswered(code, (path,), asks, bad)]
    if not keeps:
        return [bad]
    return [Check(code, "fine", SUBJECT, f"{limit.meaning} is kept", limit.source,
                    limit.decides, str(distance), str(far), limit.unit)]


def _flammables(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    limit = practice.at("siting_flammables_m", on)
    if limit is None:
        return []
    far = shown(limit_in(limit))
    return _distance(
        "place-flammables", facts.flammables, limit, level_of(practice, "limit", on),
        ("storage.flammables_within_2m", f"Are fuel, paint or gas kept within {far} m?",
         f"stored flammables must be moved for good, at least {far} m from the storage"))


def _openings(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    limit = practice.at("siting_opening_m", on)
    if limit is None:
        return []
    only = practice.at("siting_opening_outdoors_only", on)
    if facts.place not in (None, *OUTDOORS) and (only is None or only.value is True):
        return []
    far = shown(limit_in(limit), 3)
    return _distance(
        "place-opening", facts.opening, limit, level_of(practice, "limit", on),
        ("storage.opening_within_1m", f"Is a door, window or vent within {far} m?",
         f"move the storage: {limit.meaning}, {far} m"))


def _detection(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    rule = practice.at("siting_detection", on)
    if rule is None or rule.value is not True or facts.place in OUTDOORS:
        return []
    bad = Check("place-detection", "caution", SUBJECT,
                  "an alarm in the room must sound all alarms of the house: none there links, "
                  "more alarms are due", rule.source, rule.decides, facts.house_alarm or "")
    if facts.house_alarm is None:
        return [Unanswered("place-detection", ("storage.house_alarm",),
                           "What smoke alarms are there?", bad)]
    if facts.house_alarm not in LINKED:
        return [bad]
    return [Check("place-detection", "fine", SUBJECT,
                    "an alarm goes into the room and links with those of the house", rule.source,
                    rule.decides, facts.house_alarm)]


def _label(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    rule = practice.at("siting_label", on)
    if rule is None or rule.value is not True:
        return []
    what = "solar and storage are" if facts.solar else "storage is"
    return [Check("place-label", "fine", SUBJECT,
                    f"a sign at the supply says that {what} there", rule.source, rule.decides)]


_CHECKS: tuple[Callable[[PlaceFacts, Practice, date], list[Told]], ...] = (
    _edition, _scope, _place, _flammables, _openings, _detection, _label,
)
