"""The walls of a survey become set-outs; what is missing becomes a question."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

import pytest

from catalogue.items import Item
from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.design.facts import survey_sheet
from estimator.design.siting.brackets import Bracket
from estimator.design.siting.from_survey import WallItems, WallJobs, one_wall, wall_jobs
from estimator.design.siting.shapes import Rect
from estimator.design.siting.wall_layout import WallLayout, set_out
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.dictionary import fact_dictionary
from estimator.survey.model import Survey
from estimator.survey.toml import survey_from
from tests.factories import ItemFactory, spec_of

GB = read_practice([country_folder("gb")])
ON = date(2026, 11, 2)
HEAD = '[job]\nid = "S1"\nparts = ["storage", "converter"]\nevidence = "measured"\n'
STORAGE = """
[storage]
modules = 2
mount = "wall"
wall_width_m = 4.2
wall_height_m = 2.4
[[storage.obstructions]]
name = "socket"
x_m = 1.0
y_m = 0.3
width_m = 0.15
height_m = 0.1
"""
CONVERTER = """
[converter]
same_wall = {same}
wall_width_m = 2.0
wall_height_m = 2.4
"""


def survey_of(text: str) -> Survey:
    return survey_from(parse_toml(HEAD + text, "s.toml"))


def item(family: str, length: int | None, height: int | None, **spec: object) -> Item:
    made: Item = ItemFactory(family=family, spec=spec_of(family, **spec), length_mm=length,
                             height_mm=height)
    return made


ITEMS = WallItems(
    item("storage", 650, 480), item("converter", 390, 500),
    item("mounting", 480, 60, holes=4))


def jobs_of(text: str, items: WallItems = ITEMS) -> WallJobs:
    survey = survey_of(text)
    return wall_jobs(survey, survey_sheet(survey, {}, {}).job, items, GB, ON)


def test_one_wall_for_both_holds_modules_and_converter() -> None:
    found = jobs_of(STORAGE + CONVERTER.format(same="true"))
    ((subject, job),) = found.jobs
    assert (subject, found.unanswered) == ("storage", ())
    assert job.wall.rects == (Rect(1000, 300, 150, 100),)
    assert job.modules is not None
    assert (job.modules.count, job.modules.per_stack, job.modules.gap_mm) == (2, 4, 300)
    assert job.converter is not None
    assert job.converter.clear.by_default  # the converter's sheet is blank
    assert isinstance(set_out(job, GB, ON), WallLayout)


def test_two_walls_are_set_out_apart() -> None:
    found = jobs_of(STORAGE + CONVERTER.format(same="false"))
    assert [subject for subject, _ in found.jobs] == ["storage", "converter"]
    (_, storage), (_, converter) = found.jobs
    assert storage.converter is None
    assert converter.modules is None
    assert converter.wall.width_mm == 2000


def test_standing_modules_stand_close_and_need_no_distance_to_the_floor() -> None:
    text = STORAGE.replace('"wall"', '"floor"') + CONVERTER.format(same="false")
    job = jobs_of(text).jobs[0][1]
    assert job.modules is not None
    assert (job.modules.standing, job.modules.gap_mm, job.modules.lowest_mm) == (True, 0, 0)


@pytest.mark.parametrize(
    ("line", "facts"),
    [
        ("wall_width_m = 4.2\n", ("storage.wall_width_m",)),
        ("wall_height_m = 2.4\n", ("storage.wall_height_m",)),
        ("modules = 2\n", ("storage.modules",)),
        ('mount = "wall"\n', ("storage.mount",)),
    ],
)
def test_a_missing_fact_of_a_wall_that_was_seen_is_asked_with_a_caution_as_its_worst(
    line: str, facts: tuple[str, ...]
) -> None:
    text = STORAGE.replace(line, "", 1)
    found = jobs_of(text + CONVERTER.format(same="false"))
    (asked,) = found.unanswered
    assert asked.facts == facts
    assert asked.worst.level == "caution"
    assert [subject for subject, _ in found.jobs] == ["converter"]


@pytest.mark.parametrize("subject", ["storage", "converter"])
def test_a_place_of_which_nothing_is_known_at_all_is_a_stop_at_worst(subject: str) -> None:
    given = '[storage]\nmodules = 2\nmount = "wall"\n'
    items = WallItems(**{subject: getattr(ITEMS, subject)})
    (asked,) = jobs_of(given, items).unanswered
    assert asked.worst.level == "stop"
    (seen,) = jobs_of(f'{given}[converter]\nplace = "inside"\n'.replace(
        "[storage]", '[storage]\nplace = "garage"'), items).unanswered
    assert seen.worst.level == "caution"
    assert seen.facts == asked.facts == (f"{subject}.wall_width_m", f"{subject}.wall_height_m")


def test_whether_one_wall_serves_both_is_asked() -> None:
    found = jobs_of(STORAGE + CONVERTER.format(same='"?"'))
    assert [asked.facts for asked in found.unanswered] == [("converter.same_wall",)]
    assert len(found.jobs) == 2


def test_the_size_of_the_converters_wall_is_asked_once_it_is_known_to_be_another() -> None:
    open_ = jobs_of(STORAGE + '[converter]\nplace = "inside"\n')
    assert [asked.facts for asked in open_.unanswered] == [("converter.same_wall",)]
    other = jobs_of(STORAGE + '[converter]\nsame_wall = false\n')
    assert [asked.facts for asked in other.unanswered] == [
        ("converter.wall_width_m", "converter.wall_height_m")]


@pytest.mark.parametrize(
    ("place", "side", "expected"),
    [("garage", "outside", False), ("outside wall", "inside", False),
     ("garage", "inside", None), ("outside wall", "outside", None)],
)
def test_one_inside_and_one_out_of_doors_never_share_a_wall(
    place: str, side: str, expected: bool | None
) -> None:
    given = f'[storage]\nplace = "{place}"\n[converter]\nplace = "{side}"\n'
    assert one_wall(survey_sheet(survey_of(given), {}, {}).job) is expected


def test_what_a_stack_stands_on_lifts_it() -> None:
    base, stand = item("mounting", 660, 90), item("mounting", 700, 120)
    items = WallItems(item("storage", 580, 160), None, item("mounting", 160, 40, holes=2),
                      (base, stand))
    floor = jobs_of(STORAGE.replace('"wall"', '"floor"'), items).jobs[0][1]
    assert floor.modules is not None
    assert (floor.modules.base_mm, floor.modules.foot_mm) == (210, 210)
    assert floor.module_bracket == Bracket(2, 160, 40, 400)
    hung = jobs_of(STORAGE, items).jobs[0][1]
    assert hung.modules is not None
    assert hung.modules.foot_mm == 0


def test_an_item_without_a_size_in_the_catalogue_is_a_question() -> None:
    items = WallItems(item("storage", None, None), None, None)
    (asked,) = jobs_of(STORAGE, items).unanswered
    assert asked.facts == ("kit.storage.code",)


def test_the_facts_asked_for_are_facts_of_the_dictionary() -> None:
    dictionary = fact_dictionary({})
    asked = jobs_of('[storage]\nplace = "garage"\n').unanswered
    found = {fact for each in asked for fact in each.facts}
    assert found == {"storage.wall_width_m", "storage.wall_height_m", "storage.modules",
                     "storage.mount", "converter.same_wall"}
    assert found <= dictionary.keys()


def test_a_thing_that_reaches_beyond_the_wall_is_a_mistake() -> None:
    # 4.15 + 0.15 = 4.3, which is 0.1 beyond 4.2.
    with pytest.raises(ProblemsFound) as caught:
        survey_of(STORAGE.replace("x_m = 1.0", "x_m = 4.15"))
    (problem,) = caught.value.problems
    assert (problem.code, problem.where.line) == ("S009", 15)
    assert "reaches to 4.30 m, 0.10 m beyond wall_width_m, 4.2 m" in problem.says


def test_the_worked_wall_of_the_survey_keeps_all_clear_of_the_socket() -> None:
    # The socket, 0.3 to 0.4 m high, keeps 300 mm above it free, up to 700: all hang right of it,
    # from 1150 + 300 on: the converter, then 1450 + 390 + 300 = 2140 and 2140 + 950 = 3090; the
    # last ends at 3740, 460 before the wall's end.
    ((_, job),) = jobs_of(STORAGE + CONVERTER.format(same="true")).jobs
    found = set_out(job, GB, ON)
    assert isinstance(found, WallLayout)
    assert [each.body for each in found.modules] == [
        Rect(2140, 500, 650, 480), Rect(3090, 500, 650, 480)]
    assert found.converter is not None
    assert found.converter.body == Rect(1450, 500, 390, 500)
    assert found.modules[0].bracket is not None
    assert found.modules[0].bracket.width_mm == 480
    assert D(found.modules[0].bracket.x_mm) == 2140 + D(650 - 480) / 2
