"""The converter's circuit and the backup feed from the survey to the bill, hours and questions."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from catalogue.price_book import PriceBook
from estimator.bill import BillLine
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.survey.fact import Evidence, Fact
from estimator.survey.model import Leg, Survey
from estimator.survey.toml import read_survey
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import FirmFiles

JOBS = Path(__file__).parents[2] / "demo_jobs"


@pytest.fixture(scope="module")
def survey() -> Survey:
    return read_survey(JOBS / "storage-outside" / "survey.toml")


def seen(value: Any) -> Fact[Any]:
    return Fact[Any](value=value, evidence=Evidence.SEEN) if value is not None else Fact[Any]()


def leg(
    method: str | None, length_m: Any, run: str = "converter circuit", **facts: Any
) -> Leg:
    named = {"run": run, "method": method, "length_m": D(length_m), "outdoors": False,
             "rated_crossings": 0, "insulation_contact": False, **facts}
    return Leg(name=f"{run} {method} {length_m}",
               **{name: seen(value) for name, value in named.items()})


def with_legs(survey: Survey, *legs: Leg, **groups: Mapping[str, Any]) -> Survey:
    changed: dict[str, Any] = {"legs": legs}
    for name, facts in groups.items():
        changed[name] = getattr(survey, name).model_copy(
            update={field: seen(value) for field, value in facts.items()})
    return survey.model_copy(update=changed)


def line(estimate: Estimate, rule: str) -> BillLine | None:
    found = [each for each in estimate.bill.lines if rule in {r.rule for r in each.reasons}]
    assert len(found) < 2
    return found[0] if found else None


def need(estimate: Estimate, rule: str) -> tuple[str, D]:
    """Return what is needed of a rule's item, by that rule alone."""
    found = line(estimate, rule)
    assert found is not None, f"{rule} has no line"
    return found.item.code, sum((r.quantity for r in found.reasons if r.rule == rule), D(0))


def units(estimate: Estimate, task: str) -> D:
    return sum((reason.quantity for each in estimate.tasks for reason in each.reasons
                if reason.rule == task), D(0))


def test_the_bill_has_the_cheapest_cable_of_the_size_that_the_checks_chose(
    survey: Survey, basis: Basis
) -> None:
    # 16 A over 12 m: 4 mm² rises 11 x 16 x 12 / 1000 = 2.11 V of 2.3 (BS 7671, Table 4D5).
    estimate = make_estimate(survey, basis)
    assert need(estimate, "circuit-cable-flat") == ("03040-TE", D("14.1"))  # 12 x 1.05 + 1.5
    assert line(estimate, "circuit-joint-box") is None


def test_a_long_run_is_billed_in_armoured_cable_with_glands_and_cleats(
    survey: Survey, basis: Basis
) -> None:
    # 80 m at 16 A: armoured 25 mm² rises 2.24 V, flat 16 mm² 3.58 V. 80 x 1.05 + 1.5 = 85.5 m;
    # cleats 80 / 0.4; no clip and no trunking.
    estimate = make_estimate(with_legs(survey, leg("clipped", 50), leg("trunking", 30)), basis)
    assert need(estimate, "circuit-cable-armoured") == ("03250-A2", D("85.5"))
    assert need(estimate, "circuit-armoured-gland")[1] == 2
    assert need(estimate, "leg-cleat")[1] == 200
    for rule in ("circuit-cable-flat", "leg-clip", "leg-trunking", "leg-fire-clip"):
        assert line(estimate, rule) is None
    assert units(estimate, "task-cable-armoured") == 80
    assert units(estimate, "task-armoured-end") == 2
    assert units(estimate, "task-cable-clipped") == units(estimate, "task-cable-trunking") == 0
    assert "over-to-armoured" in {each.code for each in estimate.findings}


