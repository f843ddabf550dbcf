"""Whatever is received, reserved, picked, swapped, returned, counted and cancelled, in any order.

The use cases and books themselves, on a database of their own; beside them a plain tally that the
test keeps by itself. EXAMPLES=300 runs more sequences.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test
from sqlalchemy import func, insert, select

from catalogue.db import open_database, session
from catalogue.job_costs import job_costs
from catalogue.problems import ProblemsFound
from catalogue.stock.ends import share_of_stick
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import (
    AllRefused,
    Lot,
    ledger_faults,
    load_stock,
    post_moves,
    stored_moves,
)
from catalogue.stock_reserving import release, reservation_faults, reserved
from catalogue.tables import LEVEL, LOT, PLACE, WORTH
from estimator.workflow.job_states import Said, record
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.reserving import reserve_again
from estimator.workflow.stock_counts import Counting, count
from estimator.workflow.stock_moves import Moving, Receiving, move, receive
from tests.closed_out import all_said

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "storage-outside" / "survey.toml"
JOB, SITE, NOON = "D-101", "site D-101", datetime(2026, 11, 12, 12, tzinfo=UTC)
POSTED = Posted("storekeeper", NOON)
PLACES = {"store": "store", "van 1": "van", "counter": "counter", "aside": "quarantine",
          SITE: "site"}
OWN = st.sampled_from(["store", "van 1", "counter", "aside"])
# All on the demo job's bill: clips of two kinds, data cable by the metre; sealant in batches.
CLIP, CABLE, OTHER, SEALANT = "08410-CC", "03901-SP", "08420-FC", "15010"
RAIL, STICK_MM = "02203-RL", 3300  # counted in sticks; its ends are told apart
LENGTHS = st.integers(300, STICK_MM - 1)
BATCHES = st.sampled_from(["B-1", "B-2"])
ITEMS = st.sampled_from([CLIP, CABLE, OTHER])
PIECES = st.integers(1, 30)


@pytest.fixture(scope="module")
def fitted_out(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with the demo job quoted, and places."""
    path = tmp_path_factory.mktemp("stock") / "estimator.db"
    shutil.copy(starter_template, path)
    quote(QuoteRequest(SURVEY, date(2026, 11, 2), str(path), write_papers=False))
    with session(open_database(str(path))) as work:
        work.execute(insert(PLACE), [
            {"name": name, "kind": kind, "note": ""} for name, kind in PLACES.items()])
        work.commit()
    return path


