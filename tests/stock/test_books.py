"""The ledger in the database: the same books as in memory, and two pickers at once."""

from __future__ import annotations

import subprocess
import sys
from datetime import UTC, datetime
from decimal import Decimal as D
from pathlib import Path

import pytest
from sqlalchemy import Connection, insert, select, update

from catalogue.db import open_database, session
from catalogue.stock.ledger import Move
from catalogue.stock.valuation import Layer
from catalogue.stock_books import (
    AllRefused,
    Lot,
    Posted,
    ledger_faults,
    load_stock,
    post_moves,
    stored_moves,
)
from catalogue.tables import JOB, LEVEL, MOVE, PLACE

POSTED = Posted("storekeeper", datetime(2026, 11, 2, 9, tzinfo=UTC))
CABLE, CLIP = "03025-TE", "02902-MC"


def fitted_out(work: Connection) -> None:
    """Give a database its places and a job."""
    work.execute(insert(PLACE), [
        {"name": name, "kind": kind, "note": ""}
        for name, kind in (("store", "store"), ("van 1", "van"), ("site D-101", "site"))])
    work.execute(insert(JOB).values(id="D-101", title="", created_at=POSTED.at))


@pytest.fixture
def work(starter_url: str) -> Connection:
    engine = open_database(starter_url)
    connection = engine.connect()
    fitted_out(connection)
    return connection


def received(item: str, quantity: int, value_minor: int, lot: str = "") -> Move:
    return Move("receive", item, D(quantity), to_place="store", lot=lot, value_minor=value_minor)


def picked(item: str, quantity: str, lot: str = "") -> Move:
    return Move("pick", item, D(quantity), "store", "site D-101", lot, "D-101", "sheet 1")


def test_moves_are_kept_with_their_values_and_the_books_are_even(work: Connection) -> None:
    post_moves(work, [received(CLIP, 100, 5_800), received(CLIP, 100, 6_200),
                      received(CABLE, 100, 7_900, "drum 1")], POSTED,
               [Lot("drum 1", CABLE, "length")])
    done = post_moves(work, [picked(CLIP, "40"), picked(CABLE, "18.5", "drum 1")], POSTED)
    back = Move("return", CLIP, D(10), "site D-101", "store", job="D-101")
    (given_back,) = post_moves(work, [back], POSTED)
    # By hand: 40 at 0.60, 18.5 m at 0.79 = 14.615, 10 back at 0.60.
    assert [move.value_minor for move in done] == [2_400, 1_462]
    assert given_back.value_minor == 600
    assert load_stock(work, [CLIP]).with_jobs["D-101", CLIP].value_minor == 1_800
    assert load_stock(work).worth[CLIP].value_minor == 12_000 - 1_800
    assert ledger_faults(work) == []
    assert len(stored_moves(work)) == 6


def test_what_is_received_at_a_site_is_with_its_job_and_what_comes_into_the_store_is_not(
    work: Connection,
) -> None:
    post_moves(work, [
        Move("receive", CLIP, D(3), to_place="site D-101", job="D-101", value_minor=200),
        Move("receive", CLIP, D(5), to_place="store", job="D-101", value_minor=300),
    ], POSTED)
    held = load_stock(work, [CLIP])
    assert held.with_jobs == {("D-101", CLIP): Layer(D(3), 200)}
    assert held.worth[CLIP] == Layer(D(5), 300)
    (back,) = post_moves(
        work, [Move("return", CLIP, D(3), "site D-101", "store", job="D-101")], POSTED)
    assert back.value_minor == 200
    assert load_stock(work, [CLIP]).with_jobs == {}
    assert ledger_faults(work) == []


def test_of_several_moves_all_or_none_are_written_and_every_wrong_one_is_told(
    work: Connection,
) -> None:
    post_moves(work, [received(CLIP, 5, 290)], POSTED)
    with pytest.raises(AllRefused) as told:
        post_moves(work, [picked(CLIP, "4"), picked(CLIP, "2"), picked(CABLE, "1")], POSTED)
    assert [(number, str(why)) for number, why in told.value.refused] == [
        (1, f"1 {CLIP} lie in 'store', 2 are wanted"),
        (2, f"0 {CABLE} lie in 'store', 1 are wanted")]
    assert load_stock(work).on_hand(CLIP) == 5
    assert len(stored_moves(work)) == 1


def test_a_move_is_written_once(work: Connection) -> None:
    post_moves(work, [received(CLIP, 5, 290)], POSTED)
    with pytest.raises(ValueError, match="a row of move is written once"):
        work.execute(update(MOVE).values(quantity=D(6)))


def test_books_that_were_tampered_with_are_found_out(work: Connection) -> None:
    post_moves(work, [received(CLIP, 5, 290)], POSTED)
    work.execute(update(LEVEL).values(quantity=D(6)))
    assert ledger_faults(work) == [
        f"{CLIP} in 'store' : kept as 6, the moves come to 5"]


TAKE_ONE = """
import sys
from tests.stock.test_books import POSTED, CLIP, picked
from catalogue.db import open_database, session
from catalogue.stock_books import AllRefused, post_moves
engine = open_database(sys.argv[1])
won = 0
for _ in range(int(sys.argv[2])):
    with session(engine) as work:
        try:
            post_moves(work, [picked(CLIP, "1")], POSTED)
        except AllRefused:
            continue
        work.commit()
        won += 1
print(won)
"""


def test_two_pickers_at_once_share_what_there_is_and_no_more(starter_url: str) -> None:
    rounds = 100
    engine = open_database(starter_url)
    with session(engine) as work:
        fitted_out(work)
        post_moves(work, [received(CLIP, rounds, 5_800)], POSTED)
        work.commit()
    pickers = [
        subprocess.Popen([sys.executable, "-c", TAKE_ONE, starter_url, str(rounds)],
                         stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[2])
        for _ in range(2)
    ]
    won = [int(picker.communicate(timeout=120)[0]) for picker in pickers]
    assert sum(won) == rounds
    with session(engine, write=False) as work:
        assert ledger_faults(work) == []
        assert load_stock(work).on_hand(CLIP) == 0
        assert work.scalar(select(LEVEL.c.quantity).where(LEVEL.c.place == "site D-101")) == rounds
