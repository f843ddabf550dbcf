"""Every report by its name: which rows it reads, and which function tells them.

A new report is a function of its own in `estimator.review`, a query beside the others, and a line
here.
"""

from __future__ import annotations

from collections.abc import Callable

from estimator.review.cells import FACTORS, Factor
from estimator.review.margin import margin_by
from estimator.review.report import Report
from estimator.workflow.review_asked import Asked

Tells = Callable[[Asked], Report]


def _margin(factor: Factor) -> Tells:
    return lambda asked: margin_by(factor, asked.alike, asked.currency)


REPORTS: dict[str, Tells] = {
    **{f"margin-by-{factor}": _margin(factor) for factor in FACTORS},
}
# Those that take long are told only when they are asked for by name.
ON_DEMAND: frozenset[str] = frozenset()


def usual_reports() -> list[str]:
    """Return the reports that are told when none is named, in the order of the questions."""
    return [name for name in REPORTS if name not in ON_DEMAND]
