"""Bills held against orders and deliveries: what is a cost of whom, once, and to the penny."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import insert

from catalogue.db import open_database, session
from catalogue.problems import ProblemsFound
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.stock_books import post_moves
from catalogue.tables import PLACE
from estimator.workflow.actual_costs import actual_costs
from estimator.workflow.bills import BillsImport, BillsWanted, import_bills
from estimator.workflow.bills_settle import settle_bills
from tests.actuals.firm import DEPOT, NOON, TODAY, asked, come, line, order

CLIP, CABLE, SEALANT = "08410-CC", "03901-SP", "15010"
HEAD = "Supplier,Invoice no,Document,Date,Order,Order line,Item,Job,Kind,Description,Qty,Net,VAT\n"


def book(firm: str, *rows: str, name: str = "bills.csv", write: bool = True) -> BillsImport:
    Path(name).write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return import_bills(firm, BillsWanted(Path(name), TODAY, write=write))


def costs(firm: str) -> dict[str, int]:
    """Return what bills cost whom, by plain SQL."""
    return {job or "": int(minor) for job, minor in asked(
        firm, "SELECT job_id, SUM(cost_minor) FROM invoice_line GROUP BY job_id")
        if minor}


def cautions(done: BillsImport) -> list[str]:
    return [each.code for each in done.cautions if each.code != "A130"]


def test_goods_that_were_charged_dearer_cost_their_jobs_the_difference(firm: str) -> None:
    # By hand: 30 clips at 0.10 taken in at 3.00, charged 3.31: 0.31 over jobs for 10, 10 and a
    # shelf of 10: thirds of 31 pence are 10.33; the penny left goes to the first.
    number = order(firm, line(1, CLIP, 30, 10, ("D-101", 10), ("D-104", 10)))
    come(firm, number, (1, 30))
    done = book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,30,3.31,0.66")
    assert costs(firm) == {"D-101": 11, "D-104": 10, "": 10}
    assert [(each.quantity, each.net_minor) for each in done.bills[0].lines] == [
        (10, 111), (10, 110), (10, 110)]
    assert asked(firm, "SELECT net_minor, tax_minor, kind FROM invoice") == [(331, 66, "invoice")]
    assert cautions(done) == []


def test_what_was_taken_in_at_the_charged_price_costs_nothing_more(firm: str) -> None:
    number = order(firm, line(1, CLIP, 30, 10, ("D-101", 30)))
    come(firm, number, (1, 30), price="0.11")  # it was on the delivery note already
    assert book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,30,3.30,0").cost.minor == 0


def test_what_was_charged_and_has_not_come_is_told_and_settled_later(firm: str) -> None:
    number = order(firm, line(1, CLIP, 30, 10, ("D-101", 30)))
    come(firm, number, (1, 20))
    done = book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,30,3.60,0")
    assert cautions(done) == ["Z246"]
    assert "10 of 08410-CC are charged and have not come" in done.cautions[-1].says
    assert costs(firm) == {"D-101": 40}
    assert settle_bills(firm, write=True) == ()
    come(firm, number, (1, 10))
    (found,) = settle_bills(firm, write=False)
    assert (found.job, found.cost.minor) == ("D-101", 20)
    assert costs(firm) == {"D-101": 40}
    settle_bills(firm, write=True)
    assert costs(firm) == {"D-101": 60}
    assert settle_bills(firm, write=True) == ()
    assert asked(firm, "SELECT SUM(net_minor) FROM invoice_line") == [(360,)]


def test_goods_brought_to_a_site_are_that_jobs_whatever_else_the_order_says(firm: str) -> None:
    number = order(firm, line(1, CLIP, 30, 10), site="D-101")
    come(firm, number, (1, 30))
    book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,30,3.30,0")
    assert costs(firm) == {"D-101": 30}
    assert actual_costs(firm, "D-101").total("D-101").minor == 300 + 30


def test_carriage_goes_by_the_value_of_the_goods_and_more_than_ordered_is_told(firm: str) -> None:
    # By hand: 300.00 for D-101, 100.00 for D-104, 100.00 for the shelf; carriage 10.01 in fifths:
    # 6.006, 2.002, 2.002 -> the penny of remainders to the largest, D-101.
    number = order(firm, line(1, CLIP, 400, 100, ("D-101", 300), ("D-104", 100)),
                   line(2, SEALANT, 10, 1_000))
    done = book(firm, f"{DEPOT},A-1,,2026-11-10,{number},,,,carriage,,,10.01,0")
    assert costs(firm) == {"D-101": 601, "D-104": 200, "": 200}
    assert cautions(done) == ["Z247"]
    assert "10.01 of carriage" in done.cautions[-1].says
    heads = asked(firm, "SELECT DISTINCT kind, head FROM invoice_line")
    assert heads == [("carriage", "carriage")]
    assert {(each.kind, each.head) for each in actual_costs(firm).sums} == {("goods", "carriage")}


def test_a_discount_on_an_order_lessens_the_goods_by_their_value(firm: str) -> None:
    number = order(firm, line(1, CLIP, 100, 100, ("D-101", 100)), line(2, SEALANT, 10, 1_000))
    come(firm, number, (1, 100), (2, 10))
    book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,100,100.00,0",
         f"{DEPOT},A-1,,2026-11-10,{number},2,,,,,10,100.00,0",
         f"{DEPOT},A-1,,2026-11-10,{number},,,,goods,Discount,,-5.01,0")
    assert costs(firm) == {"D-101": -251, "": -250}


def test_a_credit_note_gives_back_whichever_way_its_amounts_are_written(firm: str) -> None:
    number = order(firm, line(1, CLIP, 30, 100, ("D-101", 30)))
    come(firm, number, (1, 30))
    book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,30,31.50,6.30")
    up = f"{DEPOT},C-1,credit note,2026-11-11,{number},1,,,,too dear,,1.00,0.20"
    down = f"{DEPOT},C-2,,2026-11-11,{number},1,,,,too dear,,-0.50,-0.10"
    book(firm, up, down, name="credits.csv")
    assert costs(firm) == {}
    assert asked(firm, "SELECT number, kind, net_minor, tax_minor FROM invoice ORDER BY id") == [
        ("A-1", "invoice", 3_150, 630), ("C-1", "credit note", -100, -20),
        ("C-2", "credit note", -50, -10)]


def test_what_was_bought_on_the_way_and_written_down_is_not_paid_twice(firm: str) -> None:
    engine = open_database(firm)
    with session(engine) as work:
        work.execute(insert(PLACE).values(name="site D-101", kind="site", note=""))
        post_moves(work, [Move("receive", CLIP, 20, to_place="site D-101", job="D-101",
                               document="sheet D-101/2", value_minor=250)], Posted("x", NOON))
        work.commit()
    engine.dispose()
    book(firm, f"Counter North,N-1,,2026-11-10,,,{CLIP},D-101,,,20,2.75,0")
    assert costs(firm) == {"D-101": 25}
    assert actual_costs(firm).total("D-101").minor == 275


def test_a_bill_of_goods_that_are_written_down_later_is_settled(firm: str) -> None:
    book(firm, f"Counter North,N-1,,2026-11-10,,,{CLIP},D-101,,,20,2.75,0")
    assert costs(firm) == {"D-101": 275}
    engine = open_database(firm)
    with session(engine) as work:
        work.execute(insert(PLACE).values(name="site D-101", kind="site", note=""))
        post_moves(work, [Move("receive", CLIP, 20, to_place="site D-101", job="D-101",
                               document="sheet D-101/2", value_minor=250)], Posted("x", NOON))
        work.commit()
    engine.dispose()
    settle_bills(firm, write=True)
    assert actual_costs(firm).total("D-101").minor == 275


def test_plant_and_subcontract_are_the_jobs_and_need_no_known_supplier(firm: str) -> None:
    done = book(firm, "Sample Scaffolders,S-1,,2026-11-10,,,,D-101,subcontract,Scaffold,,640,128",
                "Sample Hire,H-1,,2026-11-10,,,,,plant,Lift,,90,18")
    assert costs(firm) == {"D-101": 64_000, "": 9_000}
    assert cautions(done) == ["Z249"]
    assert [(each.kind, each.head, each.amount.minor) for each in actual_costs(firm).sums] == [
        ("bought in", "subcontract", 64_000)]


def test_quantities_that_look_like_packs_are_told(firm: str) -> None:
    number = order(firm, line(1, CLIP, 300, 345, ("D-101", 300), pack=100, per=100))
    done = book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,3,10.35,0", write=False)
    assert "Z248" in cautions(done)
    assert "packs of 100" in done.cautions[-1].mend


def test_a_bill_is_booked_once_and_a_file_too(firm: str) -> None:
    row = "Sample Hire,H-1,,2026-11-10,,,,D-101,plant,Lift,,90,18"
    book(firm, row)
    again = book(firm, row, name="other.csv")
    assert again.before is not None
    with pytest.raises(ProblemsFound) as found:
        book(firm, row.replace("Sample Hire,H-1", "sample  hire,h-1"), name="third.csv")
    assert [each.code for each in found.value.problems] == ["Z234", "Z250"]
    assert asked(firm, "SELECT COUNT(*) FROM invoice") == [(1,)]


def test_a_refused_bill_keeps_all_from_being_booked(firm: str) -> None:
    good = "Sample Hire,H-1,,2026-11-10,,,,D-101,plant,Lift,,90,18"
    bad = "Sample Hire,H-2,,2026-11-10,,,,D-1O1,plant,Lift,,90,18"
    with pytest.raises(ProblemsFound):
        book(firm, good, bad)
    assert asked(firm, "SELECT COUNT(*) FROM invoice_line") == [(0,)]
    done = import_bills(firm, BillsWanted(Path("bills.csv"), TODAY, write=True, skip_refused=True))
    assert (done.written, done.refused_bills, len(done.bills)) == (True, 1, 1)
    again = import_bills(firm, BillsWanted(Path("bills.csv"), TODAY, again=True))
    assert (again.already, again.refused_bills, again.bills) == (1, 1, ())


def test_a_bill_that_stands_twice_is_told_unless_its_total_says_so(firm: str) -> None:
    row = "Sample Hire,H-1,,2026-11-10,,,,D-101,plant,Lift,,90,18"
    twice = book(firm, row, row, write=False)
    assert [(each.code, each.where.line) for each in twice.refused] == [("Z233", 3)]
    Path("bills.csv").write_text(
        f"{HEAD.strip()},Invoice total\n{row},216\n{row},\n", encoding="utf-8")
    done = import_bills(firm, BillsWanted(Path("bills.csv"), TODAY))
    assert (done.refused, done.net.minor) == ((), 18_000)


def test_sums_shown_are_those_of_plain_sql(firm: str) -> None:
    number = order(firm, line(1, CLIP, 30, 10, ("D-101", 20), ("D-104", 10)))
    come(firm, number, (1, 30))
    done = book(firm, f"{DEPOT},A-1,,2026-11-10,{number},1,,,,,30,3.31,0",
                f"{DEPOT},A-1,,2026-11-10,{number},,,,carriage,,,7.77,0",
                "Sample Hire,H-1,,2026-11-10,,,,D-101,plant,Lift,,90,18")
    by_sql: dict[Any, int] = {
        (job, head): int(minor) for job, head, minor in asked(
            firm, "SELECT job_id, head, SUM(cost_minor) FROM invoice_line WHERE job_id IS NOT NULL "
                  "GROUP BY job_id, head")}
    assert {(each.job, each.head): each.amount.minor for each in actual_costs(firm).sums} == by_sql
    assert done.cost.minor == asked(firm, "SELECT SUM(cost_minor) FROM invoice_line")[0][0]
    assert done.net.minor == asked(firm, "SELECT SUM(net_minor) FROM invoice")[0][0] == asked(
        firm, "SELECT SUM(net_minor) FROM invoice_line")[0][0]
