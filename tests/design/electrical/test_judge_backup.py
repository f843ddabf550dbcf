"""The feed from the converter's backup output to the backup board, listed or not."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F
from typing import Any

from estimator.design.sheet import Unknown
from tests.design.electrical.jobs import asked, codes, judged, leg, told, worked

FEED = "backup feed"
PARTS = ("converter", "backup")
FIVE = {"ac_w": 5000, "ac_a": D("21.7"), "device_a": 25, "backup_w": 5000}


def feed(*legs: dict[str, Any], **more: Any) -> Any:
    return judged(leg(), *legs, parts=PARTS, converter=FIVE, **more)


def test_the_feed_is_sized_for_the_output_and_the_next_device_made() -> None:
    # 5000 W / 230 V = 21.74 A, so a 25 A device; in trunking 2.5 mm² carries 23 A, 4 mm² 30
    # (BS 7671, Table 4D2A). 11 x 21.74 x 8 / 1000 = 1.9 V of 11.5.
    found = feed(leg("trunking", 8, run="backup"))
    assert (found.facts["backup.flat_mm2"], found.facts["backup.rating_a"]) == (4, 25)
    load = told(found, "circuit-load", FEED)
    assert (load.value, load.limit) == (F(5000, 230), 25)
    drop = told(found, "volt-drop", FEED)
    assert drop.value == F(11 * 8, 1000) * F(5000, 230)
    assert "device of 25 A" in worked(found, "circuit-cable", FEED).says
    assert "volt-rise-aim" not in {each.code for each in found.told if each.subject == FEED}


def test_each_phase_of_a_three_phase_output_carries_its_third() -> None:
    # 10000 / (3 x 230) = 14.49 A, 16 A device.
    found = judged(leg(), leg("clipped", 8, run="backup"), parts=PARTS, supply={"phases": 3},
                   converter={"phases": 3, "ac_w": 10000, "ac_a": D("14.5"), "backup_w": 10000})
    assert told(found, "circuit-load", FEED).value == F(10000, 690)
    assert found.facts["backup.rating_a"] == 16


def test_a_feed_without_legs_is_sized_for_the_route_assumed_and_still_asked() -> None:
    # 15 m (common practice, no source), in insulation: 25 / 0.5 = 50 A clipped, so 10 mm² (64).
    found = feed()
    assert (found.facts["backup.flat_mm2"], found.facts["backup.flat_lengths"]) == (10, 1)
    assert {"backup.flat_mm2", "backup.rating_a"} <= found.assumed
    assert not any(path.startswith("circuit.") for path in found.assumed)
    question = asked(found, "volt-drop")
    assert question.facts == ("backup.feed_m",)
    assert question.worst.level == "caution"
    assert question.worst.value == F("4.4") * 15 / 1000 * F(5000, 230)
    assert told(found, "cable-capacity", f"{FEED}, the whole route").limit == 50


def test_a_route_that_is_known_is_a_fact_like_any_other() -> None:
    found = feed(backup={"feed_m": 6})
    assert not found.assumed
    assert told(found, "volt-drop", FEED).value == F("4.4") * 6 / 1000 * F(5000, 230)


def test_a_leg_of_which_nobody_knows_the_run_may_be_of_the_feed() -> None:
    found = feed(leg("clipped", 8, run=None))
    sizes = [found.facts[f"{run}.flat_mm2"] for run in ("circuit", "backup")]
    assert all(isinstance(each, Unknown) and each.facts == {"leg[1].run"} for each in sizes)


def test_no_backup_asks_for_no_feed() -> None:
    found = judged(leg())
    assert "backup.flat_mm2" not in found.facts
    assert found.facts["backup.over_to_armoured"] is False
    assert not [each for each in found.told if getattr(each, "subject", "") == FEED]
    assert "circuit-load" in codes(found)
