"""The risk of a job as it is typed: of a survey and of a kept job; what is uncertain of it."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from catalogue.money import Money
from estimator.estimate import Basis, make_estimate
from estimator.learning.uncertain_cost import ANSWERS, PRICES, UncertainCost
from estimator.papers.contract import EstimateJson
from estimator.survey.toml import read_survey
from estimator.workflow.risk import uncertain_cost
from tests.chain.desk import DAY, ROOT, quote, run

LATER = date(2026, 12, 2)


def told(*more: str) -> dict[str, Any]:
    result = run("risk", *more, "--runs", "1000", "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def estimate_of(name: str, basis: Basis) -> EstimateJson:
    survey = read_survey(ROOT / "demo_jobs" / name / "survey.toml")
    return EstimateJson.of(make_estimate(survey, basis), 1)


@pytest.fixture(scope="module")
def kept(basis: Basis) -> EstimateJson:
    return estimate_of("storage-outside", basis)


@pytest.fixture(scope="module")
def model(kept: EstimateJson) -> UncertainCost:
    return uncertain_cost(kept, LATER, Decimal("0.03"))


def test_the_mean_is_the_cost_as_priced_where_every_open_question_stands_for_a_risk(
    kept: EstimateJson, model: UncertainCost
) -> None:
    assert len(kept.questions) == 4
    assert [each for each in model.ranges if each.source == ANSWERS] == []
    assert model.mean_minor == pytest.approx(kept.cost.total, abs=1)


def test_the_hours_spread_as_in_the_quote(kept: EstimateJson, model: UncertainCost) -> None:
    assert model.mean_hours == pytest.approx(float(kept.hours.mean), abs=1e-3)
    hours_sd = model.variances["hours"] ** 0.5 / model.hour_minor
    assert hours_sd == pytest.approx(float(kept.hours.sd), abs=1e-3)
    assert model.job_cv == pytest.approx(0.12, abs=1e-4)  # the setting, found again


def test_prices_that_nobody_promises_move_by_the_spread_and_no_others(kept: EstimateJson) -> None:
    offers = [line for line in kept.lines if line.offer is not None and not line.option]
    loose = [line for line in offers
             if line.offer and (line.offer.to_date is None or line.offer.to_date < LATER)]
    moved = [each for each in uncertain_cost(kept, LATER, Decimal("0.05")).ranges
             if each.source == PRICES]
    assert sum(each.high_minor for each in moved) == pytest.approx(
        0.05 * sum(line.cost + line.waste_cost for line in loose))
    assert all(each.low_minor == -each.high_minor for each in moved)
    assert uncertain_cost(kept, LATER, Decimal(0)).ranges == ()
    promised = kept.model_copy(update={"lines": tuple(
        line.model_copy(update={"offer": line.offer.model_copy(update={"to_date": LATER})})
        for line in offers if line.offer)})
    assert uncertain_cost(promised, LATER, Decimal("0.05")).ranges == ()


def test_what_open_questions_may_add_beside_the_open_risks(basis: Basis) -> None:
    kept = estimate_of("mostly-unknown", basis)
    fact_of = {each.asks: each.fact for each in kept.questions}
    open_ = {fact_of[each.name]: (each.low_minor, each.high_minor)
             for each in uncertain_cost(kept, LATER, Decimal(0)).ranges}
    asked = {each.fact: (each.low, each.high) for each in kept.questions}
    # No risk stands for how the storage is hung: between the least and the most of its lines.
    assert open_["storage.mount"] == asked["storage.mount"]
    # Whatever the covering, there are fixings: least to most, less the risk that has its own place.
    low, high = asked["plane[0].covering"]
    (risk,) = (each for each in kept.risks if "plane[0].covering" in each.open_facts)
    assert low
    assert high
    assert open_["plane[0].covering"] == (low, high - risk.cost)
    # An isolator may be there, and then nothing comes: its risk is all.
    assert "supply.isolator_present" not in open_


def test_survey_and_kept_job_give_the_same_figures(desk: Path) -> None:
    surveyed = told("survey.toml", "--on", DAY)
    quote("--no-papers")
    kept = told("D-101", "--on", "2027-06-01")  # the day of prices is the kept one
    assert (surveyed.pop("revision"), kept.pop("revision")) == (None, 1)
    assert surveyed == kept
    other = told("D-101", "--seed", "2", "--chance", "0.05", "--order", "2027-01-04")
    assert (other["seed"], other["order_on"]) == (2, "2027-01-04")
    assert other["price_for_chance"]["net"] % Money.of("5.00").minor == 0
    shown = run("risk", "D-101", "--runs", "1000").stdout
    assert "One job in five like this costs more than" in shown
    assert "OFFICE ONLY" in shown


def test_a_job_whose_questions_cannot_be_priced_says_so(desk: Path) -> None:
    survey = str(ROOT / "demo_jobs" / "mostly-unknown" / "survey.toml")
    found = told(survey, "--on", DAY)
    assert any("cannot be priced" in each for each in found["left_out"])
    assert any("refused place" in each for each in found["left_out"])
