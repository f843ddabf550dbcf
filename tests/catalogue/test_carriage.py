"""What suppliers charge for bringing orders: read, kept, put right, and out to a file and back."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, select

from catalogue.db import load_price_book, session
from catalogue.entering import Entered
from catalogue.exchange import files_of, read_file, read_into, sheets_of
from catalogue.items import Carriage
from catalogue.listing import CarriageEntry, Listing, SupplierEntry
from catalogue.loading import load_carriage
from catalogue.money import Money
from catalogue.recording import compare, record
from catalogue.tables import CARRIAGE
from tests.factories import ON, SUPPLIER, CarriageFactory

ENTERED = Entered(ON, "a test", "buyer", datetime(2026, 11, 2, 12, 0, tzinfo=UTC))
ROWS = (
    CarriageFactory(free_from=Money(15000), least_order=Money(2500)),
    CarriageFactory(carriage_class="=long", charge=Money(1800), to_date=date(2026, 12, 31)),
    CarriageFactory(carriage_class="pallet", charge=Money(0), free_from=Money(1)),
)


def keep(work: Connection, *charges: Carriage) -> None:
    entries = [CarriageEntry(charge) for charge in charges]
    record(work, Listing(
        suppliers={SUPPLIER: SupplierEntry(SUPPLIER, 1)},
        carriage={entry.key: entry for entry in entries}), ENTERED)


@pytest.mark.parametrize("out", ["items.xlsx", "folder of csv"])
def test_carriage_goes_out_to_a_file_and_comes_back_whole(
    engine: Engine, tmp_path: Path, out: str
) -> None:
    with session(engine) as work:
        keep(work, *ROWS)
        for path, content in files_of(sheets_of(work, ON), tmp_path / out).items():
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)
        listing = read_into(work, read_file(tmp_path / out))
        plan = compare(work, listing, ENTERED)
    assert listing.problems == []
    assert [entry.charge for entry in listing.carriage.values()] == list(ROWS)
    assert (plan.new, plan.changed, plan.carriage) == ([], [], [])


def test_a_later_charge_takes_the_place_of_an_older_one_and_a_corrected_one_stays_explained(
    engine: Engine,
) -> None:
    first = ROWS[0]
    right, later = (
        replace(first, charge=Money(1000)),
        replace(first, charge=Money(1200), from_date=date(2026, 12, 1)))
    with session(engine) as work:
        keep(work, first)
        keep(work, right, later)
        assert load_carriage(work) == [right, later]
        assert load_price_book(work, ON).carriage == {SUPPLIER: (right,)}
        assert load_price_book(work, date(2026, 12, 1)).carriage == {SUPPLIER: (later,)}
        kept = work.execute(select(CARRIAGE.c.charge_minor, CARRIAGE.c.withdrawn_at)
                            .order_by(CARRIAGE.c.id)).all()
    assert [tuple(row) for row in kept] == [(950, ENTERED.at), (1000, None), (1200, None)]
