"""The connection to the network: sums, unknown facts, dates, and what the pack says of holidays."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal as D
from fractions import Fraction as F

import pytest
from dateutil.easter import easter
from hypothesis import given
from hypothesis import strategies as st

from estimator.design.check import Check, Unanswered
from estimator.design.network.calendar import holidays_of, working_days_after
from estimator.design.network.connection import Connection, connection_of
from estimator.design.network.phases import Device, per_phase_a
from estimator.design.network.route import NetworkRoute, network_route
from estimator.design.network.told import network_told, who_pays
from estimator.design.sheet import Unknown
from estimator.practice.pack import country_folder, read_practice

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 2)
SMALL = Connection((Device("converter", D(3000)),), 1, fuse_a=D(100))


def connected(**changed: object) -> Connection:
    return SMALL._replace(**changed)


def told(**changed: object) -> tuple[Check | Unanswered, ...]:
    return network_told(connected(**changed), route(**changed), GB, ON)


def asked(code: str, **changed: object) -> tuple[str, ...]:
    """Return the facts that a question of this code misses; () if it is not asked."""
    return next((each.facts for each in told(**changed)
                 if isinstance(each, Unanswered) and each.code == code), ())


def found(code: str, **changed: object) -> Check | None:
    """Return the finding of a code, or None."""
    return next((each for each in told(**changed)
                 if isinstance(each, Check) and each.code == code), None)


def route(**changed: object) -> NetworkRoute:
    return network_route(connected(**changed), GB, ON)


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
    placed = [d._replace(on_phase=d.on_phase or 1) for d in there]
    assert sum(per_phase_a(placed, 3, D(230))) * 230 == sum(F(d.ac_w) for d in placed)


# --- unknown facts --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changed", "fact"),
    [
        ({"existing_w": None}, "supply.existing_generation_w"),
        ({"other_premises": None}, "supply.other_premises"),
        ({"supply_phases": None}, "supply.phases"),
        ({"devices": ()}, "kit.converter.ac_w"),
        ({"existing_w": D(100), "export_limit_w": None}, "supply.network_cap_w"),
    ],
)
def test_a_missing_fact_that_decides_asks_first_and_asks_back(
    changed: dict[str, object], fact: str
) -> None:
    assert route(**changed).before_work
    assert found("network-route", **changed) is None
    assert asked("network-route", **changed) == (fact,)
    (question,) = (each for each in told(**changed)
                   if isinstance(each, Unanswered) and each.code == "network-route")
    assert question.worst.level == "caution"
    assert "before the work" in question.worst.says
    assert question.asks


@pytest.mark.parametrize("fact", ["existing_w", "supply_phases", "devices"])
def test_a_sum_that_lacks_a_fact_never_passes(fact: str) -> None:
    changed: dict[str, object] = {fact: () if fact == "devices" else None}
    assert found("network-per-phase", **changed) is None
    assert asked("network-per-phase", **changed)


def test_all_missing_facts_together_still_ask_first() -> None:
    nothing = Connection((), None, None, None, None, None)
    assert network_route(nothing, GB, ON).name == "ask first"
    answers = network_told(nothing, network_route(nothing, GB, ON), GB, ON)
    assert answers
    assert all(isinstance(each, Unanswered) for each in answers)


def test_only_the_other_premises_missing_takes_their_route_at_worst() -> None:
    assert route(other_premises=None).name == "ask first, several premises"
    assert route(other_premises=None, existing_w=None).name == "ask first"


@pytest.mark.parametrize(
    "decided",
    [{"devices": (Device("converter", D(5000)),)}, {"export_limit_w": D(3000)}],
)
def test_a_missing_fact_is_not_asked_where_the_rest_decides(decided: dict[str, object]) -> None:
    changed = {**decided, "existing_w": None, "other_premises": None}
    assert route(**changed).before_work
    assert found("network-route", **changed) is not None
    assert asked("network-route", **changed) == ()


def test_without_the_phases_one_phase_is_the_worst_case() -> None:
    changed: dict[str, object] = {"devices": (Device("converter", D(9000), 3),),
                                  "supply_phases": None}
    assert route(**changed).heaviest_a == F(9000, 230)
    assert asked("network-per-phase", **changed) == ("supply.phases",)
    assert asked("network-route", **changed) == ("supply.phases",)


def test_too_much_on_three_phases_is_too_much_whatever_the_supply() -> None:
    # By hand: 12 000 / 690 = 17.4 A on each of three phases at the least.
    changed: dict[str, object] = {"devices": (Device("converter", D(12000), 3),),
                                  "supply_phases": None}
    over = found("network-per-phase", **changed)
    assert over is not None
    assert (over.level, over.value) == ("caution", F(12000, 690))


def test_without_the_fuse_who_pays_is_asked() -> None:
    pays = who_pays(connected(fuse_a=None), GB, ON)
    assert isinstance(pays, Unanswered)
    assert pays.facts == ("supply.fuse_a",)
    assert pays.worst.level == "caution"


def test_the_export_limit_is_asked_only_where_it_matters() -> None:
    assert asked("network-limiter", export_limit_w=None) == ()
    assert not route(export_limit_w=None).before_work
    large = (Device("converter", D(5000)),)
    assert asked("network-limiter", devices=large, export_limit_w=None) == (
        "supply.network_cap_w",)


def test_a_limiter_that_may_be_due_is_priced_until_it_is_known() -> None:
    large = (Device("converter", D(5000)),)
    open_ = route(devices=large, export_limit_w=None)
    assert (open_.limiter_open, "limit-test" in open_.norms) == (True, True)
    none = route(devices=large)
    assert (none.limiter, none.limiter_open) == (None, False)


def test_a_known_export_limit_names_the_route_and_brings_the_limiter() -> None:
    for watts in ("5000", "3000"):
        limited = route(devices=(Device("converter", D(watts)),), export_limit_w=D(3680))
        assert limited.name == "ask first, with export limit"
        assert limited.limiter is not None
        assert "limit-test" in limited.norms
    assert route().limiter is None


@pytest.mark.parametrize(
    ("cap", "level"), [("3000", "fine"), ("2999.999", "caution"), ("1", "caution")])
def test_all_outputs_together_are_held_against_the_export_limit(cap: str, level: str) -> None:
    check = found("network-cap", export_limit_w=D(cap))
    assert check is not None
    assert (check.level, check.value, check.limit) == (level, 3000, D(cap))


def test_an_export_limit_is_no_pass_while_what_is_there_is_unknown() -> None:
    assert asked("network-cap", export_limit_w=D(3680), existing_w=None) == (
        "supply.existing_generation_w",)
    # 3000 W are more than 2000 W, whatever else is there.
    assert found("network-cap", export_limit_w=D(2000), existing_w=None) is not None


def test_the_sheet_of_a_job_becomes_a_connection() -> None:
    env = {"kit.converter.ac_w": D(3680), "kit.converter.phases": 1,
           "kit.converter.name": "converter", "supply.phases": 1,
           "supply.existing_generation_w": Unknown("supply.existing_generation_w"),
           "supply.network_cap_w": D(0), "supply.fuse_a": D(80)}
    job = connection_of(env)
    assert job.devices == (Device("converter", D(3680)),)
    assert (job.existing_w, job.export_limit_w, job.fuse_a) == (None, 0, 80)
    assert (job.supply_phases, job.other_premises) == (1, None)
    assert connection_of({**env, "@assumed": {"supply.phases"}}).supply_phases is None


# --- the limit and the order of routes -----------------------------------------------------------


@pytest.mark.parametrize(
    ("amps", "level"),
    [("16", "fine"), ("16.0", "fine"), ("16.0001", "caution"), ("15.9999", "fine")])
def test_sixteen_amperes_are_compared_before_any_rounding(amps: str, level: str) -> None:
    # ENA Engineering Recommendation G98: up to and including 16 A a phase, at 230 V.
    changed: dict[str, object] = {"devices": (Device("converter", D(amps) * 230),)}
    check = found("network-per-phase", **changed)
    assert check is not None
    assert (check.level, check.value, check.limit) == (level, F(amps), 16)
    assert route(**changed).before_work is (level == "caution")


some_watts = st.none() | st.integers(0, 20_000).map(D)
connections = st.builds(
    Connection, st.lists(devices, max_size=3).map(tuple), st.sampled_from([None, 1, 3]), some_watts,
    st.none() | st.sampled_from([D(0), D(3680)]), st.sampled_from([None, True, False]),
    st.sampled_from([None, D(60), D(100)]))


@given(connections, devices, st.integers(1, 20_000))
def test_more_generation_never_makes_the_route_easier(
    there: Connection, device: Device, watts: int
) -> None:
    more = there._replace(devices=(*there.devices, device))
    if there.devices:  # a first device is no "more" where nobody knew which it is
        assert network_route(more, GB, ON).before_work >= network_route(there, GB, ON).before_work
    if there.existing_w is not None:
        more = there._replace(existing_w=there.existing_w + watts)
        assert network_route(more, GB, ON).before_work >= network_route(there, GB, ON).before_work


@given(connections, st.integers(0, 20_000))
def test_what_is_there_already_never_lowers_the_sum(there: Connection, watts: int) -> None:
    alone = network_route(there._replace(existing_w=D(0)), GB, ON)
    beside = network_route(there._replace(existing_w=D(watts)), GB, ON)
    assert len(alone.per_phase_a) == len(beside.per_phase_a)
    assert all(new >= old for new, old in zip(beside.per_phase_a, alone.per_phase_a, strict=True))


@given(connections)
def test_a_missing_fact_never_lets_the_notice_do(there: Connection) -> None:
    knows = None not in (there.supply_phases, there.existing_w, there.other_premises)
    easy = not network_route(there, GB, ON).before_work
    assert not easy or (knows and bool(there.devices))


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


@pytest.mark.parametrize(
    ("planned", "level"),
    [(date(2027, 1, 31), "caution"), (date(2027, 2, 1), "fine"), (date(2027, 6, 1), "fine")])
def test_a_planned_day_before_the_network_may_have_agreed_is_told(
    planned: date, level: str
) -> None:
    # Thirteen weeks after Monday 2 November 2026 is Monday 1 February 2027; weeks from memory.
    large = connected(devices=(Device("converter", D(5000)),))
    checks = network_told(large, network_route(large, GB, ON), GB, ON, planned)
    (wait,) = (each for each in checks if each.code == "network-wait")
    assert isinstance(wait, Check)
    assert (wait.level, wait.limit) == (level, "2027-02-01")
    small = network_told(SMALL, network_route(SMALL, GB, ON), GB, ON, planned)
    assert "network-wait" not in {each.code for each in small}


def test_the_answer_in_weeks_counts_begun_ones_whole() -> None:
    large = route(devices=(Device("converter", D(5000)),))
    assert (large.answer_days, large.answer_weeks, large.most_weeks) == (45, 9, 13)
    assert large._replace(answer_days=46).answer_weeks == 10
    assert (route().answer_weeks, route().most_weeks) == (0, 0)


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
