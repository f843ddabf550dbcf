"""The labour: each task in person-minutes, sums by group, and the hours of the job."""

from __future__ import annotations

from decimal import Decimal

from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import TaskJson
from estimator.papers.exact_json import rounded
from estimator.papers.workbook.pen import Column, Formula, Page

COLUMNS = (
    Column("Units", 8, "number"), Column("Per", 9), Column("Task", 44, "wrap"),
    Column("Group", 12), Column("Crew", 6, "number"), Column("Low, min", 9, "minutes"),
    Column("Likely, min", 9, "minutes"), Column("High, min", 9, "minutes"),
    Column("Mean, min", 10, "minutes"), Column("Mean, hours", 10, "hours"),
)


def write_labour(page: Page, estimate: EstimateJson) -> None:
    """Write tasks and hours; a mean is (low + 4 x likely + high) / 6 person-minutes."""
    page.note("Person-minutes for all units of a task. Mean = (low + 4 x likely + high) / 6.")
    page.header()
    rows = [_task(page, task) for task in estimate.tasks]
    first, last = (rows[0], rows[-1]) if rows else (page.at + 1, page.at + 1)
    page.gap()
    page.band("hours by group")
    for each in estimate.hours.by_group:
        page.row([*[None] * 2, each.group, *[None] * 6, Formula(
            f'=SUMIF(D{first}:D{last},"{each.group}",J{first}:J{last})', each.hours)])
    hours = estimate.hours
    page.row(
        [*[None] * 2, "mean person-hours", *[None] * 6,
         Formula(f"=SUM(J{first}:J{last})", hours.mean)],
        "sum",
    )
    page.gap()
    for says, number in (
        ("likely person-hours", hours.likely),
        ("person-hours not exceeded in 80 of 100 such jobs", hours.p80),
        ("hours on site by the clock", hours.elapsed),
    ):
        page.row([None, None, says, *[None] * 6, number])
    for says, number in (
        ("days on site", hours.days), ("people on site at the most", Decimal(hours.crew)),
        ("journeys", Decimal(hours.trips)),
    ):
        page.row([None, None, says, *[None] * 6, number], kinds={9: "number"})


def _task(page: Page, task: TaskJson) -> int:
    r = page.at + 1
    return page.row([
        task.units, task.per, task.name, task.group, task.crew, task.low, task.likely, task.high,
        Formula(f"=(F{r}+4*G{r}+H{r})/6", task.mean),
        Formula(f"=I{r}/60", rounded(task.mean / 60, 4)),
    ])
