"""A firm with four jobs, none of which needs an estimate: what was booked on them is looked at."""

from __future__ import annotations

import shutil
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import insert, select, text

from catalogue.db import open_database, session
from catalogue.tables import JOB, JOB_EVENT, PLACE, REVISION
from estimator.buying.ordering import DeliverTo, ForJob, OrderLine
from estimator.workflow.order_records import keep_order
from estimator.workflow.receipt_lots import Arrival
from estimator.workflow.receipts import receive_order
from tests.factories import OrderLineFactory, PurchaseOrderFactory

TODAY = date(2026, 11, 20)
NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
# Job -> the steps it went through.
JOBS = {
    "00420": ("accepted",), "D-101": ("accepted",), "D-102": (), "D-103": ("accepted", "closed"),
    "D-104": ("accepted",), "D-105": ("declined",),
}


def make_firm(template: Path, folder: Path) -> str:
    """Lay a database with these jobs in a folder and return its path."""
    path = folder / "estimator.db"
    shutil.copy(template, path)
    add_jobs(str(path))
    return str(path)


def add_jobs(database: str) -> None:
    """Add the jobs to a database."""
    engine = open_database(database)
    with session(engine) as work:
        for job, events in JOBS.items():
            work.execute(insert(JOB).values(id=job, title=f"job {job}", created_at=NOON))
            work.execute(insert(REVISION).values(
                job_id=job, number=1, on_date=NOON.date(), survey_text="", estimate_json="{}",
                inputs_digest=job, made_at=NOON, kind="firm", net_minor=898_500, currency="GBP"))
            for event in events:
                work.execute(insert(JOB_EVENT).values(
                    job_id=job, revision=1, event=event, at=NOON, by="R. Owner", why=""))
        work.commit()
    engine.dispose()


ITEMS = ("08410-CC", "03901-SP", "15010")  # clip, data cable by the metre, sealant
DEPOT = "Storage Depot"


def order(database: str, *lines: OrderLine, site: str = "", carriage_minor: int = 750) -> int:
    """Keep an order to the depot, into the store or to the site of a job; return its number."""
    to = DeliverTo(f"site {site}" if site else "store", site, "1 Sample Lane")
    placed = PurchaseOrderFactory(supplier=DEPOT, lines=tuple(lines), to=to,
                                  carriage_minor=carriage_minor)
    engine = open_database(database)
    with session(engine) as work:
        for name, kind in ((to.place, "site" if site else "store"),):
            if work.scalar(select(PLACE.c.name).where(PLACE.c.name == name)) is None:
                work.execute(insert(PLACE).values(name=name, kind=kind, note=""))
        number = keep_order(work, placed, NOON)
        work.commit()
    engine.dispose()
    return number


def line(number: int, item: str, quantity: int, price_minor: int, *jobs: tuple[str, int],
         **more: Any) -> OrderLine:
    """Return a line of an order; what is not for jobs is for the shelf."""
    made: OrderLine = OrderLineFactory(
        line=number, item=item, name=f"item {item}", quantity=Decimal(quantity),
        price_minor=price_minor, supplier_code=f"SD-{number}",
        jobs=tuple(ForJob(job, Decimal(many)) for job, many in jobs), **more)
    return made


def come(database: str, number: int, *of_lines: tuple[int, int], price: str = "") -> None:
    """Take in so much of these lines of an order, at another price in major units if said."""
    receive_order(database, Arrival(
        number, tuple((at, Decimal(many)) for at, many in of_lines), (),
        tuple((at, Decimal(price)) for at, _ in of_lines if price), (), False, NOON.date(),
        name="storekeeper"), NOON, write=True)


def asked(database: str, query: str) -> list[tuple[Any, ...]]:
    """Return the rows of a query, by plain SQL."""
    engine = open_database(database)
    with session(engine, write=False) as work:
        found = [tuple(row) for row in work.execute(text(query))]
    engine.dispose()
    return found
