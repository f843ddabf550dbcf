"""Orders as the database adds them up for a review."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

from sqlalchemy import insert
from sqlalchemy.orm import Session

from catalogue import tables
from estimator.review.suppliers import Ordered
from estimator.workflow.review_buying import credited, orders_of
from estimator.workflow.review_jobs import Wanted
from tests.factories import SUPPLIER, ItemRowFactory, SupplierRowFactory
from tests.workflow.finished import NOON

YEAR = Wanted(date(2026, 1, 1), date(2026, 12, 31), "GBP")
BY = {"at": NOON, "by": "a test"}


def test_an_order_is_held_against_its_deliveries_and_bills(rows: Session) -> None:
    """By hand: 10 ordered at 3.00 for 2 units, 15.00. 4 came good and 1 damaged at 3.00, 5 at
    3.20: 7.50 + 8.00 charged, 0.50 above. The bill charges 0.30 more than what was taken in."""
    SupplierRowFactory()
    ItemRowFactory(code="00001")
    work = rows.connection()
    work.execute(insert(tables.PLACE).values(name="store", kind="store", note=""))
    for number, on in ((1, date(2026, 3, 2)), (2, date(2025, 12, 31)), (3, date(2026, 12, 31))):
        work.execute(insert(tables.PURCHASE_ORDER).values(
            number=number, supplier=SUPPLIER, on_date=on, wanted_on=None, currency="GBP",
            carriage_minor=0, least_minor=0, advised_minor=0, to_place="store", job_id=None,
            address="", receiver="", note="", **BY))
    work.execute(insert(tables.PURCHASE_LINE).values(
        order_number=1, line=1, item_code="00001", name="", unit="each", supplier_code="",
        quantity=D(10), pack=D(1), per=D(2), price_minor=300, cut_charge_minor=0,
        carriage_class="", quoted="", price_from=date(2026, 1, 1), price_until=None, lead_days=2,
        needed_on=None, comes_on=date(2026, 3, 4), serials=False, family="panel"))
    for delivery, on, good, damaged, price in (
            (1, date(2026, 3, 4), 4, 1, 300), (2, date(2026, 3, 9), 5, 0, 320)):
        work.execute(insert(tables.DELIVERY).values(
            id=delivery, order_number=1, on_date=on, note="", **BY))
        work.execute(insert(tables.DELIVERY_LINE).values(
            delivery_id=delivery, order_number=1, line=1, good=D(good), damaged=D(damaged),
            price_minor=price, serials=""))
    for bill, kind, net, cost in ((1, "invoice", 1_580, 30), (2, "credit note", -150, 0)):
        work.execute(insert(tables.INVOICE).values(
            id=bill, kind=kind, supplier=SUPPLIER, number=str(bill), on_date=date(2026, 3, 12),
            due_on=None, currency="GBP", net_minor=net, tax_minor=0, file_name="", digest="",
            **BY))
        work.execute(insert(tables.INVOICE_LINE).values(
            invoice_id=bill, line=1, kind="goods", head="panels", job_id=None, order_number=1,
            order_line=1, item_code="00001", name="", quantity=D(10), net_minor=net,
            cost_minor=cost))
    assert orders_of(work, YEAR) == [
        Ordered(SUPPLIER, 1_500, 80, date(2026, 3, 2), date(2026, 3, 4), date(2026, 3, 9), 9_000,
                1_000),
        Ordered(SUPPLIER, 0, 0, date(2026, 12, 31), None, None, 0, 0)]
    assert credited(work, YEAR) == {SUPPLIER: 150}
