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
    cuts = json.loads(run(firm, "jobs", "cuts", "D-102", "--json").stdout)["cuts"]
    for cut in cuts:
        cut_mm = sum(piece["length_mm"] for bar in cut["bars"] for piece in bar["pieces"])
        assert cut_mm == sum(sum(line["pieces_mm"]) for line in cut["lines"])
    assert sum(sum(line["pieces_mm"]) for line in cuts[0]["lines"]) == 4 * 7104
    numbers = [bar["number"] for cut in cuts for bar in cut["bars"]]
    assert numbers == list(range(1, len(numbers) + 1))


def test_a_leg_of_trunking_is_cut_from_whole_bars_and_an_end(firm: Path) -> None:
    # The leg and something over: 4.725 m, of bars of 3 m = 3.0 + 1.725 m; the bill takes 2 bars.
    cuts = json.loads(run(firm, "jobs", "cuts", "D-102", "--json").stdout)["cuts"]
    (trunking,) = [cut for cut in cuts if cut["bars"][0]["code"] == "08125-TR"]
    assert [line["pieces_mm"] for line in trunking["lines"]] == [[3000, 1725]]
    kept = json.loads((firm / "out" / "D-102-r1-estimate.json").read_text())
    (line,) = [each for each in kept["lines"] if each["item"] == "08125-TR"]
    assert line["packs"] == len(trunking["bars"]) == 2


def test_a_job_nobody_quoted_has_no_cuts(firm: Path) -> None:
    assert run(firm, "jobs", "cuts", "D-999").exit_code == 1


def test_a_drawing_of_another_ending_is_refused(firm: Path) -> None:
    done = run(firm, "jobs", "cuts", "D-102", "--svg", str(firm / "cuts.pdf"))
    assert done.exit_code == 1
    assert "F007" in done.output


def test_each_run_of_cable_is_one_length_with_its_marks_on_one_drum(firm: Path) -> None:
    # By hand, 5 % waste: the circuit leg of 4.5 m, x 1.05 + 1.5 m of ends = 6.225 m, to 6.537 m;
    # one string out and back, 2 x 10 m, to 10.5 m each, and a jump of 2 m between two rows.
    cables = json.loads(run(firm, "jobs", "cuts", "D-102", "--json").stdout)["cables"]
    runs = {cable["item"]: [(run["label"], run["from_mm"], run["to_mm"])
                            for drum in cable["drums"] for run in drum["runs"]]
            for cable in cables}
    assert runs["03040-TE"] == [("circuit cable flat", 0, 6537)]
    assert runs["03040-PV"] == [
        ("pv dc cable, rear, 1 of 2", 0, 10500), ("pv dc cable, rear, 2 of 2", 10500, 21000),
        ("pv dc row jump, rear", 21000, 23100)]
    told = run(firm, "jobs", "cuts", "D-102").output
    assert "C2.2  10.5 to 21 m: 10.5 m, pv dc cable, rear, 2 of 2" in told
    assert "rest: 76.9 m, left on the drum, marked" in told
