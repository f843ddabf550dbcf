"""Take back a line of hours: a line of its opposite is added, and nothing is changed.

Codes of the problems: Z220 no such line, Z221 one that is taken back or takes back another, Z222 no
reason.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime

from sqlalchemy import insert, select

from catalogue.entering import user
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import TIME_LINE
from estimator.workflow.database import at_work
from estimator.workflow.hours import hold_jobs


@dataclass(frozen=True, slots=True)
class TakenBack:
    """A line that was taken back, and the line that does it."""

    line: int
    by_line: int
    job: str
    person: str
    on: date
    minutes: int
    amount_minor: int
    overhead_minor: int


def take_back(database: str | None, line: int, because: str) -> TakenBack:
    """Reverse a line of hours to the minute and the penny.

    Raises:
        ProblemsFound: Z220, Z221, Z222; nothing is booked then.
    """
    place = Place(f"line {line}")
    if not because.strip():
        raise ProblemsFound([Problem("Z222", place, "no reason is given", "say why: --because")])
    with at_work(database, write=True) as work:
        asked = select(TIME_LINE).where(TIME_LINE.c.id == line)
        found = work.execute(asked).first()
        if found is None:
            raise ProblemsFound([Problem(
                "Z220", place, "no hours are booked under this number",
                "see the lines: estimator actuals list --job JOB --lines")])
        hold_jobs(work, [found.job_id])
        by_line = work.scalar(select(TIME_LINE.c.id).where(TIME_LINE.c.takes_back == line))
        if found.takes_back is not None or by_line is not None:
            raise ProblemsFound([Problem(
                "Z221", place, f"the line takes back line {found.takes_back}"
                if by_line is None else f"the line was taken back by line {by_line}",
                "book the hours anew if they were worked after all: estimator actuals hours FILE")])
        values = dict(found._mapping)
        values.update(
            file_id=None, row=0, minutes=-found.minutes, amount_minor=-found.amount_minor,
            overhead_minor=-found.overhead_minor, cause=because.strip(), takes_back=line,
            at=datetime.now(UTC).replace(microsecond=0), by=user())
        del values["id"]
        added = work.execute(insert(TIME_LINE).values(values)).inserted_primary_key
        assert added is not None
        work.commit()
        return TakenBack(line, int(added[0]), found.job_id, found.person, found.on_date,
                         -found.minutes, -found.amount_minor, -found.overhead_minor)
