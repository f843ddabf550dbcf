"""Running rules over a small job; every expected figure is worked out by hand beside it."""

from __future__ import annotations

from decimal import Decimal

from catalogue.items import Item
from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.design.sheet import Unknown
from estimator.rules.complete import assume, complete
from estimator.rules.engine import run_rules
from tests.rules.small_job import ITEMS, OFFERS, ON, book, results, rule, sheet

WALL_FIXING = 'item = { family = "fixing", role = "wall fixing" }'
BOTH = {"storage.mount": "wall", "storage.modules": 3}


def test_a_rule_that_fires_yields_a_line_with_its_reason() -> None:
    found = results(
        rule("storage.mount == 'wall'", "storage.modules * 4",
             more='exactly = { holes = "4" }'), BOTH)
    (demand,) = found.demands
    assert demand.quantity == Decimal(12)
    assert demand.item.code == "BR4-B"
    reason = demand.reason
    assert (reason.rule, reason.file, reason.line) == ("the-rule", "own/rules.toml", 1)
    assert reason.when == "storage.mount == 'wall'"
    assert (reason.formula, reason.numbers) == ("storage.modules * 4", "3 * 4")
    assert [(fact.path, fact.value, fact.evidence, fact.place) for fact in reason.facts] == [
        ("storage.mount", "wall", "measured", "survey.toml:5"),
        ("storage.modules", 3, "measured", "survey.toml:5")]
    assert not reason.assumed
    assert found.questions == ()
    assert found.not_fired == ()


def test_the_cheapest_by_unit_price_is_chosen_and_a_tie_goes_to_the_lower_code() -> None:
    # 85.00 for ten is 8.50 each, under 9.00 for one; BR2 at 7.00 has too few holes.
    chosen = results(rule(more='at_least = { holes = "4" }'), {}).demands[0].item
    assert chosen.code == "BR4-B"
    tie = PriceBook.of(ON, ITEMS, [*OFFERS, OFFERS[0].__class__(
        "BR4-A", "Supplier B", Decimal(1), Money.of("8.50"), ON)])
    assert run_rules(book(rule(more='at_least = { holes = "4" }')), sheet({}), tie,
                     ).demands[0].item.code == "BR4-A"


def test_a_part_that_only_comes_in_boxes_is_taken_where_nothing_on_offer_serves() -> None:
    link = 'item = { family = "lead", role = "storage data link" }'
    assert results(rule(item=link), {}).demands[0].item.code == "LEAD"
    sold = Item("LEAD-S", "sold lead", "lead", ("storage data link",), "each",
                next(item for item in ITEMS if item.code == "LEAD").spec, "storage")
    prices = PriceBook.of(ON, [*ITEMS, sold], [*OFFERS, OFFERS[0].__class__(
        "LEAD-S", "Supplier A", Decimal(1), Money.of("99.00"), ON)])
    assert run_rules(book(rule(item=link)), sheet({}), prices).demands[0].item.code == "LEAD-S"


def test_what_nothing_on_offer_serves_is_a_gap() -> None:
    # BR6 has six holes but no offer: it would cost nothing, so it is not taken.
    found = results(rule(quantity="2", more='at_least = { holes = "5" }'), {})
    assert found.demands == ()
    (gap,) = found.gaps
    assert (gap.rule, gap.quantity) == ("the-rule", Decimal(2))
    assert str(gap.requirement) == "storage wall bracket (holes at least 5)"


def test_an_item_may_be_named_by_its_code() -> None:
    text = rule("storage.modules > 0", "storage.modules", item='code = "kit.storage.code"')
    found = results(text, {"storage.modules": 2, "kit.storage.code": "MODULE"})
    assert (found.demands[0].item.code, found.demands[0].quantity) == ("MODULE", Decimal(2))
    gap = results(text, {"storage.modules": 2, "kit.storage.code": "NO-SUCH"}).gaps[0]
    assert gap.requirement.code == "NO-SUCH"


def test_includes_asks_that_a_list_on_the_data_sheet_holds_the_value() -> None:
    found = results(rule(item=WALL_FIXING, more='includes = { walls = "storage.wall" }'),
                    {"storage.wall": "stone"})
    assert found.demands[0].item.code == "FX-RESIN"


def test_a_part_that_is_not_asked_for_adds_nothing_and_says_so() -> None:
    found = results(rule(), {}, parts=("panels",))
    assert found.demands == ()
    (why,) = found.not_fired
    assert (why.when, why.numbers, why.stopped_by[0].path) == ("job.storage", "false",
                                                              "job.storage")


