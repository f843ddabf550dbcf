"""Judges a place for storage by the rules of a country's practice pack.

The rules are data: which places are refused, distances, energy caps, separation, detection, and
the weight that the document has on the day of the design. A rule the pack does not state is not
checked; a fact that is missing gives a question with the worst case, never a pass.
"""

from __future__ import annotations

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
from estimator.design.siting.place_distances import distance_checks
from estimator.design.siting.place_facts import OUTDOORS, PlaceFacts
from estimator.design.siting.place_space import space_checks
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

SUBJECT = "storage"
LINKED = ("interlinked wired", "interlinked radio")
Told = Check | Unanswered
SEPARATION_ASKED = "How long do walls, ceiling and door towards the house resist fire?"


def judge_place(facts: PlaceFacts, practice: Practice, on: date) -> Report:
    """Return every outcome on a place, worst first, and every question.

    Args:
        facts: what is known of the place.
        practice: the pack of the country.
        on: day of the design; it chooses the edition.
    """
    if practice.at("siting_document", on) is None:
        told: list[Told] = [_no_rules(practice, on)]
    else:
        told = [*_edition(facts, practice, on), *_place(facts, practice, on)]
    for check in (_scope, _detection, _label):
        told.extend(check(facts, practice, on))
    told.extend(distance_checks(facts, practice, on, level_of(practice, "limit", on)))
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


def _no_rules(practice: Practice, on: date) -> Check:
    first = practice.values.get("siting_document", ())
    later = [each for each in first if each.from_date > on]
    says = "no document on where storage may stand is in force on the day of the design"
    if later:
        says += f" ({later[0].value} holds from {later[0].from_date})"
    return Check("place-rules", "caution", SUBJECT, f"{says}: the designer decides alone",
                 "the practice pack", "designer, with the fire-safety adviser")


def _edition(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    document = practice.needed("siting_document", on)
    standing = practice.needed("siting_standing", on)
    says = f"the place is judged by {document.value} ({standing.value} on the day of the design)"
    wiring = practice.at("siting_wiring_edition", on)
    if wiring is not None:
        says += f", the wiring by {wiring.value}"
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
        "the place rules hold for smaller dwellings only: a larger one needs a fire design of its "
        "own", area.source, area.decides,
        "" if facts.floor_area_m2 is None else facts.floor_area_m2, limit, "m²")
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
                      f"{facts.place}: the rules do not say whether storage may stand there",
                      document.source, document.decides, facts.place)]
    if found.value == "refused":
        return [Check("place-refused", level_of(practice, "refused", on), SUBJECT,
                      f"{facts.place} is a refused place ({found.meaning}): find another",
                      found.source, found.decides, facts.place)]
    if found.value == "separated":
        return _separation(facts, facts.place, found, practice, on)
    kind = "preferred" if found.value == "preferred" else "permitted"
    return [Check("place-allowed", "fine", SUBJECT,
                  f"{facts.place} is a {kind} place for storage", found.source, found.decides,
                  facts.place)]


def _separation(
    facts: PlaceFacts, place: str, found: PracticeValue, practice: Practice, on: date
) -> list[Told]:
    must = f"{place}: walls, ceiling and door towards the house must resist fire"
    better = "out of doors or in a detached building is better"
    bad = Check(
        "place-separation", level_of(practice, "limit", on), SUBJECT,
        f"{must}, and these do not: {better}", found.source, found.decides,
        "" if facts.separation_min is None else facts.separation_min, "more than 0", "min")
    if facts.separation_min is None:
        return [Unanswered("place-separation", ("storage.separation_min",), SEPARATION_ASKED,
                           bad)]
    if facts.separation_min <= 0:
        return [bad]
    return [Check(
        "place-separation", "caution", SUBJECT,
        f"{must}: have it looked at whether {shown(facts.separation_min)} minutes are enough; "
        f"{better}", found.source, found.decides, facts.separation_min, "", "min")]


def _detection(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    rule = practice.at("siting_detection", on)
    if rule is None or rule.value is not True or facts.place in OUTDOORS:
        return []
    said = {None: "the house may have no alarm that links with one at the storage",
            "none": "the house has no alarms"}
    bad = Check("place-detection", "caution", SUBJECT,
                said.get(facts.house_alarm, "the alarms of the house do not link") +
                ": one that links with the heat alarm at the storage is in the price, more may be "
                "due", rule.source, rule.decides, facts.house_alarm or "")
    if facts.house_alarm is None:
        return [Unanswered("place-detection", ("storage.house_alarm",),
                           "What smoke alarms are there?", bad)]
    if facts.house_alarm not in LINKED:
        return [bad]
    return [Check("place-detection", "fine", SUBJECT,
                  "a heat alarm at the storage, linked with the alarms of the house, is in the "
                  "price", rule.source, rule.decides, facts.house_alarm)]


def _label(facts: PlaceFacts, practice: Practice, on: date) -> list[Told]:
    rule = practice.at("siting_label", on)
    if rule is None or rule.value is not True:
        return []
    what = "solar and storage are" if facts.solar else "storage is"
    return [Check("place-label", "fine", SUBJECT,
                  f"a sign at the supply that {what} there is in the price", rule.source,
                  rule.decides)]
