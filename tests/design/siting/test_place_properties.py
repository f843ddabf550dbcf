"""What holds of every place for storage, whatever is known of it, in every pack, on every day."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal as D
from typing import get_args

from hypothesis import assume, given
from hypothesis import strategies as st

from estimator.design.check import SEVERITY, Report
from estimator.design.siting.place_facts import Distance, PlaceFacts, measured
from estimator.design.siting.places import judge_place
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.dictionary import fact_dictionary
from estimator.survey.words import HouseAlarm, StoragePlace

PACKS = {c: read_practice([country_folder(c)]) for c in ("gb", "us", "anz")}
DICTIONARY = set(fact_dictionary({}))
cm = st.integers(0, 400).map(lambda each: D(each) / 100)
maybe = st.none() | cm
yes_or_no = st.none() | st.booleans()
distance = (st.just(Distance()) | cm.map(measured) | st.builds(Distance, at_least_m=cm)
            | st.builds(Distance, below_m=cm))
places = st.builds(
    PlaceFacts, place=st.none() | st.sampled_from(get_args(StoragePlace)),
    modules=st.none() | st.integers(1, 60),
    module_kwh=st.none() | st.integers(1, 300).map(lambda each: D(each) / 10),
    floor_area_m2=st.none() | st.integers(20, 400).map(D), flammables=distance,
    opening=distance, boundary_m=maybe, separation_min=st.none() | st.integers(0, 120).map(D),
    combustible_wall=yes_or_no, habitable_behind=yes_or_no, vehicle=yes_or_no,
    vehicle_kwh=st.none() | st.integers(0, 100).map(D),
    house_alarm=st.none() | st.sampled_from(get_args(HouseAlarm)), flood=yes_or_no,
    front_m=maybe, wall_width_m=maybe, wall_height_m=maybe, side_wall=yes_or_no, bottom_m=maybe)
countries = st.sampled_from(sorted(PACKS))
days = st.dates(date(2023, 1, 1), date(2030, 1, 1))


def levels(report: Report) -> dict[str, int]:
    """Return how grave each outcome is, a question by its worst: 0 stop, 1 caution, 2 fine."""
    return {each.code: SEVERITY[each.level] for each in (
        *report.checked, *(asked.worst for asked in report.unanswered))}


def stops(report: Report, code: str) -> bool:
    return any(each.code == code and each.level == "stop" for each in report.checked)


def passes(report: Report, code: str) -> bool:
    return any(each.code == code and each.level == "fine" for each in report.checked)


@given(places, countries, days)
def test_every_outcome_has_a_source_and_every_question_names_real_facts(
    known: PlaceFacts, country: str, on: date
) -> None:
    report = judge_place(known, PACKS[country], on)
    for told in (*report.checked, *(asked.worst for asked in report.unanswered)):
        assert told.source
        assert told.decides
        assert told.says
    for asked in report.unanswered:
        assert asked.facts
        assert set(asked.facts) <= DICTIONARY
        assert asked.asks.endswith("?")
        assert asked.worst.level != "fine"
    codes = [each.code for each in (*report.checked, *report.unanswered)]
    assert len(codes) == len(set(codes))


@given(places, countries, days, st.integers(1, 59), st.integers(1, 200))
def test_more_energy_never_passes_where_less_is_stopped(
    known: PlaceFacts, country: str, on: date, modules: int, more_kwh: int
) -> None:
    less = replace(known, modules=modules)
    unit = D(1) if known.module_kwh is None else known.module_kwh
    car = D(0) if known.vehicle_kwh is None else known.vehicle_kwh
    before = judge_place(less, PACKS[country], on)
    for more in (replace(less, modules=modules + 1),
                 replace(less, module_kwh=unit + D(more_kwh) / 10),
                 replace(less, vehicle_kwh=car + more_kwh)):
        after = judge_place(more, PACKS[country], on)
        assert not stops(before, "place-energy") or stops(after, "place-energy")
        if known.module_kwh is not None and known.vehicle_kwh is not None:
            assert not passes(after, "place-energy") or passes(before, "place-energy")


@given(places, countries, days, cm, cm)
def test_moving_farther_off_never_fails_where_nearer_passes(
    known: PlaceFacts, country: str, on: date, near_m: D, further_m: D
) -> None:
    far_m = near_m + further_m
    near, far = (
        judge_place(replace(known, opening=measured(metres), flammables=measured(metres),
                            boundary_m=metres, front_m=metres, bottom_m=metres),
                    PACKS[country], on) for metres in (near_m, far_m))
    for code in ("place-opening", "place-flammables", "place-boundary", "place-front",
                 "place-vehicle"):
        assert levels(far).get(code, 2) >= levels(near).get(code, 2)
        assert passes(far, code) or not passes(near, code)


@given(places, countries, days, st.sampled_from(
    [each.name for each in fields(PlaceFacts)
     if each.default is None and each.name not in ("place", "module_most_kwh")]))
def test_no_answer_is_worse_than_what_is_told_while_it_is_unknown(
    known: PlaceFacts, country: str, on: date, name: str
) -> None:
    assume(getattr(known, name) is not None)
    answered = levels(judge_place(known, PACKS[country], on))
    unknown = levels(judge_place(replace(known, **{name: None}), PACKS[country], on))
    for code, level in answered.items():
        assert unknown.get(code, 2) <= level, (code, name)