def test_the_first_false_condition_is_what_stopped_a_rule() -> None:
    found = results(
        rule("storage.modules > 2 and storage.mount == 'floor' and storage.frost"),
        {**BOTH, "storage.frost": False})
    (why,) = found.not_fired
    assert why.numbers == "3 > 2 and 'wall' == 'floor' and false"
    assert [(fact.path, fact.value) for fact in why.stopped_by] == [("storage.mount", "wall")]
    assert not why.undecided
    assert (why.family, why.role) == ("mounting", "storage wall bracket")


def test_a_zero_quantity_adds_no_line() -> None:
    found = results(rule(quantity="storage.modules - 3"), BOTH)
    assert found.demands == ()
    assert found.not_fired[0].when == "(storage.modules - 3) > 0"
    assert found.not_fired[0].numbers == "(3 - 3) > 0"


def test_an_unknown_condition_is_a_question_that_costs_nothing_or_the_line() -> None:
    # Three brackets at 8.50 = 25.50 if hung on the wall, else nothing.
    found = results(rule("storage.mount == 'wall'", "storage.modules",
                         more='exactly = { holes = "4" }'), {"storage.modules": 3})
    assert found.demands == ()
    (question,) = found.questions
    assert question.fact == "storage.mount"
    assert question.asks == "Hung on the wall or on the floor?"
    assert question.rules == ("the-rule",)
    assert (question.low, question.high) == (Money(0), Money(2550))
    assert found.not_fired[0].undecided
    assert found.not_fired[0].numbers == "? == 'wall'"


def test_an_unknown_demand_costs_from_the_cheapest_to_the_dearest_that_may_serve() -> None:
    # Solid 0.30, resin 2.40; twelve of them: 3.60 to 28.80.
    found = results(rule("true", "storage.modules * 4", WALL_FIXING,
                         'includes = { walls = "storage.wall" }'), {"storage.modules": 3})
    assert [(q.fact, q.low, q.high) for q in found.questions] == [
        ("storage.wall", Money(360), Money(2880))]


def test_an_unknown_quantity_has_no_cost_yet() -> None:
    found = results(rule("true", "storage.modules"), {})
    assert [(q.fact, q.low, q.high) for q in found.questions] == [("storage.modules", None, None)]


def test_questions_are_merged_by_fact_and_the_dearest_comes_first() -> None:
    text = (rule("storage.mount == 'wall'", "1", id_="a")         # 7.00
            + rule("storage.mount == 'wall'", "2", id_="b")       # 14.00
            + rule("storage.frost", "10", id_="c")                # 70.00
            + rule("true", "storage.modules", id_="d"))           # cannot be told
    found = results(text, {})
    assert [(q.fact, q.rules, q.high) for q in found.questions] == [
        ("storage.frost", ("c",), Money(7000)),
        ("storage.mount", ("a", "b"), Money(2100)),
        ("storage.modules", ("d",), None)]


COMPUTED = """
[[fact]]
name = "storage.stacks"
type = "whole"
meaning = "stacks of modules"
value = "ceil(storage.modules / kit.storage.max_per_stack)"
"""


def test_a_computed_fact_asks_for_the_fact_it_hangs_on_and_tells_what_it_read() -> None:
    text = COMPUTED + rule("true", "storage.stacks")
    found = results(text, {"kit.storage.max_per_stack": 3})
    assert [q.fact for q in found.questions] == ["storage.modules"]
    found = results(text, {"kit.storage.max_per_stack": 3, "storage.modules": 4})
    (demand,) = found.demands
    assert demand.quantity == Decimal(2)
    stacks, modules, most = demand.reason.facts
    assert (stacks.path, stacks.value, stacks.origin) == ("storage.stacks", 2, "computed")
    assert stacks.source == "= ceil(storage.modules / kit.storage.max_per_stack)"
    assert (modules.path, modules.value) == ("storage.modules", 4)
    assert (most.path, most.value) == ("kit.storage.max_per_stack", 3)


def test_an_unknown_data_sheet_value_is_asked_by_its_own_path() -> None:
    found = results(COMPUTED + rule("true", "storage.stacks"), {"storage.modules": 4})
    assert [q.fact for q in found.questions] == ["kit.storage.max_per_stack"]