def test_where_flat_and_armoured_cable_meet_there_is_a_box_with_its_glands_and_its_labour(
    survey: Survey, basis: Basis
) -> None:
    estimate = make_estimate(with_legs(
        survey, leg("clipped", 6), leg("armoured outside", 5, outdoors=True),
        leg("clipped", 2)), basis)
    assert need(estimate, "circuit-joint-box") == ("07811-JX", D(2))
    assert need(estimate, "circuit-joint-gland")[1] == 2
    assert need(estimate, "circuit-armoured-gland")[1] == 2
    assert need(estimate, "circuit-joint-fixing")[1] == 4
    assert units(estimate, "task-joint-box") == 2
    # 8 x 1.05 and four ends of 0.75; 5 x 1.05 and two ends.
    assert need(estimate, "circuit-cable-flat")[1] == D("11.4")
    assert need(estimate, "circuit-cable-armoured")[1] == D("6.75")


def test_insulation_that_nobody_saw_is_priced_at_worst_and_its_question_stays(
    survey: Survey, basis: Basis
) -> None:
    # 20 A in insulation needs 40 A clipped: 6 mm² (47 A); clear of it 2.5 mm² (21 A, method 100).
    unseen, clear = (make_estimate(with_legs(
        survey, leg("under floor", 5, insulation_contact=value)), basis) for value in (None, False))
    assert need(unseen, "circuit-cable-flat")[0] == "03060-TE"
    assert need(clear, "circuit-cable-flat")[0] == "03025-TE"
    (question,) = [q for q in unseen.questions if q.fact == "leg[0].insulation_contact"]
    assert question.assumed == "true"
    found = line(unseen, "circuit-cable-flat")
    assert found is not None
    assert [r.assumed for r in found.reasons] == [True]
    assert unseen.kind == "firm"


@pytest.fixture(scope="module")
def three_phase() -> Survey:
    return read_survey(JOBS / "three-phase-stack" / "survey.toml")


def test_a_backup_feed_that_nobody_listed_is_priced_and_asked_for(
    three_phase: Survey, basis: Basis
) -> None:
    unlisted = three_phase.model_copy(update={"legs": three_phase.legs[:2]})
    estimate = make_estimate(unlisted, basis)
    # 15 x 1.10 + 1.5; 16 A in insulation needs 32 A clipped: 4 mm² of five cores carries just that.
    assert need(estimate, "backup-feed-flat") == ("03040-5C", D(18))
    assert units(estimate, "task-backup-unlisted") == 15
    (question,) = [q for q in estimate.questions if q.fact == "backup.feed_m"]
    assert (question.assumed, question.at_worst) == ("15", "caution")
    assert any("backup board, where no leg of it is listed: 15 m" in each
               for each in estimate.price_holds_if)
    listed = make_estimate(three_phase, basis)
    assert "backup.feed_m" not in {q.fact for q in listed.questions}
    assert need(listed, "backup-feed-armoured") == ("03040-A5", D("14.1"))  # 12 x 1.05 + 1.5


def test_a_leg_that_nobody_knows_how_to_run_bars_a_firm_price(
    survey: Survey, basis: Basis
) -> None:
    estimate = make_estimate(with_legs(survey, leg(None, 5)), basis)
    (question,) = [q for q in estimate.questions if q.fact == "leg[0].method"]
    assert question.at_worst == "stop"
    assert "circuit-cable" in question.rules
    assert estimate.kind == "budget"
    assert line(estimate, "circuit-cable-flat") is None


def test_a_stop_on_the_circuit_bars_a_firm_price(
    survey: Survey, price_book: PriceBook, basis: Basis
) -> None:
    # Only 2.5 mm² on offer, 40 m: 18 x 16 x 40 / 1000 = 11.52 V over 11.5 V (BS 7671, Table 4D5).
    only = [item for item in price_book.items.values() if item.family != "cable" or not (
        {"circuit cable", "armoured cable"} & set(item.roles)) or item.code == "03025-TE"]
    prices = PriceBook.of(price_book.on, only, [o for each in price_book.offers.values()
                                                for o in each])
    estimate = make_estimate(
        with_legs(survey, leg("clipped", 40)),
        Basis(basis.on, prices, basis.rules, basis.norms, basis.practice, basis.settings))
    (stop,) = [each for each in estimate.findings if each.level == "stop"]
    assert (stop.code, stop.value, stop.limit) == ("volt-drop", "11.52", "11.5")
    assert estimate.kind == "budget"
    assert need(estimate, "circuit-cable-flat")[0] == "03025-TE"  # a budget all the same


