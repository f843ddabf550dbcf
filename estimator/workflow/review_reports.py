"""Every report by its name: which rows it reads, and which function tells them.

A new report is a function of its own in `estimator.review`, a query beside the others, and a line
here.
"""

from __future__ import annotations

from collections.abc import Callable

from estimator.review.backlog import backlog, cash
from estimator.review.causes import causes
from estimator.review.cells import FACTORS, Factor
from estimator.review.concentration import concentration
from estimator.review.drifting import drifting
from estimator.review.late_papers import late_papers
from estimator.review.margin import margin_by
from estimator.review.norms import norms
from estimator.review.omissions import omissions
from estimator.review.open_quotes import aged_quotes, call_list
from estimator.review.report import Report
from estimator.review.stories import MOST_STORIES, stories
from estimator.review.suppliers import supplier_truth, suppliers
from estimator.review.waterfall import waterfall
from estimator.review.win_rate import win_rate
from estimator.workflow import (
    review_ahead,
    review_buying,
    review_causes,
    review_quotes,
    review_sums,
)
from estimator.workflow.review_asked import Asked
from estimator.workflow.review_jobs import FILTERS

Tells = Callable[[Asked], Report]


def _margin(factor: Factor) -> Tells:
    return lambda asked: margin_by(factor, asked.alike, asked.currency)


def _waterfall(asked: Asked) -> Report:
    work = asked.gathered
    return waterfall(review_sums.quoted_sums(work), review_sums.planned_by_head(work),
                     review_sums.actual_by_head(work), asked.currency)


def _norms(asked: Asked) -> Report:
    return norms(review_sums.timed(asked.gathered), asked.currency, asked.jobs)


def _stories(asked: Asked) -> Report:
    found = review_sums.dearest(asked.gathered, MOST_STORIES)
    return stories(found, *review_sums.over_in_all(asked.gathered), asked.currency)


def _causes(asked: Asked) -> Report:
    jobs, over, _ = review_sums.over_in_all(asked.gathered)
    return causes(review_causes.parts(asked.gathered), over, jobs, asked.currency)


def _win_rate(asked: Asked) -> Report:
    return win_rate(review_quotes.bands(asked.work, asked.wanted, asked.on), asked.currency)


def _omissions(asked: Asked) -> Report:
    work = asked.gathered
    waiting = sum(minor for head, minor in review_sums.planned_by_head(work).items()
                  if (head.kind, head.task_group) == ("labour", "waiting"))
    return omissions([*review_sums.variations(work), *review_sums.lost_hours(work)], asked.jobs,
                     asked.currency, waiting)


def _supplier_truth(asked: Asked) -> Report:
    return supplier_truth(asked.orders, review_buying.credited(asked.work, asked.wanted),
                          asked.currency)


def _backlog(asked: Asked) -> Report:
    return backlog(review_ahead.waiting(asked.work, asked.wanted),
                   review_ahead.usual_week(asked.work, asked.on), asked.on, asked.currency)


def _cash(asked: Asked) -> Report:
    return cash(review_ahead.owed(asked.work, asked.wanted),
                review_ahead.bills(asked.work, asked.wanted, asked.on),
                asked.settings.pricing.deposit_share, asked.on, asked.currency)


def _close_out(asked: Asked) -> Report:
    papers, jobs = review_ahead.papers(asked.database, asked.on)
    return late_papers(papers, jobs, asked.on, asked.currency)


def _drift(asked: Asked) -> Report:
    return drifting(*review_ahead.moved(asked.database, asked.on), asked.currency)


def _concentration(asked: Asked) -> Report:
    return concentration(review_sums.shares(asked.gathered), asked.jobs, asked.currency)


REPORTS: dict[str, Tells] = {
    **{f"margin-by-{factor}": _margin(factor) for factor in FACTORS},
    "waterfall": _waterfall,
    "causes": _causes,
    "norms": _norms,
    "single-jobs": _stories,
    "win-rate": _win_rate,
    "aged-quotes": lambda asked: aged_quotes(asked.quotes_out, asked.on, asked.currency),
    "call-list": lambda asked: call_list(asked.quotes_out, asked.on, asked.currency),
    "omissions": _omissions,
    "suppliers": lambda asked: suppliers(asked.orders, asked.currency),
    "supplier-truth": _supplier_truth,
    "backlog": _backlog,
    "cash": _cash,
    "concentration": _concentration,
    "close-out": _close_out,
    "drift": _drift,
}
# Told beside the others where there is another period; see `estimator.workflow.review`.
MIX = "mix"
# Those of finished jobs: what is left out of these is said.
OF_FINISHED_JOBS = frozenset({
    *(f"margin-by-{factor}" for factor in FACTORS), "waterfall", "causes", "norms", "single-jobs",
    "omissions", "concentration"})
# Those that look at how things stand on the day: another period has no such report of its own.
AS_OF_THE_DAY = frozenset({
    "aged-quotes", "call-list", "backlog", "cash", "close-out", "drift"})
# By which filters a report is not narrowed: an order or a bill has no covering, and a job that is
# not done has no crew yet.
NOT_NARROWED = {
    **dict.fromkeys(("suppliers", "supplier-truth", "close-out", "drift"), frozenset(FILTERS)),
    **dict.fromkeys(("win-rate", "aged-quotes", "call-list", "backlog", "cash"),
                    frozenset({"crew"})),
}
# Those that take long are told only when they are asked for by name.
ON_DEMAND = frozenset({"close-out", "drift"})


def usual_reports() -> list[str]:
    """Return the reports that are told when none is named, in the order of the questions."""
    return [name for name in REPORTS if name not in ON_DEMAND]
