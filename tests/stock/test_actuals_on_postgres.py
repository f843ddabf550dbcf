"""Hours, bills and payments on PostgreSQL: every use case once, and two desks with one file."""

from __future__ import annotations

from decimal import Decimal as D
from pathlib import Path
from threading import Barrier, Thread

import pytest

from catalogue.problems import ProblemsFound
from estimator.workflow.actual_costs import actual_costs
from estimator.workflow.bills import BillsWanted, import_bills
from estimator.workflow.bills_settle import settle_bills
from estimator.workflow.hours import HoursWanted, import_hours
from estimator.workflow.hours_back import take_back
from estimator.workflow.payments import pay
from tests.actuals.firm import DEPOT, TODAY, add_jobs, asked, come, line, order

pytestmark = pytest.mark.postgres


def test_hours_bills_and_payments_come_to_the_same_as_on_sqlite(
    postgres_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    add_jobs(postgres_url)
    Path("week.csv").write_text(
        "Person,Day,Job,Task group,Begun,Ended\nR. Fitter,2026-11-05,D-101,roof,22:00,02:00\n"
        "R. Fitter,2026-11-07,D-101,roof,08:00,09:00\n", "utf-8")
    # By hand: 4 h and 1 h at 43.98 and 23.85; the hour is taken back.
    assert import_hours(postgres_url, HoursWanted(Path("week.csv"), TODAY, write=True)).written
    take_back(postgres_url, 2, "not there")
    # 30 clips (head: cable) taken in at 0.10, 20 of them before their bill at 0.12; carriage 7.50.
    number = order(postgres_url, line(1, "08410-CC", 30, 10, ("D-101", 30)))
    come(postgres_url, number, (1, 20))
    Path("bills.csv").write_text(
        "Supplier,Invoice no,Date,Order,Order line,Kind,Qty,Net\n"
        f"{DEPOT},A-1,2026-11-10,{number},1,goods,30,3.60\n"
        f"{DEPOT},A-1,2026-11-10,{number},,carriage,,7.50\n", "utf-8")
    done = import_bills(postgres_url, BillsWanted(Path("bills.csv"), TODAY, write=True))
    assert done.cost.minor == 40 + 750
    come(postgres_url, number, (1, 10))
    assert [each.cost.minor for each in settle_bills(postgres_url, write=True)] == [20]
    pay(postgres_url, "D-101", D("2000"), "deposit", TODAY, TODAY)
    found = actual_costs(postgres_url, "D-101")
    assert {(each.kind, each.head, each.minutes): each.amount.minor for each in found.sums} == {
        ("goods", "cable", 0): 60, ("goods", "carriage", 0): 750,
        ("labour", "labour", 240): 17_592, ("overhead", "overhead", 240): 9_540}
    assert found.paid[0][1].minor == 200_000


def test_of_two_desks_with_one_file_each_one_books_it(
    postgres_url: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    add_jobs(postgres_url)
    Path("bills.csv").write_text(
        "Supplier,Invoice no,Date,Job,Kind,Net\nSample Hire,H-1,2026-11-10,,plant,90\n", "utf-8")
    Path("week.csv").write_text(
        "Person,Day,Job,Task group,Hours\nR. Fitter,2026-11-05,D-101,roof,7:30\n", "utf-8")
    at_once, done = Barrier(2), []

    def book() -> None:
        at_once.wait()
        try:
            done.append((
                import_hours(postgres_url, HoursWanted(
                    Path("week.csv"), TODAY, write=True)).written,
                import_bills(postgres_url, BillsWanted(
                    Path("bills.csv"), TODAY, write=True)).written))
        except ProblemsFound as found:
            done.append(tuple(each.code for each in found.problems))

    desks = [Thread(target=book) for _ in range(2)]
    for each in desks:
        each.start()
    for each in desks:
        each.join()
    assert sum(hours is True for hours, _ in done) == 1
    assert sum(bills is True for _, bills in done) == 1
    assert asked(postgres_url, "SELECT COUNT(*) FROM time_line") == [(1,)]
    assert asked(postgres_url, "SELECT COUNT(*) FROM invoice") == [(1,)]
