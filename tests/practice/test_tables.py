"""Tables of a practice pack: cells, dates, and everything that can be wrong in them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.practice.reading import PackReader

GROUP = """
[[table]]
name = "factor_group"
unit = ""
meaning = "factor for circuits together"
columns = ["circuits", "bunched", "single layer"]
rows = [
    ["6", "0.57", "0.72"],
    ["7", "0.54", ""],
]
source = "a standard, table 1"
standing = "published"
from = 2020-01-01
to = 2025-12-31
decides = "designer"
"""
LATER = GROUP.replace("0.57", "0.58").replace("2020-01-01", "2026-01-01").replace(
    "to = 2025-12-31\n", "")


def read(text: str) -> PackReader:
    reader = PackReader()
    reader.read(parse_toml(text, "own.toml"))
    return reader


def found_wrong(text: str) -> list[tuple[str, int | None]]:
    reader = read(text)
    reader.tables_by_name()
    return [(problem.code, problem.where.line) for problem in reader.problems]


def test_a_column_gives_its_cells_by_key_and_leaves_blanks_out() -> None:
    (table,) = read(GROUP).found_tables
    assert table.keys == (D(6), D(7))
    assert table.column("bunched") == {D(6): D("0.57"), D(7): D("0.54")}
    assert table.column("single layer") == {D(6): D("0.72")}
    with pytest.raises(KeyError, match="no column 'circuits'"):
        table.column("circuits")


@pytest.mark.parametrize(
    ("on", "cell"), [(date(2025, 12, 31), "0.57"), (date(2026, 1, 1), "0.58")]
)
def test_editions_of_a_table_switch_by_date(on: date, cell: str) -> None:
    practice = Practice({}, read(GROUP + LATER).tables_by_name())
    assert practice.table("factor_group", on).column("bunched")[D(6)] == D(cell)
    assert practice.warnings(on) == ()


def test_a_table_that_has_run_out_warns_and_is_not_served() -> None:
    practice = Practice({}, read(GROUP).tables_by_name())
    (warning,) = practice.warnings(date(2026, 1, 1))
    assert warning.startswith("factor_group ran out on 2025-12-31")
    with pytest.raises(ProblemsFound, match="no table 'factor_group' on 2026-01-01"):
        practice.table("factor_group", date(2026, 1, 1))


@pytest.mark.parametrize(
    ("old", "new", "code", "line"),
    [
        ('unit = ""', 'units = ""', "P001", 4),
        ('source = "a standard, table 1"\n', "", "P002", 2),
        ('columns = ["circuits", "bunched", "single layer"]\n', "", "P002", 2),
        ('["circuits", "bunched", "single layer"]', '"bunched"', "P003", 6),
        ('["circuits", "bunched", "single layer"]', '["circuits"]', "P012", 6),
        ('"single layer"]', '"bunched"]', "P012", 6),
        ('"0.54", ""]', '"0.54"]', "P013", 7),
        ('"0.54", ""]', '0.54, ""]', "P003", 7),
        ('"0.54", ""]', '"much", ""]', "P003", 7),
        ('["7"', '["6"', "P014", 7),
        ('["7"', '["5"', "P014", 7),
        ('["7"', '[""', "P014", 7),
        ('"published"', '"rumour"', "P004", 12),
        ("to = 2025-12-31", "to = 2019-12-31", "P005", 14),
    ],
)
def test_each_mistake_has_its_code_and_its_line(
    old: str, new: str, code: str, line: int
) -> None:
    assert found_wrong(GROUP.replace(old, new)) == [(code, line)]


@pytest.mark.parametrize(
    ("second", "code"),
    [
        (LATER.replace("2026-01-01", "2025-12-31"), "P006"),
        (LATER.replace("2026-01-01", "2026-01-02"), "P007"),
        (LATER.replace('unit = ""', 'unit = "A"'), "P008"),
    ],
)
def test_editions_of_a_table_follow_one_another(second: str, code: str) -> None:
    assert found_wrong(GROUP + second) == [(code, 17)]


def test_a_firms_own_table_replaces_that_of_the_pack(tmp_path: Path) -> None:
    (tmp_path / "own.toml").write_text(LATER, encoding="utf-8")
    practice = read_practice([country_folder("gb"), tmp_path])
    assert practice.table("factor_group", date(2026, 11, 2)).source == "a standard, table 1"
    assert "factor_air" in practice.tables


@pytest.mark.parametrize("country", ["gb", "us"])
def test_every_table_of_a_pack_is_in_force_and_names_its_source(country: str) -> None:
    practice = read_practice([country_folder(country)])
    assert practice.tables
    assert practice.warnings(date(2026, 11, 2)) == ()
    for editions in practice.tables.values():
        for table in editions:
            assert table.source
            assert ("from memory" in table.source) == (table.standing == "from memory")
