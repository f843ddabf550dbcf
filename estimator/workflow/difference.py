"""What changed between two kept revisions of a job: each is made again, then told apart by cause.

A revision is made again from the texts kept beside it, with the prices as they were known when it
was made. Where none were kept (it is older than that), or this program cannot use them any more,
those of the other revision are taken, else today's. Whatever a revision costs otherwise when it is
made again is a share of its own and never hidden.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.difference.change import Change
from estimator.difference.inputs import Maker, Totals, totals_of
from estimator.difference.steps import NOTHING, Step, steps_between
from estimator.estimate import Estimate
from estimator.papers.contract import EstimateJson
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.jobs import stored_estimate
from estimator.workflow.remaking import KeptRevision, kept_revision, made_again, unreadable

_NAMED = 5  # items that a step names
NOT_KEPT, MADE_AGAIN = "not kept", "catalogue and program"

Tell = Callable[[int, int], None]


@dataclass(frozen=True)
class DiffRequest:
    """Which two revisions of which job."""

    job: str
    was: int
    now: int
    database: str | None = None
    both_ways: bool = False


@dataclass(frozen=True)
class Difference:
    """Two revisions as they were kept, and every step from one to the other.

    Attributes:
        steps: the first and the last may be what making a revision again changes; the shares add
            up to the change of cost and prices, to the minor unit.
        notes: what was not kept, in sentences.
    """

    was: EstimateJson
    now: EstimateJson
    steps: tuple[Step, ...]
    both_ways: bool
    notes: tuple[str, ...]


def kept_totals(kept: EstimateJson) -> Totals:
    """Return cost and prices of an estimate as it was kept."""
    return Totals(kept.cost.total, kept.price.net, kept.price.gross)


def difference(request: DiffRequest, tell: Tell = lambda done, of: None) -> Difference:
    """Return what made cost and price of a job change from one revision to another.

    Args:
        request: which revisions; the second may be the older one.
        tell: called with how many changes are done, and of how many.

    Raises:
        ProblemsFound: J001 or J002 for a job or revision that is not kept; H201 if both are the
            same; H202 if they are in different currencies; else whatever keeps a revision from
            being made again.
    """
    files = firm_files()
    place = database_of(request.database, files)
    kept = [stored_estimate(place, request.job, number) for number in (request.was, request.now)]
    _refuse(request, *kept)
    engine = db.open_database(place)
    try:
        with db.session(engine, write=False) as work:
            was, now = (kept_revision(work, each) for each in kept)
    finally:
        engine.dispose()
    maker = Maker()
    (first, first_own), (last, last_own) = (
        made_again(maker, was, now, files), made_again(maker, now, was, files))
    steps = (
        *_again(was, first.estimate, own=first_own, before=True),
        *steps_between(first, last, maker, both_ways=request.both_ways, tell=tell),
        *_again(now, last.estimate, own=last_own, before=False),
    )
    notes = tuple(_notes((was, first_own), (now, last_own)))
    return Difference(was.kept, now.kept, steps, request.both_ways, notes)


def _refuse(request: DiffRequest, was: EstimateJson, now: EstimateJson) -> None:
    where = Place(f"job {request.job}")
    if request.was == request.now:
        raise ProblemsFound([Problem(
            "H201", where, f"revision {request.was} is compared with itself",
            "name two revisions, the older one first")])
    if was.currency != now.currency:
        raise ProblemsFound([Problem(
            "H202", where, f"revision {was.revision} is in {was.currency} and revision "
            f"{now.revision} in {now.currency}", "compare revisions of one currency")])


def _notes(*made: tuple[KeptRevision, bool]) -> Iterator[str]:
    for revision, own in made:
        if not own:
            why = revision.note or unreadable(ValueError())
            yield (f"revision {revision.kept.revision} {why}: those of the other revision, or else "
                   f"of today, are taken, and what that moves is told as '{NOT_KEPT}'")


def _again(
    revision: KeptRevision, made: Estimate, *, own: bool, before: bool
) -> Iterator[Step]:
    """Yield what making a revision again changes, if anything."""
    share = totals_of(made) - kept_totals(revision.kept)
    if share.moves_nothing:
        return
    words = ("as kept", "made again")
    was, now = words if before else words[::-1]
    change = Change(
        MADE_AGAIN if own else NOT_KEPT,
        f"revision {revision.kept.revision}: {_where_it_differs(revision.kept, made)}",
        was, now, lambda inputs: inputs)
    yield Step((change,), share if before else NOTHING - share)


def _where_it_differs(kept: EstimateJson, again: Estimate) -> str:
    """Name the items of the bill and the cost heads that are not as they were kept."""
    old = {line.item: line.cost + line.waste_cost for line in kept.lines if not line.option}
    new = {line.item.code: line.cost.minor + line.waste_cost.minor
           for line in again.bill.lines if not line.option}
    items = [code for code in sorted({*old, *new}) if old.get(code, 0) != new.get(code, 0)]
    heads = [name for name in ("labour", "contingency", "warranty", "overhead")
             if getattr(kept.cost, name) != getattr(again.cost, name).minor]
    named = [*heads, *items]
    more = f" and {len(named) - _NAMED} more" if len(named) > _NAMED else ""
    return (", ".join(named[:_NAMED]) or "the price alone") + more
