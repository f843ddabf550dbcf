"""Every kind of dirt of timesheets in one table: what stands in a row, and what becomes of it.

Minutes are worked out by hand. Each row is of a person of its own, so that no row hangs on another
unless it names the person.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from tests.catalogue.price_lists.dirt import Error, Formatted, Formula

HEADER = ("Person", "Crew", "Day", "Job", "Task group", "Task", "Begun", "Ended", "Hours",
          "Minutes", "Cause", "Rate")
LETTERS = dict(zip(HEADER, "ABCDEFGHIJKL", strict=True))
PLAIN: dict[str, Any] = {
    "Day": date(2026, 11, 5), "Job": "D-101", "Task group": "roof", "Hours": "7:30"}
MORNING = datetime(2026, 11, 5, 8, 30)  # noqa: DTZ001 a cell holds no time zone


@dataclass(frozen=True)
class Dirt:
    """One row.

    Attributes:
        cells: by header; the others are those of a plain row.
        minutes: of a row that comes in; None for one that does not.
        more: what else is to be seen of a row that comes in.
        refused: header of a cell, code and words of the problem; `{before}` is the row above.
        skipped: why the row is passed over.
        in_text: whether a text file can hold it too.
        whole: whether the cells are all there is.
    """

    kind: str
    cells: dict[str, Any] = field(default_factory=dict)
    minutes: int | None = None
    more: dict[str, Any] = field(default_factory=dict)
    refused: tuple[str, str, str] | None = None
    skipped: str = ""
    in_text: bool = True
    whole: bool = False


def _in(kind: str, comes_to: int, in_text: bool = True, more: dict[str, Any] | None = None,
        **cells: Any) -> Dirt:
    return Dirt(kind, _titles(cells), comes_to, more or {}, in_text=in_text)


def _out(kind: str, at: str, code: str, says: str, in_text: bool = True, **cells: Any) -> Dirt:
    return Dirt(kind, _titles(cells), refused=(at, code, says), in_text=in_text)


def _titles(cells: dict[str, Any]) -> dict[str, Any]:
    return {name.replace("_", " ").capitalize(): value for name, value in cells.items()}


HOW_LONG = (
    _in("a plain row", 450),
    _in("half hours behind a point", 450, hours="7.5"),
    _in("half hours behind a comma", 450, hours="7,5"),
    _in("hours and minutes with an h", 450, hours="7h30"),
    _in("hours and minutes in words", 450, hours="7 hrs 30 mins"),
    _in("half hours as a fraction", 450, hours="7½ h"),
    _in("a quarter after a space", 435, hours="7 ¼"),
    _in("whole hours", 480, hours="8h"),
    _in("minutes in the column of hours", 45, hours="45 min"),
    _in("a number", 450, in_text=False, hours=7.5),
    _in("a cell that is a time", 450, in_text=False, hours=time(7, 30)),
    _in("a stretch of time of over a day's half", 810, in_text=False,
        hours=timedelta(hours=13, minutes=30)),
    _in("minutes of their own column", 90, hours=None, minutes="90"),
    _in("hours and minutes that agree", 90, hours="1.5", minutes="90"),
    _out("hours and minutes that do not", "Minutes", "Z209",
         "the hours are 1 h 30 min and the minutes 1 h 25 min", hours="1.5", minutes="85"),
    _out("what may be half past or three tenths", "Hours", "Z206",
         "'7.30' may be meant as 7:30 or as 7.3 hours, which are 7 h 18 min", hours="7.30"),
    _out("the same as a number", "Hours", "Z206",
         "7.15 may be meant as 7:15 or as 7.15 hours, which are 7 h 9 min", in_text=False,
         hours=7.15),
    _out("hours of no whole minutes", "Hours", "Z207",
         "'7.33' hours are 439.8 minutes, which is no whole number", hours="7.33"),
    _out("minutes that are no whole number", "Minutes", "Z207",
         "'90.5' is no whole number of minutes", hours=None, minutes="90.5"),
    _out("seconds", "Hours", "Z207", "7:30:20 is no whole number of minutes", in_text=False,
         hours=timedelta(hours=7, minutes=30, seconds=20)),
    _out("seventy-five minutes of an hour", "Hours", "Z205", "'7:75' are no hours and minutes",
         hours="7:75"),
    _out("words", "Hours", "Z205", "'all day' does not say how long", hours="all day"),
    _out("nought hours", "Hours", "Z205", "'0' is no time that anybody worked", hours="0"),
    _out("hours below nought", "Hours", "Z205", "'-2' does not say how long", hours="-2"),
    _out("minutes below nought", "Minutes", "Z205", "'-90' is no time that anybody worked",
         hours=None, minutes="-90"),
    _out("nothing that says how long", "Hours", "Z210", "nothing says how long it took",
         hours=None),
    _out("more than a day has", "Hours", "Z216", "P 28 would have 17 h on 2026-11-05, and nobody "
         "works more than 16 h a day", person="P 28", hours="17"),
)
WHEN = (
    _in("begun and ended", 510, more={"begun": 480, "span": 510}, hours=None, begun="08:00",
        ended="16:30"),
    _in("a break between", 480, more={"begun": 480, "span": 510}, hours="8", begun="08:00",
        ended="16:30"),
    _in("over midnight", 240, more={"begun": 1320, "span": 240}, hours=None, begun="22:00",
        ended="02:00"),
    _in("until midnight", 120, hours=None, begun="22:00", ended="24:00"),
    _in("letters for the half of the day", 510, hours=None, begun="8am", ended="4.30 pm"),
    _in("noon and midnight in letters", 720, hours=None, begun="12 pm", ended="12am"),
    _in("four digits", 450, hours=None, begun="0830", ended="1600"),
    _in("cells that are times", 90, in_text=False, hours=None, begun=time(8, 30),
        ended=time(10, 0)),
    _in("cells that are dates with times", 90, in_text=False, hours=None, begun=MORNING,
        ended=MORNING.replace(hour=10, minute=0)),
    _out("more hours than there are between", "Hours", "Z209",
         "9 h are more than the 8 h 30 min from begun to ended", begun="08:00", ended="16:30",
         hours="9"),
    _out("begun and never ended", "Begun", "Z209", "there is no time at which it ended",
         hours=None, begun="08:00"),
    _out("ended and never begun", "Ended", "Z209", "there is no time at which it began",
         hours=None, ended="08:00"),
    _out("begun and ended at once", "Ended", "Z209", "it began and ended at 08:00", hours=None,
         begun="08:00", ended="08:00"),
    _out("no time of day", "Begun", "Z208", "'25:00' is no time of day to the minute", hours=None,
         begun="25:00", ended="16:00"),
    _out("thirteen in the afternoon", "Ended", "Z208", "'13 pm' is no time of day to the minute",
         hours=None, begun="08:00", ended="13 pm"),
    _in("a row that another lies over", 240, person="B. Both", hours=None, begun="08:00",
        ended="12:00"),
    _out("two things at once", "Begun", "Z215", "b. both was at something else then: 2026-11-05 "
         "08:00 to 12:00 on D-101 (row {before})", person="b. both", hours=None, job="00420",
         begun="11:59", ended="13:00"),
    _in("one after the other", 60, person="B. Both", hours=None, begun="13:00", ended="14:00"),
    _in("a night into the next day", 480, person="N. Night", hours=None, begun="22:00",
        ended="06:00"),
    _out("a morning during that night", "Begun", "Z215", "N. Night was at something else then: "
         "2026-11-05 22:00 to 06:00 on D-101 (row {before})", person="N. Night", hours=None,
         day=date(2026, 11, 6), begun="05:00", ended="09:00"),
    _in("ten hours of a day", 600, person="L. Long", hours="10"),
    _out("seven more of the same day", "Hours", "Z216", "L. Long would have 17 h on 2026-11-05, "
         "and nobody works more than 16 h a day", person="L. Long", job="00420", hours="7"),
)
WHO_AND_WHAT = (
    _out("nobody", "Person", "Z201", "nobody is named", person=None),
    _in("needless spaces in a name", 450, more={"person": "A. B. Long"}, person="  A. B.  Long "),
    _out("an unseen character in a name", "Person", "A111",
         "'A.\u00b7B' has a hidden character in it", person="A.\u200bB"),
    _in("a name that would run as a formula", 450, more={"person": "=cmd|' /C calc'!A0"},
        person="=cmd|' /C calc'!A0"),
    _in("leading zeros of a job", 450, more={"job": "00420"}, job="00420"),
    _out("a job that became a number", "Job", "A110", "the job 420 is a number here, so leading "
         "zeros may be lost", in_text=False, job=420),
    _out("no job", "Job", "A110", "the job is missing", job=None),
    _out("a job that there is not", "Job", "Z202", "there is no job 'D-1O1'", job="D-1O1"),
    _out("a job that is not accepted", "Job", "Z203", "job D-102 is open, not accepted",
         job="D-102"),
    _out("a job that was declined", "Job", "Z203", "job D-105 is declined, not accepted",
         job="D-105"),
    _out("a job that is closed", "Job", "Z203", "job D-103 is closed, and only rework is booked "
         "on it", job="D-103"),
    _in("rework on a closed job", 450, job="D-103", task_group="rework", cause="a leak"),
    _in("capitals in a group", 450, more={"group": "electrical"}, task_group="Electrical "),
    _out("a group that there is not", "Task group", "Z204", "'electrics' is no task group",
         task_group="electrics"),
    _out("no group", "Task group", "Z204", "the task group is missing", task_group=None),
    _in("a group that the task says", 450, more={"group": "site", "task": "arrive"},
        task_group=None, task="arrive"),
    _out("a task that is no norm", "Task", "Z212", "'arive' is no norm", task_group="site",
         task="arive"),
    _out("a task of another group", "Task", "Z213", "arrive is site work, not roof",
         task="arrive"),
    _in("rework at a task of any group", 450, task_group="rework", task="arrive", cause="a leak"),
    _out("rework without a cause", "Cause", "Z211", "rework has a cause, and none is given",
         task_group="rework"),
    _out("waiting without a cause", "Cause", "Z211", "waiting has a cause, and none is given",
         task_group="waiting"),
    _in("waiting with a cause", 450, more={"cause": "scaffold late"}, task_group="waiting",
        cause="scaffold late"),
    _in("a rate of its own", 450, more={"rate_minor": 5250}, rate="£52.50"),
    _out("part of a penny in a rate", "Rate", "Z218", "the rate '52.505' has part of a penny",
         rate="52.505"),
    _out("a rate below nought", "Rate", "A114", "the price '-5' is below nought", rate="-5"),
    _out("a rate in another currency", "Rate", "A115", "the price '€50' is not in GBP",
         rate="€50"),
)
DAYS = (
    _in("a day in words", 450, day="5 Nov 2026"),
    _in("a day as year, month, day", 450, day="2026-11-05"),
    _out("a day in another order", "Day", "A118", "'05/11/2026' is not a date of the order year "
         "month day", day="05/11/2026"),
    _out("a year of two digits", "Day", "A118", "'5 Nov 26' is not a date of the order year month "
         "day", day="5 Nov 26"),
    _out("a day that there is not", "Day", "A118", "there is no day '2026-11-31' in the order year "
         "month day", day="2026-11-31"),
    _out("no day", "Day", "A118", "the day is missing", day=None),
    _out("a day to come", "Day", "Z214", "2026-11-21 is still to come, and today is 2026-11-20",
         day="2026-11-21"),
    _in("today", 450, day="2026-11-20"),
)
ROWS = (
    Dirt("a blank row", skipped="blank", whole=True),
    Dirt("a heading", {"Person": "Week 45"}, skipped="heading", whole=True),
    Dirt("a sum", {"Person": "Total", "Hours": "37.5"}, skipped="total", whole=True),
    Dirt("the header once more", {title: title for title in HEADER}, skipped="repeated header",
         whole=True),
    Dirt("a row with a person and nothing else that counts",
         {"Person": "F. Forgot", "Crew": "blue"}, refused=("Job", "A110", "the job is missing"),
         whole=True),
    _in("the first of two alike", 450, person="T. Twice"),
    _out("the same row again", "Person", "Z217", "this says the same as row {before}",
         person="T. Twice"),
)
CELLS = (
    _out("a formula", "Hours", "A120", "the cell holds a formula, and what it shows was computed "
         "elsewhere", in_text=False, hours=Formula("=7.5+0")),
    _out("an error", "Job", "A121", "the cell shows an error", in_text=False, job=Error("#REF!")),
    _out("a share", "Hours", "A124", "the cell is a percentage", in_text=False,
         hours=Formatted(0.5, "0%")),
    _out("yes or no", "Hours", "A124", "the cell holds yes or no", in_text=False, hours=True),
)
DIRT = (*HOW_LONG, *WHEN, *WHO_AND_WHAT, *DAYS, *ROWS, *CELLS)


def cells_of(dirt: Dirt, number: int) -> list[Any]:
    """Return the cells of a row in the order of the header."""
    plain = {} if dirt.whole else {"Person": f"P {number}", **PLAIN}
    return [{**plain, **dirt.cells}.get(title) for title in HEADER]
