"""Orders from quote to goods, with two desks at the same order, on SQLite and on PostgreSQL."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal as D
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from catalogue.incoming import incoming
from catalogue.problems import ProblemsFound
from catalogue.stock_books import load_stock
from estimator.workflow.database import at_work
from estimator.workflow.job_states import Said, record
from estimator.workflow.order_basket import Rules
from estimator.workflow.order_needs import Ordering
from estimator.workflow.order_records import stored_order, stored_orders
from estimator.workflow.placing import place_orders
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.receipt_lots import Arrival
from estimator.workflow.receipts import cancel_order, receive_order
from estimator.workflow.stock_moves import NewPlace, places
from estimator.workflow.stock_shown import check_stock

SURVEY = Path(__file__).parents[2] / "demo_jobs" / "storage-outside" / "survey.toml"
TODAY, NOON = date(2026, 11, 2), datetime(2026, 11, 2, 12, tzinfo=UTC)
JOB, CABLE, BOARD = "D-101", "03025-TE", "07105-SB"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)])
def url(request: pytest.FixtureRequest) -> str:
    """A database with a store and an accepted job."""
    on_sqlite = request.param == "sqlite"
    address: str = request.getfixturevalue("starter_url" if on_sqlite else "postgres_url")
    places(address, NewPlace("store", "store"))
    quote(QuoteRequest(SURVEY, TODAY, address, write_papers=False))
    record(address, "accepted", Said(JOB, "R. Owner", needed_on=date(2026, 11, 20)), NOON)
    return address


def at_two_desks(work: Callable[[], Any]) -> list[str]:
    """Do the same at two desks at once, and return the codes of what was told."""
    told: list[str] = []

    def desk() -> None:
        try:
            work()
        except ProblemsFound as found:
            told.extend(each.code for each in found.problems)

    desks = [Thread(target=desk) for _ in range(2)]
    for each in desks:
        each.start()
    for each in desks:
        each.join()
    return told


def order_job(url: str) -> None:
    place_orders(url, Ordering(Rules(TODAY), JOB, name="buyer"), NOON, write=True)


def arrival(number: int, **more: Any) -> Arrival:
    said: dict[str, Any] = {
        "good": (), "damaged": (), "prices": (), "serials": (), "everything": False,
        "on": TODAY, "note": "DN-1", "name": "storekeeper", **more}
    return Arrival(number, **said)


def test_a_job_s_goods_are_ordered_once_and_what_comes_is_taken_in_once(url: str) -> None:
    assert at_two_desks(lambda: order_job(url)) == ["Y305"]
    orders = stored_orders(url, only_open=True)
    assert [placed.order.supplier for placed in orders] == ["Counter North", "Storage Depot"]
    (first, second) = (placed.order.number for placed in orders)
    board = arrival(first, good=((1, D(1)),))
    assert at_two_desks(lambda: receive_order(url, board, NOON, write=True)) == ["Y311"]
    assert stored_order(url, first).state == "received"
    assert at_two_desks(lambda: cancel_order(url, second, "buyer", "", NOON)) == ["Y321"]
    with at_work(url) as work:
        assert incoming(work, TODAY) == ()
        assert load_stock(work).on_hand(BOARD) == 1
    check_stock(url)


def test_drums_that_come_at_two_desks_get_names_of_their_own(url: str) -> None:
    asked = Ordering(Rules(TODAY), items=((CABLE, D(400)),), name="buyer")
    (order,) = place_orders(url, asked, NOON, write=True).orders
    half = arrival(order.number, good=((1, D(200)),), prices=((1, D("79.50")),))
    assert at_two_desks(lambda: receive_order(url, half, NOON, write=True)) == []
    with at_work(url) as work:
        stock = load_stock(work, [CABLE])
    assert {lot: int(length) for (_, _, lot), length in stock.levels.items()} == {
        f"{CABLE}/{number}": 100 for number in range(1, 5)}
    assert stock.worth[CABLE].value_minor == 4 * 7_950
    # By hand: 400 m at 0.50 for 100 m more
    assert stored_order(url, order.number).variance_minor == 200
    check_stock(url)