def test_the_edition_of_the_wiring_rules_hangs_on_the_day_of_the_design(
    survey: Survey, price_book: PriceBook
) -> None:
    # Amendment 3 of 2024 is withdrawn on 15 October 2026; the work is due on 11 January 2027.
    levels = {}
    for day in (14, 15):
        on = date(2026, 10, day)
        book = PriceBook.of(on, price_book.items.values(),
                            [o for each in price_book.offers.values() for o in each])
        estimate = make_estimate(survey, basis_of(FirmFiles(None), book, on))
        (edition,) = [each for each in estimate.findings if each.code == "wiring-edition"]
        levels[day] = edition.level
    assert levels == {14: "caution", 15: "fine"}


def test_flat_cable_on_either_side_of_armoured_is_two_lengths_each_as_long_as_its_own_legs(
    survey: Survey, basis: Basis
) -> None:
    # By hand: 10 x 1.05 + 1.5 m of ends = 12 m; 5 + 2 m, clipped and in a loft: 5.25 + 2.2 + 1.5 =
    # 8.95 m; armoured 20 x 1.05 + 1.5 = 22.5 m. Nothing is shared out evenly.
    estimate = make_estimate(with_legs(
        survey, leg("clipped", 10), leg("buried soft", 20), leg("clipped", 5), leg("loft", 2)),
        basis)
    flat, steel = (line(estimate, f"circuit-cable-{kind}") for kind in ("flat", "armoured"))
    assert flat is not None
    assert steel is not None
    assert [run.length for run in flat.runs if run.rule == "circuit-cable-flat"] == [
        D("12"), D("8.95")]
    assert [run.length for run in steel.runs] == [D("22.5")]
    assert flat.laid is not None
    # with 5 % waste: 12.6 and 9.398 m, raised to the millimetre, from one drum of the shelf
    assert [each.runs for each in flat.laid.lengths] == [(D("12.600"), D("9.398"))]


def test_a_run_longer_than_every_drum_stops_a_firm_price_and_is_joined_from_none(
    survey: Survey, basis: Basis
) -> None:
    # A wired lead to the router, sold in drums of 100 m: 99 m x 1.05 + slack is over it.
    changed = survey.model_copy(update={"converter": survey.converter.model_copy(
        update={"wired_internet_m": seen(D(99))})})
    estimate = make_estimate(changed, basis)
    found = line(estimate, "comms-network-cable")
    assert found is not None
    assert found.laid is not None
    assert (found.laid.longest, found.laid.too_long, found.laid.lengths) == (100, (0,), ())
    assert found.packs == 2
    (told,) = [each for each in estimate.findings if each.code == "run-too-long"]
    assert (told.level, told.limit, told.unit) == ("stop", "100", "m")
    assert "comms network cable" in told.says
    assert estimate.kind == "budget"


def test_runs_longer_than_a_bar_are_told_with_their_joints_and_shorter_ones_are_not(
    survey: Survey, basis: Basis
) -> None:
    # Trunking of 3 m: 8 m x 1.05 = 8.4 m are three bars, two joints; 2 m fit in one.
    long = make_estimate(with_legs(survey, leg("trunking", 8)), basis)
    (told,) = [each for each in long.findings
               if each.code == "runs-joined" and each.subject.startswith("Trunking")]
    assert told.level == "fine"
    assert "1 of 1 runs, 2 joints in all" in told.says
    short = make_estimate(with_legs(survey, leg("trunking", 2)), basis)
    assert not [each for each in short.findings
                if each.code == "runs-joined" and each.subject.startswith("Trunking")]
