"""Wall fixings from survey to bill: which are bought, boxed or tested, and what a doubt costs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from pathlib import Path
from typing import Any, get_args

import pytest

from catalogue.price_book import PriceBook
from catalogue.specs import FixingSpec, WallKind
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.rules.results import Finding, Question
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey
from tests.catalogue.starter_reading import ITEMS, OFFERS

DEMO = Path(__file__).parents[2] / "demo_jobs"
JOBS = [("storage-outside", "storage"), ("storage-outside", "converter"),
        ("panels-and-storage", "storage"), ("panels-and-storage", "converter"),
        ("in-roof", "storage"), ("flat-roof", "converter")]


def told(survey: Survey, group: str, **facts: Any) -> Survey:
    """Return a survey with some facts of a group told; None = nobody knows."""
    given = {name: Fact() if value is None else Fact(value=value, evidence=Evidence.SEEN)
             for name, value in facts.items()}
    return survey.model_copy(update={group: getattr(survey, group).model_copy(update=given)})


def demo(name: str) -> Survey:
    return read_survey(DEMO / name / "survey.toml")


def lines(found: Estimate, rule: str) -> dict[str, tuple[D, D]]:
    """Return item code -> (needed, boxed) of the lines that a rule asks for."""
    return {line.item.code: (line.need, line.boxed) for line in found.bill.lines
            if rule in {reason.rule for reason in line.reasons}}


def finding(found: Estimate, code: str) -> Finding:
    (only,) = (each for each in found.findings if each.code == code)
    return only


def asked(found: Estimate, fact: str) -> Question:
    (only,) = (each for each in found.questions if each.fact == fact)
    return only


def without(basis: Basis, wall: str) -> Basis:
    """Return the basis with no wall fixing on offer for a kind of wall."""
    items = [item for item in ITEMS if not (
        isinstance(item.spec, FixingSpec) and "wall fixing" in item.roles
        and wall in item.spec.walls)]
    return replace(basis, prices=PriceBook.of(basis.on, items, OFFERS))


def test_the_fixings_of_the_worked_job_are_bolts_made_for_its_brick(basis: Basis) -> None:
    # Worked example, invented figures: the boxed bolts are for concrete and come back.
    found = make_estimate(demo("storage-outside"), basis)
    assert lines(found, "storage-fixing") == {"09020": (D(12), D(0))}
    assert lines(found, "converter-fixing") == {"09022": (D(4), D(0))}
    assert not lines(found, "fixing-resin")
    back = {each.item.code: each.quantity for each in found.bill.surplus}
    assert (back["09010"], back["09011"]) == (12, 4)
    assert finding(found, "storage-anchor").level == "fine"
    assert finding(found, "converter-anchor").level == "fine"


def test_boxed_bolts_serve_where_the_wall_is_concrete(basis: Basis) -> None:
    survey = told(told(demo("storage-outside"), "storage", wall="concrete"),
                  "converter", wall="concrete")
    found = make_estimate(survey, basis)
    assert lines(found, "storage-fixing") == {"09010": (D(12), D(12))}
    assert lines(found, "converter-fixing") == {"09011": (D(4), D(4))}


@pytest.mark.parametrize(
    ("wall", "code", "resin"),
    # By hand: 12 holes at the sheet's millilitres; a cartridge gives 300 - 15 = 285.
    [("perforated brick", "09031", 1), ("light block", "09032", 1), ("stone", "09033", 2)],
)
def test_a_weak_wall_brings_resin_a_wait_and_tests_by_pulling(
    basis: Basis, wall: str, code: str, resin: int
) -> None:
    found = make_estimate(told(demo("storage-outside"), "storage", wall=wall), basis)
    assert lines(found, "storage-fixing") == {code: (D(12), D(0))}
    assert [need for need, _ in lines(found, "fixing-resin").values()] == [D(resin)]
    assert lines(found, "fixing-pull-tester")
    done = {task.task: task.units for task in found.tasks}
    # BS 8539, annex B.3: 2.5 % of 12, and at least 3.
    assert done["pull-test"] == 3
    assert (done["bracket-resin"], done["cure-wait"]) == (3, 1)
    assert "bracket-solid" not in done
    test = finding(found, "storage-wall-test")
    assert (test.level, test.signed) == ("caution", True)
    assert "3 of 12 fixings are pulled" in test.says


def test_a_solid_wall_is_not_tested(basis: Basis) -> None:
    found = make_estimate(demo("storage-outside"), basis)
    assert not lines(found, "fixing-pull-tester")
    assert not [each for each in found.findings if each.code == "storage-wall-test"]


@pytest.mark.parametrize(("job", "group"), JOBS)
def test_no_kind_of_wall_costs_more_than_one_that_nobody_knows(
    basis: Basis, job: str, group: str
) -> None:
    unknown = make_estimate(told(demo(job), group, wall=None), basis)
    for wall in get_args(WallKind):
        known = make_estimate(told(demo(job), group, wall=wall), basis)
        assert known.cost.total <= unknown.cost.total, wall


def test_a_wall_nobody_knows_is_asked_for_and_priced_at_its_dearest(basis: Basis) -> None:
    found = make_estimate(told(demo("storage-outside"), "storage", wall=None), basis)
    question = asked(found, "storage.wall")
    assert question.assumed == "stone"
    assert question.at_worst == "caution"
    assert not [each for each in found.findings if each.code == "storage-anchor"]
    assert lines(found, "storage-fixing") == {"09033": (D(12), D(0))}
    (reason,) = (each for line in found.bill.lines for each in line.reasons
                 if each.rule == "storage-fixing")
    assert reason.assumed
    assert found.kind == "firm"
    # No other wall costs more, so the price does not hang on its being stone.
    assert not any("stone" in each for each in found.price_holds_if)


def test_no_firm_price_where_the_wall_may_be_one_that_nothing_holds_in(basis: Basis) -> None:
    survey = told(demo("storage-outside"), "storage", wall=None)
    found = make_estimate(survey, without(basis, "stud"))
    question = asked(found, "storage.wall")
    assert question.at_worst == "stop"
    assert "stud" in question.worst
    assert found.kind == "budget"


def test_a_wall_that_nothing_holds_in_is_a_stop_and_buys_no_fixing(basis: Basis) -> None:
    survey = told(demo("storage-outside"), "storage", wall="stud")
    found = make_estimate(survey, without(basis, "stud"))
    stop = finding(found, "storage-anchor")
    assert (stop.level, stop.decides, stop.signed) == ("stop", "structural engineer", True)
    assert "stand it on the floor" in stop.says
    assert not lines(found, "storage-fixing")
    assert found.kind == "budget"


def test_plaster_that_nobody_measured_makes_the_fixings_longer_and_is_asked_for(
    basis: Basis,
) -> None:
    # By hand: 3 + 19 + 65 = 87 mm, so the sleeve anchor of 120 mm and not that of 80 mm.
    found = make_estimate(told(demo("storage-outside"), "storage", plaster_mm=None), basis)
    assert lines(found, "storage-fixing") == {"09023": (D(12), D(0))}
    question = asked(found, "storage.plaster_mm")
    assert (question.assumed, question.at_worst) == ("19", "caution")
    (reason,) = (each for line in found.bill.lines for each in line.reasons
                 if each.rule == "storage-fixing")
    assert reason.assumed


def test_a_stack_on_the_floor_takes_ordinary_screws_and_no_rated_bolt(basis: Basis) -> None:
    # Common practice, no source.
    found = make_estimate(told(demo("storage-outside"), "storage", mount="floor"), basis)
    assert lines(found, "storage-anti-tip-fixing") == {"09050": (D(2), D(0))}
    assert not lines(found, "storage-fixing")
    assert finding(found, "storage-anchor").level == "fine"


def test_a_stack_on_joists_is_put_before_an_engineer(basis: Basis) -> None:
    found = make_estimate(demo("three-phase-stack"), basis)
    floor = finding(found, "storage-floor-load")
    assert (floor.level, floor.decides, floor.signed) == (
        "caution", "structural engineer", True)
    # By hand: 6 x 33.5 + 11 = 212 kg on 0.70 x 0.45 m: 673 kg/m2; 1500 / 9.81 = 152.9 kg/m2.
    assert (floor.value, floor.limit, floor.unit) == ("673", "152.9", "kg/m²")


def test_a_wall_that_no_trial_hole_proved_is_a_risk_and_told_once(basis: Basis) -> None:
    found = make_estimate(demo("storage-outside"), basis)
    assert [risk.id for risk in found.risks if "wall" in risk.id] == ["risk-hollow-wall"]
    assert not [each for each in found.findings if "trial" in each.says]
