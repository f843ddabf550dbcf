"""Places for storage: what is unknown becomes a question, never a pass; the pack is the rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from typing import get_args

import pytest

from estimator.design.check import Report
from estimator.design.sheet import Unknown
from estimator.design.siting.place_facts import Distance, PlaceFacts, measured, place_facts
from estimator.design.siting.places import class_of, judge_place
from estimator.practice.pack import country_folder, read_practice
from estimator.survey.words import StoragePlace

PACKS = {c: read_practice([country_folder(c)]) for c in ("gb", "us", "anz")}
GB = PACKS["gb"]
ON = date(2026, 11, 2)
FAR = measured(D(10))
SOUND = PlaceFacts(
    place="garage", modules=2, module_kwh=D(5), floor_area_m2=D(120), flammables=FAR, opening=FAR,
    separation_min=D(60), combustible_wall=False, habitable_behind=False, flood=False,
    boundary_m=D(5), vehicle=True, vehicle_kwh=D(0),
    house_alarm="interlinked wired", front_m=D(2), wall_width_m=D(4), wall_height_m=D(3),
    bottom_m=D("0.5"), side_wall=False,
)


def judged(country: str = "gb", on: date = ON, **changed: object) -> Report:
    return judge_place(replace(SOUND, **changed), PACKS[country], on)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("unknown", "code", "fact"),
    [
        ({"place": None}, "place-refused", "storage.place"),
        ({"flammables": Distance()}, "place-flammables", "storage.flammables_within_2m"),
        ({"place": "outside wall", "opening": Distance()}, "place-opening",
         "storage.opening_within_1m"),
        ({"separation_min": None}, "place-separation", "storage.separation_min"),
        ({"floor_area_m2": None}, "place-scope", "site.floor_area_m2"),
        ({"house_alarm": None}, "place-detection", "storage.house_alarm"),
        ({"vehicle_kwh": None}, "place-energy", "storage.vehicle_kwh"),
        ({"modules": None}, "place-energy", "storage.modules"),
        ({"place": "outbuilding", "separation_min": None, "modules": 10}, "place-energy",
         "storage.separation_min"),
    ],
)
def test_what_nobody_knows_is_a_question_with_its_worst_case_and_no_pass(
    unknown: dict[str, object], code: str, fact: str
) -> None:
    report = judged(**unknown)
    (asked,) = (each for each in report.unanswered if each.code == code)
    assert fact in asked.facts
    assert asked.asks.endswith("?")
    assert asked.worst.level in ("caution", "stop")
    assert asked.worst.source
    assert code not in {each.code for each in report.checked}


def test_what_is_too_much_already_is_no_question() -> None:
    # 20 modules of 5 kWh are 100 kWh, over the higher cap too: the separation cannot help.
    report = judged(place="outbuilding", separation_min=None, modules=20)
    (found,) = (each for each in report.checked if each.code == "place-energy")
    assert (found.level, found.value, found.limit) == ("stop", 100, 80)


@pytest.mark.parametrize("vehicle", [None, True, False])
def test_a_car_that_nobody_has_asked_about_is_asked_about(vehicle: bool | None) -> None:
    # A car that stands where it cannot strike the storage is in the same garage all the same.
    asked = {f for each in judged(vehicle=vehicle, vehicle_kwh=None).unanswered
             for f in each.facts}
    assert "storage.vehicle_kwh" in asked
    (found,) = (e for e in judged(vehicle=vehicle, vehicle_kwh=D(60)).checked
                if e.code == "place-energy")
    assert (found.level, found.value) == ("stop", 70)  # 2 x 5 and 60


def test_no_car_is_asked_for_in_a_room_of_the_house() -> None:
    report = judged(place="utility room", vehicle=None, vehicle_kwh=None)
    asked = {f for each in report.unanswered for f in each.facts}
    assert not asked & {"storage.vehicle_kwh", "storage.vehicle_access"}


def test_what_is_little_enough_without_separation_is_no_question() -> None:
    # 2 x 5 = 10 kWh pass the lower cap of 40 too.
    report = judged(place="outbuilding", separation_min=None)
    (found,) = (each for each in report.checked if each.code == "place-energy")
    assert (found.level, found.limit) == ("fine", 40)


def test_an_opening_near_by_is_told_while_the_place_is_unknown() -> None:
    report = judged(place=None, opening=Distance(below_m=D(1)))
    (found,) = (each for each in report.checked if each.code == "place-opening")
    assert found.level == "stop"


def test_a_surveyed_metre_does_not_settle_a_limit_of_0_914() -> None:
    # "Within 1 m: yes" may be 0.95 m, which keeps the limit of the United States, or 0.5 m.
    report = judged("us", place="outside wall", opening=Distance(below_m=D(1)))
    assert "place-opening" in {each.code for each in report.unanswered}
    report = judged("us", place="outside wall", opening=Distance(at_least_m=D(1)))
    assert "place-opening" in {each.code for each in report.checked}


def test_the_answers_of_the_survey_become_distances() -> None:
    found = place_facts({
        "storage.place": "garage", "storage.flammables_within_2m": False,
        "storage.opening_within_1m": True, "storage.modules": 3,
        "kit.storage.usable_kwh": D("5.12"), "storage.house_alarm": Unknown("storage.house_alarm"),
    })
    assert found.flammables == Distance(at_least_m=D(2))
    assert found.opening == Distance(below_m=D(1))
    assert found.energy_kwh == D("15.36")
    assert found.house_alarm is None


@pytest.mark.parametrize("place", get_args(StoragePlace))
def test_every_place_of_the_survey_has_a_class_in_the_first_pack(place: str) -> None:
    found = class_of(place, GB, ON)
    assert found is not None
    assert found.value in ("preferred", "allowed", "separated", "refused")


@pytest.mark.parametrize("country", ["us", "anz"])
@pytest.mark.parametrize("place", [*get_args(StoragePlace), "a place nobody has heard of"])
def test_a_place_that_a_pack_does_not_name_is_for_the_designer(country: str, place: str) -> None:
    report = judged(country, place=place)
    codes = {each.code for each in report.checked} | {each.code for each in report.unanswered}
    assert codes & {"place-refused", "place-allowed", "place-separation", "place-unlisted"}
    if class_of(place, PACKS[country], ON) is None:
        (found,) = (each for each in report.checked if each.code == "place-unlisted")
        assert found.level == "caution"


def test_before_there_was_a_document_the_designer_decides_alone() -> None:
    report = judged(on=date(2024, 3, 30), place="bedroom")
    (told,) = (each for each in report.checked if each.code == "place-rules")
    assert told.level == "caution"
    assert "PAS 63100:2024 holds from 2024-03-31" in told.says
    # What is common practice held before the document too; nothing of the document does.
    assert {each.code for each in report.checked} == {
        "place-rules", "place-front", "place-barrier", "place-flood"}
    assert judged(on=date(2024, 3, 31), place="bedroom").checked[0].level == "stop"


def test_the_worst_comes_first() -> None:
    levels = [each.level for each in judged(place="bedroom", house_alarm="none").checked]
    assert levels == sorted(levels, key=["stop", "caution", "fine"].index)
    assert {"stop", "caution", "fine"} <= set(levels)
