"""Money and quantities come back as they went in, or are refused; nothing is ever a float."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import select, text
from sqlalchemy.exc import IntegrityError, StatementError
from sqlalchemy.orm import Session

from catalogue.tables.columns import Flag, IsoDate, Milli, MoneyMinor, UtcTime
from catalogue.tables.rows import BoxPartRow, ItemRow, OfferRow, RevisionRow
from tests.factories import (
    BoxPartRowFactory,
    ItemRowFactory,
    JobRowFactory,
    OfferRowFactory,
    RevisionRowFactory,
    SupplierRowFactory,
)


def refused(row: Any, error: type[Exception]) -> str:
    with pytest.raises(StatementError) as caught:
        row()
    assert isinstance(caught.value.orig, error)
    return str(caught.value.orig)


@pytest.mark.parametrize("minor", [0, 1, 898_500, 9_007_199_254_740_993, 2**63 - 1])
def test_money_comes_back_to_the_last_penny(rows: Session, minor: int) -> None:
    # 9 007 199 254 740 993 is 2**53 + 1, the first whole number a float cannot hold.
    SupplierRowFactory()
    ItemRowFactory()
    OfferRowFactory(price_minor=minor)
    rows.expire_all()
    assert rows.scalars(select(OfferRow.price_minor)).one() == minor
    assert rows.execute(text("SELECT typeof(price_minor) FROM offer")).scalar() == "integer"


@pytest.mark.parametrize("wrong", [10.5, 10.0, D("10"), "10", True])
def test_money_refuses_what_is_no_whole_number(rows: Session, wrong: object) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    assert "whole minor units" in refused(lambda: OfferRowFactory(price_minor=wrong), TypeError)


def test_a_comparison_with_a_float_is_refused_too(rows: Session) -> None:
    with pytest.raises(StatementError):
        rows.execute(select(OfferRow).where(OfferRow.price_minor > 10.5))


def test_money_too_large_for_the_column_is_refused(rows: Session) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    assert "does not fit" in refused(lambda: OfferRowFactory(price_minor=2**63), ValueError)


@pytest.mark.parametrize(
    ("quantity", "stored"),
    [(D("0.05"), 50), (D("1"), 1000), (D("1.0"), 1000), (D("100"), 100_000), (D("1E+2"), 100_000),
     (D("0.001"), 1), (D("12.345"), 12_345), (D("9223372036854775.807"), 2**63 - 1)],
)
def test_a_quantity_is_stored_in_thousandths(rows: Session, quantity: D, stored: int) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    OfferRowFactory(pack=quantity)
    rows.expire_all()
    assert rows.execute(text("SELECT pack FROM offer")).scalar() == stored
    assert rows.scalars(select(OfferRow.pack)).one() == quantity


@pytest.mark.parametrize(
    ("wrong", "error", "says"),
    [(0.5, TypeError, "not float"), ("0.5", TypeError, "not str"), (True, TypeError, "not bool"),
     (D("0.0005"), ValueError, "finer than a thousandth"),
     (D("NaN"), ValueError, "not a quantity"), (D("Infinity"), ValueError, "not a quantity"),
     (D("1E+16"), ValueError, "does not fit")],
)
def test_a_quantity_that_would_lose_digits_is_refused(
    rows: Session, wrong: object, error: type[Exception], says: str
) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    assert says in refused(lambda: OfferRowFactory(pack=wrong), error)


@given(st.decimals(min_value=-(10**15), max_value=10**15, places=3))
def test_every_quantity_of_three_places_survives(quantity: D) -> None:
    from sqlalchemy.dialects import postgresql, sqlite

    for dialect in (sqlite.dialect(), postgresql.dialect()):
        stored = Milli().process_bind_param(quantity, dialect)
        assert isinstance(stored, int)
        assert Milli().process_result_value(stored, dialect) == quantity


def test_a_date_is_a_date_and_not_a_moment(rows: Session) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    moment = datetime(2026, 9, 1, tzinfo=UTC)
    assert "date is needed" in refused(lambda: OfferRowFactory(from_date=moment), TypeError)


def test_a_moment_is_kept_in_utc_and_needs_its_zone(rows: Session) -> None:
    summer = timezone(timedelta(hours=1))
    JobRowFactory(created_at=datetime(2026, 6, 1, 9, 30, tzinfo=summer))
    stored = rows.execute(text("SELECT created_at FROM job")).scalar()
    assert stored == "2026-06-01T08:30:00.000000+00:00"  # an hour earlier by UTC
    naive = datetime(2026, 6, 1)  # noqa: DTZ001 the very mistake under test
    assert "time zone" in refused(lambda: JobRowFactory(created_at=naive), TypeError)


def test_a_flag_takes_no_number(rows: Session) -> None:
    assert "True or False" in refused(lambda: ItemRowFactory(serialised=1), TypeError)


@pytest.mark.parametrize("column", [Milli(), Flag(), IsoDate(), UtcTime()])
def test_nothing_known_stays_nothing(column: Any) -> None:
    from sqlalchemy.dialects import sqlite

    assert MoneyMinor().process_bind_param(None, sqlite.dialect()) is None
    assert column.process_bind_param(None, sqlite.dialect()) is None
    assert column.process_result_value(None, sqlite.dialect()) is None


@pytest.mark.parametrize(
    ("row", "constraint"),
    [
        (lambda: ItemRowFactory(code="00001", held="shelf"), "ck_item_held_known"),
        (lambda: ItemRowFactory(code="00001", vat_class="zero"), "ck_item_vat_class_known"),
        (lambda: ItemRowFactory(code="00001", waste=D(1)), "ck_item_waste_is_a_share"),
        (lambda: ItemRowFactory(code="00001", mass_kg=D(0)), "ck_item_mass_positive"),
        (lambda: ItemRowFactory(code="00001", width_mm=-1), "ck_item_size_positive"),
        (lambda: ItemRowFactory(code=""), "ck_item_code_given"),
        (lambda: OfferRowFactory(price_minor=-1), "ck_offer_price_not_negative"),
        (lambda: OfferRowFactory(pack=D(0)), "ck_offer_pack_positive"),
        (lambda: OfferRowFactory(currency="POUND"), "ck_offer_currency_of_three_letters"),
        (lambda: OfferRowFactory(to_date=date(2026, 8, 31)), "ck_offer_dates_in_order"),
        (lambda: OfferRowFactory(lead_days=-1), "ck_offer_lead_days_not_negative"),
        (lambda: OfferRowFactory(item_code="99999"), "FOREIGN KEY"),
        (lambda: OfferRowFactory(supplier="Nobody"), "FOREIGN KEY"),
        (lambda: BoxPartRowFactory(item_code="00000"), "ck_box_part_not_in_itself"),
        (lambda: BoxPartRowFactory(quantity=0), "ck_box_part_quantity_positive"),
        (lambda: RevisionRowFactory(job_id="job-9"), "FOREIGN KEY"),
    ],
)
def test_the_database_itself_refuses_nonsense(rows: Session, row: Any, constraint: str) -> None:
    SupplierRowFactory()
    ItemRowFactory(code="00000")
    with pytest.raises(IntegrityError, match=constraint):
        row()


def test_a_strict_table_refuses_a_decimal_written_past_the_program(rows: Session) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    OfferRowFactory()
    with pytest.raises(IntegrityError, match="cannot store REAL value in INTEGER column"):
        rows.execute(text("UPDATE offer SET price_minor = 10.5"))


def test_one_offer_is_in_use_and_the_withdrawn_one_stays(rows: Session) -> None:
    SupplierRowFactory()
    ItemRowFactory()
    OfferRowFactory(withdrawn_at=datetime(2026, 9, 2, tzinfo=UTC), price_minor=1)
    OfferRowFactory(price_minor=2)
    assert sorted(rows.scalars(select(OfferRow.price_minor))) == [1, 2]
    with pytest.raises(IntegrityError, match="UNIQUE"):
        OfferRowFactory(price_minor=3)


def test_a_revision_is_written_once(rows: Session) -> None:
    JobRowFactory()
    revision = RevisionRowFactory()
    revision.net_minor = 1
    with pytest.raises(ValueError, match="written once"):
        rows.flush()


def test_a_job_has_one_revision_of_a_number(rows: Session) -> None:
    JobRowFactory()
    RevisionRowFactory()
    RevisionRowFactory(number=2)
    assert [row.number for row in rows.scalars(select(RevisionRow))] == [1, 2]
    rows.expunge_all()
    with pytest.raises(IntegrityError, match="UNIQUE"):
        RevisionRowFactory(number=2)


def test_an_item_takes_its_roles_with_it_but_not_an_item_in_a_box(rows: Session) -> None:
    ItemRowFactory(code="00000")
    ItemRowFactory(code="00001")
    BoxPartRowFactory()
    rows.delete(rows.get_one(ItemRow, "00001"))
    with pytest.raises(IntegrityError, match="FOREIGN KEY"):
        rows.flush()
    rows.rollback()
    assert rows.scalars(select(BoxPartRow)).all() == []
