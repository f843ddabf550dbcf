"""A job at its end: the accepted revision, its close-out on a day, and what bars closing it.

Codes of the problems: Z310 readings of which nobody has said anything, Z311 one that is not as
expected and nobody has said why it may stand, Z312 a job that is not accepted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby

from sqlalchemy import Connection

from catalogue.problems import Place, Problem, ProblemsFound
from estimator.closing.due import JOB, Due
from estimator.closing.expected import sign_of
from estimator.papers.contract import EstimateJson
from estimator.practice.pack import Practice
from estimator.workflow.basis import firm_practice
from estimator.workflow.closeout_readings import CloseOut, close_out
from estimator.workflow.firm import FirmFiles, firm_settings
from estimator.workflow.job_states import State, held_job
from estimator.workflow.jobs import kept_estimate, revision_number

ACCEPTED: Sequence[State] = ("accepted",)
DONE: Sequence[State] = ("accepted", "closed")
_NAMED = 3


def firms_practice(files: FirmFiles) -> Practice:
    """Return the practice pack of the firm's country with its own values over it."""
    return firm_practice(files, firm_settings(files).firm.country)


def taken_revision(
    work: Connection, job: str, states: Sequence[State] = ACCEPTED
) -> EstimateJson:
    """Return the revision that the customer took; no other desk answers the job meanwhile.

    Raises:
        ProblemsFound: J001 if there is no such job, Z312 if it stands otherwise.
    """
    revision_number(work, job)
    stands = held_job(work, job)
    if stands.state not in states or stands.revision is None:
        raise ProblemsFound([Problem(
            "Z312", Place(f"job {job}"), f"the job is {stands.state}, and only an accepted one is "
            "tested and closed out", f"estimator jobs accept {job} --name NAME")])
    return kept_estimate(work, job, stands.revision)


def left_open(work: Connection, job: str, revision: int, practice: Practice, on: date,
              ) -> list[Problem]:
    """Return a problem for each thing in the close-out that keeps a job from being closed."""
    found = close_out(work, kept_estimate(work, job, revision), practice, on)
    return [*_blank(found), *_amiss(found)]


def named(due: Due) -> str:
    """Return a reading as it is named to a person: its code, and of what if there are several."""
    return due.code if due.subject == JOB else f"{due.code} of {due.subject}"


def _blank(found: CloseOut) -> Iterator[Problem]:
    job = found.estimate.job.id
    for group, blank in groupby(found.blank, key=lambda each: each.entry.group.name):
        each = [named(due) for due in blank]
        more = f" and {len(each) - _NAMED} more" if len(each) > _NAMED else ""
        yield Problem(
            "Z310", Place(f"job {job}"),
            f"{group}: nothing is said of {', '.join(each[:_NAMED])}{more}",
            f"fill in the sheet of `estimator closeout sheet {job}`; what cannot be tested gets "
            "its reason: not tested because")


def _amiss(found: CloseOut) -> Iterator[Problem]:
    job = found.estimate.job.id
    for due, reading in found.amiss:
        read = f"{reading.value} {sign_of(due.entry.unit)}".rstrip()
        wanted = due.expected.words or "something else"
        yield Problem(
            "Z311", Place(f"job {job}"),
            f"{named(due)} is not as expected: {read}, where {wanted} is expected",
            f"mend it and read again, or say why it may stand: estimator closeout set {job} "
            f"{due.code} {_quoted(due.subject)} --accept-because REASON --name NAME")


def _quoted(subject: str) -> str:
    return f'"{subject}"' if " " in subject else subject
