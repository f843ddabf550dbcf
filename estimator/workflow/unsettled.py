"""What must be settled before a job can be closed: sheets that are out, goods, orders, tests."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from sqlalchemy import Connection, Row, select

from catalogue.problems import Place, Problem
from catalogue.tables import STOCK_SHEET, STOCK_SHEET_READ
from estimator.papers.digits import plain
from estimator.workflow.order_records import kept_orders


def unsettled(work: Connection, job: str, revision: int, on: date) -> list[Problem]:
    """Return a problem for each thing that keeps a job from being closed.

    The newest pick sheet must have been read, since goods may have gone out with it; an older one
    cannot be read any more. And since the last pick a sheet must have said what came back, even if
    nothing did: else what was used is a guess. What was ordered to the site must have come, or the
    rest be cancelled. And of every reading that is due by the accepted revision somebody must have
    said what it was, or why there is none; one that is not as expected needs a reason to stand.
    """
    return [*_unsettled(job, _sheets(work, job)), *_to_come(work, job),
            *_close_out(work, job, revision, on)]


def _close_out(work: Connection, job: str, revision: int, on: date) -> list[Problem]:
    from estimator.workflow.closeout_job import firms_practice, left_open  # it asks how jobs stand
    from estimator.workflow.firm import firm_files

    return left_open(work, job, revision, firms_practice(firm_files()), on)


def _to_come(work: Connection, job: str) -> Iterator[Problem]:
    for placed in kept_orders(work):
        order = placed.order
        lacking = [f"{plain(placed.open(line))} {line.item}" for line in order.lines
                   if placed.open(line)]
        if order.to.job == job and lacking:
            yield Problem(
                "H116", Place(f"job {job}"), f"order {order.number} to its site is still to bring "
                + ", ".join(lacking), f"estimator orders receive {order.number}, or, if it is not "
                f"wanted any more: estimator orders cancel {order.number}")


def _sheets(work: Connection, job: str) -> list[Row[Any]]:
    """Return number, kind and reading of the sheets that were issued for a job, oldest first."""
    sheet, read = STOCK_SHEET.c, STOCK_SHEET_READ.c
    return list(work.execute(
        select(sheet.number, sheet.kind, read.at)
        .outerjoin(STOCK_SHEET_READ, read.sheet_id == sheet.id)
        .where(sheet.job_id == job).order_by(sheet.number)))


def _unsettled(job: str, sheets: list[Row[Any]]) -> Iterator[Problem]:
    where = Place(f"job {job}")
    picks = [sheet for sheet in sheets if sheet.kind == "pick"]
    if picks and picks[-1].at is None:
        yield Problem(
            "H114", where, f"pick sheet {job}/{picks[-1].number} is out and was not read",
            f"estimator stock picked out/{job}-sheet-{picks[-1].number}.xlsx --write; write 0 for "
            "what was not picked")
    picked = [sheet.at for sheet in picks if sheet.at]
    back = [sheet.at for sheet in sheets if sheet.kind == "back" and sheet.at]
    if picked and (not back or max(back) < max(picked)):
        yield Problem(
            "H115", where, "nobody has said what came back since the last pick, so what was used "
            "is not known", f"estimator stock sheet {job} --back, fill it in, even if nothing came "
            "back, and read it: estimator stock returned FILE --write")
