"""Which revision of a job stands accepted, and the net price that the customer pays for it.

A variation that is agreed makes its revision the accepted one, and that revision's net price is the
price agreed before and what is charged for the variation: so the net price of the accepted revision
is what the customer pays, and equals the price accepted first and all chargeable variations agreed
since.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, Select, func, select

from catalogue.money import Money
from catalogue.tables import JOB_EVENT, REVISION


def accepted_prices() -> Select[Any]:
    """Return the query for every job that stands accepted or closed: its revision and net price.

    Columns: job_id, number (of the revision), event, net_minor, currency.
    """
    e, r = JOB_EVENT.c, REVISION.c
    newest = select(func.max(e.id)).group_by(e.job_id)
    return (select(e.job_id, r.number, e.event, r.net_minor, r.currency)
            .join(REVISION, (r.job_id == e.job_id) & (r.number == e.revision))
            .where(e.id.in_(newest), e.event.in_(("accepted", "closed"))))


def accepted_price(work: Connection, job: str) -> Money | None:
    """Return the net price that the customer of a job pays; None if it does not stand accepted."""
    row = work.execute(accepted_prices().where(JOB_EVENT.c.job_id == job)).first()
    return None if row is None else Money(row.net_minor, row.currency)
