"""The difference of cost from standard by cause, parted line by line in the database.

Every line of a standard and every cost row is one row of one union, with its sign, so that a line
which is only on one side needs no outer join: it is summed once by job and line, parted, and summed
again over the jobs.
"""

from __future__ import annotations

from typing import Any, cast

from sqlalchemy import BigInteger, Connection, Subquery, case, func, literal, select, union_all
from sqlalchemy import type_coerce as as_stored

from catalogue.job_costs import LABOUR, OVERHEAD
from estimator.outcome.plan import WARRANTY_HEAD
from estimator.review.causes import Cause, Part
from estimator.workflow.review_jobs import (
    SCOPE,
    SUMMED,
    costs_in_scope,
    plans_in_scope,
    whole,
)


def parts(work: Connection) -> list[Part]:
    """Return what each cause made of each item, task group or head; they add up to the whole."""
    return [*_of_lines(work), *_held(work)]


def _both_sides(work: Connection) -> Subquery:
    """Return plan and cost rows: job, kind, what they are of, quantity and amount of each side.

    Hours of both sides are in whole three-thousandths: a minute is fifty of them, so that nothing
    is cut off row by row.
    """
    plan, cost, none = plans_in_scope().c, costs_in_scope(work).c, literal(0, BigInteger)
    reckoned = as_stored(plan.quantity, BigInteger)
    planned = case((plan.kind.in_((LABOUR, OVERHEAD)), 3 * reckoned), else_=reckoned)
    hours = case((cost.kind.in_((LABOUR, OVERHEAD)), 50 * cost.quantity), else_=cost.quantity)
    return union_all(
        select(plan.job_id, plan.kind, _of(plan).label("name"),
               planned.label("planned"),
               as_stored(plan.amount_minor, BigInteger).label("planned_minor"),
               none.label("used"), none.label("used_minor")),
        select(cost.job_id, cost.kind, _of(cost), none, none, hours, cost.amount_minor),
    ).subquery("sides")


def _of(row: Any) -> Any:
    """Return what a row is of: labour by task group, goods by item, the rest by head."""
    return case((row.kind == LABOUR, row.task_group),
                ((row.kind == "goods") & (row.code != ""), row.code), else_=row.head)


def _of_lines(work: Connection) -> list[Part]:
    side = _both_sides(work).c
    line = (
        select(side.kind, side.name, *(whole(side[name]).label(name) for name in (
            "planned", "planned_minor", "used", "used_minor")))
        .group_by(side.job_id, side.kind, side.name).subquery()).c
    over = line.used_minor - line.planned_minor
    # What the quantity used should have cost, to the penny: half of the divisor is added first.
    at_standard = (2 * line.used * line.planned_minor + line.planned) // (2 * line.planned)
    priced = line.kind.in_(("goods", LABOUR)) & (line.planned > 0) & (line.used > 0) & (
        line.planned_minor > 0)
    usage = case((priced, at_standard - line.planned_minor), else_=over)
    cause = case(
        (line.kind == LABOUR, "efficiency"), (line.kind == OVERHEAD, "office"),
        (line.kind == "goods", case((priced, "usage"), else_="other item")),
        else_=line.kind)
    rows = select(line.kind, line.name, cause.label("cause"), usage.label("usage"),
                  (over - usage).label("price")).where((over != 0) | (usage != 0)).subquery().c
    keys = (rows.cause, rows.name)
    found = work.execute(
        select(*keys, func.sum(case((rows.usage != 0, 1), else_=0)), whole(rows.usage),
               func.sum(case((rows.price != 0, 1), else_=0)), whole(rows.price))
        .group_by(*keys).order_by(*keys))
    told = []
    for kind, name, more_jobs, more, dearer_jobs, dearer in found:
        told.append(Part(cast(Cause, kind), name, int(more_jobs), more))
        if dearer_jobs:
            moved: Cause = "rate" if kind == "efficiency" else "price"
            told.append(Part(moved, name, int(dearer_jobs), dearer))
    return told


def _held(work: Connection) -> list[Part]:
    """Return what is still held for warranty, and what standards without lines leave untold."""
    plan = plans_in_scope().c
    lines = work.execute(select(whole(as_stored(plan.amount_minor, BigInteger)))).scalar_one()
    held, jobs, standard = work.execute(
        select(whole(SUMMED.c.held_minor),
               func.coalesce(func.sum(case((SUMMED.c.held_minor > 0, 1), else_=0)), 0),
               whole(SCOPE.c.standard_minor))
        .join(SCOPE, SCOPE.c.job_id == SUMMED.c.job_id)).one()
    told = [Part("provision", WARRANTY_HEAD, int(jobs), held)] if held else []
    if standard != lines:
        told.append(Part("other item", "reckoned without lines", 0, lines - standard))
    return told
