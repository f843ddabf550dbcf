"""What the customer says of a variation: agreed, in writing and before the work, or refused.

Agreed, its revision is the accepted one from then on: its goods are reserved less what is on site,
its plan lines are kept, and a pick sheet that is out is stale, since it names the revision before.

Codes of the problems, beside those of `job_days`: Z121 no such variation, Z122 answered already,
Z123 not in writing, Z124 made for a revision that does not stand any more, Z125 no firm price.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Literal

from sqlalchemy import Connection, func, insert, select

from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import REVISION, VARIATION, VARIATION_EVENT
from estimator.outcome.variation import Variation
from estimator.papers.contract import EstimateJson
from estimator.workflow.database import at_work
from estimator.workflow.job_days import day_problems
from estimator.workflow.job_states import JobState, Said, accept_instead, held_job
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.varying import as_variation

Answer = Literal["agreed", "refused"]


@dataclass(frozen=True, slots=True)
class VariationAnswered:
    """What the customer says of a variation.

    Attributes:
        writing: in which writing, such as "e-mail of 3 May"; a refusal may be by word of mouth.
        by: who records it.
    """

    job: str
    number: int
    answer: Answer
    on: date
    by: str
    writing: str = ""


@dataclass(frozen=True)
class Answered:
    """A variation and its answer, and the revision that stands accepted now."""

    variation: Variation
    said: VariationAnswered
    accepted: EstimateJson


def answer_variation(database: str | None, said: VariationAnswered, at: datetime) -> Answered:
    """Record what the customer says of a variation.

    Raises:
        ProblemsFound: J001 for a job that is not there; Z121 for a variation; Z101 to Z104, Z122 to
            Z125, all at once. Nothing is recorded then.
    """
    with at_work(database, write=True) as work:
        revision_number(work, said.job)
        stands = held_job(work, said.job)
        found = _variation(work, said)
        kept = kept_estimate(work, said.job, found.after)
        problems = [*_days(work, said, at), *_amiss(work, said, found, stands, kept)]
        if problems:
            raise ProblemsFound(problems)
        work.execute(insert(VARIATION_EVENT).values(
            job_id=said.job, number=said.number, event=said.answer, on_date=said.on,
            writing=said.writing.strip(), at=at.astimezone(UTC).replace(microsecond=0),
            by=said.by.strip()))
        if said.answer == "agreed":
            accept_instead(work, Said(said.job, said.by, f"variation {said.number}: "
                                      f"{said.writing.strip()}", found.after), kept, at)
        else:
            kept = kept_estimate(work, said.job, stands.revision or found.before)
        work.commit()
        return Answered(found, said, kept)


def _variation(work: Connection, said: VariationAnswered) -> Variation:
    v = VARIATION.c
    rows = {row.number: row for row in work.execute(
        select(VARIATION).where(v.job_id == said.job).order_by(v.number))}
    if said.number not in rows:
        known = f"its variations are 1 to {max(rows)}" if rows else (
            f"say what was found first: estimator jobs vary {said.job} --set FACT=VALUE")
        raise ProblemsFound([Problem(
            "Z121", Place(f"job {said.job}"), f"the job has no variation {said.number}", known)])
    return as_variation(rows[said.number])


def _days(work: Connection, said: VariationAnswered, at: datetime) -> Iterator[Problem]:
    first = work.execute(select(func.min(REVISION.c.on_date)).where(
        REVISION.c.job_id == said.job)).scalar_one()
    yield from day_problems(
        said.by, said.on, at.astimezone().date(), first, Place(f"job {said.job}"))


def _amiss(
    work: Connection, said: VariationAnswered, found: Variation, stands: JobState,
    kept: EstimateJson,
) -> Iterator[Problem]:
    where, e = Place(f"job {said.job}"), VARIATION_EVENT.c
    before = work.execute(select(VARIATION_EVENT).where(
        e.job_id == said.job, e.number == said.number)).first()
    if before is not None:
        yield Problem("Z122", where, f"variation {said.number} was {before.event} on "
                      f"{before.on_date}, says {before.by}",
                      "what changes again is a variation of its own: estimator jobs vary "
                      f"{said.job}")
    if said.answer == "refused":
        return
    if not said.writing.strip():
        yield Problem("Z123", where, "nobody says in which writing the customer agreed",
                      'get it in writing before the work, and say which: --writing "e-mail of '
                      'DATE"')
    if stands.state != "accepted":
        yield Problem("Z104", where, f"the job is {stands.state}, and only a variation of one that "
                      "is accepted is agreed", f"estimator jobs accept {said.job} --name NAME")
    elif stands.revision != found.before and before is None:
        yield Problem("Z124", where, f"variation {said.number} changes revision {found.before}, "
                      f"and revision {stands.revision} is accepted now",
                      f"price it again: estimator jobs vary {said.job}, then refuse the old one")
    if kept.kind != "firm":
        yield Problem("Z125", where, f"variation {said.number} has no firm price: "
                      + "; ".join(kept.kind_because),
                      "settle what bars it, and say again what was found: estimator jobs vary "
                      f"{said.job}")
