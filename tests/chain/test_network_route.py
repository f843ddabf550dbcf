"""The connection to the network in a whole estimate: fee, hours, limiter, questions, scope.

Network rules: ENA Engineering Recommendations G98 and G99, up to and including 16 A a phase at
230 V may be told afterwards. The demo job's converter gives 3680 W on one phase: 16 A.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from estimator.estimate import Basis, Estimate, make_estimate
from estimator.practice.pack import Practice
from estimator.rules.load import STANDARD_RULES, read_rule_files
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey
from estimator.workflow.basis import rule_book

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "storage-outside" / "survey.toml"


@pytest.fixture(scope="module")
def survey() -> Survey:
    return read_survey(SURVEY)


def with_supply(survey: Survey, **values: Any) -> Survey:
    """Return the survey with other facts of the supply; None makes one unknown."""
    facts = {name: Fact[Any](value=value, evidence=Evidence.SEEN) if value is not None else Fact()
             for name, value in values.items()}
    return survey.model_copy(update={"supply": survey.supply.model_copy(update=facts)})


def fees(estimate: Estimate) -> set[str]:
    roles = {role for line in estimate.bill.lines for role in line.item.roles}
    return roles & {"network notice", "network application", "export limit set"}


def norms(estimate: Estimate) -> set[str]:
    return {task.task for task in estimate.tasks} & {"office-approval", "limit-test"}


def levels(estimate: Estimate) -> dict[str, str]:
    return {finding.code: finding.level for finding in estimate.findings}


@pytest.fixture(scope="module")
def told(survey: Survey, basis: Basis) -> Estimate:
    return make_estimate(survey, basis)


def test_sixteen_amperes_cost_a_notice_and_no_hours_of_an_application(told: Estimate) -> None:
    assert fees(told) == {"network notice"}
    assert norms(told) == set()
    assert levels(told)["network-route"] == "fine"
    assert levels(told)["network-per-phase"] == "fine"
    assert any("the notice to the network" in line for line in told.scope)
    assert not any("Work starts" in line for line in told.scope)


def test_more_costs_an_application_its_hours_and_a_wait(
    survey: Survey, basis: Basis, told: Estimate
) -> None:
    # 3680 W new and 1000 W there are 20.3 A.
    found = make_estimate(with_supply(survey, existing_generation_w=1000), basis)
    assert fees(found) == {"network application"}
    assert norms(found) == {"office-approval"}
    assert levels(found)["network-route"] == "caution"
    assert "Work starts when the network has agreed, usually 9 to 13 weeks after we ask." in (
        found.scope)
    assert found.hours.mean > told.hours.mean


@pytest.mark.parametrize("name", ["phases", "existing_generation_w", "other_premises"])
def test_what_nobody_knows_is_priced_as_an_application_and_asked(
    survey: Survey, basis: Basis, told: Estimate, name: str
) -> None:
    found = make_estimate(with_supply(survey, **{name: None}), basis)
    assert fees(found) == {"network application"}
    assert norms(found) == {"office-approval"}
    assert found.cost.total.minor > told.cost.total.minor
    (asked,) = (each for each in found.questions if each.fact == f"supply.{name}")
    assert "network-route" in asked.rules
    assert asked.at_worst == "caution"
    assert "network-route" not in levels(found)
    (line,) = (each for each in found.bill.lines if "network application" in each.item.roles)
    assert all(reason.assumed for reason in line.reasons)
    assert any(line.startswith("If the network must agree first") for line in found.scope)


@pytest.mark.parametrize("cap", [2000, None])
def test_a_limiter_is_in_the_price_where_one_is_due_or_may_be(
    survey: Survey, basis: Basis, cap: int | None
) -> None:
    found = make_estimate(
        with_supply(survey, existing_generation_w=1000, network_cap_w=cap), basis)
    assert fees(found) == {"network application", "export limit set"}
    assert norms(found) == {"office-approval", "limit-test"}
    assert ("network-limiter" in levels(found)) is (cap is not None)
    asked = {each.fact for each in found.questions if "network-limiter" in each.rules}
    assert asked == (set() if cap else {"supply.network_cap_w"})


def test_a_small_job_is_not_asked_for_a_limit_that_nobody_can_have_set(
    survey: Survey, basis: Basis
) -> None:
    found = make_estimate(with_supply(survey, network_cap_w=None), basis)
    assert fees(found) == {"network notice"}
    assert "supply.network_cap_w" not in {each.fact for each in found.questions}


def test_a_three_phase_converter_on_one_phase_bars_a_firm_price(
    survey: Survey, basis: Basis
) -> None:
    threes = [item for item in basis.prices.with_role("converter", "converter")
              if getattr(item.spec, "phases", 1) == 3]
    assert threes
    wish = Fact[Any](value=threes[0].code, evidence=Evidence.CUSTOMER_SAID)
    wished = survey.model_copy(
        update={"wishes": survey.wishes.model_copy(update={"converter": wish})})
    found = make_estimate(wished, basis)
    assert levels(found)["network-phases"] == "stop"
    assert found.kind == "budget"
    # Nor does it pass while nobody knows the phases.
    asked = make_estimate(with_supply(wished, phases=None), basis)
    (phases,) = (each for each in asked.questions if each.fact == "supply.phases")
    assert phases.at_worst == "stop"
    assert asked.kind == "budget"


def test_a_country_without_network_rules_is_priced_as_if_the_network_must_agree(
    survey: Survey, basis: Basis
) -> None:
    practice = Practice({name: values for name, values in basis.practice.values.items()
                         if name != "notify_limit_a"}, basis.practice.tables)
    sources = read_rule_files([STANDARD_RULES])
    rules = rule_book(sources, practice, basis.prices, set(basis.norms), "GBP")
    found = make_estimate(survey, replace(basis, practice=practice, rules=rules))
    assert levels(found)["network-rules"] == "caution"
    assert fees(found) == {"network application"}
    assert norms(found) == {"office-approval"}
    assert any(line.startswith("If the network must agree first, work starts when it has.")
               for line in found.scope)
