"""The published lifting guides carried through the judge of a job.

L23 and INDG143 are guidance of the Health and Safety Executive. "From memory" marks a figure that
was not read again in the document when the test was written.
"""

from __future__ import annotations

from fractions import Fraction as F
from pathlib import Path

import pytest

from tests.design.lifting.lift_job import SIZES, figures, judged, practice_with, told

WOMEN = """
[[value]]
name = "lift_person"
value = "woman"
unit = ""
meaning = "whose figures are taken for each member of a team: man or woman (the lower)"
source = "the firm's own choice"
standing = "common practice"
from = 1998-01-01
decides = "site manager"
"""
HANDS = """
[[table]]
name = "lifting_hands"
columns = ["load", "from", "to", "reach"]
rows = [
  ["hung on a wall", "{low}", "{high}", "{reach}"],
  ["standing on the floor", "0.35", "", "close"],
  ["panel", "0.80", "1.00", "close"],
  ["carried", "0.80", "1.00", "close"],
]
unit = "m"
meaning = "lowest and highest place of the hands in a lift, and their reach"
source = "a test"
standing = "common practice"
from = 1998-01-01
decides = "site manager"
"""


@pytest.mark.parametrize(("mass_kg", "aid"), [("33.33", False), ("33.34", True)])
def test_two_men_carry_a_panel_up_to_33_3_kg(mass_kg: str, aid: bool) -> None:
    # L23: 25 kg at the waist; a rail operator's safety page: two thirds of 50 kg for two, printed
    # as 33.3, kept as 100/3.
    found = judged({"panel": mass_kg})
    assert (found.facts["lift.panel_people"], found.facts["lift.aid"]) == (2, aid)
    assert told(found, "lift-panel").limit == F(100, 3)


@pytest.mark.parametrize(("mass_kg", "aid"), [("21.33", False), ("21.34", True)])
def test_two_women_carry_a_panel_up_to_21_3_kg(mass_kg: str, aid: bool, tmp_path: Path) -> None:
    # Same pages: 16 kg at the waist, two thirds of 32 kg, printed as 21.3.
    found = judged({"panel": mass_kg}, practice=practice_with(tmp_path, WOMEN))
    assert found.facts["lift.aid"] is aid
    assert told(found, "lift-panel").limit == F(64, 3)
    assert "16 kg for one woman" in told(found, "lift-panel").says


@pytest.mark.parametrize(("mass_kg", "says"), [
    ("37.5", "within that of 37.5 kg for three people only"),
    ("37.51", "over the guide of 37.5 kg for the largest team"),
])
def test_three_men_could_carry_37_5_kg_and_an_aid_is_planned(mass_kg: str, says: str) -> None:
    # A rail operator's safety page: half of 75 kg for three.
    found = judged({"panel": mass_kg})
    assert found.facts["lift.aid"] is True
    assert says in told(found, "lift-panel").says


@pytest.mark.parametrize(
    ("low_m", "high_m", "reach", "kg"),
    [
        # L23, as quoted on a course page: from knuckle height up to the waist 20 kg; from the
        # floor past the waist up 10 kg; at arm's length at the shoulder 10 kg (from memory).
        ("0.35", "1.00", "close", 20), ("0.00", "1.20", "close", 10), ("1.10", "1.20", "arm", 10),
        ("0.80", "1.00", "close", 25), ("1.00", "1.50", "close", 10),
    ],
)
def test_a_hung_converter_takes_the_smallest_figure_on_its_way(
    low_m: str, high_m: str, reach: str, kg: int, tmp_path: Path
) -> None:
    hands = HANDS.format(low=low_m, high=high_m, reach=reach)
    tall = {**SIZES, "converter": {"width_mm": 180, "height_mm": 1200}}
    found = judged({"converter": 15}, practice=practice_with(tmp_path, hands), sizes=tall)
    assert figures(found)["guide for one"] == kg


def test_a_storage_module_of_60_kg_takes_two_and_an_aid_through_the_judge() -> None:
    # Common practice, no source: two people at the least, and an assessment or an aid.
    found = judged({"storage": 60})
    assert (found.facts["lift.storage_people"], found.facts["lift.aid"]) == (2, True)
    assert "assess the lift and use an aid" in told(found, "lift-storage").says


def test_the_homework_comes_out_of_the_second_opinion(tmp_path: Path) -> None:
    # A solved homework on manual lifting (NIOSH 94-110): H 25, V 55, D 95, A 0, fair grip: 0.94,
    # 0.867368, 0.95; 12 kg. It lifts three times a minute (FM 0.88, 15.677 kg, index 0.7654); a
    # job lifts now and then (FM 1), so 15.677 / 0.88.
    hands = HANDS.format(low="0.55", high="1.50", reach="close")
    thin = {**SIZES, "converter": {"width_mm": 100, "height_mm": 600}}
    found = figures(judged({"converter": 12}, practice=practice_with(tmp_path, hands), sizes=thin))
    assert found["NIOSH height multiplier VM"] == F("0.94")
    assert float(found["NIOSH travel multiplier DM"]) == pytest.approx(0.867368, abs=5e-7)
    assert found["NIOSH grip multiplier CM"] == F("0.95")
    assert found["NIOSH reach multiplier HM"] == found["NIOSH turn multiplier AM"] == 1
    limit = float(found["NIOSH recommended weight limit for one"])
    assert limit * 0.88 == pytest.approx(15.677, abs=0.0005)
    assert float(found["NIOSH lifting index for one"]) / 0.88 == pytest.approx(0.7654, abs=5e-5)


def test_the_second_opinion_is_called_no_law() -> None:
    (worked,) = judged({"storage": 60}).worked
    assert worked.code == "lift-plan"
    assert "NIOSH equation as a second opinion, no law here" in worked.method
    assert "94-110" in worked.source
    # H 20 + 18 / 2 = 29 cm, V 35, D 85 cm, fair grip: 14.470 kg, by hand; 60 / 14.470 = 4.147.
    index = {each.name: each.value for each in worked.sums}["NIOSH lifting index for one"]
    assert float(F(str(index))) == pytest.approx(4.147, abs=0.0005)
