"""Practice packs: values by date, each with its source, and everything that can be wrong."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.practice.pack import (
    Practice,
    PracticeFact,
    country_folder,
    practice_values,
    read_practice,
)

EDGE = """
[[value]]
name = "edge_zone_m"
value = "0.4"
unit = "m"
meaning = "clear zone to the edge"
source = "a guide, clause 3"
standing = "published"
from = 2020-01-01
to = 2025-12-31
decides = "engineer"
"""
LATER = EDGE.replace("0.4", "0.5").replace("2020-01-01", "2026-01-01").replace(
    "to = 2025-12-31\n", "")


def pack(text: str) -> Practice:
    values, problems = practice_values([parse_toml(text, "own.toml")])
    assert problems == ()
    return Practice(values)


def found_wrong(text: str) -> list[tuple[str, int | None]]:
    _, problems = practice_values([parse_toml(text, "own.toml")])
    return [(problem.code, problem.where.line) for problem in problems]


@pytest.mark.parametrize(
    ("on", "value"),
    [
        (date(2020, 1, 1), "0.4"), (date(2025, 12, 31), "0.4"), (date(2026, 1, 1), "0.5"),
        (date(2099, 1, 1), "0.5"),
    ],
)
def test_a_value_holds_from_its_first_day_to_its_last(on: date, value: str) -> None:
    assert pack(EDGE + LATER).number("edge_zone_m", on) == Decimal(value)


def test_the_order_in_the_file_does_not_matter() -> None:
    assert pack(LATER + EDGE).number("edge_zone_m", date(2021, 1, 1)) == Decimal("0.4")


def test_a_day_without_a_value_leaves_the_name_out() -> None:
    practice = pack(EDGE)
    assert practice.on(date(2019, 12, 31)) == {}
    assert practice.on(date(2026, 1, 1)) == {}
    with pytest.raises(ProblemsFound, match="no 'edge_zone_m' on 2026-01-01"):
        practice.number("edge_zone_m", date(2026, 1, 1))


def test_a_value_that_has_run_out_or_is_not_in_force_yet_warns() -> None:
    practice = pack(EDGE)
    assert practice.warnings(date(2025, 12, 31)) == ()
    assert practice.warnings(date(2026, 1, 1)) == (
        'edge_zone_m ran out on 2025-12-31: look up the current edition of "a guide, clause 3" '
        "(own.toml:2)",)
    assert practice.warnings(date(2019, 1, 1)) == (
        "edge_zone_m is in force from 2020-01-01 only (own.toml:2)",)


def test_values_become_facts_with_type_unit_and_source() -> None:
    flag = EDGE.replace('"0.4"', "true").replace("edge_zone_m", "loft").replace('"m"', '""')
    text = EDGE.replace('"0.4"', '"slate"').replace("edge_zone_m", "covering")
    facts = pack(EDGE + flag + text).facts(date(2021, 1, 1))
    assert facts["practice.edge_zone_m"] == PracticeFact(
        "practice.edge_zone_m", "number", "m", "clear zone to the edge", Decimal("0.4"),
        "a guide, clause 3", "published", "engineer")
    assert (facts["practice.loft"].type, facts["practice.loft"].value) == ("flag", True)
    assert (facts["practice.covering"].type, facts["practice.covering"].value) == ("text", "slate")


def test_a_word_is_not_a_number() -> None:
    with pytest.raises(ProblemsFound, match="P021"):
        pack(EDGE.replace('"0.4"', '"slate"')).number("edge_zone_m", date(2021, 1, 1))


@pytest.mark.parametrize(
    ("old", "new", "code", "line"),
    [
        ('unit = "m"', 'units = "m"', "P001", 5),
        ('source = "a guide, clause 3"\n', "", "P002", 2),
        ('source = "a guide, clause 3"', 'source = ""', "P002", 7),
        ('name = "edge_zone_m"\n', "", "P002", 2),
        ('value = "0.4"\n', "", "P002", 2),
        ('meaning = "clear zone to the edge"\n', "", "P002", 2),
        ('standing = "published"\n', "", "P002", 2),
        ("from = 2020-01-01\n", "", "P002", 2),
        ('"0.4"', "0.4", "P003", 4),
        ('"0.4"', "[1]", "P003", 4),
        ("edge_zone_m", "Edge zone", "P003", 3),
        ("from = 2020-01-01", 'from = "2020-01-01"', "P003", 9),
        ('unit = "m"', "unit = 3", "P003", 5),
        ('"published"', '"rumour"', "P004", 8),
        ("from = 2020-01-01", "from = 2026-01-01", "P005", 10),
    ],
)
def test_each_mistake_has_its_code_and_its_line(
    old: str, new: str, code: str, line: int
) -> None:
    assert found_wrong(EDGE.replace(old, new)) == [(code, line)]


@pytest.mark.parametrize(
    ("second", "code"),
    [
        (LATER.replace("2026-01-01", "2025-12-31"), "P006"),
        (LATER.replace("2026-01-01", "2020-01-01"), "P006"),
        (LATER.replace("2026-01-01", "2026-01-02"), "P007"),
        (LATER.replace('unit = "m"', 'unit = "mm"'), "P008"),
        (LATER.replace('"0.5"', '"half a metre"'), "P008"),
    ],
)
def test_dates_follow_one_another_and_a_name_keeps_its_kind(second: str, code: str) -> None:
    assert found_wrong(EDGE + second) == [(code, 13)]


def test_a_value_after_one_without_an_end_overlaps() -> None:
    first = EDGE.replace("to = 2025-12-31\n", "")
    assert found_wrong(first + LATER) == [("P006", 12)]


@pytest.mark.parametrize("text", ["value = 3", 'value = ["a"]'])
def test_a_file_without_values_is_refused(text: str) -> None:
    assert [code for code, _ in found_wrong(text)] == ["P009"]


def test_a_file_that_is_all_switched_off_changes_nothing() -> None:
    assert found_wrong("# [[value]]\n# name = 'x'\n") == []


def test_a_firms_own_folder_replaces_every_value_of_a_name(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(LATER, encoding="utf-8")
    practice = read_practice([country_folder("gb"), tmp_path])
    assert practice.number("edge_zone_m", date(2026, 11, 2)) == Decimal("0.5")
    assert len(practice.values["edge_zone_m"]) == 1
    assert "panel_gap_m" in practice.values


def test_all_mistakes_of_all_folders_are_told_at_once(tmp_path: Path) -> None:
    bad = tmp_path / "bad"
    bad.mkdir()
    (bad / "a.toml").write_text(EDGE.replace("published", "rumour"), encoding="utf-8")
    (bad / "b.toml").write_text("name = ", encoding="utf-8")
    with pytest.raises(ProblemsFound) as caught:
        read_practice([bad, tmp_path / "none"])
    assert [problem.code for problem in caught.value.problems] == ["T003", "P004", "P010"]


def test_an_unknown_country_names_those_there_are() -> None:
    with pytest.raises(ProblemsFound, match="choose one of: anz, gb, us"):
        country_folder("xx")


def test_no_folder_outside_the_packs_is_taken_for_a_country() -> None:
    with pytest.raises(ProblemsFound, match="P011"):
        country_folder("../practice/gb")


def test_the_pack_that_comes_with_the_program_is_whole_and_in_force() -> None:
    practice = read_practice([country_folder("gb")])
    assert practice.warnings(date(2026, 11, 2)) == ()
    needed = {
        "vat_standard_rate", "vat_energy_saving_rate", "vat_storage_alone",
        "vat_charity_buildings", "deposit_most_share", "deposit_and_advance_most_share",
        "advance_weeks_before_delivery", "cancellation_days",
    }
    assert needed <= practice.on(date(2026, 11, 2)).keys()