CLIPS = """
[[rule]]
id = "clips"
for = "storage"
each = "leg"
when = "leg.method == 'clipped'"
item = { family = "containment", role = "cable clip" }
quantity = "ceil(leg.length_m / practice.clip_spacing_m)"
because = "clips hold the cable"
"""


def test_a_rule_of_each_leg_runs_once_for_each_and_names_it() -> None:
    # 2.0 m / 0.3 m = 6.67 -> 7 clips; the second leg is in trunking; of the third nothing is known.
    found = results(CLIPS, {}, legs=(
        {"leg.method": "clipped", "leg.length_m": Decimal(2)},
        {"leg.method": "trunking", "leg.length_m": Decimal(5)}, {}))
    (demand,) = found.demands
    assert (demand.quantity, demand.reason.on) == (Decimal(7), "leg 1")
    assert [fact.path for fact in demand.reason.facts] == [
        "leg[0].method", "leg[0].length_m", "practice.clip_spacing_m"]
    assert [(why.on, why.undecided) for why in found.not_fired] == [
        ("leg 2", False), ("leg 3", True)]
    assert [(q.fact, q.on) for q in found.questions] == [("leg[2].method", "leg 3")]


def test_a_sum_over_legs_asks_for_the_leg_that_is_missing() -> None:
    text = rule("true", "total(leg.length_m, leg.run == 'data')",
                'item = { family = "cable", role = "data cable" }')
    known = {"leg.run": "data", "leg.length_m": Decimal("2.5")}
    found = results(text, {}, legs=(known, {**known, "leg.length_m": Unknown("leg.length_m")}))
    assert [q.fact for q in found.questions] == ["leg[1].length_m"]
    found = results(text, {}, legs=(known, {**known, "leg.length_m": Decimal("1.25")}))
    (demand,) = found.demands
    assert demand.quantity == Decimal("3.75")
    assert demand.reason.numbers == "3.75"
    assert {fact.path for fact in demand.reason.facts} == {
        "leg[0].length_m", "leg[1].length_m", "leg[0].run", "leg[1].run"}


ASSUME = """
[[assume]]
id = "assume-spacing"
for = "panels"
fact = "plane.rafter_spacing_m"
value = "0.45"
because = "common spacing"
[[fact]]
name = "plane.spacings"
type = "whole"
each = "plane"
meaning = "rafter spaces in three metres"
value = "floor(3 / plane.rafter_spacing_m)"
[[rule]]
id = "brackets"
for = "panels"
each = "plane"
when = "true"
item = { family = "mounting", role = "storage wall bracket" }
quantity = "plane.spacings"
because = "of that"
[[risk]]
id = "rafters"
for = "panels"
each = "plane"
when = "not known(plane.rafter_spacing_m)"
chance = "0.25"
cost = "320.00"
because = "nobody saw the rafters"
closed_by = "plane.rafter_spacing_m"
"""


def test_an_assumption_prices_the_line_says_so_and_keeps_the_question() -> None:
    planes = ({"plane.rafter_spacing_m": Decimal("0.6")}, {})
    found = results(ASSUME, {}, parts=("panels",), planes=planes)
    # 3 / 0.6 = 5 spaces; 3 / 0.45 = 6.67 -> 6 spaces.
    assert [(d.quantity, d.reason.assumed) for d in found.demands] == [
        (Decimal(5), False), (Decimal(6), True)]
    assert found.assumptions == (
        "roof 2: spacing of the rafters, centre to centre: 0.45 m",)
    (question,) = found.questions
    assert (question.fact, question.on, question.assumed) == (
        "plane[1].rafter_spacing_m", "roof 2", "0.45")
    assert set(question.rules) == {"brackets", "rafters"}
    used = next(f for f in found.demands[1].reason.facts if f.path.endswith("spacing_m"))
    assert (used.value, used.origin, used.evidence) == (Decimal("0.45"), "assumed", "assumed")


def test_an_assumed_fact_leaves_its_risk_open() -> None:
    found = results(ASSUME, {}, parts=("panels",),
                    planes=({"plane.rafter_spacing_m": Decimal("0.6")}, {}))
    (risk,) = found.risks
    assert risk.open_facts == ("plane[1].rafter_spacing_m",)
    assert (risk.chance, risk.cost) == (Decimal("0.25"), Money(32000))
    assert found.questions[0].high == Money(32000)


