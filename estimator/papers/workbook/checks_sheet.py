"""What the design worked out, and what others must sign before work starts."""

from __future__ import annotations

from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import FindingJson, WorkedJson
from estimator.papers.workbook.pen import Column, Page

WORKED_NAME, SIGN_NAME = "Worked out", "To sign"
WORKED = (
    Column("What", 18, "wrap"), Column("Says", 50, "wrap"), Column("Figure", 34, "wrap"),
    Column("Value", 14, "wrap"), Column("Way, source", 34, "wrap"),
)
SIGN = (
    Column("Who decides", 18, "wrap"), Column("What is put before them", 44, "wrap"),
    Column("Sum", 13, "wrap"), Column("Limit", 13, "wrap"), Column("Source", 26, "wrap"),
    Column("Agreed or not, name, signature, date", 34, "tick"),
)


def to_sign(estimate: EstimateJson) -> list[FindingJson]:
    """Return the findings that somebody must put a name to, those of one person together."""
    signed = [each for each in estimate.findings if each.signed]
    return sorted(signed, key=lambda each: each.decides)


def write_worked(page: Page, estimate: EstimateJson) -> None:
    """Write each answer of the design with its figures, one a row."""
    page.note("Check values for whoever designs and tests the work; their own sums decide.")
    page.header()
    for each in estimate.worked:
        _worked(page, each)


def _worked(page: Page, each: WorkedJson) -> None:
    way = "; ".join(part for part in (each.method, each.source) if part)
    figures = [(one.name, f"{one.value} {one.unit}".rstrip()) for one in each.sums] or [("", "")]
    for at, (name, value) in enumerate(figures):
        led = (each.subject, each.says) if at == 0 else (None, None)
        page.row([*led, name, value, way if at == 0 else None])


def write_sign(page: Page, estimate: EstimateJson) -> None:
    """Write what is put before an engineer or another who decides, with room for a name."""
    page.note("No work starts on these before they are signed. " + words.DEFERRAL)
    page.header()
    for each in to_sign(estimate):
        unit = f" {each.unit}" if each.unit else ""
        page.row([
            each.decides, f"{each.subject}: {each.says}",
            f"{each.value}{unit}" if each.value else "",
            f"{each.limit}{unit}" if each.limit else "", each.source, None,
        ])
