"""The sheets that may go to site: what to take, what comes back, which cautions stand."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from estimator.cost import BOUGHT_IN_HEADS
from estimator.papers.cautions import cautions_for
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import LineJson
from estimator.papers.workbook.pen import Cell, Column, Page

TAKE = (
    Column("How many", 8, "number"), Column("Unit", 6), Column("What", 42, "wrap"),
    Column("Item", 12, "wrap"), Column("Shelf", 8), Column("Of these in boxes", 9, "number"),
    Column("kg each", 6, "number"), Column("Who lifts one", 12, "wrap"),
    Column("Taken", 7, "tick"), Column("Fitted", 7, "tick"),
    Column("Back", 7, "tick"), Column("Serial numbers, remarks", 26, "tick"),
)
BACK = (
    Column("How many", 9, "number"), Column("Unit", 7), Column("What", 46, "wrap"),
    Column("Item", 20), Column("Lay back on", 12), Column("In boxes", 9, "number"),
    Column("Counted", 10, "tick"),
)
CAUTIONS = (Column("Step", 17, "wrap"), Column("Caution", 57, "wrap"), Column("Source", 26, "wrap"))

# Bought-in heads are no parts to be carried, but for what is hired and taken along.
NOT_CARRIED = frozenset(BOUGHT_IN_HEADS) - {"plant hire"}


def write_take(page: Page, estimate: EstimateJson) -> None:
    """Write what the crew takes, by head, without money."""
    page.note("Options are not on this sheet. Who lifts one: by the lifting guide, to be assessed "
              "on site; blank where one person may.")
    page.header()
    carried = [
        line for line in estimate.lines if not line.option and line.head not in NOT_CARRIED
    ]
    for head, lines in groupby(carried, key=lambda line: line.head):
        page.band(head)
        for line in lines:
            page.row(_take(line))


def _take(line: LineJson) -> list[Cell]:
    boxed = line.boxed or None
    cells = (line.need, line.unit, line.name, line.item, line.bin, boxed, line.mass_kg,
             line.lift)
    return [*cells, *[None] * 4]


def write_back(page: Page, estimate: EstimateJson) -> None:
    """Write what lies in boxes and is not used: it comes back to the store."""
    page.note("Parts from boxes that this job does not use. Bring them back to the store.")
    page.header()
    for each in estimate.surplus:
        page.row([each.quantity, each.unit, each.name, each.item, each.bin, each.boxed, None])
    if not estimate.surplus:
        page.note("Nothing comes back.")


def write_cautions(page: Page, estimate: EstimateJson) -> None:
    """Write the cautions of this job in the order of the work; ordered steps keep their order."""
    page.header()
    for caution in cautions_for(estimate, "site"):
        first, *steps = [caution.says, *_numbered(caution.steps)]
        page.row([caution.step, first, caution.source])
        for step in steps:
            page.row([None, step, None])


def _numbered(steps: tuple[str, ...]) -> Iterator[str]:
    return (f"{n}. {step}" for n, step in enumerate(steps, start=1))
