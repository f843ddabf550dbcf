"""The cut list of a quoted job, printed and drawn."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from estimator.cli import main

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "panels-and-storage" / "survey.toml"


@pytest.fixture(scope="module")
def firm(tmp_path_factory: pytest.TempPathFactory, starter_template: Path) -> Path:
    folder = tmp_path_factory.mktemp("firm")
    (folder / "estimator.db").write_bytes(starter_template.read_bytes())
    done = run(folder, "quote", str(SURVEY), "--on", "2026-11-02", "--out", str(folder / "out"))
    assert done.exit_code == 0, done.output
    return folder


def run(firm: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, [*arguments, "--db", str(firm / "estimator.db")])


def test_a_quote_of_rails_draws_its_cuts_beside_it(firm: Path) -> None:
    drawn = (firm / "out" / "D-102-r1-cuts.svg").read_text(encoding="utf-8")
    assert "<title>Cut list - job D-102, revision 1</title>" in drawn


def test_the_cut_list_is_printed_and_drawn_where_asked(firm: Path) -> None:
    asked = ("jobs", "cuts", "D-102", "--svg", str(firm / "cuts.svg"))
    done = run(firm, *asked)
    assert done.exit_code == 0, done.output
    assert "LINES AS THEY ARE JOINED" in done.output
    assert (firm / "cuts.svg").read_text() == (firm / "out" / "D-102-r1-cuts.svg").read_text()
    again = run(firm, *asked)
    assert again.exit_code == 1
    assert "there is a file of this name already" in again.output
    assert run(firm, *asked, "--replace").exit_code == 0


def test_json_holds_every_piece_of_every_line(firm: Path) -> None:
    (cut,) = json.loads(run(firm, "jobs", "cuts", "D-102", "--json").stdout)
    cut_mm = sum(piece["length_mm"] for bar in cut["bars"] for piece in bar["pieces"])
    assert cut_mm == sum(sum(line["pieces_mm"]) for line in cut["lines"]) == 4 * 7104


def test_a_job_nobody_quoted_has_no_cuts(firm: Path) -> None:
    assert run(firm, "jobs", "cuts", "D-999").exit_code == 1


def test_a_drawing_of_another_ending_is_refused(firm: Path) -> None:
    done = run(firm, "jobs", "cuts", "D-102", "--svg", str(firm / "cuts.pdf"))
    assert done.exit_code == 1
    assert "F007" in done.output
