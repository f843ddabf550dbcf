"""Spare ways, the direction of the device, and the edition that a design follows on its day."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.design.electrical.jobs import asked, codes, judged, leg, told

LAST, SOLE = date(2026, 10, 14), date(2026, 10, 15)
WORK = date(2027, 1, 11)


def board(**facts: Any) -> Any:
    return judged(leg(), board=facts)


@pytest.mark.parametrize(
    ("phases", "spare", "level"), [(1, 1, "fine"), (1, 0, "caution"), (3, 3, "fine"),
                                   (3, 2, "caution")])
def test_true_spare_ways_are_held_against_one_for_each_phase(
    phases: int, spare: int, level: str
) -> None:
    # Common practice, no source: compact devices take a way for each phase.
    found = judged(leg(), supply={"phases": phases}, board={"spare_ways": spare},
                   converter={"phases": phases})
    check = told(found, "spare-ways")
    assert (check.value, check.limit, check.level) == (spare, phases, level)
    assert ("sub-board" in check.says) is (level == "caution")


@pytest.mark.parametrize("change", [{"condition": "replace"}, {"rcd_for_whole_board": True}])
def test_a_board_that_does_not_feed_the_converter_is_not_counted(change: Any) -> None:
    assert "spare-ways" not in codes(board(spare_ways=0, **change))


def test_ways_that_nobody_counted_are_a_question_with_a_sub_board_as_worst() -> None:
    question = asked(board(spare_ways=None), "spare-ways")
    assert question.facts == ("board.spare_ways",)
    assert question.worst.level == "caution"
    assert "sub-board" in question.worst.says


@pytest.mark.parametrize(
    ("marks", "level"), [("both ways", "fine"), ("one way", "caution"), ("not marked", "caution")])
def test_no_mark_is_no_permission_to_feed_a_source(marks: str, level: str) -> None:
    # BS 7671:2018, amendment 3 of 2024: a both-way device wherever power can flow both ways.
    assert told(board(device_direction=marks), "device-direction").level == level


def test_a_device_that_nobody_looked_at_is_a_question() -> None:
    question = asked(board(device_direction=None), "device-direction")
    assert question.facts == ("board.device_direction",)
    assert question.worst.level == "caution"


@pytest.mark.parametrize(
    ("on", "supply_date", "level", "words"),
    [
        # Amendment 4 was published on 15 April 2026; amendment 3 is withdrawn on 15 October 2026.
        (LAST, WORK, "caution", "amendment 3 of 2024 is withdrawn before the work on 2027-01-11"),
        (LAST, None, "caution", "design, test and certify by BS 7671, amendment 4 of 2026"),
        (LAST, LAST, "fine", "amendment 3 of 2024"),
        (SOLE, WORK, "fine", "amendment 4 of 2026"),
        (SOLE, None, "fine", "amendment 4 of 2026"),
        (SOLE, LAST, "fine", "amendment 4 of 2026"),  # a day of work that has passed
    ],
)
def test_the_day_of_the_design_and_of_the_work_decide_on_the_edition(
    on: date, supply_date: date | None, level: str, words: str
) -> None:
    check = told(judged(leg(), on=on, supply_date=supply_date), "wiring-edition")
    assert check.level == level
    assert words in check.says


@pytest.mark.parametrize(
    ("on", "edition"), [(LAST, "BS 7671:2018, amendment 3 of 2024"),
                        (SOLE, "BS 7671, amendment 4 of 2026")])
def test_the_rule_on_both_way_devices_is_cited_from_the_edition_of_the_day(
    on: date, edition: str
) -> None:
    found = judged(leg(), on=on, board={"device_direction": "one way"})
    assert told(found, "device-direction").source.startswith(edition)
