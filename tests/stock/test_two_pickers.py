"""Two pickers at once on one database: one wins the last piece, the other is told.

ROUNDS=200 takes the whole of it; the suite takes fewer.
"""

from __future__ import annotations

import os

from tests.stock.two_pickers import LAST_ONE, fit_out, race

ROUNDS = int(os.environ.get("ROUNDS", "20"))


def test_on_sqlite_one_wins_the_last_piece_and_the_other_is_told(starter_url: str) -> None:
    fit_out(starter_url)
    told = race(starter_url, ROUNDS)
    assert sum(told.won.values()) == ROUNDS
    assert told.says == {LAST_ONE: ROUNDS}
