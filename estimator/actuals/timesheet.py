"""Rows of a timesheet: who worked when, for which job and at what; read cell by cell.

Codes of the problems, beside those of `catalogue.price_lists.faults` and `durations`: Z201 nobody
is named, Z204 a task group that there is not, Z209 begun and ended, Z210 nothing says how long,
Z211 waiting or rework without a cause, Z218 a rate.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from catalogue.price_lists import texts
from catalogue.price_lists.column_map import ColumnMap, FieldSet
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.field_rows import FieldRow
from catalogue.price_lists.prices import Finer, Prices
from catalogue.problems import suggestion
from estimator.actuals.durations import DAY, clock, clock_of, hours_of, in_words, minutes_of
from estimator.actuals.row_reader import RowReader

REWORK, WAITING = "rework", "waiting"
# The groups of the norms, and work that is done again.
GROUPS = ("roof", "electrical", "storage", "site", "travel", WAITING, "office", REWORK)
WITH_CAUSE = (WAITING, REWORK)
NO_DAY = date.min


def _lacks(columns: ColumnMap) -> Iterator[str]:
    have = columns.columns
    for field in ("person", "day", "job"):
        if field not in have:
            yield f"which column holds the {_MEANINGS[field]} ({field})"
    if not {"group", "task"} & have.keys():
        yield "which column holds the task group, or the task (group, task)"
    if not {"minutes", "hours"} & have.keys() and not {"begun", "ended"} <= have.keys():
        yield "which column says how long (hours, or minutes, or begun and ended)"


_MEANINGS: Mapping[str, str] = {
    "person": "person",
    "crew": "crew",
    "day": "day",
    "job": "job",
    "group": "task group",
    "task": "task: the id of a norm",
    "begun": "time of day at which it began",
    "ended": "time of day at which it ended",
    "hours": "hours",
    "minutes": "minutes",
    "cause": "cause of waiting or rework",
    "rate": "cost of this person's hour, if not the firm's own",
}
HOURS = FieldSet(_MEANINGS, {
    "person": ("person", "name", "who", "fitter", "employee", "worker", "electrician"),
    "crew": ("crew", "team", "gang"),
    "day": ("day", "date", "work date", "on"),
    "job": ("job", "job no", "job number", "job id", "job ref", "project"),
    "group": ("task group", "group", "kind of work", "work", "activity", "type of work"),
    "task": ("task", "norm", "task id", "task code"),
    "begun": ("begun", "begin", "start", "start time", "from", "started", "time in", "in"),
    "ended": ("ended", "end", "finish", "end time", "to", "until", "finished", "time out", "out"),
    "hours": ("hours", "hrs", "time", "duration", "hours worked", "total hours"),
    "minutes": ("minutes", "mins", "min"),
    "cause": ("cause", "reason", "why", "cause of waiting or rework"),
    "rate": ("rate", "hourly rate", "cost per hour", "rate per hour"),
}, _lacks, 'say which field each column holds: --columns person="{first}" --columns day="..." '
    '--columns job="..." --columns group="..." --columns hours="..."', ("job", "hours"))


@dataclass(frozen=True, slots=True)
class TimeRow:
    """What somebody worked at one thing.

    Attributes:
        number: row of the file.
        group: one of `GROUPS`; "" where only the task says it.
        task: id of a norm, or "".
        begun: minute of the day; None where only the length is known.
        span: minutes from begun to ended; `minutes` may be less, for a break.
        rate_minor: cost of the person's hour, if it is not the firm's own.
    """

    number: int
    person: str
    crew: str
    on: date
    job: str
    group: str
    task: str
    minutes: int
    begun: int | None = None
    span: int = 0
    cause: str = ""
    rate_minor: int | None = None

    @property
    def times(self) -> tuple[str, str]:
        """Return begun and ended as 08:30, or two blanks."""
        if self.begun is None:
            return "", ""
        return clock(self.begun), clock(self.begun + self.span)


@dataclass(frozen=True, slots=True)
class HowRead:
    """How the cells of a timesheet are read.

    Attributes:
        columns: decimal mark, order of dates, currency and whether jobs may be numbers.
        decimal_hours: whether 7.30 is 7.3 hours for certain.
    """

    columns: ColumnMap
    decimal_hours: bool = False


class TimeReader(RowReader):
    """Reads one row after another; `faults` are those of the last."""

    def __init__(self, how: HowRead) -> None:
        super().__init__(how.columns)
        self.decimal = how.decimal_hours
        self.rates = Prices(how.columns.currency, how.columns.decimal_mark, free_items=False)

    def read(self, row: FieldRow) -> TimeRow:
        """Return the row; where there are `faults`, what could not be read is blank or `NO_DAY`."""
        self.begin(row)
        person = self._person()
        job = self.code("job", "job", "its id is as in: estimator jobs list", needed=True)
        day = self.day("day", Fault("A118", "the day is missing", "write it, such as 2026-11-05"))
        group, task, crew = self._group(), self.words("task"), self.words("crew")
        begun, span = self._times()
        minutes = self._minutes(span)
        cause = self.words("cause")
        if group in WITH_CAUSE and not cause:
            self.faults.append(("cause", no_cause(group)))
        rate = self._rate()
        return TimeRow(row.number, person, crew, day or NO_DAY, job, group, task, minutes, begun,
                       span, cause, rate)

    def _person(self) -> str:
        return self.cell("person", texts.name, Fault(
            "Z201", "nobody is named", "write who worked these hours")) or ""

    def _group(self) -> str:
        def known(cell: Any) -> str | Fault:
            word = texts.clean(str(cell)).casefold()
            return word if word in GROUPS else Fault(
                "Z204", f"{told(cell)} is no task group", suggestion(word, GROUPS))

        task_says_it = self.given("task") != ""
        return self.cell("group", known, None if task_says_it else Fault(
            "Z204", "the task group is missing", suggestion("", GROUPS))) or ""

    def _times(self) -> tuple[int | None, int]:
        """Return the minute at which it began and the minutes until it ended."""
        begun, ended = self.cell("begun", clock_of), self.cell("ended", clock_of)
        if begun is None or ended is None:
            for field, other in (("begun", "ended"), ("ended", "begun")):
                if self.given(field) == "" and self.given(other) != "":
                    self.faults.append((other, Fault(
                        "Z209", f"there is no time at which it {field}"
                        if field == "ended" else "there is no time at which it began",
                        "give both times, or hours alone")))
            return None, 0
        span = (ended - begun) % DAY
        if not span:
            self.faults.append(("ended", Fault(
                "Z209", f"it began and ended at {clock(begun)}", "give the hours, or other times")))
        return begun % DAY, span

    def _minutes(self, span: int) -> int:
        said = [(field, found) for field, found in (
            ("hours", self.cell("hours", lambda cell: hours_of(cell, decimal=self.decimal))),
            ("minutes", self.cell("minutes", lambda cell: minutes_of(
                cell, self.map.decimal_mark)))) if found is not None]
        if len(said) == 2 and said[0][1] != said[1][1]:
            self.faults.append(("minutes", Fault(
                "Z209", f"the hours are {in_words(said[0][1])} and the minutes "
                f"{in_words(said[1][1])}", "leave one of them blank")))
        if not said:
            blank = all(self.given(each) == "" for each in ("hours", "minutes", "begun", "ended"))
            if blank:
                self.faults.append(("hours", Fault(
                    "Z210", "nothing says how long it took", "write the hours, such as 7:30")))
            return span
        field, minutes = said[0]
        if span and minutes > span:
            self.faults.append((field, Fault(
                "Z209", f"{in_words(minutes)} are more than the {in_words(span)} from begun to "
                "ended", "look all three over; less is a break")))
        return int(minutes)

    def _rate(self) -> int | None:
        def read(cell: Any) -> int | Fault:
            found = self.rates[cell]
            if isinstance(found, Finer):
                return Fault("Z218", f"the rate {told(cell)} has part of a penny",
                             "write whole pence an hour")
            return found if isinstance(found, Fault) else int(found)

        found = self.cell("rate", read)
        return None if found is None else int(found)


def no_cause(group: str) -> Fault:
    """Return the fault of waiting or rework of which nobody says why."""
    return Fault("Z211", f"{group} has a cause, and none is given",
                 "write why, such as: scaffold not there")

