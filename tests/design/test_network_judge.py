"""The judge of the connection: what it gives to the rules, finds and asks, from the facts of a job.

DNO = distribution network operator; G98, G99 and G100 are ENA Engineering Recommendations.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.price_book import PriceBook
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.judged_facts import JUDGED_FACTS
from estimator.design.kit import Kit
from estimator.design.network.judge import judge_network
from estimator.design.sheet import FactSheet, Unknown
from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.survey.toml import read_survey

ON = date(2026, 11, 2)
GB = read_practice([country_folder("gb")])
SURVEY = read_survey(
    Path(__file__).parents[2] / "demo_jobs" / "panels-and-storage" / "survey.toml")
SMALL: dict[str, Any] = {
    "kit.converter.ac_w": D(3000), "kit.converter.phases": 1, "kit.converter.name": "converter",
    "supply.phases": 1, "supply.fuse_a": D(80), "supply.looped": False,
    "supply.existing_generation_w": D(0), "supply.network_cap_w": D(0),
    "supply.other_premises": False,
}


def judged(
    practice: Practice = GB, parts: frozenset[str] = frozenset({"converter"}), **changed: Any
) -> Outcome:
    """Return the outcome of a small job with changed facts; None makes a fact unknown."""
    job = dict(SMALL)
    for name, value in changed.items():
        path = name.replace("__", ".")
        job[path] = Unknown(path) if value is None else value
    if "assumed" in job:
        job["@assumed"] = job.pop("assumed")
    sheet = FactSheet(parts, job, {"plane": (), "leg": ()}, {"plane": (), "leg": ()}, {})
    kit = Kit({"converter": None}, {}, {}, ())
    return judge_network(Case(SURVEY, sheet, kit, (), PriceBook.of(ON, [], []), practice, ON))


def check(outcome: Outcome, code: str) -> Check:
    (one,) = (each for each in outcome.told if each.code == code)
    assert isinstance(one, Check)
    return one


def question(outcome: Outcome, code: str) -> Unanswered:
    (one,) = (each for each in outcome.told if each.code == code)
    assert isinstance(one, Unanswered)
    return one


# --- published examples, carried through the judge ------------------------------------------------


def test_nine_kilowatts_on_three_phases_are_told_afterwards() -> None:
    # DNO page "G98 connection procedures", its own example: 9000 / (230 x 3) = 13.04 A a phase.
    found = judged(kit__converter__ac_w=D(9000), kit__converter__phases=3, supply__phases=3)
    assert found.facts["network.route"] == "inform after"
    assert found.facts["network.per_phase_a"] == F(9000, 690)
    assert check(found, "network-per-phase").level == "fine"
    (answer,) = (each for each in found.worked if each.code == "network-per-phase")
    assert answer.sums[-1].value == F(9000, 690)


def test_solar_of_3_kw_and_a_store_of_1_kw_ask_first() -> None:
    # Same page: every generator and store, a.c. rating, no diversity. 4000 / 230 = 17.39 A.
    found = judged(supply__existing_generation_w=D(1000))
    assert found.facts["network.route"] == "ask first"
    assert found.facts["network.per_phase_a"] == F(4000, 230)
    assert found.facts["network.over_limit"] is True
    assert check(found, "network-per-phase").level == "caution"
    assert check(found, "network-route").level == "caution"


@pytest.mark.parametrize(
    ("watts", "name"),
    [("3680", "inform after"), ("3680.023", "ask first"), ("3690", "ask first")])
def test_exactly_sixteen_amperes_pass_and_16_0001_do_not(watts: str, name: str) -> None:
    # ENA page, G98: up to and including 16 A; 16 x 230 = 3680 W, 16.0001 x 230 = 3680.023 W.
    assert judged(kit__converter__ac_w=D(watts)).facts["network.route"] == name


def test_the_papers_are_listed_with_whom_and_when() -> None:
    # G98: 28 days; scheme: 10 working days; building control: 30 days, common practice, no
    # source. Handover on Monday 18 January 2027: plus 28 days is 15 February, ten working days
    # end on Monday 1 February, thirty days on 17 February.
    (papers,) = (each for each in judged().worked if each.code == "network-papers")
    told = {one.name: str(one.value) for one in papers.sums}
    assert told["G98 form A or B, to network operator"].startswith(
        "within 28 days after commissioning: by 2027-02-15 if on 2027-01-18")
    assert "verify the form" in told["G98 form A or B, to network operator"]
    assert told["scheme certificate, to installer scheme"] == (
        "within 10 working days after commissioning: by 2027-02-01 if on 2027-01-18")
    assert told["self-certification, to building control"].endswith(
        "by 2027-02-17 if on 2027-01-18")


def test_what_is_asked_first_is_listed_before_the_work() -> None:
    found = judged(kit__converter__ac_w=D(5000))
    (papers,) = (each for each in found.worked if each.code == "network-papers")
    first = {one.name: str(one.value) for one in papers.sums}
    assert first["G99 form A1-1 or A1-2, to network operator"] == "before work"
    # ENA fast-track page: 45 working days; from 2 November 2026 they end on 7 January 2027.
    (wait,) = (each for each in found.worked if each.code == "network-wait")
    assert ("asked on 2026-11-02, answered by", "2027-01-07") in {
        (one.name, one.value) for one in wait.sums}


def test_other_premises_have_their_own_application() -> None:
    # DNO page "G98 single premises": others within 500 m and 28 days make it one project.
    found = judged(supply__other_premises=True)
    assert found.facts["network.route"] == "ask first, several premises"
    says = check(found, "network-route").says
    assert "500 m" in says
    assert "28 days" in says
    (papers,) = (each for each in found.worked if each.code == "network-papers")
    names = [one.name for one in papers.sums]
    assert any("for several premises" in name for name in names)
    assert not any("G99" in name for name in names)


# --- missing facts --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", ["supply.phases", "supply.existing_generation_w", "supply.other_premises"])
def test_a_missing_fact_is_asked_and_taken_at_its_worst(path: str) -> None:
    found = judged(**{path.replace(".", "__"): None})
    assert str(found.facts["network.route"]).startswith("ask first")
    assert "network.route" in found.assumed
    asked = question(found, "network-route")
    assert asked.facts == (path,)
    assert asked.worst.level == "caution"
    assert "before the work" in asked.worst.says
    assert "priced so" in asked.worst.says


def test_phases_that_are_only_assumed_are_not_known() -> None:
    found = judged(assumed={"supply.phases"})
    assert found.facts["network.route"] == "ask first"
    assert found.facts["network.per_phase_a"] == F(3000, 230)
    assert {"network.route", "network.per_phase_a", "network.over_limit"} <= found.assumed
    assert question(found, "network-per-phase").facts == ("supply.phases",)


def test_a_sum_that_hangs_on_a_missing_fact_is_unknown() -> None:
    found = judged(supply__existing_generation_w=None)
    value = found.facts["network.per_phase_a"]
    assert isinstance(value, Unknown)
    assert value.facts == {"supply.existing_generation_w"}
    assert isinstance(found.facts["network.over_limit"], Unknown)
    # 5000 W alone are too much, whatever is there already.
    large = judged(supply__existing_generation_w=None, kit__converter__ac_w=D(5000))
    assert large.facts["network.over_limit"] is True


def test_a_converter_that_is_not_chosen_yet_asks_for_what_bars_the_choice() -> None:
    found = judged(kit__converter__ac_w=Unknown("converter.place", "supply.phases"),
                   supply__phases=None)
    assert question(found, "network-route").facts == ("converter.place", "supply.phases")


def test_a_limiter_is_taken_as_due_until_the_network_has_answered() -> None:
    found = judged(kit__converter__ac_w=D(5000), supply__network_cap_w=None)
    assert found.facts["network.limiter"] is True
    assert "network.limiter" in found.assumed
    assert question(found, "network-limiter").facts == ("supply.network_cap_w",)
    answered = judged(kit__converter__ac_w=D(5000))
    assert answered.facts["network.limiter"] is False
    assert "network.limiter" not in answered.assumed


def test_a_limit_the_network_has_set_is_agreed_first_and_proved() -> None:
    found = judged(supply__network_cap_w=D(2000))
    assert found.facts["network.route"] == "ask first, with export limit"
    assert found.facts["network.limiter"] is True
    assert "signal is pulled" in check(found, "network-limiter").says
    cap = check(found, "network-cap")
    assert (cap.level, cap.value, cap.limit) == ("caution", 3000, 2000)


# --- the service ----------------------------------------------------------------------------------


def test_a_three_phase_converter_on_one_phase_stops() -> None:
    assert check(judged(kit__converter__phases=3), "network-phases").level == "stop"
    asked = question(judged(kit__converter__phases=3, supply__phases=None), "network-phases")
    assert (asked.facts, asked.worst.level) == (("supply.phases",), "stop")
    fits = judged(kit__converter__phases=3, supply__phases=3)
    assert "network-phases" not in {each.code for each in fits.told}


def test_a_single_phase_converter_on_three_phases_is_a_choice() -> None:
    assert check(judged(supply__phases=3), "network-phase-choice").level == "caution"
    assert question(judged(supply__phases=None), "network-phase-choice").facts == (
        "supply.phases",)
    assert "network-phase-choice" not in {each.code for each in judged().told}


def test_a_looped_service_may_have_to_be_parted_first() -> None:
    assert check(judged(supply__looped=True), "network-looped").level == "caution"
    assert question(judged(supply__looped=None), "network-looped").worst.level == "caution"
    assert "network-looped" not in {each.code for each in judged().told}


# --- packs and parts ------------------------------------------------------------------------------


def test_a_pack_without_rules_for_the_network_asks_the_operator() -> None:
    silent = Practice({name: values for name, values in GB.values.items()
                       if not name.startswith(("network_", "notify_"))}, GB.tables)
    found = judged(silent, supply__network_cap_w=None)
    ask = check(found, "network-rules")
    assert ask.level == "caution"
    assert "notify_limit_a" in ask.source
    assert ask.decides == "network operator"
    assert found.facts["network.route"] == "ask first"
    assert found.facts["network.limiter"] is True
    assert found.assumed == set(found.facts)
    assert question(found, "network-limiter").facts == ("supply.network_cap_w",)
    assert judged(silent).facts["network.limiter"] is False


def test_a_job_without_a_converter_is_not_judged() -> None:
    assert judged(parts=frozenset({"panels"})) == Outcome()
    assert judged(parts=frozenset({"backup"})) == Outcome()


def test_every_finding_names_its_source_and_who_decides() -> None:
    jobs = [judged(), judged(kit__converter__ac_w=D(5000), supply__network_cap_w=D(1)),
            judged(supply__phases=3, supply__looped=True),
            judged(supply__existing_generation_w=None, supply__fuse_a=None)]
    told = [each for job in jobs for each in job.told]
    assert told
    for each in told:
        one = each if isinstance(each, Check) else each.worst
        assert one.source
        assert one.decides


def test_the_facts_are_those_of_the_dictionary() -> None:
    listed = {path for path, *_ in JUDGED_FACTS if path.startswith("network.")}
    assert set(judged().facts) == listed


watts = st.none() | st.integers(0, 20_000).map(D)


@given(st.integers(1, 20_000), watts, st.sampled_from([None, 1, 3]), st.sampled_from([1, 3]),
       st.sampled_from([None, False, True]), st.none() | st.just(D(0)), st.integers(0, 9_000))
def test_more_generation_never_makes_the_route_easier(
    new: int, there: D | None, phases: int | None, converter: int, premises: bool | None,
    cap: D | None, more: int
) -> None:
    facts: dict[str, Any] = {
        "kit__converter__ac_w": D(new), "kit__converter__phases": converter,
        "supply__phases": phases, "supply__existing_generation_w": there,
        "supply__other_premises": premises, "supply__network_cap_w": cap,
    }
    asks = judged(**facts).facts["network.route"] != "inform after"
    facts["kit__converter__ac_w"] = D(new + more)
    assert (judged(**facts).facts["network.route"] != "inform after") >= asks
    if there is not None:
        facts["supply__existing_generation_w"] = there + more
        assert (judged(**facts).facts["network.route"] != "inform after") >= asks


@given(st.integers(1, 20_000), st.integers(0, 20_000), st.sampled_from([1, 3]))
def test_what_is_there_already_never_lowers_the_sum(new: int, there: int, phases: int) -> None:
    alone = judged(kit__converter__ac_w=D(new), supply__phases=phases)
    beside = judged(kit__converter__ac_w=D(new), supply__phases=phases,
                    supply__existing_generation_w=D(there))
    assert beside.facts["network.per_phase_a"] >= alone.facts["network.per_phase_a"]
    # One phase of what is there, at 230 V, comes on top (no diversity).
    assert beside.facts["network.per_phase_a"] - alone.facts["network.per_phase_a"] == F(there, 230)
