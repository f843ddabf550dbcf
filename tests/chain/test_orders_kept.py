"""Orders from an accepted job to what came of them: kept, listed, received in part, cancelled.

The job and its prices are those of `test_orders`: converter 980.00, three modules at 1,450.00 and a
power lead at 58.00 from Storage Depot with 48.00 for the pallet, a sub-board at 38.00 from Counter
North with 7.50 carriage.
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from decimal import Decimal as D
from fractions import Fraction as F
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import insert, select

from catalogue import db
from catalogue.incoming import Incoming, incoming, ordered_for
from catalogue.stock.valuation import Layer
from catalogue.stock_books import ledger_faults, load_stock
from catalogue.tables import LOT, MOVE, PLACE, PURCHASE_LINE
from estimator.workflow.job_states import Said, record
from tests.chain.desk import DAY, codes, quote, run
from tests.closed_out import all_said

pytestmark = pytest.mark.usefixtures("accepted")

CONVERTER, MODULE, LEAD, BOARD, CABLE = "01136-OU", "01505-WF", "03551-SE", "07105-SB", "03025-TE"
SEALANT = "15010"
BOARD_ORDER, DEPOT_ORDER = 1, 2
TODAY = date(2026, 11, 2)
NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
SERIALS = ("--serial", "1=CV-1", "--serial", "2=MD-1", "--serial", "2=MD-2", "--serial", "2=MD-3")


@pytest.fixture
def accepted(desk: Path) -> Path:
    assert quote("--no-papers").exit_code == 0
    record("estimator.db", "accepted", Said("D-101", "R. Owner", needed_on=TODAY), NOON)
    engine = db.open_database("estimator.db")
    with db.session(engine) as work:
        work.execute(insert(PLACE).values(name="store", kind="store", note=""))
        work.commit()
    engine.dispose()
    return desk


def data(*typed: str) -> Any:
    result = run(*typed, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def place(*more: str) -> Any:
    return data("orders", "place", "D-101", "--on", DAY, "--write", *more)


def receive(number: int, *more: str) -> Any:
    return data("orders", "receive", str(number), "--on", "2026-11-09", "--name", "storekeeper",
                "--write", *more)


def coming(today: date = TODAY) -> list[tuple[str, D, date, str]]:
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        found = [(each.item, each.quantity, each.on, each.job) for each in incoming(work, today)]
    engine.dispose()
    return found


def test_an_accepted_job_s_goods_become_one_order_for_each_supplier() -> None:
    made = place("--needed", "2026-11-20")
    assert [(each["number"], each["supplier"], each["goods"], each["carriage"], each["total"])
            for each in made["orders"]] == [
        (1, "Counter North", 3_800, 750, 4_550), (2, "Storage Depot", 538_800, 4_800, 543_600)]
    converter, modules, lead = made["orders"][1]["lines"]
    assert (converter["item"], modules["item"], lead["item"]) == (CONVERTER, MODULE, LEAD)
    assert (modules["quantity"], modules["price"], modules["per"], modules["cost"]) == (
        "3", 145_000, "1", 435_000)
    # 7 days before the 20th
    assert (modules["order_by"], modules["comes_on"]) == ("2026-11-13", "2026-11-20")
    assert (modules["serials"], lead["serials"]) == (True, False)
    assert modules["jobs"] == [{"job": "D-101", "quantity": "3"}]
    assert modules["quoted"] == "starter catalogue 2026.09, from 2026-09-01"


def test_a_dry_run_keeps_nothing() -> None:
    made = data("orders", "place", "D-101", "--on", DAY)
    assert [each["number"] for each in made["orders"]] == [None, None]
    assert data("orders", "list") == []
    assert run("orders", "list").stdout == "Nothing has been ordered yet: estimator orders place\n"


def test_what_is_on_order_for_a_job_is_not_ordered_again_and_what_is_damaged_or_cancelled_is() -> (
    None
):
    place()
    again = run("orders", "place", "D-101", "--on", DAY, "--json")
    assert (again.exit_code, codes(again)) == (1, {"Y305"})
    receive(DEPOT_ORDER, "--line", "1=1", "--line", "2=2", "--damaged", "2=1", *SERIALS[:6])
    data("orders", "cancel", str(DEPOT_ORDER), "--why", "another lead")
    made = place()
    # of the depot's order a module was damaged, the lead never came
    assert sorted((line["item"], line["quantity"]) for order in made["orders"]
                  for line in order["lines"]) == [(MODULE, "1"), (LEAD, "1")]
    assert [each["item"] for each in made["on_order_already"]] == [CONVERTER, MODULE, BOARD]


def test_items_for_the_shelf_are_ordered_in_whole_packs() -> None:
    made = data("orders", "place", "--item", f"{CABLE}=120", "--item", f"{CABLE}=30", "--on", DAY,
                "--needed", "2026-11-05", "--write")
    ((line,),) = [order["lines"] for order in made["orders"]]
    # By hand: 150 m are 2 drums of 100 m at 79.00.
    assert (line["packs"], line["quantity"], line["cost"], line["jobs"]) == ("2", "200", 15_800, [])
    assert coming() == [(CABLE, D(200), date(2026, 11, 5), "")]


def test_what_came_lies_in_the_store_at_the_price_paid_and_the_rest_stays_on_order() -> None:
    place()
    got = receive(DEPOT_ORDER, "--line", "2=2", "--damaged", "2=1", "--price", "2=1460",
                  *SERIALS[2:6], "--note", "DN-4711")
    # By hand: 3 x (1,460.00 - 1,450.00) = 30.00 adverse
    assert got["price_variance"] == "3000"
    assert [(move["quantity"], move["lot"], move["to"], move["value"])
            for move in got["moves"]] == [
        ("1", "MD-1", "store", 146_000), ("1", "MD-2", "store", 146_000),
        ("1", "", "quarantine", 146_000)]
    assert got["order"]["state"] == "part received"
    assert got["order"]["open"] == {"1": "1", "2": "0", "3": "1"}
    assert coming() == [(CONVERTER, D(1), date(2026, 11, 9), ""),
                        (LEAD, D(1), date(2026, 11, 9), ""),
                        (BOARD, D(1), date(2026, 11, 3), "")]
    assert coming(date(2026, 11, 30))[0] == (CONVERTER, D(1), date(2026, 11, 30), "")  # overdue
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        stock = load_stock(work)
        assert stock.on_hand(MODULE) == 2
        assert stock.worth[MODULE] == Layer(D(3), 438_000)
        assert stock.with_jobs == {}
        assert ledger_faults(work) == []
        assert set(work.scalars(select(MOVE.c.document))) == {"order 2, DN-4711"}
        assert {(row.id, row.kind) for row in work.execute(select(LOT))} == {
            ("MD-1", "serial"), ("MD-2", "serial")}


def test_an_order_that_all_came_of_is_closed() -> None:
    place()
    assert receive(DEPOT_ORDER, "--all", *SERIALS)["order"]["state"] == "received"
    assert [each["state"] for each in data("orders", "list")] == ["placed", "received"]
    assert [each["number"] for each in data("orders", "list", "--open")] == [BOARD_ORDER]
    assert [each[0] for each in coming()] == [BOARD]
    refused = run("orders", "receive", "2", "--line", "3=1", "--json")
    assert (refused.exit_code, codes(refused)) == (1, {"Y311"})
    refused = run("orders", "cancel", "2", "--json")
    assert (refused.exit_code, codes(refused)) == (1, {"Y321"})


def test_goods_brought_to_the_site_are_the_job_s_at_what_was_paid() -> None:
    made = place("--to-site", "--receiver", "R. Site, 07700 900123", "--note", "ring first")
    depot = made["orders"][1]
    assert (depot["to"], depot["job"], depot["receiver"]) == (
        "site D-101", "D-101", "R. Site, 07700 900123")
    assert depot["cautions"][0].startswith("Goods on pallets go to a site")
    assert coming()[0] == (CONVERTER, D(1), date(2026, 11, 9), "D-101")
    receive(DEPOT_ORDER, "--all", "--damaged", "3=1", "--price", "1=990", *SERIALS)
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        stock = load_stock(work)
        assert stock.with_jobs == {("D-101", CONVERTER): Layer(D(1), 99_000),
                                   ("D-101", MODULE): Layer(D(3), 435_000)}
        assert stock.worth == {LEAD: Layer(D(1), 5_800)}  # damaged: the firm's until it goes back
        assert ledger_faults(work) == []
    engine.dispose()


def test_what_is_on_order_is_on_its_way_to_the_job_and_what_comes_to_its_site_is_handed_over() -> (
    None
):
    def modules() -> tuple[int, ...]:
        (found,) = data("stock", "show", MODULE, "--on", "2026-11-30")["lines"]
        return tuple(int(found[name]) for name in ("on_hand", "reserved", "coming", "short"))

    assert modules() == (0, 3, 0, 3)
    place("--to-site", "--receiver", "R. Site")
    assert modules() == (0, 3, 3, 0)
    receive(DEPOT_ORDER, "--line", "2=2", "--damaged", "2=1", *SERIALS[2:6])
    assert modules() == (0, 1, 0, 1)  # one is damaged, so one is short again


def test_all_that_is_short_is_ordered_at_once_and_then_nothing_is() -> None:
    before = data("stock", "short", "--until", "2026-12-31", "--on", DAY)["shortages"]
    made = data("orders", "place", "--until", "2026-12-31", "--on", DAY, "--late-per-day", "0",
                "--needed", "2026-12-31", "--write")
    lines = [line for order in made["orders"] for line in order["lines"]]
    assert {each["item"] for each in before} == {line["item"] for line in lines}
    wanted: dict[str, D] = {}
    for each in before:
        wanted[each["item"]] = wanted.get(each["item"], D(0)) + D(each["quantity"])
    for item, quantity in wanted.items():
        mine = [line for line in lines if line["item"] == item]
        assert sum(D(line["quantity"]) for line in mine) >= quantity
        jobs = [job for line in mine for job in line["jobs"]]
        assert {job["job"] for job in jobs} == {"D-101"}
        assert sum(D(job["quantity"]) for job in jobs) == quantity
    assert data("stock", "short", "--until", "2026-12-31", "--on", DAY)["shortages"] == []
    again = run("orders", "place", "--until", "2026-12-31", "--on", DAY, "--json")
    assert (again.exit_code, codes(again)) == (1, {"E207"})
    again = run("orders", "place", "D-101", "--with-stock", "--on", DAY, "--json")
    assert (again.exit_code, codes(again)) == (1, {"Y305"})


def test_without_a_day_the_goods_are_wanted_for_the_day_they_are_reserved_for() -> None:
    assert data("orders", "place", "D-101", "--on", DAY)["orders"][0]["wanted_on"] is None
    record("estimator.db", "reopened", Said("D-101", "R. Owner"), NOON)
    record("estimator.db", "accepted", Said("D-101", "R. Owner", needed_on=date(2026, 11, 20)),
           NOON)
    made = data("orders", "place", "D-101", "--on", DAY)
    assert {each["wanted_on"] for each in made["orders"]} == {"2026-11-20"}


def test_drums_that_come_are_told_apart_by_their_length() -> None:
    data("orders", "place", "--item", f"{CABLE}=300", "--on", DAY, "--write")
    first = receive(1, "--line", "1=150")
    second = receive(1, "--line", "1=150")
    lots = [(move["lot"], move["quantity"], move["value"])
            for got in (first, second) for move in got["moves"]]
    assert lots == [(f"{CABLE}/1", "100", 7_900), (f"{CABLE}/2", "50", 3_950),
                    (f"{CABLE}/3", "100", 7_900), (f"{CABLE}/4", "50", 3_950)]


def test_goods_that_come_in_batches_keep_their_last_day() -> None:
    data("orders", "place", "--item", f"{SEALANT}=12", "--on", DAY, "--write")
    one = receive(1, "--line", "1=6", "--batch", "1=B-77@2027-03-31")
    two = receive(1, "--line", "1=2", "--batch", "1=B-77@2027-03-31")
    three = receive(1, "--line", "1=4", "--batch", "1=B-78")
    assert [(move["lot"], move["quantity"]) for got in (one, two, three)
            for move in got["moves"]] == [("B-77", "6"), ("B-77", "2"), ("B-78", "4")]
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        assert {(row.id, row.kind, row.expires_on) for row in work.execute(select(LOT))} == {
            ("B-77", "batch", date(2027, 3, 31)), ("B-78", "batch", None)}
    engine.dispose()


def test_a_receipt_that_is_only_shown_changes_nothing() -> None:
    place()
    shown = data("orders", "receive", "2", "--all", *SERIALS)
    assert (shown["written"], shown["order"]["state"]) == (False, "received")
    assert data("orders", "show", "2")["state"] == "placed"
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        assert work.execute(select(MOVE)).all() == []
        assert work.execute(select(PLACE.c.name)).scalars().all() == ["store"]


def test_what_is_ordered_is_kept_as_it_was_sent() -> None:
    place()
    before = data("orders", "show", "2")
    engine = db.open_database("estimator.db")
    with db.session(engine) as work, pytest.raises(ValueError, match="is written once"):
        work.execute(PURCHASE_LINE.update().values(price_minor=1))
    with db.session(engine) as work:
        work.exec_driver_sql("update item set name = 'renamed'")
        work.exec_driver_sql("update offer set withdrawn_at = entered_at")
        work.commit()
    assert data("orders", "show", "2") == before


def test_all_that_is_said_of_an_order_is_told_to_people() -> None:
    place("--needed", "2026-11-08", "--late-per-day", "1")
    receive(DEPOT_ORDER, "--line", "1=1", "--price", "1=985", *SERIALS[:2], "--note", "DN-1")
    shown = " ".join(run("orders", "show", "2", "--on", "2026-11-02").stdout.split())
    for words in (
        "ORDER 2 to Storage Depot, 2 November 2026: part received",
        "deliver to store, wanted on 8 November 2026",
        "1 1 of 1 01136-OU - £980.00 each £980.00 9 November 2026",
        "starter catalogue 2026.09, from 2026-09-01 until further notice; 7 days; order by "
        "1 November 2026; serial numbers asked for; for D-101 (1)",
        "£5,388.00 goods", "£48.00 carriage", "£5,436.00 in all, without VAT",
        "! line 1: 01136-OU comes on 2026-11-09, 1 day after 2026-11-08",
        "2 3 0 0 3 Storage module", "9 November 2026, delivery note DN-1, taken in by storekeeper",
        "price variance: £5.00 adverse, dearer than ordered",
    ):
        assert words in shown, words
    listed = run("orders", "list", "--on", "2026-11-30").stdout.splitlines()
    assert " ".join(listed[2].split()) == (
        "2 2 November 2026 Storage Depot D-101 store £5,436.00 part received "
        "9 November 2026 (overdue)")


def test_exact_variance_of_an_order_adds_up_over_its_deliveries() -> None:
    data("orders", "place", "--item", f"{CABLE}=200", "--on", DAY, "--write")
    one = receive(1, "--line", "1=33.333", "--price", "1=80.01")
    two = receive(1, "--line", "1=66.667", "--price", "1=78.5")
    # By hand: (80.01 - 79.00) x 33.333 / 100 and (78.50 - 79.00) x 66.667 / 100, in pence
    assert (F(one["price_variance"]), F(two["price_variance"])) == (
        F("33.66633"), F("-33.3335"))
    assert F(two["order"]["price_variance"]) == F("0.33283")


def test_orders_of_one_job_say_nothing_of_another() -> None:
    place()
    engine = db.open_database("estimator.db")
    with db.session(engine, write=False) as work:
        assert ordered_for(work, "D-999") == {}
        assert ordered_for(work, "D-101")[MODULE] == (D(3), (2,))
        assert incoming(work, TODAY)[0] == Incoming(
            CONVERTER, date(2026, 11, 9), D(1), 2, 1, "store")
    engine.dispose()


@pytest.mark.parametrize("typed", [
    ("place",), ("place", "D-101", "--item", "a=1"), ("place", "D-101", "--until", DAY),
    ("place", "--item", "a"),
    ("place", "--item", "a=0"), ("place", "D-101", "--hard"), ("receive", "1", "--line", "x=1"),
    ("receive", "1", "--price", "1=1.005"), ("receive", "1", "--line", "1"),
    ("receive", "1", "--serial", "1="),
    ("receive", "1", "--batch", "1=@2027-01-01"), ("receive", "1", "--batch", "1=B@soon"),
    ("receive", "0"), ("show", "x"),
])
def test_what_cannot_be_read_is_wrong_use(typed: tuple[str, ...]) -> None:
    assert run("orders", *typed).exit_code == 2


def put_into_store(item: str, quantity: int, *more: str) -> None:
    assert run("stock", "receive", item, str(quantity), "--into", "store", "--cost", "100.00",
               *more).exit_code == 0


def test_what_lies_there_for_a_job_is_not_ordered() -> None:
    # By hand: of three modules two lie in the store, and the board and more leads than are needed.
    put_into_store(MODULE, 2, "--serial", "MD-8", "--serial", "MD-9")
    put_into_store(BOARD, 1)
    put_into_store(LEAD, 2)
    made = data("orders", "place", "D-101", "--on", DAY)
    assert [(each["item"], each["quantity"]) for order in made["orders"]
            for each in order["lines"]] == [(CONVERTER, "1"), (MODULE, "1")]
    assert made["there_already"] == [
        {"item": MODULE, "quantity": "2"}, {"item": LEAD, "quantity": "1"},
        {"item": BOARD, "quantity": "1"}]
    told = run("orders", "place", "D-101", "--on", DAY).stdout
    assert "2 01505-WF there for the job already, or picked" in told


def test_a_job_whose_goods_all_lie_there_has_nothing_to_order() -> None:
    put_into_store(CONVERTER, 1, "--serial", "CV-9")
    put_into_store(MODULE, 3, "--serial", "MD-7", "--serial", "MD-8", "--serial", "MD-9")
    put_into_store(BOARD, 1)
    put_into_store(LEAD, 1)
    refused = run("orders", "place", "D-101", "--on", DAY)
    assert refused.exit_code == 1
    assert refused.stderr.splitlines()[0] == (
        "job D-101, revision 1: error Y305: all its goods lie there for it or were picked")


def test_a_job_is_not_closed_while_an_order_to_its_site_is_to_bring_something() -> None:
    place("--to-site", "--receiver", "R. Site")
    all_said("estimator.db", "D-101", datetime.now(UTC))
    refused = run("jobs", "close", "D-101", "--name", "S. Fitter")
    assert refused.exit_code == 1
    # By hand, from the orders of the first test.
    assert refused.stderr.splitlines()[:4] == [
        "job D-101: error H116: order 1 to its site is still to bring 1 07105-SB",
        "    estimator orders receive 1, or, if it is not wanted any more: estimator orders cancel "
        "1",
        "job D-101: error H116: order 2 to its site is still to bring 1 01136-OU, 3 01505-WF, "
        "1 03551-SE",
        "    estimator orders receive 2, or, if it is not wanted any more: estimator orders cancel "
        "2",
    ]
    for number in ("1", "2"):
        assert run("orders", "cancel", number, "--name", "S. Fitter", "--why", "not needed"
                   ).exit_code == 0
    assert run("jobs", "close", "D-101", "--name", "S. Fitter").exit_code == 0
