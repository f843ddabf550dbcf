"""Databases and folders that fail: all is kept and written, or all is as it was; the same bytes."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner
from sqlalchemy import Connection
from sqlalchemy.exc import OperationalError

from estimator.cli import main
from tests.chain.desk import DAY, SURVEY, as_a_process, codes, papers, quote, run


def test_databases_that_are_none_are_told(desk: Path) -> None:
    whole = (desk / "estimator.db").read_bytes()
    (desk / "text.db").write_text("milk\n" * 1000, encoding="utf-8")
    (desk / "half.db").write_bytes(whole[: len(whole) // 3])
    (desk / "torn.db").write_bytes(whole[:100_000] + b"\xaa" * 200_000 + whole[300_000:])
    (desk / "folder.db").mkdir()
    with sqlite3.connect(desk / "other.db") as other:
        other.execute("CREATE TABLE milk (litres INTEGER)")
    wanted = {
        "text.db": "D002", "half.db": "D008", "torn.db": "D008", "folder.db": "D002",
        "other.db": "D003", "survey.toml/x.db": "D002", "x" * 5000: "D002",
        "sqlite:///x.db?timeout=abc": "D001", "sqlite+aiosqlite:///x.db": "D001",
        "nosuch://x": "D001",
    }
    for name, code in wanted.items():
        result = quote("--db", name, "--json")
        assert (result.exit_code, codes(result)) == (1, {code}), name[:40]
    assert papers(desk) == []
    assert not (desk / "x.db").exists()


@pytest.mark.parametrize("version", ["0000", "'; DROP TABLE item"])
def test_a_version_from_which_no_step_leads_on_is_told_and_left_alone(
    desk: Path, version: str
) -> None:
    with sqlite3.connect(desk / "estimator.db") as old:
        old.execute("UPDATE alembic_version SET version_num = ?", (version,))
    old.close()
    assert codes(quote("--json")) == {"D004"}
    upgraded = run("db", "upgrade", "--json")
    assert (upgraded.exit_code, codes(upgraded)) == (1, {"D009"})
    with sqlite3.connect(desk / "estimator.db") as left:
        assert left.execute("SELECT version_num FROM alembic_version").fetchall() == [(version,)]
        assert left.execute("SELECT count(*) FROM item").fetchone()[0] > 400


def test_a_database_that_takes_no_commit_leaves_no_papers_and_those_before_as_they_were(
    desk: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert quote().exit_code == 0
    before = {path.name: path.read_bytes() for path in (desk / "out").iterdir()}
    (desk / "out" / "D-101-r2-quote.html").write_bytes(b"of another desk")

    def full(_: Connection) -> None:
        raise OperationalError("COMMIT", None, sqlite3.OperationalError("disk is full"))

    monkeypatch.setattr(Connection, "commit", full)
    result = quote("--discount", "1", "--reason", "r", "--name", "n", "--json")
    assert (result.exit_code, codes(result)) == (1, {"D007"})
    after = {path.name: path.read_bytes() for path in (desk / "out").iterdir()}
    assert after == before | {"D-101-r2-quote.html": b"of another desk"}
    monkeypatch.undo()
    monkeypatch.chdir(desk)
    assert len(json.loads(run("jobs", "list", "--json").stdout)) == 1
    assert json.loads(run("jobs", "show", "D-101", "--json").stdout)["revision"] == 1


def test_one_paper_that_cannot_be_put_in_place_takes_back_the_others(desk: Path) -> None:
    (desk / "out" / "D-101-r1-estimate.json" / "in the way").mkdir(parents=True)
    result = quote("--json")
    assert (result.exit_code, codes(result)) == (1, {"F003"})
    assert papers(desk) == ["D-101-r1-estimate.json"]
    assert json.loads(run("jobs", "list", "--json").stdout) == []


def test_a_first_use_that_is_broken_off_leaves_no_database(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken_off(_: Connection) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("catalogue.starter.load_starter", broken_off)
    result = CliRunner().invoke(
        main, ["quote", str(SURVEY), "--on", DAY, "--db", str(tmp_path / "new" / "x.db")])
    assert result.exit_code == 1
    assert list((tmp_path / "new").iterdir()) == []


def test_a_firms_folder_that_cannot_be_looked_into_is_never_passed_over(tmp_path: Path) -> None:
    run("start", str(tmp_path / "firm"))
    shutil.copy(SURVEY, tmp_path / "firm" / "jobs" / "survey.toml")
    shutil.rmtree(tmp_path / "firm" / "rules")
    (tmp_path / "firm" / "rules").write_text("no folder", encoding="utf-8")
    result = quote("--json", survey=str(tmp_path / "firm" / "jobs" / "survey.toml"))
    assert (result.exit_code, codes(result)) == (1, {"F004"})


def test_a_damaged_workbook_is_told_wherever_the_damage_is(desk: Path) -> None:
    run("catalogue", "export", "cable.xlsx", "--family", "cable")
    whole = (desk / "cable.xlsx").read_bytes()
    step = len(whole) // 40
    for at in range(0, len(whole) - 8, step):
        (desk / "cable.xlsx").write_bytes(whole[:at] + b"\xff" * 8 + whole[at + 8:])
        result = run("catalogue", "import", "cable.xlsx", "--json")
        assert result.exit_code in (0, 1)
        assert json.loads(result.stdout)
        (desk / "cable.xlsx").write_bytes(whole[:at])
        cut = run("catalogue", "import", "cable.xlsx", "--json")
        assert (cut.exit_code, codes(cut)) == (1, {"L120"})


def test_the_same_quote_has_the_same_bytes_in_any_order_of_hashing_and_any_time_zone(
    desk: Path,
) -> None:
    made: list[dict[str, bytes]] = []
    for seed, zone in (("0", "Pacific/Kiritimati"), ("2", "Pacific/Pago_Pago")):
        here = desk / seed
        here.mkdir()
        for name in ("estimator.db", "survey.toml"):
            shutil.copy(desk / name, here / name)
        done = as_a_process(here, "quote", "survey.toml", "--on", DAY, "--json",
                            PYTHONHASHSEED=seed, TZ=zone, LC_ALL="C")
        assert done.returncode == 0, done.stderr
        made.append({path.name: path.read_bytes() for path in (here / "out").iterdir()}
                    | {"printed": done.stdout})
    assert len(made[0]) == 5
    assert made[0] == made[1]
