"""A job against its standard: the shares of all lines add up, and stand where they belong."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.outcome.job_progress import job_progress
from estimator.outcome.job_variances import CostLine, LineVariance, by_head, variances
from estimator.outcome.plan import PlanLine

HEADS = st.sampled_from(["storage", "cable", "scaffold"])
ITEMS = st.sampled_from(["", "A", "B", "C"])
GROUPS = st.sampled_from(["roof", "storage", "rework", "waiting"])
SELLERS = st.sampled_from(["", "North", "South"])
MINOR = st.integers(-5_000, 500_000)


def goods(code: str, quantity: str, minor: int, supplier: str = "", head: str = "cable"
          ) -> PlanLine:
    return PlanLine("goods", head, code, "", supplier, D(quantity), minor)


def spent(code: str, quantity: str, minor: int, supplier: str = "", head: str = "cable"
          ) -> CostLine:
    return CostLine("goods", head, code, "", supplier, F(D(quantity)), minor)


def hours(group: str, number: str, minor: int) -> PlanLine:
    return PlanLine("labour", "labour", f"task of {group}", group, "", D(number), minor)


def worked(group: str, number: str, minor: int, task: str = "") -> CostLine:
    return CostLine("labour", "labour", task, group, "", F(D(number)), minor)


def shares(line: LineVariance) -> tuple[int, int, int, int]:
    return line.usage_minor, line.specification_minor, line.supplier_minor, line.price_minor


plans = st.lists(st.one_of(
    st.builds(PlanLine, st.just("goods"), HEADS, ITEMS, st.just(""), SELLERS,
              st.decimals(0, 99, places=3), st.integers(0, 500_000)),
    st.builds(PlanLine, st.just("labour"), st.just("labour"), st.just("t"), GROUPS, st.just(""),
              st.decimals(0, 99, places=3), st.integers(0, 500_000)),
    st.builds(PlanLine, st.sampled_from(["bought in", "overhead", "provision"]),
              st.sampled_from(["scaffold", "warranty"]), st.just(""), st.just(""), st.just(""),
              st.decimals(0, 99, places=3), st.integers(0, 500_000)),
), max_size=9)
costs = st.lists(st.one_of(
    st.builds(CostLine, st.just("goods"), HEADS, ITEMS, st.just(""), SELLERS,
              st.fractions(0, 99, max_denominator=60), MINOR),
    st.builds(CostLine, st.sampled_from(["labour", "overhead"]), st.just("labour"),
              st.sampled_from(["", "t"]), GROUPS, st.just(""),
              st.fractions(0, 99, max_denominator=60), MINOR),
    st.builds(CostLine, st.just("bought in"), HEADS, st.just(""), st.just(""), SELLERS,
              st.fractions(0, 9, max_denominator=2), MINOR),
), max_size=9)


@settings(max_examples=60)
@given(plans, costs, st.dictionaries(st.sampled_from(["B", "C"]), st.sampled_from(["A", "B"])),
       st.dictionaries(st.tuples(ITEMS, SELLERS), st.fractions(0, 900, max_denominator=90)))
def test_the_shares_of_all_lines_are_actual_less_standard_to_the_penny(
    plan: list[PlanLine], cost: list[CostLine], instead: dict[str, str],
    prices: dict[tuple[str, str], F],
) -> None:
    lines = variances(plan, cost, instead, prices, "warranty")
    provision = sum(line.amount_minor for line in plan
                    if (line.kind, line.head) == ("provision", "warranty"))
    rework = sum(each.amount_minor for each in cost if each.task_group == "rework")
    held = max(0, provision - rework) if provision else 0
    standard = sum(line.amount_minor for line in plan)
    actual = sum(each.amount_minor for each in cost) + held
    assert sum(line.standard_minor for line in lines) == standard
    assert sum(line.actual_minor for line in lines) == actual
    assert sum(sum(shares(line)) for line in lines) == actual - standard
    assert all(sum(shares(line)) == line.over_minor for line in lines)
    assert sum(sum(shares(line)) for line in by_head(lines).values()) == actual - standard


def test_what_was_used_instead_stands_in_the_line_of_the_plan() -> None:
    # By hand: 12 m at 100 reckoned. 8 m of it used at 105; 5 m of another, 120 on the day of the
    # quote, for 590. Usage (13 - 12) x 100; another item (120 - 100) x 5; price 8 x 5 - 10.
    (line,) = variances([goods("A", "12", 1_200)], [spent("A", "8", 840), spent("B", "5", 590)],
                        {"B": "A"}, {("B", ""): F(120)}, "warranty")
    assert shares(line) == (100, 100, 0, 30)
    assert line.note == "B used instead"
    assert (line.planned, line.used) == (12, 13)


def test_without_a_price_of_the_day_the_other_item_takes_all_of_it() -> None:
    (line,) = variances([goods("A", "10", 1_000)], [spent("B", "10", 1_234)], {"B": "A"}, {},
                        "warranty")
    assert shares(line) == (0, 234, 0, 0)


def test_another_supplier_is_told_apart_from_a_price_that_moved() -> None:
    # By hand: 10 at 100 from North; South, 95 on the day of the quote, charged 98.
    (line,) = variances([goods("A", "10", 1_000, "North")], [spent("A", "10", 980, "South")], {},
                        {("A", "South"): F(95), ("A", "North"): F(100)}, "warranty")
    assert shares(line) == (0, 0, -50, 30)


def test_a_bill_for_more_than_the_goods_came_in_at_is_price() -> None:
    (line,) = variances([goods("A", "10", 1_000)],
                        [spent("A", "11", 1_100), spent("A", "0", 55, "North")], {}, {}, "warranty")
    assert shares(line) == (100, 0, 0, 55)


def test_hours_are_parted_by_group_into_efficiency_and_rate() -> None:
    # By hand: 10 h at 40.00 reckoned, 12 h at 41.00: efficiency 80.00, rate 12.00.
    lines = variances([hours("roof", "6", 24_000), hours("roof", "4", 16_000)],
                      [worked("roof", "5", 20_500, "a"), worked("roof", "7", 28_700),
                       worked("waiting", "1", 4_100)], {}, {}, "warranty")
    told = {line.name: (shares(line), line.note) for line in lines}
    assert told == {"roof": ((8_000, 0, 0, 1_200), ""),
                    "waiting": ((4_100, 0, 0, 0), "not reckoned")}


def test_rework_eats_up_what_is_held_for_warranty() -> None:
    plan = [PlanLine("provision", "warranty", "", "", "", D(0), 1_520),
            PlanLine("provision", "open risks", "", "", "", D(0), 8_700)]
    lines = variances(plan, [worked("rework", "0.25", 1_000)], {}, {}, "warranty")
    assert {line.head: (line.actual_minor, line.usage_minor) for line in lines} == {
        "warranty": (520, -1_000), "open risks": (0, -8_700), "labour": (1_000, 1_000)}


def test_goods_are_earned_as_they_are_used_and_no_further() -> None:
    lines = variances([goods("A", "10", 1_000), goods("B", "4", 400), hours("roof", "10", 5_000)],
                      [spent("A", "12", 1_300), spent("B", "1", 90), worked("roof", "4", 2_400)],
                      {}, {}, "warranty")
    found = job_progress(lines, {}, F(1, 2))
    # By hand: 1,000 of A and a quarter of 400 of B; 4 of 10 hours of 5,000.
    assert [part.earned_minor for part in found.parts] == [2_000, 1_100]
    assert found.by_hours == ("labour, roof",)
    assert (found.whole.planned, found.whole.actual) == (3_200, 3_790)
    assert job_progress(lines, {"roof": F(3, 10)}, F(1, 2)).parts[0].earned_minor == 1_500
    assert job_progress(lines, {}, F(1), commissioned=True).whole.earned == 6_400
