"""Which readings are due on a job, of what, and what is expected of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from estimator.closing.design import Design, StringOf
from estimator.closing.due import DueFrom, due_readings
from estimator.closing.entries import all_entries
from estimator.closing.limits import Limits
from estimator.closing.sheet_model import groups_of, rows_of
from estimator.practice.pack import Practice
from tests.closing.jobs import ALIKE, GB, LIMITS, design, due_of


def codes(of: Design) -> set[str]:
    return {code for code, _ in due_of(of)}


def test_a_job_without_panels_has_no_string_to_test() -> None:
    panels = codes(design())
    without = codes(design(strings=(), circumstances=frozenset(("storage", "converter"))))
    assert {"string-voc", "string-polarity", "pack-array-report"} <= panels - without
    assert {"storage-count", "loss-of-mains", "pack-certificate"} <= without


def test_each_string_is_read_and_each_circuit() -> None:
    due = due_of(design())
    assert [subject for code, subject in due if code == "string-voc"] == [
        each.name for each in ALIKE]
    assert ("circuit-insulation", "converter circuit") in due


def test_clamps_are_read_phase_by_phase() -> None:
    due = due_of(design(phases=3))
    assert [subject for code, subject in due if code == "clamp-direction"] == ["L1", "L2", "L3"]
    assert [subject for code, subject in due_of(design()) if code == "clamp-direction"] == ["job"]


def test_the_network_is_told_after_or_has_its_form_where_it_was_asked_first() -> None:
    told, asked = codes(design()), codes(design(circumstances=frozenset(("asked first",))))
    assert "network-notice" in told - asked
    assert "network-form" in asked - told


def test_an_electrode_is_read_where_there_is_one() -> None:
    assert "electrode" not in codes(design())
    assert "electrode" in codes(design(circumstances=frozenset(("electrode",))))


def test_what_is_expected_of_a_string_is_said_for_the_sky_of_the_day() -> None:
    due = due_of(design())
    # By hand: 10 x 40 V; 400 V x 0.25 % = 1 V a degree.
    assert due["string-voc", "rear, string 1"].expected.words == (
        "400 V at 25 °C of the cells, 1 V less for each degree above")
    assert due["string-isc", "rear, string 1"].expected.words == (
        "10 A × irradiance / 1000, from 400 W/m² on")
    # By hand: 400 V x 1.25 = 500 V, to 500 V with 500 V at least 1 megohm.
    assert due["string-insulation-plus", "rear, string 1"].expected.words == (
        "at least 1 MΩ at 500 V")


def test_what_nobody_knows_is_not_made_up() -> None:
    unknown = design(panel=None, no_panel="as its manual says", earthing="", figures={},
                     circuits=(), strings=(StringOf("rear, string 1", None, "rear"),))
    due = due_of(unknown)
    assert due["string-voc", "rear, string 1"].expected.words == "as its manual says"
    assert due["external-loop", "job"].expected.words == ""
    assert due["storage-count", "job"].expected.words == ""


def test_a_pack_without_limits_leaves_readings_to_be_noted() -> None:
    bare = Limits(Practice({}), LIMITS.on)
    for each in due_readings(DueFrom(all_entries(), design(), bare)):
        if each.entry.limits and each.entry.box == "number":
            assert each.expected.verdict("1", {}) == "noted", each.code


def test_readings_are_due_from_the_day_that_they_hold() -> None:
    before = replace(LIMITS, on=date(2015, 1, 1))
    assert due_readings(DueFrom(all_entries(), design(), before)) == ()
    assert before.practice is GB


def test_rows_of_a_sheet_keep_to_their_group_and_one_string_at_a_time() -> None:
    due = tuple(due_of(design()).values())
    rows = rows_of(due)
    assert [row.key for row in rows] == [str(n) for n in range(1, len(due) + 1)]
    groups = [row.group for row in rows]
    assert list(dict.fromkeys(groups)) == [group.name for group in groups_of(due)]
    strings = [row.subject for row in rows if row.group == "Strings"]
    assert list(dict.fromkeys(strings)) == ["rear, string 1", "rear, string 2", "job"]
    assert strings == sorted(strings, key=["rear, string 1", "rear, string 2", "job"].index)
    circuits = [row.code for row in rows if row.group == "Circuits"]
    assert circuits.index("circuit-continuity") < circuits.index("volts-idle")  # dead tests first
