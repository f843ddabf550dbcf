"""Clocks run from the commissioning, by calendar or by working days, until their paper went out."""

from __future__ import annotations

from datetime import date

import pytest

from estimator.closing.clocks import Clock, clocks
from estimator.closing.entries import all_entries
from estimator.closing.limits import Limits
from estimator.practice.pack import Practice
from tests.closing.jobs import GB, design

FRIDAY = date(2026, 12, 18)


def found(day: date = FRIDAY, practice: Practice = GB, **done: date) -> dict[str, Clock]:
    made = clocks(all_entries(), design(), Limits(practice, day), day,
                  {code.replace("_", "-"): on for code, on in done.items()},
                  {"maker-registration": "portal is down"})
    return {each.code: each for each in made}


def test_each_paper_has_its_last_day() -> None:
    """By a calendar of England: 25 and 28 December 2026 and 1 January 2027 are holidays.

    28 days after 18 December is 15 January; working days are 21 to 24 and 29 to 31 December, then 4
    to 6 January, which is the tenth; 30 days after is 17 January.
    """
    assert {code: each.last for code, each in found().items()} == {
        "network-notice": date(2027, 1, 15), "scheme-certificate": date(2027, 1, 6),
        "building-control": date(2027, 1, 17), "maker-registration": date(2027, 1, 17)}


def test_a_clock_is_past_the_day_after_its_last() -> None:
    clock = found()["network-notice"]
    assert [clock.is_past(date(2027, 1, day)) for day in (14, 15, 16)] == [False, False, True]


@pytest.mark.parametrize(("on", "late"), [(15, False), (16, True)])
def test_a_clock_stops_with_the_day_of_its_paper(on: int, late: bool) -> None:
    clock = found(network_notice=date(2027, 1, on))["network-notice"]
    assert clock.stopped == date(2027, 1, on)
    assert not clock.is_past(date(2027, 12, 31))
    assert clock.was_late == late


def test_a_reason_does_not_stop_a_clock() -> None:
    clock = found()["maker-registration"]
    assert (clock.why_not, clock.is_past(date(2027, 1, 18))) == ("portal is down", True)


def test_a_year_without_holidays_is_told() -> None:
    # The pack states holidays to 2028; 2029 is not entered.
    assert found(date(2028, 12, 27))["scheme-certificate"].unlisted == (2029,)
    assert found()["scheme-certificate"].unlisted == ()


def test_a_pack_that_states_no_days_leaves_the_last_day_open() -> None:
    made = found(practice=Practice({}))
    assert {each.last for each in made.values()} == {None}
    assert not made["network-notice"].is_past(date(2030, 1, 1))
