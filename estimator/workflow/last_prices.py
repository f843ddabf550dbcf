"""How the prices of a job stand among the firm's last quotes of the same kind."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from sqlalchemy import Connection, Row, Select, and_, select

from catalogue.tables import ITEM, QUOTED, REVISION
from estimator.learning.standing import LAST, Standing, standing
from estimator.outcome.plan import QuotedJob
from estimator.papers.contract import EstimateJson
from estimator.papers.planned import quoted_job
from estimator.workflow.job_list import newest_revisions

_LOOKED_THROUGH = 200  # newest quotes among which those of the same kind are sought
_PANEL, _MODULE, _KWH = "panel", "storage module", "kWh of storage"


@dataclass(frozen=True, slots=True)
class _Priced:
    """One quote: its price before tax and how many units of each kind it holds."""

    net_minor: int
    units: dict[str, Fraction]


def standings(work: Connection, kept: EstimateJson, about: QuotedJob) -> tuple[Standing, ...]:
    """Return how the price for a panel, a module and a kWh stands; only of what the job has."""
    others = list(_last(work, kept, about.kind_of_job))
    own = _Priced(kept.price.net, _units(work, about, kept.dumps()))
    found = [standing(per, own.net_minor, units,
                      [(each.net_minor, each.units[per]) for each in others])
             for per, units in own.units.items()]
    return tuple(each for each in found if each is not None)


def _last(work: Connection, kept: EstimateJson, kind: str) -> Iterator[_Priced]:
    """Yield the last quotes of a kind before this one, other jobs only, each by its newest."""
    told = 0
    for row in work.execute(_newest(kept)).all():
        about = _about(row)
        if about is not None and about.kind_of_job == kind:
            yield _Priced(row.net_minor, _units(work, about, row.estimate_json))
            told += 1
        if told == LAST:
            return


def _newest(kept: EstimateJson) -> Select[Any]:
    newest, revision = newest_revisions().subquery(), REVISION.c
    return (
        select(revision.net_minor, revision.estimate_json, QUOTED.c.kind_of_job, QUOTED.c.panels,
               QUOTED.c.modules)
        .join(newest, and_(newest.c.job_id == revision.job_id,
                           newest.c.number == revision.number))
        .outerjoin(QUOTED, and_(QUOTED.c.job_id == revision.job_id,
                                QUOTED.c.number == revision.number))
        .where(revision.job_id != kept.job.id, revision.currency == kept.currency,
               revision.on_date <= kept.on)
        .order_by(revision.on_date.desc(), revision.job_id.desc()).limit(_LOOKED_THROUGH))


def _about(row: Row[Any]) -> QuotedJob | Row[Any] | None:
    """Return what a quote is about; None where it was kept in a form that is read no more."""
    if row.kind_of_job is not None:
        return row
    try:
        return quoted_job(EstimateJson.loads(row.estimate_json))
    except ValueError:
        return None


def _units(work: Connection, about: QuotedJob | Row[Any], estimate: str) -> dict[str, Fraction]:
    return {_PANEL: Fraction(about.panels), _MODULE: Fraction(about.modules),
            _KWH: _kwh(work, estimate)}


def _kwh(work: Connection, estimate: str) -> Fraction:
    """Return the usable capacity of an estimate's storage modules, as the catalogue has them."""
    lines = [line for line in json.loads(estimate).get("lines", ())
             if line.get("family") == "storage" and not line.get("option")]
    codes = sorted({line["item"] for line in lines})
    specs = dict(work.execute(
        select(ITEM.c.code, ITEM.c.spec).where(ITEM.c.code.in_(codes))).all()) if codes else {}
    whole = Fraction(0)
    for line in lines:
        usable = json.loads(specs.get(line["item"], "{}")).get("usable_kwh")
        whole += Fraction(str(line["need"])) * Fraction(str(usable or 0))
    return whole
