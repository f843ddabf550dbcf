"""What became of a quoted job: accepted, declined, open again, closed. Each step stays.

A job is open until somebody says that it is accepted or declined, and again once it is reopened.
Its goods are reserved from the acceptance on, until it is reopened or closed. It is closed when
everything that went out for it has come back on a sheet, and it is tested and handed over; one that
was closed too early is accepted again.

Codes of the problems: H101 no name, H102 answered already, H103 open already, H104 expired, H105 a
budget, H113 closed though not accepted, H114 a pick sheet that is out, H115 goods of which nobody
has said what came back, H116 an order to the site that has not all come; Z310 and Z311 what is
open in its close-out.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any, Literal

from sqlalchemy import Connection, Row, func, insert, select

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.stock.posting import Posted
from catalogue.stock_reserving import release
from catalogue.tables import JOB, JOB_EVENT
from estimator.papers.contract import EstimateJson
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.recording import write_plan, write_quoted
from estimator.workflow.reserving import needed_before, reserve_goods
from estimator.workflow.unsettled import unsettled

State = Literal["open", "accepted", "declined", "closed"]
Event = Literal["accepted", "declined", "reopened", "closed"]


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody says of a job: of which revision (None = the newest), who, and why.

    `needed_on` is the day on which an accepted job needs its goods; None = as the survey says.
    """

    job: str
    by: str
    why: str = ""
    revision: int | None = None
    needed_on: date | None = None


@dataclass(frozen=True, slots=True)
class JobState:
    """How a job stands: since which revision was answered, by whom, when, and why."""

    job: str
    state: State
    revision: int | None = None
    by: str = ""
    at: datetime | None = None
    why: str = ""


def states(work: Connection) -> dict[str, JobState]:
    """Return how every job stands that was ever answered; one that is not in it is open."""
    newest = select(func.max(JOB_EVENT.c.id)).group_by(JOB_EVENT.c.job_id)
    rows = work.execute(select(JOB_EVENT).where(JOB_EVENT.c.id.in_(newest)))
    return {row.job_id: _as_state(row) for row in rows}


def _state(work: Connection, job: str) -> JobState:
    row = work.execute(
        select(JOB_EVENT).where(JOB_EVENT.c.job_id == job)
        .order_by(JOB_EVENT.c.id.desc()).limit(1)).first()
    return JobState(job, "open") if row is None else _as_state(row)


def _as_state(row: Row[Any]) -> JobState:
    state: State = "open" if row.event == "reopened" else row.event
    return JobState(row.job_id, state, row.revision, row.by, row.at, row.why)


def held_job(work: Connection, job: str) -> JobState:
    """Return how a job stands; no other desk answers it until this one is done."""
    work.execute(select(JOB.c.id).where(JOB.c.id == job).with_for_update())
    return _state(work, job)


def accept(work: Connection, said: Said, at: datetime) -> JobState:
    """Record that the customer takes a quote, reserve its goods, keep what it was reckoned to cost.

    The caller commits.

    Raises:
        ProblemsFound: H101 without a name; J001, J002 for a job or revision that is not there;
            H102 if the job is not open; H104 if the quote has expired; H105 if it is a budget.
    """
    revision = _answerable(work, said)
    kept = kept_estimate(work, said.job, revision)
    problems = _wrong_to_accept(kept, said.job, revision, at)
    if problems:
        raise ProblemsFound(problems)
    reserve_goods(work, kept, said.needed_on, _posted(said, at), "accepted")
    write_quoted(work, kept)
    write_plan(work, kept)
    return _add(work, "accepted", said, revision, at)


def accept_instead(
    work: Connection, said: Said, kept: EstimateJson, at: datetime
) -> JobState:
    """Record that an accepted job goes by another revision from now on; the caller commits.

    What is still reserved for it is let go, and the goods of the revision are reserved less what is
    on site, for the same day if that is still to come.
    """
    posted = _posted(said, at)
    needed_on = needed_before(work, said.job)
    release(work, said.job, posted, "another revision")
    today = at.astimezone().date()
    reserve_goods(work, kept, needed_on if needed_on and needed_on >= today else None, posted,
                  "another revision")
    write_quoted(work, kept)
    write_plan(work, kept)
    return _add(work, "accepted", said, kept.revision, at)


def decline(work: Connection, said: Said, at: datetime) -> JobState:
    """Record that the customer does not take it; the caller commits.

    Raises:
        ProblemsFound: H101, J001, J002, H102 as `accept`.
    """
    return _add(work, "declined", said, _answerable(work, said), at)


