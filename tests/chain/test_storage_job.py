"""The add-on storage job from its survey to its bill: netting, tasks, risks, money."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from pathlib import Path

import pytest

from catalogue.money import Money
from estimator.bill import BillLine
from estimator.cost import cost_sheet, heads_from_bill
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.labour.hours import hours_of, with_trips
from estimator.settings import Settings
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "storage-outside" / "survey.toml"


@pytest.fixture(scope="module")
def survey() -> Survey:
    return read_survey(SURVEY)


@pytest.fixture(scope="module")
def estimate(survey: Survey, basis: Basis) -> Estimate:
    return make_estimate(survey, basis)


def lines_for(estimate: Estimate, rule: str) -> list[BillLine]:
    return [each for each in estimate.bill.lines if rule in {r.rule for r in each.reasons}]


def line_for(estimate: Estimate, rule: str) -> BillLine:
    (line,) = lines_for(estimate, rule)
    return line


# Worked example, invented figures: three modules hung in a garage of dense brick, converter
# outside through the wall, meter 15 m away, board full. What boxes supply is stated there.
@pytest.mark.parametrize(
    ("rule", "need", "boxed", "buy"),
    [
        ("storage-bracket", "3", "3", "0"),
        ("storage-power-link", "2", "2", "0"),
        ("storage-data-link", "2", "2", "0"),
        ("storage-converter-data-lead", "1", "0", "1"),
        ("storage-power-lead-outside", "1", "0", "1"),
        ("metering-meter", "1", "0", "1"),
        ("metering-data-cable", "18.5", "0", "18.5"),  # 15 x 1.1 + 2
        ("storage-fixing", "12", "0", "12"),  # boxed bolts are for concrete only
        ("converter-fixing", "4", "0", "4"),
    ],
)
def test_the_boxes_supply_what_their_specification_serves(
    estimate: Estimate, rule: str, need: str, boxed: str, buy: str
) -> None:
    line = line_for(estimate, rule)
    assert (line.need, line.boxed, line.buy) == (D(need), D(boxed), D(buy))


def test_the_leads_bought_are_long_enough_and_sealed(estimate: Estimate) -> None:
    data = line_for(estimate, "storage-converter-data-lead").item
    assert data.spec.length_m == 5  # 4 m needed, the boxed one has 3 m
    power = line_for(estimate, "storage-power-lead-outside").item
    assert power.spec.sealed_end
    assert power.unit == "pair"


def test_one_link_pair_comes_back_with_what_else_the_boxes_hold_too_much(
    estimate: Estimate,
) -> None:
    back = {s.item.roles[0]: (s.quantity, s.boxed) for s in estimate.bill.surplus
            if s.item.family == "lead" and "panel connector pair" not in s.item.roles}
    # Three pairs boxed, two used; three data links boxed, two used; the short data lead unused.
    assert back == {
        "storage power link": (1, 3), "storage data link": (1, 3), "converter data lead": (1, 1)}


def test_the_task_list_gives_the_worked_hours_before_a_second_journey(
    estimate: Estimate, basis: Basis
) -> None:
    # Worked example: mean 22.91 h, likely 21.25 h, P80 25.34 h with one journey.
    labour = basis.settings.labour
    once = hours_of(with_trips(estimate.tasks, 1), labour)
    assert round(float(once.mean), 2) == 22.91
    assert float(once.likely) == 21.25
    assert round(once.p80, 2) == 25.34
    # 10.7 hours on site are one and a half days, so the job itself has two journeys.
    assert estimate.hours.trips == 2
    extra_min = 2 * 40 * 2 * (D("0.875") + 4 + D("1.375")) / 6 + (20 + 4 * 30 + 50) / D(6)
    assert round(float(estimate.hours.mean - once.mean) * 60, 6) == round(float(extra_min), 6)


def test_the_open_risks_are_the_four_of_the_worked_job(estimate: Estimate) -> None:
    # .25 x 140 + .15 x 180 + .20 x 70 + .10 x 110 = 87, worked example.
    assert sorted((str(r.chance), r.cost.minor) for r in estimate.risks) == [
        ("0.10", 11000), ("0.15", 18000), ("0.20", 7000), ("0.25", 14000)]
    assert estimate.cost.contingency == Money(8700)


def test_answering_a_question_takes_its_risk_out_of_the_price(
    survey: Survey, basis: Basis, estimate: Estimate
) -> None:
    isolator = Fact[bool](value=True, evidence=Evidence.SEEN)
    supply = survey.supply.model_copy(update={"isolator_present": isolator})
    answered = make_estimate(survey.model_copy(update={"supply": supply}), basis)
    assert answered.cost.contingency == estimate.cost.contingency - Money(3500)
    assert "supply.isolator_present" not in {q.fact for q in answered.questions}


def with_modules(survey: Survey, count: int) -> Survey:
    fact = Fact[int](value=count, evidence=Evidence.MEASURED)
    return survey.model_copy(
        update={"storage": survey.storage.model_copy(update={"modules": fact})})


@pytest.mark.parametrize("count", range(1, 13))
def test_n_modules_give_n_brackets_n_fixing_sets_and_n_minus_one_links(
    survey: Survey, basis: Basis, count: int
) -> None:
    found = make_estimate(with_modules(survey, count), basis)
    assert line_for(found, "storage-bracket").need == count
    assert line_for(found, "storage-fixing").need == 4 * count
    links = sum(line.need for rule in ("storage-power-link", "storage-stack-link")
                for line in lines_for(found, rule))
    assert links == count - 1
    data = lines_for(found, "storage-data-link")
    assert sum(line.need for line in data) == count - 1


def test_every_line_of_the_bill_adds_up_and_nothing_is_negative(estimate: Estimate) -> None:
    for line in estimate.bill.lines:
        assert line.need == line.boxed + line.buy
        assert line.boxed >= 0
        assert line.buy >= 0
    carriage = Money.of("55.50")  # 7.50 of Counter North, 48.00 for Storage Depot's pallet
    heads = heads_from_bill(estimate.bill, "GBP", carriage)
    again = cost_sheet(heads, estimate.hours, estimate.risks, Settings())
    assert again.total == estimate.cost.total
    assert sum(h.amount.minor for h in estimate.cost.heads) == estimate.cost.direct.minor


def test_the_same_inputs_give_an_equal_estimate(survey: Survey, basis: Basis) -> None:
    first, second = make_estimate(survey, basis), make_estimate(survey, basis)
    assert replace(first, sheet=second.sheet, design=second.design) == second
