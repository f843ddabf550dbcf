"""What the design tells of a wall: fit or not, what is missing, and stacks as set out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest

from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.toml_source import parse_toml
from estimator.design.case import Case
from estimator.design.check import Check, Unanswered
from estimator.design.design import design_job
from estimator.design.facts import survey_sheet
from estimator.design.sheet import Unknown
from estimator.design.siting.judge_wall import judge_wall, wall_items
from estimator.practice.pack import country_folder, read_practice
from estimator.survey.toml import survey_from

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 2)
HEAD = '[job]\nid = "S1"\nparts = {parts}\nevidence = "measured"\n'
# A hung module of the starter catalogue is 650 mm wide and 480 high and asks for 300 mm round it
# and 500 to the floor; four make a stack (invented figures).
HUNG = """
[storage]
modules = {modules}
mount = "wall"
place = "garage"
wall_width_m = {width}
wall_height_m = {height}
{more}
[converter]
place = "outside"
[supply]
phases = 1
[wishes]
storage = "01505-WF"
"""
# A standing module is 580 mm wide and 160 high, 200 mm at the sides, 300 above; six make a stack.
STANDING = """
[storage]
modules = {modules}
mount = "floor"
floor = "slab"
floor_level = true
flood_risk = false
wall_width_m = {width}
wall_height_m = {height}
{more}
[wishes]
storage = "01526-HV"
"""
DOOR = """
[[storage.obstructions]]
name = "door"
x_m = {x}
y_m = 0
width_m = 1.0
height_m = 2.1
"""


def case_of(text: str, prices: PriceBook, parts: tuple[str, ...] = ("storage",)) -> Case:
    survey = survey_from(parse_toml(HEAD.format(parts=list(parts)) + text, "s.toml"))
    values = {name: each.value for name, each in GB.on(ON).items()}
    design, sheet = design_job(survey_sheet(survey, values, {}), prices)
    return Case(survey, sheet, design.kit, design.planes, prices, GB, ON)


def hung(prices: PriceBook, modules: int, width: str, height: str = "2.4", more: str = "") -> Case:
    return case_of(HUNG.format(modules=modules, width=width, height=height, more=more), prices)


def standing(
    prices: PriceBook, modules: int, width: str, height: str = "2.4", more: str = ""
) -> Case:
    return case_of(STANDING.format(modules=modules, width=width, height=height, more=more), prices)


def columns(case: Case) -> Any:
    return judge_wall(case).facts["storage.columns"]


def fit(case: Case) -> Check:
    return next(each for each in judge_wall(case).told
                if isinstance(each, Check) and each.code == "wall-fit")


# --- stacks as set out ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("modules", "stacks"),
    # Four modules at most in a stack.
    list(enumerate((1, 1, 1, 1, 2, 2, 2, 2, 3, 3, 3, 3), 1)),
)
def test_without_a_measured_wall_stacks_are_modules_over_the_most_in_one(
    price_book: PriceBook, modules: int, stacks: int
) -> None:
    assert columns(hung(price_book, modules, '"?"')) == stacks


def test_modules_hung_side_by_side_in_reach_of_their_leads_are_one_stack(
    price_book: PriceBook
) -> None:
    # Three beside each other, 950 mm from one to the next: within 1500.
    case = hung(price_book, 3, "5.0")
    layout = judge_wall(case).walls["storage"]
    assert [each.body.x_mm for each in layout.modules] == [300, 1250, 2200]
    assert columns(case) == 1


def test_five_modules_in_reach_of_each_other_are_two_stacks_of_at_most_four(
    price_book: PriceBook
) -> None:
    assert columns(hung(price_book, 5, "8.0")) == 2


def test_a_door_between_hung_modules_parts_them_into_two_stacks(price_book: PriceBook) -> None:
    # Room for one on each side of the door (300 + 650 + 300 = 1250), two hang there one above the
    # other; from left of the door to right of it the way is 1250 + 1000 = 2250.
    case = hung(price_book, 2, "3.5", "1.5", DOOR.format(x="1.25").replace("2.1", "1.4"))
    assert [each.body.x_mm for each in judge_wall(case).walls["storage"].modules] == [300, 2550]
    assert columns(case) == 2


def test_a_low_wall_makes_two_stacks_on_the_floor_of_what_would_be_one(
    price_book: PriceBook
) -> None:
    # One stack of six: 90 of base + 6 x 160 + 300 = 1350 mm high. With 1200 there are two.
    assert columns(standing(price_book, 6, "4.0", "1.35")) == 1
    low = standing(price_book, 6, "4.0", "1.2")
    assert columns(low) == 2
    assert len({each.stack for each in judge_wall(low).walls["storage"].modules}) == 2


def test_standing_stacks_are_two_however_near_they_stand(price_book: PriceBook) -> None:
    assert columns(standing(price_book, 2, "4.0", "0.8")) == 1
    assert columns(standing(price_book, 2, "4.0", "0.6")) == 2


def test_a_count_that_nobody_knows_makes_the_stacks_unknown(price_book: PriceBook) -> None:
    text = HUNG.format(modules='"?"', width="5.0", height="2.4", more="")
    unknown = columns(case_of(text, price_book))
    assert isinstance(unknown, Unknown)
    assert unknown.facts == {"storage.modules"}


def test_a_module_that_cannot_be_chosen_makes_the_stacks_unknown(price_book: PriceBook) -> None:
    text = '[storage]\nmodules = 2\nplace = "garage"\n'
    outcome = judge_wall(case_of(text, price_book))
    unknown = outcome.facts["storage.columns"]
    assert isinstance(unknown, Unknown)
    assert unknown.facts == {"storage.mount"}
    (asked,) = outcome.told
    assert isinstance(asked, Unanswered)
    assert asked.facts == ("storage.wall_width_m", "storage.wall_height_m")
    measured = judge_wall(case_of(text + "wall_width_m = 3\nwall_height_m = 2.4\n", price_book))
    (waits,) = measured.told
    assert isinstance(waits, Unanswered)
    assert waits.facts == ("storage.mount",)


def test_stacks_that_rest_on_an_assumed_fact_are_marked(price_book: PriceBook) -> None:
    case = hung(price_book, 3, "5.0")
    assert judge_wall(case).assumed == frozenset()
    job = {**case.sheet.job, "@assumed": {"storage.modules"}}
    guessed = replace(case, sheet=replace(case.sheet, job=job))
    assert judge_wall(guessed).assumed == {"storage.columns"}


def test_an_assumed_count_is_set_out(price_book: PriceBook) -> None:
    text = HUNG.format(modules='"?"', width="5.0", height="2.4", more="")
    case = case_of(text, price_book)
    job = {**case.sheet.job, "storage.modules": 2, "@assumed": {"storage.modules"}}
    guessed = replace(case, sheet=replace(case.sheet, job=job))
    assert len(judge_wall(guessed).walls["storage"].modules) == 2


def test_a_job_without_storage_has_no_stacks(price_book: PriceBook) -> None:
    text = ('[converter]\nplace = "inside"\nwall_width_m = 2.0\nwall_height_m = 2.4\n'
            '[supply]\nphases = 1\n[wishes]\nconverter = "01136-OU"\n')
    outcome = judge_wall(case_of(text, price_book, ("converter",)))
    assert dict(outcome.facts) == {}
    assert outcome.walls["converter"].converter is not None


# --- fit ------------------------------------------------------------------------------------------


def test_what_does_not_fit_is_a_stop_that_says_how_many_would(price_book: PriceBook) -> None:
    # 300 + 650 + 300 + 650 + 300 = 2200 is wanted; 1500 high leaves no room for one above another.
    told = fit(hung(price_book, 2, "2.199", "1.5"))
    assert (told.level, told.value, told.limit) == ("stop", 2, 1)
    assert fit(hung(price_book, 2, "2.2", "1.5")).level == "fine"


def test_stacks_that_are_not_set_out_are_counted_as_if_no_wall_were_measured(
    price_book: PriceBook
) -> None:
    assert columns(hung(price_book, 5, "1.0", "1.0")) == 2


def test_a_wall_of_unknown_size_is_a_question_that_does_not_stop(price_book: PriceBook) -> None:
    asked = [each for each in judge_wall(hung(price_book, 2, '"?"')).told
             if isinstance(each, Unanswered)]
    assert [(each.facts, each.worst.level) for each in asked] == [
        (("storage.wall_width_m",), "caution")]


# --- brackets and bases ---------------------------------------------------------------------------


def test_the_bracket_is_one_with_the_holes_of_the_data_sheet(price_book: PriceBook) -> None:
    # 02010-WB has four holes and lies in the module's box; 02012-WH has six.
    bracket = wall_items(hung(price_book, 2, "5.0")).bracket
    assert bracket is not None
    assert bracket.code == "02010-WB"


def priced(prices: PriceBook, **minor: int) -> PriceBook:
    """Return the price book with some items at other prices, or sold for the first time."""
    codes = {name.replace("_", "-").lstrip("-"): price for name, price in minor.items()}
    offers = [offer for code, each in prices.offers.items() if code not in codes for offer in each]
    first = next(iter(prices.offers["02010-WB"]))
    offers += [replace(first, item=code, price=Money(price), pack=D(1))
               for code, price in codes.items()]
    return PriceBook.of(ON, prices.items.values(), offers)


def test_a_cheaper_bracket_with_other_holes_is_not_taken(price_book: PriceBook) -> None:
    case = hung(price_book, 2, "5.0")
    cheap = priced(price_book, _02012_WH=1)
    bracket = wall_items(replace(case, prices=cheap)).bracket
    assert bracket is not None
    assert bracket.code == "02010-WB"


def test_the_bracket_in_the_box_comes_before_a_cheaper_one(price_book: PriceBook) -> None:
    other = replace(price_book.items["02010-WB"], code="00001-WB")
    more = PriceBook.of(ON, [*price_book.items.values(), other],
                        [offer for each in price_book.offers.values() for offer in each])
    cheap = priced(more, _00001_WB=1)
    bracket = wall_items(replace(hung(price_book, 2, "5.0"), prices=cheap)).bracket
    assert bracket is not None
    assert bracket.code == "02010-WB"
    empty = replace(price_book.items["01505-WF"], contents=())
    bare = PriceBook.of(ON, [empty if item.code == empty.code else item
                             for item in cheap.items.values()],
                        [offer for each in cheap.offers.values() for offer in each])
    loose = wall_items(replace(hung(price_book, 2, "5.0"), prices=bare)).bracket
    assert loose is not None
    assert loose.code == "00001-WB"


def test_a_wished_module_whose_mount_is_open_is_asked_for(price_book: PriceBook) -> None:
    text = HUNG.format(modules=2, width="5.0", height="2.4", more="")
    assert 'mount = "wall"' in text
    outcome = judge_wall(case_of(text.replace('mount = "wall"\n', ""), price_book))
    (asked,) = outcome.told
    assert isinstance(asked, Unanswered)
    assert asked.facts == ("storage.mount",)
    assert outcome.facts["storage.columns"] == 1


def test_a_standing_stack_has_its_base_and_its_anti_tip_bracket(price_book: PriceBook) -> None:
    items = wall_items(standing(price_book, 2, "4.0"))
    assert items.bracket is not None
    assert items.bracket.code == "02016-AT"
    assert [each.code for each in items.under] == ["02020-FB"]


@pytest.mark.parametrize(
    ("line", "now", "codes"),
    [
        ('floor = "slab"', 'floor = "suspended timber"', ["02020-FB", "02024-FS"]),
        ("flood_risk = false", "flood_risk = true", ["02020-FB", "02024-FS"]),
        ("flood_risk = false", 'flood_risk = "?"', ["02020-FB", "02024-FS"]),
        ('floor = "slab"', 'floor = "soft ground"', ["02020-FB", "02028-PS"]),
        ("floor_level = true", "floor_level = false", ["02020-FB", "02028-PS"]),
        ("floor_level = true", 'floor_level = "?"', ["02020-FB", "02028-PS"]),
        ('floor = "slab"', 'floor = "?"', ["02020-FB", "02028-PS", "02024-FS"]),
    ],
)
def test_what_is_or_may_have_to_be_under_a_stack_lifts_it(
    price_book: PriceBook, line: str, now: str, codes: list[str]
) -> None:
    text = STANDING.format(modules=2, width="4.0", height="2.4", more="")
    assert line in text
    case = case_of(text.replace(line, now), price_book)
    assert [each.code for each in wall_items(case).under] == codes
    # 90 mm of base, 120 of stand, 50 of slab (starter catalogue, invented figures).
    lowest = judge_wall(case).walls["storage"].modules[0].body.y_mm
    assert lowest == 90 + 120 * ("02024-FS" in codes) + 50 * ("02028-PS" in codes)


def test_without_a_bracket_in_the_catalogue_its_size_is_not_known(price_book: PriceBook) -> None:
    case = hung(price_book, 1, "5.0")
    bare = PriceBook.of(ON, [item for code, item in price_book.items.items()
                             if code not in ("02010-WB", "02012-WH")],
                        [offer for each in price_book.offers.values() for offer in each])
    (module,) = judge_wall(replace(case, prices=bare)).walls["storage"].modules
    assert not module.bracket_known
    assert len(module.holes) == 4