def reopen(work: Connection, said: Said, at: datetime) -> JobState:
    """Record that the answer no longer holds: open again, nothing reserved; the caller commits.

    One that is closed is accepted again, since its goods are on site; nothing is reserved for it.

    Raises:
        ProblemsFound: H101, J001, J002 as `accept`; H103 if the job is open.
    """
    newest = _meant(work, said)
    there = _state(work, said.job)
    if there.state == "open":
        raise ProblemsFound([Problem(
            "H103", _place(said.job), "the job is open already",
            "it is reopened only after it was accepted or declined")])
    event: Event = "accepted" if there.state == "closed" else "reopened"
    release(work, said.job, _posted(said, at), "reopened")
    return _add(work, event, said, there.revision or newest, at)


def close(work: Connection, said: Said, at: datetime) -> JobState:
    """Record that all that an accepted job used is settled; the caller commits.

    What is still reserved for it is let go.

    Raises:
        ProblemsFound: H101, J001, J002 as `accept`; H113 if the job is not accepted; H114 for a
            pick sheet that was issued and not read; H115 if nobody has said since the last pick
            what came back; H116 for an order to the site that has not all come; Z310 and Z311
            for what is open in its close-out.
    """
    _meant(work, said)
    there = _state(work, said.job)
    if there.state != "accepted" or there.revision is None:
        raise ProblemsFound([Problem(
            "H113", _place(said.job), f"the job is {there.state}, and only an accepted one is "
            "closed", f"estimator jobs accept {said.job} --name NAME")])
    problems = unsettled(work, said.job, there.revision, at.astimezone().date())
    if problems:
        raise ProblemsFound(problems)
    release(work, said.job, _posted(said, at), "closed")
    return _add(work, "closed", said, there.revision, at)


_STEPS = {"accepted": accept, "declined": decline, "reopened": reopen, "closed": close}


def record(database: str | None, event: Event, said: Said, at: datetime) -> JobState:
    """Record what somebody says of a job, in one transaction.

    Raises:
        ProblemsFound: as the step itself; nothing is recorded then.
    """
    engine = db.open_database(database)
    try:
        with db.session(engine) as work:
            found = _STEPS[event](work, said, at)
            work.commit()
            return found
    finally:
        engine.dispose()


def _answerable(work: Connection, said: Said) -> int:
    """Return the revision that is answered, if the job is open."""
    revision = _meant(work, said)
    there = _state(work, said.job)
    if there.state != "open":
        when = there.at.date() if there.at else "some day"
        raise ProblemsFound([Problem(
            "H102", _place(said.job),
            f"revision {there.revision} was {there.state} on {when}, says {there.by}",
            f"if that no longer holds: estimator jobs reopen {said.job} --name NAME")])
    return revision


def _meant(work: Connection, said: Said) -> int:
    """Return the revision that is meant; no other desk answers the job until this one is done."""
    if not said.by.strip():
        raise ProblemsFound([Problem(
            "H101", _place(said.job), "nobody has put a name to it", "say who says so: --name")])
    held_job(work, said.job)
    return revision_number(work, said.job, said.revision)


def _posted(said: Said, at: datetime) -> Posted:
    return Posted(said.by.strip(), at.astimezone(UTC).replace(microsecond=0))


def _wrong_to_accept(
    kept: EstimateJson, job: str, revision: int, at: datetime
) -> list[Problem]:
    """Return why a revision may not be accepted: a budget promises nothing, nor does an old one."""
    today, problems = at.astimezone().date(), []
    if kept.kind != "firm":
        problems.append(Problem(
            "H105", _place(job), f"revision {revision} is a budget, not a firm price",
            "settle what bars a firm price, and quote again: estimator quote SURVEY"))
    if kept.price.valid_until < today:
        problems.append(Problem(
            "H104", _place(job),
            f"revision {revision} was valid until {kept.price.valid_until}, and today is {today}",
            "quote again at the prices of today: estimator quote SURVEY"))
    return problems


def _add(
    work: Connection, event: Event, said: Said, revision: int, at: datetime
) -> JobState:
    at = at.astimezone(UTC).replace(microsecond=0)
    work.execute(insert(JOB_EVENT).values(
        job_id=said.job, revision=revision, event=event, at=at, by=said.by.strip(),
        why=said.why.strip()))
    return _state(work, said.job)


def _place(job: str) -> Place:
    return Place(f"job {job}")