def test_assuming_twice_changes_nothing_and_parts_not_asked_for_assume_nothing() -> None:
    rules = book(ASSUME)
    once = assume(rules, sheet({}, parts=("panels",), planes=({},)))
    twice = assume(rules, once)
    assert once.scopes["plane"][0]["plane.rafter_spacing_m"] == Decimal("0.45")
    assert dict(twice.scopes["plane"][0]).keys() == dict(once.scopes["plane"][0]).keys()
    assert twice.details == once.details
    other = assume(rules, sheet({}, parts=("storage",), planes=({},)))
    assert "plane.rafter_spacing_m" not in other.scopes["plane"][0]


def test_the_sheet_handed_in_is_not_changed() -> None:
    given = sheet({"storage.modules": 4, "kit.storage.max_per_stack": 3}, planes=({},))
    before = dict(given.job)
    completed = complete(book(COMPUTED), given)
    assert completed.sheet.job["storage.stacks"] == 2
    assert completed.sheet.scopes["plane"][0]["storage.stacks"] == 2
    assert given.job == before
    assert given.scopes["plane"] == ({},)


def test_a_risk_is_open_while_its_condition_is_unknown() -> None:
    text = """
[[risk]]
id = "isolator"
for = "storage"
when = "supply.isolator_present == false"
chance = "0.3"
cost = "190.00"
because = "no isolator"
"""
    found = results(text, {})
    assert [(risk.id, risk.open_facts) for risk in found.risks] == [
        ("isolator", ("supply.isolator_present",))]
    assert [(q.fact, q.low, q.high) for q in found.questions] == [
        ("supply.isolator_present", Money(0), Money(19000))]
    assert results(text, {"supply.isolator_present": True}).risks == ()


def test_a_check_tells_value_limit_and_source() -> None:
    text = """
[[check]]
id = "steep"
for = "panels"
each = "plane"
when = "plane.kind == 'pitched' and plane.pitch_deg > practice.steep_deg"
level = "caution"
says = "steep roof: roof ladder and rescue plan"
source = "common practice, no source"
decides = "site manager"
"""
    planes = ({"plane.kind": "pitched", "plane.pitch_deg": Decimal("50.0")},
              {"plane.kind": "pitched", "plane.pitch_deg": Decimal(45)}, {"plane.kind": "flat"})
    found = results(text, {}, parts=("panels",), planes=planes)
    (finding,) = found.findings
    assert (finding.code, finding.level, finding.subject) == ("steep", "caution", "roof 1")
    assert (finding.value, finding.limit, finding.unit) == ("50", "45", "deg")
    assert finding.decides == "site manager"
    assert found.questions == ()


def test_a_task_has_units_and_a_reason() -> None:
    text = """
[[task]]
id = "hang"
for = "storage"
when = "storage.mount == 'wall'"
norm = "hang-module"
units = "storage.modules / 2"
because = "two people hang two at a time"
"""
    (task,) = results(text, BOTH).tasks
    assert (task.norm, task.units, task.reason.numbers) == ("hang-module", Decimal("1.5"), "3 / 2")


CARRIED = """
[[task]]
id = "carry"
for = "storage"
when = "storage.modules > 0"
norm = "hang-module"
units = "storage.modules"
people = "3 if storage.third_person else 2"
because = "a hard way in takes a third person"
"""


def test_a_task_may_say_how_many_people_do_it_together() -> None:
    (task,) = results(CARRIED, {**BOTH, "storage.third_person": True}).tasks
    assert (task.people, task.units) == (3, Decimal(3))
    assert [fact.path for fact in task.reason.facts] == [
        "storage.modules", "storage.third_person"]
    plain = CARRIED.replace('people = "3 if storage.third_person else 2"\n', "")
    assert results(plain, BOTH).tasks[0].people == 0


def test_people_that_hang_on_an_unknown_fact_are_asked_for_and_nothing_is_guessed() -> None:
    found = results(CARRIED, BOTH)
    assert found.tasks == ()
    assert [(each.fact, each.rules) for each in found.questions] == [
        ("storage.third_person", ("carry",))]


def test_an_option_stays_apart() -> None:
    assert results(rule(more="option = true"), {}).demands[0].option


def test_the_same_job_gives_the_same_results_twice() -> None:
    text = COMPUTED + CLIPS + rule("storage.mount == 'wall'", "storage.stacks")
    facts = {**BOTH, "kit.storage.max_per_stack": 2}
    assert results(text, facts, legs=({},)) == results(text, facts, legs=({},))