class AnyOrder(RuleBasedStateMachine):
    """A desk that does everything in any order; what is refused must leave no trace."""

    template: Path

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.database = str(Path(self.folder.name) / "estimator.db")
        shutil.copy(self.template, self.database)
        self.engine = open_database(self.database)
        self.lying: Counter[tuple[str, str]] = Counter()  # the tally: item, place -> thousandths
        self.value_in: Counter[str] = Counter()
        self.value_out: Counter[str] = Counter()
        self.with_job: Counter[str] = Counter()  # what the job has been charged and not credited

    def teardown(self) -> None:
        self.engine.dispose()
        self.folder.cleanup()

    def tally(self, done: list[Move]) -> None:
        for each in done:
            milli = int(each.quantity * 1000)
            self.lying[each.item, each.from_place] -= milli
            self.lying[each.item, each.to_place] += milli
            if SITE in (each.from_place, each.to_place):
                sign = 1 if each.to_place == SITE else -1
                self.with_job[each.item] += sign * (each.value_minor or 0)
            here, there = (PLACES.get(place, "site") != "site"
                           for place in (each.from_place, each.to_place))
            if here and not there:
                self.value_out[each.item] += each.value_minor or 0
            elif there and not here:
                self.value_in[each.item] += each.value_minor or 0

    def attempt(self, what: Callable[[], list[Move]]) -> None:
        try:
            self.tally(what())
        except (AllRefused, ProblemsFound):
            return

    def post(self, *moves: Move, lots: tuple[Lot, ...] = ()) -> None:
        def write() -> list[Move]:
            with session(self.engine) as work:
                done = post_moves(work, moves, POSTED, lots)
                work.commit()
            return done

        self.attempt(write)

    @rule(item=ITEMS, quantity=PIECES, cost=st.integers(0, 9_999), into=OWN)
    def comes_in(self, item: str, quantity: int, cost: int, into: str) -> None:
        self.attempt(lambda: receive(
            self.database, Receiving(item, D(quantity), into, cost), POSTED))

    @rule(batch=BATCHES, quantity=PIECES, cost=st.integers(0, 9_999), into=OWN)
    def comes_in_by_the_batch(self, batch: str, quantity: int, cost: int, into: str) -> None:
        self.attempt(lambda: receive(self.database, Receiving(
            SEALANT, D(quantity), into, cost, batch=batch, expires_on=date(2026, 11, 20)), POSTED))

    @rule(batch=BATCHES, quantity=PIECES, here=OWN, there=OWN)
    def is_moved_by_the_batch(self, batch: str, quantity: int, here: str, there: str) -> None:
        self.attempt(lambda: move(
            self.database, Moving(SEALANT, D(quantity), here, there, (batch,)), POSTED))

    @rule(batch=BATCHES, quantity=PIECES, place=OWN, back=st.booleans())
    def goes_and_comes_by_the_batch(
        self, batch: str, quantity: int, place: str, back: bool
    ) -> None:
        self.post(Move("return", SEALANT, D(quantity), SITE, place, batch, JOB) if back else
                  Move("pick", SEALANT, D(quantity), place, SITE, batch, JOB))

    @rule(quantity=PIECES, cost=st.integers(0, 9_999), into=OWN)
    def sticks_come_in(self, quantity: int, cost: int, into: str) -> None:
        self.attempt(lambda: receive(
            self.database, Receiving(RAIL, D(quantity), into, cost), POSTED))

    @rule(lengths=st.lists(LENGTHS, min_size=1, max_size=3), cost=st.integers(0, 9_999), into=OWN)
    def ends_come_in(self, lengths: list[int], cost: int, into: str) -> None:
        self.attempt(lambda: receive(self.database, Receiving(
            RAIL, D(len(lengths)), into, cost, [D(each) / 1000 for each in lengths]), POSTED))

    @rule(quantity=PIECES, here=OWN, there=OWN, back=st.booleans())
    def sticks_go_about(self, quantity: int, here: str, there: str, back: bool) -> None:
        self.attempt(lambda: move(self.database, Moving(RAIL, D(quantity), here, there), POSTED))
        self.post(Move("return", RAIL, D(quantity), SITE, there, job=JOB) if back else
                  Move("pick", RAIL, D(quantity), there, SITE, job=JOB))

    @rule(number=st.integers(0, 5), to=st.sampled_from([*PLACES, ""]))
    def an_end_goes_about(self, number: int, to: str) -> None:
        """It is moved, picked, brought back or lost, always whole: a part of it is refused."""
        there = self.ends()
        if not there:
            return
        lot, place, share = there[number % len(there)]
        if to == "":
            self.counts(Counting(RAIL, place, D(0), lot), lost=place != SITE)
        elif SITE in (place, to):
            kind: Any = "return" if place == SITE else "pick"
            part = share - D("0.001")
            if part:
                with pytest.raises(AllRefused), session(self.engine) as work:
                    post_moves(work, [Move(kind, RAIL, part, place, to, lot, JOB)], POSTED)
            self.post(Move(kind, RAIL, share, place, to, lot, JOB))
        else:
            self.attempt(lambda: move(
                self.database, Moving(RAIL, D(1), place, to, (lot,)), POSTED))

    @rule(length=LENGTHS, place=OWN, cost=st.integers(0, 999))
    def an_end_is_found(self, length: int, place: str, cost: int) -> None:
        self.counts(Counting(RAIL, place, D(1), f"found {len(self.moves())}", "length",
                             cost_minor=cost, length_m=D(length) / 1000))

    @rule(length=LENGTHS, place=OWN)
    def a_stick_is_sawn_on_site_and_an_end_of_it_comes_back(self, length: int, place: str) -> None:
        name, share = f"sawn {len(self.moves())}", share_of_stick(length, STICK_MM)
        self.post(Move("cut", RAIL, share, SITE, ""), Move("cut", RAIL, share, "", SITE, name),
                  Move("return", RAIL, share, SITE, place, name, JOB),
                  lots=(Lot(name, RAIL, "length", length_mm=length),))

    def counts(self, counted: Counting, *, lost: bool = True) -> None:
        before = len(self.moves())
        try:
            count(self.database, [counted], POSTED, write=True)
        except ProblemsFound:
            assert not lost or counted.quantity
        self.tally(self.moves()[before:])

    def ends(self) -> list[tuple[str, str, D]]:
        """Return the ends that lie anywhere: lot, place and share of a stick."""
        with session(self.engine, write=False) as work:
            return [tuple(row) for row in work.execute(  # type: ignore[misc]
                select(LEVEL.c.lot_id, LEVEL.c.place, LEVEL.c.quantity)
                .join(LOT, LOT.c.id == LEVEL.c.lot_id).where(LOT.c.length_mm.is_not(None))
                .order_by(LEVEL.c.lot_id))]

    @rule(item=ITEMS, quantity=PIECES, cost=st.integers(0, 9_999))
    def is_brought_to_the_site(self, item: str, quantity: int, cost: int) -> None:
        self.post(Move("receive", item, D(quantity), to_place=SITE, job=JOB, value_minor=cost))

    @rule(by=st.sampled_from(["accepted", "reopened", "closed"]))
    def is_accepted_or_cancelled(self, by: Any) -> None:
        if by == "closed":
            all_said(self.database, JOB, NOON)
        try:
            record(self.database, by, Said(JOB, "R. Owner"), NOON)
        except ProblemsFound:
            return

    @rule(day=st.dates(date(2026, 11, 12), date(2026, 12, 24)))
    def is_put_off(self, day: date) -> None:
        try:
            reserve_again(self.database, JOB, day, "R. Owner", NOON)
        except ProblemsFound:
            return

    @rule(item=ITEMS, quantity=PIECES, place=OWN)
    def is_picked(self, item: str, quantity: int, place: str) -> None:
        self.post(Move("pick", item, D(quantity), place, SITE, job=JOB))

    @rule(quantity=PIECES, place=OWN)
    def is_swapped(self, quantity: int, place: str) -> None:
        """The fire clip goes out in place of the cable clip, which is let go."""
        def write() -> list[Move]:
            with session(self.engine) as work:
                done = post_moves(
                    work, [Move("pick", OTHER, D(quantity), place, SITE, job=JOB)], POSTED)
                release(work, JOB, POSTED, "swapped", CLIP)
                work.commit()
            return done

        self.attempt(write)

    @rule(item=ITEMS, quantity=PIECES, place=OWN)
    def comes_back(self, item: str, quantity: int, place: str) -> None:
        self.post(Move("return", item, D(quantity), SITE, place, job=JOB))

    @rule(item=ITEMS, place=OWN)
    def comes_back_whole(self, item: str, place: str) -> None:
        self.post(Move("return", item, D(self.lying[item, SITE]) / 1000, SITE, place, job=JOB))

    @rule(item=ITEMS, quantity=PIECES, here=OWN, there=OWN)
    def is_moved(self, item: str, quantity: int, here: str, there: str) -> None:
        self.attempt(lambda: move(
            self.database, Moving(item, D(quantity), here, there), POSTED))

    @rule(item=ITEMS, quantity=st.integers(0, 40), place=OWN, cost=st.integers(0, 999))
    def is_counted(self, item: str, quantity: int, place: str, cost: int) -> None:
        before = self.moves()
        try:
            count(self.database, [Counting(item, place, D(quantity), cost_minor=cost)], POSTED,
                  write=True)
        except ProblemsFound:
            return
        self.tally(self.moves()[len(before):])
        assert self.lying[item, place] == quantity * 1000

    def moves(self) -> list[Move]:
        with session(self.engine, write=False) as work:
            return stored_moves(work)

    @invariant()
    def the_books_are_sound(self) -> None:
        with session(self.engine, write=False) as work:
            assert ledger_faults(work) == []
            assert reservation_faults(work) == []
            assert all(each.quantity > 0 for each in reserved(work))
            levels = Counter[tuple[str, str]]()
            for row in work.execute(select(LEVEL)):
                assert row.quantity > 0
                levels[row.item_code, row.place] += int(row.quantity * 1000)
            worth = {row.item_code: row for row in work.execute(select(WORTH))}
            lengths = {row.id: row.length_mm for row in work.execute(
                select(LOT).where(LOT.c.length_mm.is_not(None)))}
            cost = job_costs().subquery()
            charged = {row.code: int(row[1]) for row in work.execute(
                select(cost.c.code, func.sum(cost.c.amount_minor))
                .where(cost.c.job_id == JOB, cost.c.kind == "goods").group_by(cost.c.code))}
            with_jobs = {item: layer.value_minor
                         for (_, item), layer in load_stock(work).with_jobs.items()}
        for lot, _, share in self.ends():
            assert share == share_of_stick(lengths[lot], STICK_MM)
        assert levels == {spot: n for spot, n in self.lying.items() if n and spot[1]}
        for item in (CLIP, CABLE, OTHER, SEALANT, RAIL):
            came_in = -self.lying[item, ""]  # outside has given so much more than it took
            assert came_in == sum(n for (code, _), n in levels.items() if code == item)
            held = worth[item].value_minor if item in worth else 0
            assert self.value_in[item] == self.value_out[item] + held
            # What is a cost of the job is what the ledger, and the tally, say is with it.
            assert charged.get(item, 0) == with_jobs.get(item, 0) == self.with_job[item]
            # What lies at the site is worth what the job was charged: all back, all credited.
            assert self.with_job[item] >= 0
            assert self.lying[item, SITE] or not self.with_job[item]


def test_no_order_of_events_loses_a_piece_or_a_penny(fitted_out: Path) -> None:
    machine = type("AnyOrderHere", (AnyOrder,), {"template": fitted_out})
    run_state_machine_as_test(machine, settings=settings(
        max_examples=int(os.environ.get("EXAMPLES", "5")), stateful_step_count=25, deadline=None))
