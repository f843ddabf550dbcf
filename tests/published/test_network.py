"""Connection to the network against what network operators and their association publish.

ENA = Energy Networks Association; DNO = distribution network operator. G98, G99 and G100 are ENA
Engineering Recommendations. Low-confidence facts serve as plausibility bounds only and say so.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from estimator.design.check import Check
from estimator.design.network.connection import Connection
from estimator.design.network.phases import Device, per_phase_a, supply_kw
from estimator.design.network.route import NetworkRoute, limiter_of, network_route
from estimator.design.network.told import network_told, who_pays
from estimator.practice.pack import country_folder, read_practice

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 2)
VOLTS = D(230)


def connection(*watts: str, phases: int = 1, device_phases: int = 1) -> Connection:
    devices = tuple(
        Device(f"device {n}", D(w), 3 if device_phases == 3 else 1) for n, w in enumerate(watts))
    return Connection(devices, phases, fuse_a=D(100))


def route(*watts: str, phases: int = 1, device_phases: int = 1) -> NetworkRoute:
    return network_route(connection(*watts, phases=phases, device_phases=device_phases), GB, ON)


# ENA generation page; DNO page "G98 connection procedures": up to and including 16 A per phase,
# 3.68 kW on one phase, 11.04 kW on three.
@pytest.mark.parametrize(
    ("watts", "phases", "first"),
    [
        ("3680", 1, "inform after"), ("3690", 1, "ask first"), ("3680.01", 1, "ask first"),
        ("11040", 3, "inform after"), ("11040.01", 3, "ask first"), ("11070", 3, "ask first"),
    ],
)
def test_sixteen_amperes_a_phase_pass_and_a_hair_more_does_not(
    watts: str, phases: int, first: str
) -> None:
    assert route(watts, phases=phases, device_phases=phases).name == first


def test_sixteen_amperes_are_3_68_kw_on_one_phase_and_11_04_on_three() -> None:
    # Same pages: 16 x 230 = 3680 W, three times that 11 040 W.
    assert supply_kw(D(16), VOLTS) == F("3.68")
    assert supply_kw(D(16), VOLTS, 3) == F("11.04")


def test_the_small_route_is_for_up_to_sixteen_amperes_not_for_more() -> None:
    # Trap: one installer's page describes G98 as for "more than 16 A"; the ENA page says up to
    # and including 16 A.
    assert not route("3680").before_work
    assert route("3681").before_work


def test_solar_of_3_0_kw_and_a_store_of_1_0_kw_are_over() -> None:
    # DNO page "G98 connection procedures": every generator and store, a.c. rating, no diversity.
    assert not route("3000").before_work
    assert not route("1000").before_work
    assert route("3000", "1000").before_work


def test_what_is_there_already_counts_too() -> None:
    # Same page. 3600 W there (15.65 A) and 80 W new are exactly 16 A; 81 W are more.
    there = connection("80")._replace(existing_w=D(3600))
    assert network_route(there, GB, ON).name == "inform after"
    more = connection("81")._replace(existing_w=D(3600))
    assert network_route(more, GB, ON).name == "ask first"


def test_nine_kilowatts_on_three_phases_are_13_04_amperes_on_each() -> None:
    # The DNO's own example: 9000 / (230 x 3) = 13.04 A.
    sums = per_phase_a([Device("converter", D(9000), 3)], 3, VOLTS)
    assert sums == (F(9000, 690),) * 3
    assert round(sums[0], 2) == F("13.04")


def test_the_network_is_told_within_28_days_after_commissioning() -> None:
    # G98 and installers' guides, single premises. 28 days after 2 November is 30 November.
    (paper,) = (p for p in route("3680").papers if p.goes_to == "network operator")
    due = paper.due(date(2026, 11, 2), GB)
    assert due is not None
    assert due.day == date(2026, 11, 30)
    assert due.unlisted == ()


def test_other_premises_within_500_m_and_28_days_take_another_route() -> None:
    # DNO page "G98 single premises".
    several = network_route(connection("3680")._replace(other_premises=True), GB, ON)
    assert several.name == "ask first, several premises"
    assert several.before_work
    assert GB.number("network_near_m", ON) == 500
    assert GB.number("network_near_days", ON) == 28


def test_above_sixteen_amperes_nothing_is_booked_before_the_network_agrees() -> None:
    # ENA page on G99: permission before connection.
    found = route("5000")
    assert found.before_work
    assert found.papers[0].when == "before work"
    (told,) = (each for each in network_told(connection("5000"), found, GB, ON)
               if each.code == "network-route")
    assert isinstance(told, Check)
    assert "do not book" in told.says


def test_the_answer_is_due_after_45_working_days() -> None:
    # ENA fast-track page: 45 days as the standard for low-voltage generation. From Monday
    # 2 November 2026: nine weeks of five days end on Monday 4 January 2027, and the three public
    # holidays on the way (25 and 28 December, 1 January) make it Thursday 7 January.
    found = route("5000")
    assert found.answer_days == 45
    due = found.answer_by(date(2026, 11, 2), GB)
    assert due is not None
    assert due.day == date(2027, 1, 7)


def test_the_edition_of_the_small_route_is_issue_1_amendment_7() -> None:
    # NBS publication index: G98 Issue 1 Amendment 7, October 2022.
    document = GB.needed("network_notice_document", ON)
    assert document.value == "G98 Issue 1 Amendment 7, October 2022"
    assert document.from_date == date(2022, 10, 1)


def test_limiters_follow_issue_2_from_may_2023_and_cover_import() -> None:
    # G100 Issue 2 Amendment 1, 2022: mandatory for new ones from 1 May 2023, import included.
    new = limiter_of(GB, date(2023, 5, 1))
    assert new.document == "G100 Issue 2 Amendment 1, 2022"
    assert new.covers_import
    old = limiter_of(GB, date(2023, 4, 30))
    assert old.document == "G100 Issue 1"
    assert not old.covers_import


def test_a_limiter_is_back_usually_in_15_and_at_most_in_60_seconds() -> None:
    # A network operator's page on connections (G100 Issue 2): fail-safe, settings sealed or
    # behind a password.
    limiter = limiter_of(GB, ON)
    assert (limiter.usual_s, limiter.most_s) == (15, 60)
    assert limiter.passes(D(60))
    assert not limiter.passes(D("60.001"))
    limited = connection("5000")._replace(export_limit_w=D(3680))
    (told,) = (each for each in network_told(limited, network_route(limited, GB, ON), GB, ON)
               if each.code == "network-limiter")
    assert isinstance(told, Check)
    assert "in 60 s at most, usually within 15 s" in told.says
    assert "safe when its signal is pulled" in told.says
    assert "sealed or behind a password" in told.says


def test_the_older_text_asked_for_5_seconds() -> None:
    # G100 Issue 1, from memory.
    limiter = limiter_of(GB, date(2023, 4, 30))
    assert limiter.most_s == 5
    assert not limiter.passes(D(6))
    assert GB.needed("network_limiter_most_s", date(2023, 4, 30)).standing == "from memory"


@pytest.mark.parametrize(
    ("fuse", "watts", "level"),
    [("100", "3680", "fine"), ("60", "3680", "fine"), ("100.1", "3680", "caution"),
     ("100", "3681", "caution")],
)
def test_the_network_pays_for_strengthening_up_to_100_a_and_devices_of_16_a(
    fuse: str, watts: str, level: str
) -> None:
    # DNO G98 page: existing premises up to 100 A a phase, metered directly, each device up to
    # 16 A.
    found = who_pays(connection(watts)._replace(fuse_a=D(fuse)), GB, ON)
    assert isinstance(found, Check)
    assert found.level == level


# --- middling and low confidence: plausibility bounds and names only -----------------------------


def test_fast_routes_reach_32_and_60_amperes_from_memory() -> None:
    # ENA fast-track forms, from memory (SGI-1: two devices of 16 A with export limited to 16 A;
    # SGI-2 up to 32 A; SGI-3 up to 60 A; answer in about 10 working days): verify the form.
    two = connection("3680", "3680")._replace(export_limit_w=D(3680))
    assert network_route(two, GB, ON).fast == ("SGI-1", "SGI-2", "SGI-3")
    assert network_route(two._replace(export_limit_w=D(3681)), GB, ON).fast == ("SGI-2", "SGI-3")
    assert route("7361").fast == ("SGI-3",)
    assert route("13801").fast == ()
    forms = [paper for paper in network_route(two, GB, ON).papers if "SGI" in paper.name]
    assert forms
    assert all(form.verify for form in forms)
    assert GB.number("network_fast_answer_days", ON) == 10


def test_the_papers_have_the_forms_names() -> None:
    # G99 forms A1-1, A1-2, A3-1 and A3-2 seen; G98 form A or B and G99 form A2 from memory.
    names = " | ".join(paper.name for paper in route("5000").papers)
    assert all(form in names for form in ("A1-1", "A1-2", "A2", "A3-1", "A3-2"))
    (small,) = (p for p in route("3000").papers if p.goes_to == "network operator")
    assert small.name == "G98 form A or B"
    assert small.verify


def test_fees_and_waits_lie_within_what_is_told_of_them() -> None:
    # Plausibility only. G98: normally no fee, acknowledged in about 10 to 15 working days (an
    # installer's page); G99: nil to a few hundred pounds, weeks to about three months (memory).
    small, large = route("3000"), route("5000")
    assert small.fee_most.minor == 0
    least, most = (GB.number(f"network_notice_answer_{n}_days", ON) for n in ("least", "most"))
    assert 5 <= least <= most <= 20
    assert 0 <= large.fee_least.minor <= large.fee_most.minor <= 99_900
    assert 4 <= large.most_weeks <= 14


@pytest.mark.parametrize(("fuse", "kw"), [("60", "13.8"), ("80", "18.4"), ("100", "23")])
def test_main_fuses_pass_13_8_18_4_and_23_kilowatts(fuse: str, kw: str) -> None:
    # A how-to page on diversity, middling confidence; the products with 230 V are exact.
    assert D(fuse) in GB.table("main_fuse", ON).keys
    assert supply_kw(D(fuse), VOLTS) == F(kw)
    assert GB.table("main_fuse", ON).column("kw")[D(fuse)] == D(kw)
