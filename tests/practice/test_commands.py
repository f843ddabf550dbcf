"""The commands `practice show` and `practice check`, and that every pack that ships is sound."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from catalogue.toml_source import parse_toml
from estimator.cli import main
from estimator.practice.pack import PACKS, Practice, country_folder, practice_values, read_practice
from estimator.workflow.practice import checked, listed

COUNTRIES = sorted({path.parent.name for path in PACKS.glob("*/*.toml")})
ON = date(2026, 11, 2)
VALUE = """
[[value]]
name = "gap_m"
value = "0.3"
unit = "m"
meaning = "clear gap"
source = "a guide, 2024 edition"
standing = "published"
from = 2024-01-01
to = 2026-12-31
decides = "designer"
"""


@pytest.fixture(autouse=True)
def _empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def call(*words: str) -> Result:
    return CliRunner().invoke(main, ["practice", *words])


def pack(text: str) -> Practice:
    values, problems = practice_values([parse_toml(text, "own.toml")])
    assert problems == ()
    return Practice(values)


def kinds(text: str, on: date = ON) -> list[str]:
    return [warning.kind for warning in checked("xx", pack(text), on).warnings]


# --- show -----------------------------------------------------------------------------------------


def test_a_value_is_shown_with_unit_source_standing_dates_and_who_decides() -> None:
    done = call("show", "notice", "days", "told", "--on", "2026-11-02")
    assert done.exit_code == 0
    assert done.output == (
        "network_notice_days = 28 days\n"
        "    days after commissioning by which the network is told\n"
        "    source: ENA Engineering Recommendation G98, installers' guides (published), "
        "from 2019-04-27\n"
        "    decides: network operator\n")


@pytest.mark.parametrize(
    ("on", "value"), [("2026-10-14", "guidance"), ("2026-10-15", "required")])
def test_the_day_chooses_the_edition(on: str, value: str) -> None:
    (line,) = json.loads(call("show", "weight of the document", "--on", on, "--json").output)
    assert line["name"] == "siting_standing"
    assert line["value"] == value
    assert (line["to"] is None) is (value == "required")


def test_another_country_has_another_value() -> None:
    (line,) = json.loads(
        call("show", "siting_opening_m", "--country", "us", "--on", "2026-11-02", "--json").output)
    assert (line["value"], line["unit"]) == ("0.914", "m")
    (line,) = json.loads(
        call("show", "siting_opening_m", "--country", "anz", "--json", "--on", "2026-11-02").output)
    assert (line["value"], line["standing"]) == ("0.6", "from memory")


def test_words_that_nothing_holds_say_so() -> None:
    done = call("show", "zeppelin")
    assert done.exit_code == 0
    assert "No value has these words" in done.output


def test_an_unknown_country_is_a_mistake_that_names_the_packs() -> None:
    done = call("show", "--country", "xx")
    assert done.exit_code == 1
    assert "choose one of: " + ", ".join(COUNTRIES) in done.stderr
    assert "Traceback" not in done.output


def test_a_firms_own_value_takes_the_place_of_the_packs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert call("show").exit_code == 0
    assert CliRunner().invoke(main, ["start", "firm"]).exit_code == 0
    own = Path("firm/practice")
    own.mkdir(exist_ok=True)
    (own / "own.toml").write_text(
        VALUE.replace("gap_m", "siting_opening_m").replace('"0.3"', '"1.5"'), encoding="utf-8")
    monkeypatch.chdir("firm")
    (line,) = json.loads(call("show", "siting_opening_m", "--on", "2026-11-02", "--json").output)
    assert line["value"] == "1.5"
    assert line["place"].endswith("own.toml:2")


# --- check ----------------------------------------------------------------------------------------


def test_the_check_counts_the_values_and_their_standing() -> None:
    done = call("check", "--json", "--on", "2026-11-02")
    assert done.exit_code == 0
    found = json.loads(done.output)
    assert found["country"] == "gb"
    assert found["values"] == sum(found["standings"].values())
    assert set(found["standings"]) == {"published", "common practice", "from memory"}


def test_the_check_in_words_ends_with_the_number_of_warnings() -> None:
    lines = call("check", "--country", "anz", "--on", "2026-11-02").output.splitlines()
    assert lines[0].startswith("anz: ")
    assert lines[-1] == f"{len(lines) - 2} warning{'s' if len(lines) != 3 else ''}."


def test_what_has_run_out_or_not_begun_is_out_of_date() -> None:
    assert kinds(VALUE, date(2027, 1, 1)) == ["out of date"]
    assert kinds(VALUE, date(2023, 12, 31)) == ["out of date"]
    assert kinds(VALUE, date(2026, 9, 1)) == []


def test_what_ends_within_90_days_is_told_unless_something_follows() -> None:
    # 2 October is 90 days before 31 December: 29 + 30 + 31 = 90.
    assert kinds(VALUE, date(2026, 10, 1)) == []
    assert kinds(VALUE, date(2026, 10, 2)) == ["ends soon"]
    later = VALUE.replace("from = 2024-01-01\nto = 2026-12-31", "from = 2027-01-01")
    assert kinds(VALUE + later, date(2026, 12, 31)) == []


@pytest.mark.parametrize(
    ("old", "new", "kind"),
    [
        ("a guide, 2024 edition", "a guide", "no edition"),
        ("a guide, 2024 edition", "Issue 2, from memory", "no source"),
        ('decides = "designer"\n', "", "nobody decides"),
    ],
)
def test_a_weak_source_is_told(old: str, new: str, kind: str) -> None:
    assert kinds(VALUE.replace(old, new), date(2026, 9, 1)) == [kind]


def test_common_practice_needs_no_edition() -> None:
    text = VALUE.replace("published", "common practice").replace(
        "a guide, 2024 edition", "common practice, no source")
    assert kinds(text, date(2026, 9, 1)) == []


@pytest.mark.parametrize(("line", "code"), [
    ("from = 2024-01-01\n", "P002"), ('source = "a guide, 2024 edition"\n', "P002")])
def test_a_value_without_a_date_or_a_source_is_a_mistake(
    line: str, code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert CliRunner().invoke(main, ["start", "firm"]).exit_code == 0
    own = Path("firm/practice")
    own.mkdir(exist_ok=True)
    (own / "own.toml").write_text(VALUE.replace(line, ""), encoding="utf-8")
    monkeypatch.chdir("firm")
    done = call("check")
    assert done.exit_code == 1
    assert f"error {code}: 'gap_m' has no" in done.stderr


def test_the_tax_that_ends_in_march_2027_is_followed_by_another() -> None:
    found = json.loads(call("check", "--json", "--on", "2027-03-31").output)
    assert "vat_energy_saving_rate" not in {
        w["name"] for w in found["warnings"] if w["kind"] in ("ends soon", "out of date")}


def test_holidays_nobody_has_entered_are_told_in_time() -> None:
    found = json.loads(call("check", "--json", "--on", "2028-11-01").output)
    assert ("ends soon", "network_public_holidays") in {
        (w["kind"], w["name"]) for w in found["warnings"]}


# --- the packs that ship --------------------------------------------------------------------------


@pytest.mark.parametrize("country", COUNTRIES)
def test_every_pack_is_in_force_and_says_who_decides(country: str) -> None:
    practice = read_practice([country_folder(country)])
    found = checked(country, practice, ON)
    assert found.values > 20
    assert [w for w in found.warnings if w.kind in ("out of date", "nobody decides")] == []


@pytest.mark.parametrize("country", COUNTRIES)
def test_a_source_said_to_be_from_memory_has_that_standing(country: str) -> None:
    for line in listed(read_practice([country_folder(country)]), ON):
        if re.search(r"\(from memory|^from memory", line.source):
            assert line.standing == "from memory", line.name


def test_there_are_packs_of_three_countries() -> None:
    assert {"gb", "us", "anz"} <= set(COUNTRIES)
