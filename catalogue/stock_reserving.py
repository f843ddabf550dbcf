"""What is reserved for accepted jobs, in the caller's transaction.

Rows are only added: what is released or picked is a row below zero, so the sum of a job's rows is
what is still reserved for it. The items are locked first, as for moves, so that whoever picks and
whoever reopens a job do it one after the other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, func, insert, select, true

from catalogue.stock.free import Claim
from catalogue.stock.ledger import Move
from catalogue.stock.posting import Posted
from catalogue.tables import ITEM, JOB_EVENT, RESERVATION


def lock_items(work: Connection, codes: Iterable[str]) -> None:
    """Hold items until the transaction ends (SQLite has the whole database locked already)."""
    work.execute(select(ITEM.c.code).where(ITEM.c.code.in_(sorted(set(codes))))
                 .order_by(ITEM.c.code).with_for_update()).all()


def reserve(
    work: Connection, revision: tuple[str, int], wanted: Mapping[str, Decimal], needed_on: date,
    posted: Posted, why: str = "",
) -> None:
    """Reserve quantities of items for a revision of a job; the caller commits."""
    lock_items(work, wanted)
    job, number = revision
    _write(work, [(job, number, item, quantity, needed_on)
                  for item, quantity in sorted(wanted.items()) if quantity], posted, why)


def release(
    work: Connection, job: str, posted: Posted, why: str = "", item: str | None = None
) -> dict[str, Decimal]:
    """Release what is still reserved for a job, of one item or of all; the caller commits.

    Returns:
        item -> the quantity that is not reserved any more.
    """
    lock_items(work, [each.item_code for each in _open(work, RESERVATION.c.job_id == job)])
    rows = [each for each in _open(work, RESERVATION.c.job_id == job)
            if item in (None, each.item_code)]
    _write(work, [_less(each, each.still) for each in rows], posted, why)
    return {each.item_code: each.still for each in rows}


def ever_reserved(work: Connection, job: str) -> bool:
    """Return whether anything was ever reserved for a job."""
    return work.execute(
        select(RESERVATION.c.id).where(RESERVATION.c.job_id == job).limit(1)).first() is not None


def take_reserved(work: Connection, moves: Iterable[Move], posted: Posted) -> None:
    """Take what jobs have got off what is reserved for them; the caller holds the items."""
    picked: dict[tuple[str, str], Decimal] = {}
    for move in moves:
        key = move.job, move.item
        picked[key] = picked.get(key, Decimal(0)) + move.quantity
    if not picked:
        return
    jobs = sorted({job for job, _ in picked})
    rows = [(each, min(each.still, picked[each.job_id, each.item_code]))
            for each in _open(work, RESERVATION.c.job_id.in_(jobs))
            if (each.job_id, each.item_code) in picked]
    _write(work, [_less(each, quantity) for each, quantity in rows], posted, "handed over")


def lower_to(
    work: Connection, job: str, wanted: Mapping[str, Decimal], posted: Posted, why: str
) -> None:
    """Let go what is reserved for a job beyond what it wants of some items; the caller commits."""
    lock_items(work, wanted)
    rows = [each for each in _open(work, RESERVATION.c.job_id == job)
            if each.item_code in wanted and each.still > wanted[each.item_code]]
    _write(work, [_less(each, each.still - wanted[each.item_code]) for each in rows], posted, why)


def reserved(work: Connection, items: Iterable[str] | None = None) -> list[Claim]:
    """Return what is still reserved, of some items or of all, by job and item."""
    among = true() if items is None else RESERVATION.c.item_code.in_(sorted(set(items)))
    accepted = _accepted_at(work)
    return [
        Claim(each.item_code, each.still, each.needed_on, each.job_id,
              accepted.get(each.job_id, each.at))
        for each in _open(work, among)]


def reservation_faults(work: Connection) -> list[str]:
    """Return where reservations are not sound; nothing if they are.

    Each belongs to a job that is accepted, and to the revision that was; none is below zero.
    """
    return list(_faults(work))


def _faults(work: Connection) -> Iterator[str]:
    newest = select(func.max(JOB_EVENT.c.id)).group_by(JOB_EVENT.c.job_id)
    stands = {row.job_id: row for row in work.execute(
        select(JOB_EVENT).where(JOB_EVENT.c.id.in_(newest)))}
    for each in _summed(work, true(), above_zero=False):
        what = f"{each.still} {each.item_code} for job '{each.job_id}'"
        job = stands.get(each.job_id)
        if each.still < 0:
            yield f"{what} are reserved, which is below zero"
        elif job is None or job.event != "accepted":
            yield f"{what} are reserved, and it is not accepted"
        elif job.revision != each.revision:
            yield (f"{what} are reserved for revision {each.revision}, and revision "
                   f"{job.revision} is accepted")


def _open(work: Connection, among: ColumnElement[bool]) -> list[Row[Any]]:
    return _summed(work, among, above_zero=True)


def _summed(work: Connection, among: ColumnElement[bool], above_zero: bool) -> list[Row[Any]]:
    """Return what is still reserved of each item for each job, with its newest row."""
    r = RESERVATION.c
    total = func.sum(r.quantity)
    sums = (select(r.job_id, r.item_code, total.label("still"), func.max(r.id).label("newest"))
            .where(among).group_by(r.job_id, r.item_code)
            .having(total > 0 if above_zero else total != 0)).subquery()
    return list(work.execute(
        select(r.job_id, r.item_code, r.revision, r.needed_on, r.at, sums.c.still)
        .join(sums, sums.c.newest == r.id).order_by(r.job_id, r.item_code)))


def _less(row: Row[Any], quantity: Decimal) -> tuple[str, int, str, Decimal, date]:
    return row.job_id, row.revision, row.item_code, -quantity, row.needed_on


def _write(
    work: Connection, rows: Iterable[tuple[str, int, str, Decimal, date]], posted: Posted, why: str
) -> None:
    values = [
        {"job_id": job, "revision": number, "item_code": item, "quantity": quantity,
         "needed_on": needed_on, "at": posted.at, "by": posted.by, "why": why}
        for job, number, item, quantity, needed_on in rows if quantity]
    if values:
        work.execute(insert(RESERVATION), values)


def _accepted_at(work: Connection) -> dict[str, datetime]:
    e = JOB_EVENT.c
    return {job: at.astimezone(UTC) for job, at in work.execute(
        select(e.job_id, func.max(e.at)).where(e.event == "accepted").group_by(e.job_id))}
