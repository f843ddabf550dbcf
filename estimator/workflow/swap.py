"""Try a substitute on a quoted job: the job is worked out with and without it, and nothing is kept.

Both are made from the survey of a kept revision by this program, with the prices of one day, and
with the discount, the stops let pass and the substitutes of that revision, so that all that differs
comes of the new substitute.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy import select

from catalogue import db
from catalogue.hard_fields import hard_fields
from catalogue.items import Item
from catalogue.money import Money
from catalogue.substitutes import FieldVerdict, judge
from catalogue.tables import REVISION
from catalogue.toml_source import parse_toml
from estimator.buying.swaps import Swap
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract import EstimateJson
from estimator.papers.quote_view import MAIN_FAMILIES
from estimator.price import Discount
from estimator.survey.model import Survey
from estimator.survey.toml import survey_from
from estimator.verdict import LetPass
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.jobs import stored_estimate


@dataclass(frozen=True)
class SwapRequest:
    """Which item is to stand in on which job.

    Attributes:
        on: the day of prices, rules and practice values; None = that of the revision.
        revision: whose survey, discount and substitutes are taken; None = the newest.
    """

    job: str
    original: str
    substitute: str
    database: str | None = None
    on: date | None = None
    revision: int | None = None


@dataclass(frozen=True)
class SwapTried:
    """A job without a substitute and with it.

    Attributes:
        swaps: every substitute of the job, the new one last.
        verdicts: how the two items compare in each hard field.
        consent: whether the quote names the item, so that the customer must agree.
        papers: drawings and certificates on which the item stands.
    """

    was: EstimateJson
    now: EstimateJson
    original: Item
    substitute: Item
    swaps: tuple[Swap, ...]
    verdicts: tuple[FieldVerdict, ...]
    consent: bool
    papers: tuple[str, ...]

    @property
    def stopped(self) -> bool:
        """Return whether a finding bars a firm price with the substitute."""
        return any(each.level == "stop" and not each.let_pass_by for each in self.now.findings)


def try_swap(request: SwapRequest) -> SwapTried:
    """Return a job without a substitute and with it; nothing is kept or written.

    Raises:
        ProblemsFound: J001 or J002 for a job or revision that is not kept, E301 to E307 for a
            substitute that may not stand in, else whatever keeps the job from being made again.
    """
    files = firm_files()
    place = database_of(request.database, files)
    kept = stored_estimate(place, request.job, request.revision)
    day = request.on or kept.on
    engine = db.open_database(place)
    try:
        with db.session(engine, write=False) as work:
            prices = db.load_price_book(work, day)
            text = work.execute(
                select(REVISION.c.survey_text).where(
                    REVISION.c.job_id == kept.job.id, REVISION.c.number == kept.revision)
            ).scalar_one()
    finally:
        engine.dispose()
    survey = survey_from(parse_toml(text, f"the survey of revision {kept.revision}"))
    basis = basis_of(files, prices, day)
    old = tuple(Swap(each.original, each.substitute, each.why, each.by) for each in kept.swaps)
    swaps = _with_one_more(old, request)
    was, now = (_made(survey, basis, kept, each) for each in (old, swaps))
    original, substitute = (
        basis.prices.items[code] for code in (request.original, request.substitute))
    return SwapTried(
        _shown(was, kept), _shown(now, kept), original, substitute, swaps,
        judge(original, substitute), original.family in MAIN_FAMILIES,
        hard_fields().families[original.family].papers,
    )


def _with_one_more(swaps: Sequence[Swap], request: SwapRequest) -> tuple[Swap, ...]:
    """Return the swaps with the new one; one whose substitute is replaced leads to the new one."""
    new = Swap(request.original, request.substitute)
    led = [each for each in swaps if each.substitute == request.original]
    if led:
        return tuple(replace(each, substitute=request.substitute) if each in led else each
                     for each in swaps)
    return (*(each for each in swaps if each.original != request.original), new)


def _made(
    survey: Survey, basis: Basis, kept: EstimateJson, swaps: tuple[Swap, ...]
) -> Estimate:
    """Make the job with the discount of the revision, and the stops let pass that still stop."""
    off = kept.price.discount
    discount = None if off is None else Discount(
        Money(off.amount, kept.currency), off.reason, off.name)
    made = make_estimate(survey, basis, discount, (), swaps)
    stops = {finding.code for finding in made.findings if finding.level == "stop"}
    passed = {each.code: LetPass(each.code, each.let_pass_by, each.let_pass_because)
              for each in kept.findings if each.let_pass_by and each.code in stops}
    return make_estimate(survey, basis, discount, tuple(passed.values()), swaps) if passed else made


def _shown(estimate: Estimate, kept: EstimateJson) -> EstimateJson:
    return EstimateJson.of(estimate, kept.revision)
