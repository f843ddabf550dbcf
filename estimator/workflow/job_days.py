"""What happened to a job on which day: sent, contacted, planned, begun, commissioned.

A day is recorded once and never changed; of the days on which a job is planned, begun and
commissioned the newest record holds. Where a job stands follows from these days and from the
answers of `job_states`.

Codes of the problems: Z101 no name, Z102 a day still to come, Z103 a day before the quote, Z104 a
job that does not stand so, Z105 commissioned and never begun, Z106 commissioned before it was
begun, Z107 planned after it was begun, Z108 nobody says who does it, Z109 a chance that is none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Literal

from sqlalchemy import Connection, func, insert, select

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import JOB_DAY, REVISION
from estimator.workflow.database import at_work
from estimator.workflow.job_states import JobState, State, held_job
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.recording import write_quoted

What = Literal["sent", "contacted", "planned", "begun", "commissioned"]
Stands = Literal["open", "sent", "accepted", "planned", "on site", "commissioned", "closed",
                 "declined"]

_WHEN: dict[What, tuple[State, ...]] = {
    "sent": ("open", "accepted"), "contacted": ("open",), "planned": ("accepted",),
    "begun": ("accepted",), "commissioned": ("accepted",)}
_ON_THE_WAY: tuple[tuple[What, Stands], ...] = (
    ("commissioned", "commissioned"), ("begun", "on site"), ("planned", "planned"))


@dataclass(frozen=True, slots=True)
class DaySaid:
    """What somebody says happened to a job on a day.

    Attributes:
        by: who says so; `why` is any remark.
        crew: who is to do it or does it; of one that is begun "" = the crew it is planned for.
        chance_percent: how likely the customer takes it; only of one that is contacted.
    """

    job: str
    what: What
    on: date
    by: str
    why: str = ""
    crew: str = ""
    chance_percent: int | None = None


@dataclass(frozen=True, slots=True)
class JobDay:
    """What was recorded, and where the job stands then."""

    said: DaySaid
    stands: Stands


def record_day(database: str | None, said: DaySaid, at: datetime) -> JobDay:
    """Record what happened to a job on a day.

    Raises:
        ProblemsFound: J001 for a job that is not there; Z101 to Z109, all at once; nothing is
            recorded then.
    """
    with at_work(database, write=True) as work:
        newest = revision_number(work, said.job)
        state, days = held_job(work, said.job), newest_days(work, said.job)
        crew = said.crew.strip() or _crew_before(days)
        first = work.execute(select(func.min(REVISION.c.on_date)).where(
            REVISION.c.job_id == said.job)).scalar_one()
        problems = [*_amiss(said, at.astimezone().date(), first), *_out_of_order(said, state, days),
                    *_without_crew(said, crew)]
        if problems:
            raise ProblemsFound(problems)
        kept = DaySaid(said.job, said.what, said.on, said.by.strip(), said.why.strip(),
                       crew if said.what in ("planned", "begun") else "", said.chance_percent)
        work.execute(insert(JOB_DAY).values(
            job_id=kept.job, what=kept.what, on_date=kept.on, crew=kept.crew,
            chance_percent=kept.chance_percent, by=kept.by, why=kept.why,
            at=at.astimezone(UTC).replace(microsecond=0)))
        write_quoted(work, kept_estimate(work, said.job, newest))
        work.commit()
        return JobDay(kept, stands_of(state.state, {*days, kept.what}))


def newest_days(work: Connection, job: str) -> dict[str, DaySaid]:
    """Return the newest record of each kind of day of a job."""
    d = JOB_DAY.c
    rows = work.execute(select(JOB_DAY).where(d.job_id == job).order_by(d.id))
    return {row.what: DaySaid(row.job_id, row.what, row.on_date, row.by, row.why, row.crew,
                              row.chance_percent) for row in rows}


def _crew_before(days: dict[str, DaySaid]) -> str:
    return next((days[what].crew for what in ("begun", "planned") if what in days), "")


def recorded_days(work: Connection) -> dict[str, set[str]]:
    """Return which kinds of day were ever recorded of each job."""
    found: dict[str, set[str]] = {}
    for row in work.execute(select(JOB_DAY.c.job_id, JOB_DAY.c.what).distinct()):
        found.setdefault(row.job_id, set()).add(row.what)
    return found


def stands_of(state: State, days: set[str]) -> Stands:
    """Return where a job stands, in the words of the trade."""
    if state == "open":
        return "sent" if "sent" in days else "open"
    if state == "accepted":
        return next((words for what, words in _ON_THE_WAY if what in days), "accepted")
    return state


def day_problems(by: str, on: date, today: date, first: date, where: Place) -> Iterator[Problem]:
    """Yield what is amiss with who says that something happened, and when.

    Args:
        by: the name.
        on: the day on which it is said to have happened.
        today: nothing has happened later.
        first: day of the prices of the job's first revision; nothing happened earlier.
        where: the job.
    """
    if not by.strip():
        yield Problem("Z101", where, "nobody has put a name to it", "say who says so: --name")
    if on > today:
        yield Problem("Z102", where, f"{on} is still to come",
                      "say on which day it happened: --on")
    if on < first:
        yield Problem("Z103", where, f"{on} lies before the first quote of the job, which has "
                      f"prices of {first}", "say on which day it happened: --on")


def _amiss(said: DaySaid, today: date, first: date) -> Iterator[Problem]:
    where = Place(f"job {said.job}")
    yield from day_problems(
        said.by, said.on, said.on if said.what == "planned" else today, first, where)
    if said.chance_percent is not None and not 0 <= said.chance_percent <= 100:
        yield Problem("Z109", where, f"a chance of {said.chance_percent} % is none",
                      "write a whole number from 0 to 100: --chance")


def _out_of_order(
    said: DaySaid, state: JobState, days: dict[str, DaySaid]
) -> Iterator[Problem]:
    where, begun, done = Place(f"job {said.job}"), days.get("begun"), days.get("commissioned")
    wanted = _WHEN[said.what]
    if state.state not in wanted:
        mend = (f"estimator jobs accept {said.job} --name NAME" if state.state == "open" else
                f"if that no longer holds: estimator jobs reopen {said.job} --name NAME")
        yield Problem("Z104", where, f"the job is {state.state}, and only one that is "
                      f"{' or '.join(wanted)} is {said.what}", mend)
    if said.what == "commissioned" and begun is None:
        yield Problem("Z105", where, "nobody has said that it was begun",
                      f"estimator jobs begin {said.job} --on DATE --crew CREW --name NAME")
    if said.what == "commissioned" and begun is not None and said.on < begun.on:
        yield Problem("Z106", where, f"it was begun on {begun.on}, and {said.on} lies before that",
                      "say on which day it was commissioned: --on")
    if said.what == "begun" and done is not None and said.on > done.on:
        yield Problem("Z106", where, f"it was commissioned on {done.on}, and {said.on} lies after "
                      "that", "say on which day it was begun: --on")
    if said.what == "planned" and begun is not None:
        yield Problem("Z107", where, f"it was begun on {begun.on}, so there is nothing to plan",
                      f"if it begins anew: estimator jobs begin {said.job} --on DATE --name NAME")


def _without_crew(said: DaySaid, crew: str) -> Iterator[Problem]:
    if said.what == "begun" and not crew:
        yield Problem("Z108", Place(f"job {said.job}"), "nobody says which crew does it, and none "
                      "was planned", "say who does it: --crew")
