"""Swaps by themselves: what refuses them, and what the design chooses with meanwhile."""

from __future__ import annotations

from decimal import Decimal as D

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from estimator.buying.swaps import Choosing, Swap, refused_partner
from estimator.rules.results import Demand, Gap, Reason, Requirement, RuleResults
from estimator.swapping import with_stand_ins
from tests.factories import ItemFactory, PriceBookFactory, spec_of

SWAP = Swap("OLD", "NEW")


def cable(code: str, size: int) -> Item:
    return ItemFactory(family="cable", code=code, spec=spec_of("cable", size_mm2=size))


def book() -> PriceBook:
    made: PriceBook = PriceBookFactory(items=[
        cable("OLD", 4), cable("NEW", 16), cable("BETWEEN", 6), cable("USED", 10),
        cable("THIN", 2)])
    return made


def demand(item: Item, **wants: object) -> Demand:
    reason = Reason("a-rule", "", 0, "", "the leg", "", "", "", D(3), ())
    return Demand(Requirement("cable", "circuit cable", **wants), item, D(3), reason)  # type: ignore[arg-type]


def results(*demands: Demand, gaps: tuple[Gap, ...] = ()) -> RuleResults:
    return RuleResults(demands, (), (), (), (), (), gaps, ())


def told(found: RuleResults, before: RuleResults) -> list[str]:
    try:
        with_stand_ins(found, before, [SWAP], book())
    except ProblemsFound as caught:
        return [str(problem) for problem in caught.problems]
    return []


def test_a_converter_s_list_that_lacks_the_module_is_told_in_these_words() -> None:
    converter = ItemFactory(family="converter", code="C1", spec=spec_of(
        "converter", storage_allowed=("OLD", "OTHER")))
    storage = ItemFactory(family="storage", code="NEW")
    (problem,) = refused_partner([SWAP], converter, storage)
    assert str(problem) == (
        "substitute OLD=NEW: error E306: the list of converter C1 does not name storage NEW\n"
        "    storage on the list: OLD, OTHER")


def test_a_swap_of_neither_partner_is_not_held_against_the_list() -> None:
    converter = ItemFactory(family="converter", code="C1")
    storage = ItemFactory(family="storage", code="S1")
    assert list(refused_partner([SWAP], converter, storage)) == []
    assert list(refused_partner([SWAP], converter, None)) == []


def test_the_design_finds_no_other_item_that_might_stand_in_unless_the_job_uses_it() -> None:
    roles = {"OLD": {"circuit cable"}, "USED": {"circuit cable"}}
    choosing = Choosing.of({"OLD": "NEW"}, roles, book())
    left = [item.code for item in choosing.prices.with_role("cable", "circuit cable")]
    assert left == ["NEW", "THIN", "USED"]


def test_a_demand_goes_to_the_substitute_only_where_the_original_was_taken() -> None:
    items = book().items
    one, other = demand(items["OLD"]), demand(items["USED"])
    (swapped,) = with_stand_ins(results(one), results(one), [SWAP], book()).demands
    assert swapped.item.code == "NEW"
    (kept,) = with_stand_ins(results(other), results(other), [SWAP], book()).demands
    assert kept.item.code == "USED"


def test_a_demand_that_another_item_would_take_now_goes_to_the_substitute_too() -> None:
    items = book().items
    found, before = results(demand(items["USED"])), results(demand(items["OLD"]))
    (swapped,) = with_stand_ins(found, before, [SWAP], book()).demands
    assert swapped.item.code == "NEW"


def test_a_demand_by_code_names_the_substitute() -> None:
    old = demand(book().items["OLD"], code="OLD")
    (swapped,) = with_stand_ins(results(old), results(old), [SWAP], book()).demands
    assert (swapped.item.code, swapped.requirement.code) == ("NEW", "NEW")


def test_a_demand_that_the_substitute_does_not_serve_is_told_in_these_words() -> None:
    old = demand(book().items["OLD"], exactly=(("size_mm2", 4),))
    assert told(results(old), results(old)) == [
        "substitute OLD=NEW: error E307: rule a-rule on the leg asks for circuit cable "
        "(size_mm2 = 4), and NEW does not serve\n"
        "    take a substitute that serves it, or change what the survey asks for"]


def test_a_demand_that_nothing_serves_any_more_is_told_in_these_words() -> None:
    before = results(demand(book().items["OLD"]))
    wants = Requirement("cable", "circuit cable", exactly=(("size_mm2", 9),))
    gap = Gap("a-rule", wants, D(3), "", "the leg")
    assert told(results(gaps=(gap,)), before) == [
        "substitute OLD=NEW: error E307: with NEW rule a-rule asks for circuit cable "
        "(size_mm2 = 9), and nothing in the catalogue serves\n"
        "    take a substitute that serves it, or change what the survey asks for"]
