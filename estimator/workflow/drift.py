"""Run all open quotes again at the prices of a day, or at imagined ones. Nothing is written but
the file that is asked for.

Codes of the problems: H109 a job that is not open, H110 a revision that this program cannot read,
H111 another currency, H112 a price of nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from pydantic import ValidationError
from sqlalchemy import Connection, select

from catalogue import db
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import REVISION
from catalogue.toml_source import as_text, parse_toml
from estimator.buying.swaps import Swap
from estimator.cost_parts import Charged, Costed, costed
from estimator.drift import Drift, Drifted, NotRun, OpenQuote, drift_of, drift_sheet
from estimator.estimate import Basis
from estimator.imagined import changes_from, imagined
from estimator.papers.contract import EstimateJson
from estimator.papers.drift import DRIFT_PAPERS
from estimator.price import Discount
from estimator.survey.toml import survey_from
from estimator.verdict import LetPass
from estimator.workflow.basis import basis_of
from estimator.workflow.files import refuse_if_taken, write_all
from estimator.workflow.firm import database_of, firm_files
from estimator.workflow.job_list import newest_revisions
from estimator.workflow.job_states import states
from estimator.workflow.jobs import revision_number

Tell = Callable[[int, int], None]


@dataclass(frozen=True)
class DriftRequest:
    """What is to be run again.

    Attributes:
        on: the day of prices, rules and practice values.
        what_if: imagined changes as typed ("storage +9 %").
        jobs: only these; () = every open one.
        out: a .csv or .xlsx file to write, or None.
    """

    on: date
    database: str | None = None
    what_if: tuple[str, ...] = ()
    jobs: tuple[str, ...] = ()
    out: Path | None = None
    replace_out: bool = False


def drift(request: DriftRequest, tell: Tell) -> Drift:
    """Return what has become of the open quotes, and write it if a file is named.

    A quote that cannot be run again is named with its problems and does not stop the others.

    Raises:
        ProblemsFound: for mistakes in settings, rules or the imagined changes, a job that is not
            there or not open, a file that may not be written.
    """
    if request.out is not None:
        _refuse_out(request.out, request.replace_out)
    files = firm_files()
    engine = db.open_database(database_of(request.database, files))
    try:
        with db.session(engine, write=False) as work:
            basis = basis_of(files, db.load_price_book(work, request.on), request.on)
            changes = changes_from(request.what_if, basis.prices)
            basis = replace(basis, prices=imagined(basis.prices, changes))
            found, not_run = _all_run(work, _open_jobs(work, request.jobs), basis, tell)
    finally:
        engine.dispose()
    sheet = drift_sheet(
        found, not_run, basis.on, basis.settings, [str(change) for change in changes])
    if request.out is not None:
        write_all({request.out: DRIFT_PAPERS[request.out.suffix.lower()](sheet)})
    return sheet


def _refuse_out(out: Path, replace_out: bool) -> None:
    ending = out.suffix.lower()
    if ending not in DRIFT_PAPERS:
        raise ProblemsFound([Problem(
            "F007", Place(as_text(out)), f"what is written ends in {' or '.join(DRIFT_PAPERS)}",
            f"name it {as_text(out.with_suffix('.xlsx'))}")])
    refuse_if_taken(out, ending, replace=replace_out)


def _open_jobs(work: Connection, wanted: Sequence[str]) -> list[tuple[str, int]]:
    """Return the open jobs, or those of them that are wanted, with their newest revision."""
    answered = states(work)
    closed = {job: each for job, each in answered.items() if each.state != "open"}
    if not wanted:
        newest = work.execute(newest_revisions()).all()
        return [(row.job_id, row.number) for row in newest if row.job_id not in closed]
    problems = [
        Problem("H109", Place(f"job {job}"), f"the job was {closed[job].state}: it is not open",
                f"if that no longer holds: estimator jobs reopen {job} --name NAME")
        for job in sorted(set(wanted)) if job in closed]
    if problems:
        raise ProblemsFound(problems)
    return [(job, revision_number(work, job)) for job in sorted(set(wanted))]


def _all_run(
    work: Connection, jobs: Sequence[tuple[str, int]], basis: Basis, tell: Tell
) -> tuple[list[Drifted], list[NotRun]]:
    found: list[Drifted] = []
    not_run: list[NotRun] = []
    for done, (job, number) in enumerate(jobs, start=1):
        survey, kept = work.execute(
            select(REVISION.c.survey_text, REVISION.c.estimate_json)
            .where(REVISION.c.job_id == job, REVISION.c.number == number)).one()
        try:
            found.append(_run(Place(f"job {job}, revision {number}"), survey, kept, basis))
        except ProblemsFound as problems:
            not_run.append(NotRun(job, number, problems.problems))
        tell(done, len(jobs))
    return found, not_run


def _run(place: Place, survey_text: str, kept: str, basis: Basis) -> Drifted:
    try:
        quote = open_quote(EstimateJson.loads(kept))
    except ValidationError as error:
        raise ProblemsFound([Problem(
            "H110", place, "it was kept by another version of this program, which this one cannot "
            "read", "quote it again: estimator quote SURVEY")]) from error
    currency = basis.settings.firm.currency
    if quote.net.currency != currency:
        raise ProblemsFound([Problem(
            "H111", place, f"it was quoted in {quote.net.currency}, and the firm prices in "
            f"{currency}", "quote it again: estimator quote SURVEY")])
    if not quote.net.minor:
        raise ProblemsFound([Problem(
            "H112", place, "it was quoted at nothing, and nothing has no margin",
            "quote it again: estimator quote SURVEY")])
    return drift_of(quote, survey_from(parse_toml(survey_text, str(place))), basis)


def open_quote(kept: EstimateJson) -> OpenQuote:
    """Return a kept estimate as a quote to be run again."""
    currency, price = kept.currency, kept.price
    off = price.discount
    return OpenQuote(
        job=kept.job.id, title=kept.job.title, revision=kept.revision, on=kept.on,
        valid_until=price.valid_until, kind=kept.kind, net=Money(price.net, currency),
        cost=_cost_then(kept),
        discount=None if off is None else Discount(
            Money(off.amount, currency), off.reason, off.name),
        passes=tuple(_passes(kept)),
        swaps=tuple(Swap(each.original, each.substitute, each.why, each.by)
                    for each in kept.swaps),
    )


def _passes(kept: EstimateJson) -> Iterator[LetPass]:
    given = {each.code: each for each in kept.findings if each.let_pass_by}
    for code, each in given.items():
        yield LetPass(code, each.let_pass_by, each.let_pass_because)


def _cost_then(kept: EstimateJson) -> Costed:
    currency, cost = kept.currency, kept.cost
    lines = (
        Charged(each.item, each.name, each.head, Money(each.cost, currency),
                Money(each.waste_cost, currency))
        for each in kept.lines if not each.option)
    heads = [(each.head, Money(each.amount, currency)) for each in cost.heads]
    return costed(lines, heads, Money(cost.direct, currency), Money(cost.total, currency))
