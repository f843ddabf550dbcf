"""Book one bill of one line that somebody types."""

from __future__ import annotations

from datetime import date

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.faults import Fault
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.actuals.bill_costs import costed, faults_of
from estimator.actuals.bills import Bill, BillLine, as_credit
from estimator.workflow.bill_books import hold_bills, load_books, write_bill
from estimator.workflow.bills import BillsImport
from estimator.workflow.database import at_work
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.price_columns import Chosen


def book_by_hand(
    database: str | None, whose: tuple[str, str], line: BillLine, tax_minor: int, credit: bool,
    days: tuple[date, date | None], today: date,
) -> BillsImport:
    """Book a bill of one line.

    Args:
        whose: supplier and number.
        line: what it charges, above nought; of a credit note what it gives back.
        days: of the bill, and on which it is due.
        today: no bill is of a later day.

    Raises:
        ProblemsFound: Z231, Z232, Z243 for the bill, Z234 to Z239 for its line.
    """
    files = firm_files()
    currency = firm_settings(files).firm.currency
    supplier, number = (" ".join(each.split()) for each in whose)
    place = Place(f"bill {number}" if number else "the bill")
    lines, tax = (as_credit([line]), -tax_minor) if credit else ((line,), tax_minor)
    bill = Bill("credit note" if credit else "invoice", supplier, number, *days, currency, lines,
                tax)
    problems = [fault.at(place) for fault in _faults(bill, today)]
    with at_work(database_of(database, files), write=True) as work:
        hold_bills(work)
        books = load_books(work, [bill], to_write=True)
        problems += [fault.at(place) for _, _, fault in faults_of(bill, books)]
        if problems:
            raise ProblemsFound(problems)
        done = costed(bill, books)
        write_bill(work, done, ("", ""))
        work.commit()
    cautions = tuple(Problem(fault.code, place, fault.says, fault.mend, "caution")
                     for _, fault in done.cautions)
    return BillsImport(Chosen(ColumnMap(currency), "by hand"), currency, (done,),
                       cautions=cautions, written=True)


def _faults(bill: Bill, today: date) -> list[Fault]:
    found = []
    if not bill.supplier:
        found.append(Fault("Z231", "the supplier is missing", "say who charges this"))
    if not bill.number:
        found.append(Fault("Z232", "the number of the bill is missing", "say it"))
    if bill.on > today:
        found.append(Fault("Z243", f"{bill.on} is still to come, and today is {today}",
                           "look the day over"))
    if bill.due is not None and bill.due < bill.on:
        found.append(Fault("Z243", f"it is due on {bill.due}, before its own day {bill.on}",
                           "look both days over"))
    if not bill.net_minor:
        found.append(Fault("Z240", "the bill charges nothing", "give its amount"))
    return found
