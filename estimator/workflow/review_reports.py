"""Every report by its name: which rows it reads, and which function tells them.

A new report is a function of its own in `estimator.review`, a query beside the others, and a line
here.
"""

from __future__ import annotations

from collections.abc import Callable

from estimator.review.causes import causes
from estimator.review.cells import FACTORS, Factor
from estimator.review.margin import margin_by
from estimator.review.norms import norms
from estimator.review.report import Report
from estimator.review.stories import MOST_STORIES, stories
from estimator.review.waterfall import waterfall
from estimator.workflow import review_causes, review_sums
from estimator.workflow.review_asked import Asked

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


REPORTS: dict[str, Tells] = {
    **{f"margin-by-{factor}": _margin(factor) for factor in FACTORS},
    "waterfall": _waterfall,
    "causes": _causes,
    "norms": _norms,
    "single-jobs": _stories,
}
# Those that take long are told only when they are asked for by name.
ON_DEMAND: frozenset[str] = frozenset()


def usual_reports() -> list[str]:
    """Return the reports that are told when none is named, in the order of the questions."""
    return [name for name in REPORTS if name not in ON_DEMAND]
