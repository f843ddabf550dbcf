"""Two processes that pick the last piece at the same moment, round after round.

The parent lays one piece into the store, tells both pickers the moment, and hears who has got it.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from decimal import Decimal as D
from pathlib import Path

from sqlalchemy import insert

from catalogue.db import open_database, session
from catalogue.problems import Place
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import AllRefused, ledger_faults, load_stock, post_moves
from catalogue.tables import JOB, PLACE
from estimator.workflow.stock_told import refusals

CLIP = "02902-MC"
JOBS = ("D-101", "D-102")
POSTED = Posted("storekeeper", datetime(2026, 11, 2, 9, tzinfo=UTC))
AHEAD_S = 0.02  # time for both to hear of a round before it begins
LAST_ONE = f"1 {CLIP} are wanted from 'store', and none lies there: 1 short"


@dataclass
class Told:
    """How the rounds went: who won, and what the other was told."""

    won: Counter[str] = field(default_factory=Counter)
    says: Counter[str] = field(default_factory=Counter)


def fit_out(url: str) -> None:
    """Give a database its places and two jobs."""
    engine = open_database(url)
    with session(engine) as work:
        work.execute(insert(PLACE), [
            {"name": "store", "kind": "store", "note": ""},
            *({"name": f"site {job}", "kind": "site", "note": ""} for job in JOBS)])
        work.execute(insert(JOB), [
            {"id": job, "title": "", "created_at": POSTED.at} for job in JOBS])
        work.commit()
    engine.dispose()


def race(url: str, rounds: int) -> Told:
    """Let two processes pick the last piece so many times; every round one of them wins."""
    pickers = {job: subprocess.Popen(
        [sys.executable, "-c", f"from tests.stock.two_pickers import pick; pick({url!r}, {job!r})"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        cwd=Path(__file__).parents[2]) for job in JOBS}
    told, engine = Told(), open_database(url)
    try:
        for picker in pickers.values():
            assert _heard(picker) == ["ready"]
        for _ in range(rounds):
            with session(engine) as work:
                post_moves(work, [Move("receive", CLIP, D(1), to_place="store", value_minor=58)],
                           POSTED)
                work.commit()
            moment = time.time() + AHEAD_S
            for picker in pickers.values():
                _say(picker, str(moment))
            heard = {job: _heard(picker) for job, picker in pickers.items()}
            winners = [job for job, says in heard.items() if says == ["won"]]
            assert len(winners) == 1, heard
            told.won[winners[0]] += 1
            told.says.update(says[0] for says in heard.values() if says != ["won"])
        with session(engine, write=False) as work:
            assert ledger_faults(work) == []
            stock = load_stock(work, [CLIP])
    finally:
        for picker in pickers.values():
            _say(picker, "")
            picker.wait(timeout=60)
            for pipe in (picker.stdin, picker.stdout):
                assert pipe is not None
                pipe.close()
        engine.dispose()
    assert stock.on_hand(CLIP) == 0
    assert {place: int(n) for (_, place, _), n in stock.levels.items()} == {
        f"site {job}": n for job, n in told.won.items()}
    return told


def pick(url: str, job: str) -> None:
    """Pick one clip for a job whenever the parent says so; what a picker's process does."""
    engine = open_database(url)
    _tell(["ready"])
    for line in iter(sys.stdin.readline, "\n"):
        time.sleep(max(0.0, float(line) - time.time()))
        with session(engine) as work:
            try:
                post_moves(work, [Move("pick", CLIP, D(1), "store", f"site {job}", job=job)],
                           POSTED)
                work.commit()
                says = ["won"]
            except AllRefused as found:
                says = [each.says for each in refusals(found, lambda _: Place("pick")).problems]
        _tell(says)


def _tell(what: list[str]) -> None:
    sys.stdout.write(f"{json.dumps(what)}\n")
    sys.stdout.flush()


def _say(picker: subprocess.Popen[str], what: str) -> None:
    assert picker.stdin is not None
    picker.stdin.write(f"{what}\n")
    picker.stdin.flush()


def _heard(picker: subprocess.Popen[str]) -> list[str]:
    assert picker.stdout is not None
    return list(json.loads(picker.stdout.readline()))
