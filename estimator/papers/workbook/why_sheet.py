"""Why each line is in the bill: the rule's sentence, its formula with numbers, the facts."""

from __future__ import annotations

from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import ReasonJson
from estimator.papers.fact_words import facts_text
from estimator.papers.workbook.pen import Cell, Column, Page

COLUMNS = (
    Column("Line", 5, "number"), Column("What", 26, "wrap"), Column("Because", 28, "wrap"),
    Column("On", 9, "wrap"), Column("How many", 7, "number"), Column("Worked out", 28, "wrap"),
    Column("Facts and how they are known", 46, "wrap"), Column("Rule", 17, "wrap"),
)


def write_why(page: Page, estimate: EstimateJson) -> None:
    """Write one row for each reason of each line and task."""
    page.note("Sources and places of the facts, and of the rules: estimator why JOB LINE")
    page.header()
    page.band("bill")
    for line in estimate.lines:
        for reason in line.reasons:
            page.row([line.line, line.name, *_reason(reason)])
    page.band("tasks")
    for task in estimate.tasks:
        for reason in task.reasons:
            page.row([None, task.name, *_reason(reason)])


def _reason(reason: ReasonJson) -> list[Cell]:
    sums = reason.formula if reason.formula == reason.numbers else (
        f"{reason.formula} = {reason.numbers}")
    because = f"{reason.because} (assumed)" if reason.assumed else reason.because
    return [because, reason.on, reason.quantity, sums, facts_text(reason.facts), reason.rule]
