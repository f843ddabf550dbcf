"""A quoted job's cuts laid out again with pieces on hand, typed or in stock."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from fractions import Fraction as F
from itertools import product
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from estimator.cli import main
from tests.errors.test_commands import snapshot

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "panels-and-storage" / "survey.toml"
MESSAGES = Path(__file__).parents[1] / "errors" / "cuts"


@pytest.fixture(scope="module")
def firm(tmp_path_factory: pytest.TempPathFactory, starter_template: Path) -> Path:
    folder = tmp_path_factory.mktemp("firm")
    (folder / "estimator.db").write_bytes(starter_template.read_bytes())
    done = run(folder, "quote", str(SURVEY), "--on", "2026-11-02", "--out", str(folder / "out"))
    assert done.exit_code == 0, done.output
    for name, kind in (("store", "store"), ("faulty", "quarantine")):
        done = run(folder, "stock", "places", "--add", name, "--kind", kind)
        assert done.exit_code == 0 or "already" in done.output, done.output
    return folder


def run(firm: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, [*arguments, "--db", str(firm / "estimator.db")])


def cuts(firm: Path, *typed: str) -> dict[str, object]:
    done = run(firm, "jobs", "cuts", "D-102", "--json", *typed)
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)  # type: ignore[no-any-return]


def of(found: dict[str, object], item: str) -> dict[str, object]:
    (line,) = [each for each in found["lines"] if item in each["items"]]  # type: ignore[attr-defined]
    return line  # type: ignore[no-any-return]


def test_it_says_which_piece_serves_which_cut_what_is_bought_instead_and_what_it_saves(
    firm: Path,
) -> None:
    # The leg takes 3.0 + 1.725 m of bars of 3 m at 4.20; half of 1.40 a metre is what an end is
    # worth. Quoted: 840 - 0.70 x 1272 mm = 750.96; with an end of 2 m: 420 + 140 = 560.
    found = cuts(firm, "--have", "08125-TR=2,0.3")
    line = of(found, "08125-TR")
    assert line["used"] == [
        {"item": "08125-TR", "mark": "08125-TR no. 1", "length_mm": 2000}]
    name = "Trunking 25 x 16 mm, white, 3 m length (08125-TR)"
    assert (line["bought_as_quoted"], line["bought_now"]) == ({name: 2}, {name: 1})
    assert (line["saved_minor"], line["scrap_mm"], line["offcuts_kept"]) == ("190.96", 272, [])
    assert found["saved_minor"] == "190.96"
    assert found["unused"] == [
        {"item": "08125-TR", "mark": "08125-TR no. 2", "length_mm": 300}]
    (cut,) = [each for each in found["cuts"]  # type: ignore[attr-defined]
              if each["bars"][0]["code"] == "08125-TR"]
    assert [(bar["on_hand"], [piece["length_mm"] for piece in bar["pieces"]])
            for bar in cut["bars"]] == [("", [3000]), ("08125-TR no. 1", [1725])]
    told = run(firm, "jobs", "cuts", "D-102", "--have", "08125-TR=2,0.3").output
    assert "ON HAND 08125-TR no. 1: Trunking 25 x 16 mm, white, 3 m length" in told
    assert "saved: £1.91 (exactly 190.96 pence)" in told
    assert "Not needed: 08125-TR no. 2 (08125-TR, 0.3 m)" in told


def test_nothing_is_changed_by_it_and_the_quote_keeps_its_own_cuts(firm: Path) -> None:
    before = snapshot(firm)
    assert run(firm, "jobs", "cuts", "D-102", "--have", "08125-TR=2").exit_code == 0
    assert snapshot(firm) == before
    kept = json.loads(run(firm, "jobs", "cuts", "D-102", "--json").stdout)
    assert all(not bar["on_hand"] for cut in kept["cuts"] for bar in cut["bars"])


def test_a_drum_on_hand_serves_runs_in_one_length_and_a_short_one_serves_none(firm: Path) -> None:
    # Runs of 10.5, 10.5 and 2.1 m at 0.92 a metre, 2125.2 p. 25 m on hand are worth 0.46 x 25 =
    # 1150 and leave 1.9 m, scrap. 9 m hold no run of 10.5 but that of 2.1 m: 414 p of worth, 6.9 m
    # kept of 317.4, so 96.6 for what costs 193.2 new: saved 96.6.
    line = of(cuts(firm, "--have", "03040-PV=25"), "03040-PV")
    assert (line["saved_minor"], line["scrap_mm"]) == ("975.2", 1900)
    short = of(cuts(firm, "--have", "03040-PV=9"), "03040-PV")
    assert short["saved_minor"] == "96.6"
    assert short["offcuts_kept"] == [{"length_mm": 6900, "worth_minor": "317.4"}]


RUNS = (10_500, 10_500, 2_100)


def least(hand: Sequence[int]) -> F:
    """Return the least cost of the runs by trying each on each piece, or new; 0.92 a metre."""
    best = F(sum(RUNS) * 92, 1000)
    for places in product(range(-1, len(hand)), repeat=len(RUNS)):
        left = list(hand)
        for run_mm, at in zip(RUNS, places, strict=True):
            if at >= 0:
                left[at] -= run_mm
        if min(left, default=0) < 0:
            continue
        new = F(sum(r for r, at in zip(RUNS, places, strict=True) if at < 0) * 92, 1000)
        used = sum(-(-46 * hand[at] // 1000) for at in set(places) if at >= 0)
        kept = sum((F(left[at] * 46, 1000) for at in set(places) if at >= 0 and left[at] >= 5000),
                   F(0))
        best = min(best, new + used - kept)
    return best


@pytest.mark.parametrize("hand", [
    (12_000,), (11_000, 2_500), (21_000, 30_000), (23_100, 10_600), (2_150, 10_500, 10_500),
    (60_000,), (1_000, 2_000)])
def test_the_runs_cost_least_of_all_ways_to_take_them_from_lengths_on_hand(
    firm: Path, hand: tuple[int, ...]
) -> None:
    typed = ",".join(str(length / 1000) for length in hand)
    line = of(cuts(firm, "--have", f"03040-PV={typed}"), "03040-PV")
    assert F(line["now"]["net_minor"]) == least(hand)  # type: ignore[index]


def test_lengths_in_stock_are_taken_by_their_lots_and_those_in_quarantine_are_not(
    firm: Path, tmp_path: Path
) -> None:
    done = run(firm, "stock", "receive", "08125-TR", "2", "--into", "store", "--cost", "2.80",
               "--length", "2")
    assert done.exit_code == 0, done.output
    line = of(cuts(firm, "--from-stock"), "08125-TR")
    (used,) = line["used"]  # type: ignore[misc]
    assert re.search(r" in store$", used["mark"])
    assert (used["length_mm"], line["saved_minor"]) == (2000, "190.96")
    drawn = tmp_path / "cuts.svg"
    done = run(firm, "jobs", "cuts", "D-102", "--from-stock", "--svg", str(drawn))
    assert done.exit_code == 0, done.output
    assert f"ON HAND {used['mark']}: Trunking" in drawn.read_text(encoding="utf-8")
    moved = run(firm, "stock", "move", "08125-TR", "2", "--from", "store", "--to", "faulty",
                "--lot", used["mark"].removesuffix(" in store"))
    assert moved.exit_code == 0, moved.output
    assert of(cuts(firm, "--from-stock"), "08125-TR")["used"] == []


def test_pieces_that_cannot_be_read_or_serve_nothing_are_told_all_at_once(firm: Path) -> None:
    done = run(firm, "jobs", "cuts", "D-102", "--have", "08125-TR=2.4,x", "--have", "08125-TR=",
               "--have", "08125-TS=2", "--have", "=3", "--have", "03040-PV=0")
    assert done.exit_code == 1
    assert done.stderr == (MESSAGES / "have.txt").read_text(encoding="utf-8")
