"""The connection to the network: sums, unknown facts, dates, and what the pack says of holidays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from dateutil.easter import easter
from hypothesis import given
from hypothesis import strategies as st

from estimator.design.check import Unanswered
from estimator.design.network.calendar import holidays_of, working_days_after
from estimator.design.network.connection import Connection, connection_of
from estimator.design.network.phases import Device, per_phase_a
from estimator.design.network.route import NetworkRoute, network_route, who_pays
from estimator.design.sheet import Unknown
from estimator.practice.pack import country_folder, read_practice

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 2)
SMALL = Connection((Device("converter", D(3000)),), 1, fuse_a=D(100))


def route(**changed: object) -> NetworkRoute:
    return network_route(replace(SMALL, **changed), GB, ON)  # type: ignore[arg-type]


# --- sums -----------------------------------------------------------------------------------------


def test_devices_on_different_phases_do_not_add_up() -> None:
    # By hand: 2300 / 230 = 10 A on each of phases 1 and 2, 6900 / 690 = 10 A on all three.
    sums = per_phase_a(
        [Device("a", D(2300), 1, 1), Device("b", D(2300), 1, 2), Device("c", D(6900), 3)],
        3, D(230))
    assert sums == (20, 20, 10)


def test_a_device_whose_phase_nobody_knows_counts_on_each() -> None:
    sums = per_phase_a([Device("a", D(2300), 1, 1), Device("b", D(1150))], 3, D(230))
    assert sums == (15, 5, 5)


def test_a_three_phase_device_on_one_phase_counts_whole() -> None:
    assert per_phase_a([Device("a", D(2300), 3)], 1, D(230)) == (10,)


devices = st.builds(
    Device, st.just("device"), st.integers(0, 20_000).map(D), st.sampled_from([1, 3]),
    st.sampled_from([None, 1, 2, 3]), st.booleans())


@given(st.lists(devices, max_size=6), devices, st.sampled_from([1, 3]))
def test_one_more_device_never_lowers_the_sum_of_any_phase(
    there: list[Device], more: Device, phases: int
) -> None:
    before = per_phase_a(there, phases, D(230))
    after = per_phase_a([*there, more], phases, D(230))
    assert all(new >= old for new, old in zip(after, before, strict=True))
    assert per_phase_a([more, *there], phases, D(230)) == after


@given(st.lists(devices, max_size=6))
def test_what_is_on_known_phases_adds_up_to_the_whole(there: list[Device]) -> None:
    # Kirchhoff: at one voltage the amperes of all phases make the watts of all devices.
    placed = [replace(d, on_phase=d.on_phase or 1) for d in there]
    assert sum(per_phase_a(placed, 3, D(230))) * 230 == sum(F(d.ac_w) for d in placed)


# --- unknown facts --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "fact"),
    [
        ({"existing_w": None}, "supply.existing_generation_w"),
        ({"other_premises": None}, "supply.other_premises"),
        ({"devices": ()}, "kit.converter.ac_w"),
    ],
)
def test_a_missing_fact_that_decides_asks_first_and_asks_back(
    changed: dict[str, object], fact: str
) -> None:
    found = route(**changed)
    assert found.before_work
    assert "network-route" not in {each.code for each in found.checked}
    (asked,) = (each for each in found.unanswered if each.code == "network-route")
    assert asked.facts == (fact,)
    assert asked.worst.level == "caution"
    assert asked.asks


def test_a_missing_fact_is_not_asked_where_the_rest_decides() -> None:
    found = route(devices=(Device("converter", D(5000)),), existing_w=None, other_premises=None)
    assert found.before_work
    assert "network-route" in {each.code for each in found.checked}
    assert "network-route" not in {each.code for each in found.unanswered}


def test_without_the_phases_one_phase_is_the_worst_case() -> None:
    found = route(devices=(Device("converter", D(9000), 3),), supply_phases=None)
    assert found.heaviest_a == F(9000, 230)
    assert [each.facts for each in found.unanswered] == [("supply.phases",)]


def test_without_the_fuse_who_pays_is_asked() -> None:
    found = who_pays(replace(SMALL, fuse_a=None), GB, ON)
    assert isinstance(found, Unanswered)
    assert found.facts == ("supply.fuse_a",)


def test_the_export_limit_is_asked_only_where_it_matters() -> None:
    assert route(export_limit_w=None).unanswered == ()
    large = route(devices=(Device("converter", D(5000)),), export_limit_w=None)
    assert [each.facts for each in large.unanswered] == [("supply.network_cap_w",)]


def test_a_known_export_limit_names_the_route_and_brings_the_limiter() -> None:
    large = route(devices=(Device("converter", D(5000)),), export_limit_w=D(3680))
    assert large.name == "ask first, with export limit"
    assert large.limiter is not None
    assert route().limiter is None


def test_the_sheet_of_a_job_becomes_a_connection() -> None:
    env = {"kit.converter.ac_w": D(3680), "kit.converter.phases": 1,
           "kit.converter.name": "converter", "supply.phases": 1,
           "supply.existing_generation_w": Unknown("supply.existing_generation_w"),
           "supply.network_cap_w": D(0), "supply.fuse_a": D(80)}
    found = connection_of(env)
    assert found.devices == (Device("converter", D(3680)),)
    assert (found.existing_w, found.export_limit_w, found.fuse_a) == (None, 0, 80)
    assert found.other_premises is None


# --- what follows from the route ------------------------------------------------------------------


def test_the_route_names_fee_and_norm_of_the_other_stages() -> None:
    assert (route().fee_role, route().norms) == ("network notice", ())
    large = route(devices=(Device("converter", D(5000)),))
    assert (large.fee_role, large.norms) == ("network application", ("office-approval",))
    assert (large.fee_least.currency, large.fee_least.minor) == ("GBP", 0)


def test_scheme_and_building_control_run_from_the_same_day() -> None:
    # Installer scheme: 10 working days; building control: 30 days, common practice, no source.
    # From Friday 18 December 2026: ten working days pass over 25 and 28 December and 1 January to
    # Wednesday 6 January; thirty days end on Sunday 17 January.
    due = {paper.name: paper.due(date(2026, 12, 18), GB) for paper in route().papers}
    scheme, building = due["scheme certificate"], due["self-certification"]
    assert scheme is not None
    assert building is not None
    assert (scheme.day, building.day) == (date(2027, 1, 6), date(2027, 1, 17))


def test_what_is_sent_before_work_has_no_day_after_commissioning() -> None:
    papers = route(devices=(Device("converter", D(5000)),)).papers
    before = [paper for paper in papers if paper.when == "before work"]
    assert before
    assert all(paper.due(ON, GB) is None for paper in before)


# --- working days ---------------------------------------------------------------------------------


@pytest.mark.parametrize("year", [2025, 2026, 2027, 2028])
def test_the_public_holidays_are_those_of_the_act_and_of_easter(year: int) -> None:
    # Banking and Financial Dealings Act 1971 and custom, England and Wales: New Year's Day, Good
    # Friday, Easter Monday, first and last Monday of May, last Monday of August, Christmas and
    # Boxing Day; one that falls on a weekend moves to the next free weekday. Easter by dateutil.
    mondays_of_may = [d for d in (date(year, 5, n) for n in range(1, 32)) if d.weekday() == 0]
    august = [d for d in (date(year, 8, n) for n in range(1, 32)) if d.weekday() == 0]
    expected = {
        easter(year) - timedelta(days=2), easter(year) + timedelta(days=1),
        mondays_of_may[0], mondays_of_may[-1], august[-1],
    }
    for fixed in (date(year, 1, 1), date(year, 12, 25), date(year, 12, 26)):
        day = fixed
        while day.weekday() >= 5 or day in expected:
            day += timedelta(days=1)
        expected.add(day)
    assert holidays_of(GB, year) == expected


def test_a_year_without_holidays_in_the_pack_is_named() -> None:
    due = working_days_after(date(2028, 12, 27), 5, GB)
    # 28, 29 December 2028, then 1 (nobody has entered that it is a holiday), 2, 3 January 2029.
    assert due.day == date(2029, 1, 3)
    assert due.unlisted == (2029,)


def test_no_working_days_is_the_day_itself_and_backwards_is_refused() -> None:
    assert working_days_after(ON, 0, GB).day == ON
    with pytest.raises(ValueError, match="forwards"):
        working_days_after(ON, -1, GB)


@given(st.dates(date(2025, 1, 1), date(2028, 6, 1)), st.integers(0, 60), st.integers(0, 60))
def test_working_days_add_up(start: date, first: int, second: int) -> None:
    halfway = working_days_after(start, first, GB).day
    assert working_days_after(halfway, second, GB).day == (
        working_days_after(start, first + second, GB).day)
