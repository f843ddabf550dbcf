"""Norm files: what comes with the program, a firm's own, and everything that can be wrong."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.labour.norms import read_norms, standard_norms

LINK = """
[[norm]]
id = "link"
name = "link"
per = "link"
low = 6
likely = 10.5
high = 20
crew = 1
group = "storage"
on_site = true
source = "our records"
from = 2026-05-01
"""


def codes(text: str) -> list[tuple[str, int | None]]:
    with pytest.raises(ProblemsFound) as caught:
        read_norms([parse_toml(text, "own.toml")])
    return [(problem.code, problem.where.line) for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("norm", "low", "likely", "high"),
    [
        # Worked example, invented figures.
        ("load-van", "20", "30", "50"), ("travel", "0.875", "1", "1.375"),
        ("fixing-slate", "25", "38", "65"), ("bracket-resin", "40", "55", "90"),
        ("hang-module", "16", "24", "50"), ("new-board", "300", "420", "660"),
        ("storage-terminate", "15", "25", "45"), ("office-approval", "60", "90", "180"),
    ],
)
def test_the_norms_that_come_with_the_program_hold_the_figures_of_the_example(
    norm: str, low: str, likely: str, high: str
) -> None:
    found = standard_norms()[norm]
    assert (found.low, found.likely, found.high) == (Decimal(low), Decimal(likely), Decimal(high))


def test_every_norm_that_comes_with_the_program_says_that_it_is_invented() -> None:
    norms = standard_norms()
    assert len(norms) >= 50
    assert {norm.source for norm in norms.values()} == {
        "worked example, invented figures; replace with the firm's own records"}


def test_nobody_works_alone_on_the_roof_or_hangs_a_module_alone() -> None:
    # Common practice, no source: never alone on the roof or at a heavy lift.
    norms = standard_norms()
    alone = [norm.id for norm in norms.values() if norm.group == "roof" and norm.crew < 2]
    assert alone == []
    assert norms["hang-module"].crew == 2


def test_only_travel_and_loading_come_again_with_each_trip() -> None:
    each_trip = {norm.id for norm in standard_norms().values() if norm.each_trip}
    assert each_trip == {"travel", "load-van"}


def test_a_firms_own_norm_takes_the_place_of_the_one_with_its_id(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text(LINK, encoding="utf-8")
    norms = standard_norms([own])
    assert norms["link"].likely == Decimal("10.5")
    assert norms["link"].source == "our records"
    assert norms["rail"] == standard_norms()["rail"]


def test_source_and_date_may_stand_once_for_the_file() -> None:
    body = LINK.replace('source = "our records"\n', "").replace("from = 2026-05-01\n", "")
    text = 'source = "the file"\nfrom = 2026-02-03\n' + body
    norm = read_norms([parse_toml(text, "own.toml")])["link"]
    assert (norm.source, norm.from_date.isoformat()) == ("the file", "2026-02-03")


@pytest.mark.parametrize(
    ("old", "new", "code", "line"),
    [
        ("crew = 1", "crewe = 1\ncrew = 1", "N001", 9),
        ("crew = 1\n", "", "N002", 2),
        ('source = "our records"\n', "", "N002", 2),
        ("from = 2026-05-01\n", "", "N002", 2),
        ("crew = 1", "crew = 0", "N003", 9),
        ("crew = 1", "crew = true", "N003", 9),
        ("crew = 1", "crew = 1.5", "N003", 9),
        ("low = 6", "low = -6", "N003", 6),
        ("low = 6", 'low = "six"', "N003", 6),
        ("low = 6", "low = true", "N003", 6),
        ("on_site = true", 'on_site = "yes"', "N003", 11),
        ("from = 2026-05-01", 'from = "2026-05-01"', "N003", 13),
        ("from = 2026-05-01", "from = 2026-05-01T08:00:00", "N003", 13),
        ('name = "link"', 'name = " "', "N003", 4),
        ("low = 6", "low = 11", "N004", 6),
        ("high = 20", "high = 10", "N004", 6),
        ('group = "storage"', 'group = "storing"', "N005", 10),
        ("on_site = true", "on_site = true\neach_trip = true", "N007", 12),
    ],
)
def test_each_mistake_has_its_code_and_its_line(
    old: str, new: str, code: str, line: int
) -> None:
    assert codes(LINK.replace(old, new)) == [(code, line)]


def test_all_mistakes_of_all_files_are_told_at_once() -> None:
    bad = parse_toml(LINK.replace("crew = 1", "crew = 0").replace("low = 6", "low = -1"), "a.toml")
    worse = parse_toml(LINK.replace('"storage"', '"x"'), "b.toml")
    with pytest.raises(ProblemsFound) as caught:
        read_norms([bad, worse])
    found = [(problem.where.file, problem.code) for problem in caught.value.problems]
    assert found == [("a.toml", "N003"), ("a.toml", "N003"), ("b.toml", "N005")]


def test_a_norm_that_stands_twice_in_one_file_is_refused() -> None:
    assert codes(LINK + LINK) == [("N006", 16)]


@pytest.mark.parametrize("text", ["norm = 3", 'norm = ["a"]'])
def test_a_file_without_norms_is_refused(text: str) -> None:
    assert [code for code, _ in codes(text)] == ["N008"]


def test_a_file_that_is_all_switched_off_changes_nothing() -> None:
    assert read_norms([parse_toml("# [[norm]]\n# id = 'x'\n", "own.toml")]) == {}


def test_a_wrong_group_is_answered_with_the_closest_one() -> None:
    with pytest.raises(ProblemsFound, match="did you mean 'storage'"):
        read_norms([parse_toml(LINK.replace('"storage"', '"storing"'), "own.toml")])


def test_a_file_that_is_not_there_is_told_together_with_one_that_is_broken(tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text("id = ", encoding="utf-8")
    with pytest.raises(ProblemsFound) as caught:
        standard_norms([tmp_path / "none.toml", broken])
    assert [problem.code for problem in caught.value.problems] == ["T001", "T003"]


STANDARD = 'source = "invented"\n' + LINK.replace("2026-05-01", "2026-01-01").replace(
    "10.5", "11")


def likely(on: date, *own: str) -> Decimal:
    """Return the likely minutes of the link on a day, with these files of a firm over it."""
    files = [parse_toml(STANDARD, "norms.toml"),
             *(parse_toml(text, f"norms/{at}.toml") for at, text in enumerate(own))]
    return read_norms(files, on)["link"].likely


def version(minutes: str, starts: str) -> str:
    return LINK.replace("10.5", minutes).replace("2026-05-01", starts)


def test_a_norm_that_begins_later_does_not_hold_for_an_earlier_day() -> None:
    own = version("12", "2026-05-01")
    assert likely(date(2026, 4, 30), own) == 11
    assert likely(date(2026, 5, 1), own) == 12


def test_of_the_firms_own_versions_the_one_that_began_last_holds_whatever_the_files_are_called(
) -> None:
    first, second = version("12", "2026-05-01"), version("13", "2026-09-01")
    for order in ((first, second), (second, first)):
        assert [likely(date(2026, month, 1), *order) for month in (4, 6, 9, 12)] == [
            11, 12, 13, 13]


def test_of_two_versions_of_one_day_the_later_file_holds() -> None:
    assert likely(date(2026, 6, 1), version("12", "2026-05-01"), version("13", "2026-05-01")) == 13


def test_a_firms_own_norm_holds_although_it_is_older_than_that_of_the_program() -> None:
    assert likely(date(2026, 6, 1), version("12", "2019-05-01")) == 12


def test_the_norms_of_the_program_hold_on_any_day() -> None:
    assert likely(date(2020, 1, 1)) == 11
    assert read_norms([parse_toml(STANDARD, "norms.toml")], date(2020, 1, 1)).keys() == {"link"}


def test_a_new_norm_of_the_firm_is_not_there_before_it_begins() -> None:
    files = [parse_toml(STANDARD, "norms.toml"),
             parse_toml(LINK.replace('"link"', '"our-link"', 1), "norms/own.toml")]
    assert read_norms(files, date(2026, 4, 30)).keys() == {"link"}
    assert read_norms(files, date(2026, 5, 1)).keys() == {"link", "our-link"}
    assert read_norms(files).keys() == {"link", "our-link"}
