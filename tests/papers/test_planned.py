"""What was reckoned, line by line: it adds up, and says what the estimate says."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.money import Money
from estimator.cost import cost_sheet, heads_from_bill
from estimator.labour.hours import hours_of
from estimator.outcome.plan import PlanLine
from estimator.papers.contract import EstimateJson
from estimator.papers.planned import plan_lines, quoted_job
from estimator.settings import Labour, Settings
from tests.papers import sample

RATE = st.integers(0, 20_000).map(lambda minor: D(minor) / 100)
MINUTE = st.integers(1, 600)
MINUTES = st.tuples(MINUTE, MINUTE, MINUTE).map(lambda three: tuple(sorted(three)))
GROUP = st.sampled_from(["roof", "electrical", "storage", "site", "travel", "office"])


def kept(**changed: object) -> EstimateJson:
    return EstimateJson.of(replace(sample.firm_estimate(), **changed), 1)  # type: ignore[arg-type]


def of_kind(lines: tuple[PlanLine, ...], kind: str) -> int:
    return sum(line.amount_minor for line in lines if line.kind == kind)


@settings(max_examples=40)
@given(rates=st.tuples(RATE, RATE, RATE), carriage=st.integers(0, 50_000),
       prices=st.lists(st.integers(1, 200_000), min_size=len(sample.ROWS),
                       max_size=len(sample.ROWS)),
       wastes=st.lists(st.integers(0, 30), min_size=len(sample.ROWS), max_size=len(sample.ROWS)),
       work=st.lists(st.tuples(GROUP, MINUTES, st.integers(1, 70)), max_size=12))
def test_the_lines_add_up_to_the_full_cost_and_each_kind_to_its_own(
    rates: tuple[D, D, D], carriage: int, prices: list[int], wastes: list[int],
    work: list[tuple[str, tuple[int, int, int], int]],
) -> None:
    rows = [replace(row, price=str(D(price) / 100), waste=str(D(waste) / 100)) if row.price != "0"
            else row for row, price, waste in zip(sample.ROWS, prices, wastes, strict=True)]
    tasks = tuple(sample.task(f"task-{at}", "work", group, str(D(units) / 10), points)
                  for at, (group, points, units) in enumerate(work))
    firm = Settings(labour=Labour(cost_per_hour=rates[0], overhead_per_hour=rates[1]))
    firm = firm.model_copy(update={"pricing": firm.pricing.model_copy(update={
        "return_visit_cost": rates[2]})})
    made = sample.firm_estimate(rows)
    hours = hours_of(tasks, firm.labour)
    cost = cost_sheet(heads_from_bill(made.bill, "GBP", Money(carriage)), hours, sample.RISKS, firm)
    estimate = EstimateJson.of(replace(made, tasks=tasks, hours=hours, cost=cost), 1)

    lines = plan_lines(estimate)

    assert sum(line.amount_minor for line in lines) == cost.total.minor
    assert of_kind(lines, "goods") + of_kind(lines, "bought in") == (
        cost.materials + cost.waste + cost.bought_in).minor
    assert of_kind(lines, "labour") == cost.labour.minor
    assert of_kind(lines, "overhead") == cost.overhead.minor
    assert of_kind(lines, "provision") == (cost.contingency + cost.warranty).minor
    labour = [line for line in lines if line.kind == "labour"]
    by_group: dict[str, int] = defaultdict(int)
    for line in labour:
        by_group[f"labour, {line.task_group}"] += line.amount_minor
    assert {head: amount for head, amount in by_group.items() if amount} == {
        each.head: each.amount.minor for each in cost.heads
        if each.head.startswith("labour, ") and each.amount.minor}
    # No task is further than two pennies from its exact share: one of its group's, one of its own.
    for line, task in zip(sorted(labour, key=lambda each: each.code),
                          sorted(tasks, key=lambda each: each.task), strict=True):
        assert abs(line.amount_minor - cost.labour.minor * task.mean / (hours.mean * 60)) < 2


def test_a_line_of_goods_holds_its_waste_in_quantity_and_money() -> None:
    """By hand: £53.40 a dozen is £4.45 each; a tenth of one is 44.5 pence, rounded to 45."""
    found = next(line for line in plan_lines(kept()) if line.code == "DEMO-SEALANT")
    assert found == PlanLine(
        "goods", "consumables", "DEMO-SEALANT", "", sample.ROWS[0].supplier, D("1.100"), 490)


def test_hire_and_fees_are_bought_in_and_options_no_part_of_the_job() -> None:
    lines = {line.code: line for line in plan_lines(kept())}
    assert {code for code, line in lines.items() if line.kind == "bought in"} == {
        "DEMO-AID", "DEMO-NOTICE"}
    assert (lines["DEMO-AID"].head, lines["DEMO-AID"].amount_minor) == ("plant hire", 2500)
    assert "DEMO-COVER" not in lines


def test_labour_is_split_by_minutes_within_its_group() -> None:
    """By hand: 100 pence by 10 and 20 minutes are 33 and 67; a third of an hour is 0.333."""
    made = kept()
    tasks = tuple(made.tasks[0].model_copy(update={"task": name, "group": "roof", "mean": D(mean)})
                  for name, mean in (("short", 10), ("long", 20)))
    heads = (*(each for each in made.cost.heads if not each.head.startswith("labour")),
             made.cost.heads[0].model_copy(update={"head": "labour, roof", "amount": 100}))
    total = made.cost.total - made.cost.labour + 100
    made = made.model_copy(update={"tasks": tasks, "cost": made.cost.model_copy(
        update={"heads": heads, "labour": 100, "total": total})})
    assert [line for line in plan_lines(made) if line.kind == "labour"] == [
        PlanLine("labour", "labour", "short", "roof", "", D("0.167"), 33),
        PlanLine("labour", "labour", "long", "roof", "", D("0.333"), 67)]


def test_provisions_stand_by_themselves() -> None:
    """By hand: 0.25 x £140 + 0.15 x £180 = £62."""
    lines = {line.head: line for line in plan_lines(kept()) if line.kind == "provision"}
    assert set(lines) == {"open risks", "warranty"}
    assert lines["open risks"].amount_minor == 6200


def test_lines_that_do_not_add_up_are_refused() -> None:
    made = kept()
    wrong = made.model_copy(update={"cost": made.cost.model_copy(
        update={"total": made.cost.total + 1})})
    with pytest.raises(ValueError, match="add up to"):
        plan_lines(wrong)


def test_hours_of_the_tasks_and_of_the_overhead_are_those_of_the_job() -> None:
    made = kept()
    lines = plan_lines(made)
    tasks = sum(Fraction(line.quantity) for line in lines if line.kind == "labour")
    assert abs(tasks - Fraction(made.hours.mean)) < Fraction(len(made.tasks), 1000)
    overhead, = (line for line in lines if line.kind == "overhead")
    assert overhead.quantity == made.hours.mean.quantize(D("0.001"))


def test_a_revision_says_what_it_is_about() -> None:
    about = quoted_job(kept())
    assert (about.kind_of_job, about.covering, about.wall) == ("storage", "", "dense brick")
    assert (about.estimator, about.surveyor, about.area) == ("E. Estimator", "S. Surveyor", "")
    assert (about.panels, about.modules, about.storeys) == (0, 3, None)
    assert (about.cost_minor, str(about.valid_until)) == (kept().cost.total, "2026-10-14")


@pytest.mark.parametrize(("address", "area"), [
    ("1 Sample Lane, Sampleton SW1A 1AA", "SW1A"), ("Sampleton m1 1ae", "M1"),
    ("2 High St, DN551PT", "DN55"), ("11 Strand Terrace, Wrackhaven", ""),
    ("Unit B12, Sampleton", "")])
def test_the_area_is_the_first_part_of_a_postcode(address: str, area: str) -> None:
    """The forms A9A 9AA to AA99 9AA of BS 7666, from memory."""
    job = sample.JOB.model_copy(update={"address": address})
    assert quoted_job(kept(job=job)).area == area


@pytest.mark.parametrize(("parts", "kind"), [
    (("panels", "converter"), "panels"), (("storage",), "storage"),
    (("panels", "storage", "converter"), "panels and storage"), (("converter",), "other")])
def test_the_kind_of_job_follows_from_its_parts(parts: tuple[str, ...], kind: str) -> None:
    job = sample.JOB.model_copy(update={"parts": parts})
    assert quoted_job(kept(job=job)).kind_of_job == kind


def test_the_covering_is_that_of_the_largest_plane() -> None:
    made = kept(job=sample.JOB.model_copy(update={"parts": ("panels",)}))
    fact = made.facts[0]
    sides = {0: ("felt", "6.5", "5.0"), 1: ("natural slate", "9.0", "4.5"),
             2: ("clay pantile", "20", "?")}
    facts = tuple(
        fact.model_copy(update={"path": f"plane[{at}].{name}", "value": None if value == "?" else
                                value})
        for at, values in sides.items()
        for name, value in zip(("covering", "eaves_length_m", "slope_length_m"), values,
                               strict=True))
    about = quoted_job(made.model_copy(update={"facts": facts}))
    assert (about.covering, about.wall) == ("natural slate", "")
