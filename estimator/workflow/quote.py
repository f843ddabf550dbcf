"""Quote a job: read its survey, price it, keep the revision, write the papers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path

from sqlalchemy import Engine

from catalogue import db
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract import EstimateJson
from estimator.price import Discount
from estimator.settings import Settings
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey
from estimator.verdict import LetPass
from estimator.workflow.basis import basis_of, firm_cautions
from estimator.workflow.files import write_all
from estimator.workflow.firm import FirmFiles, database_of, firm_files
from estimator.workflow.jobs import Making, keep_revision


@dataclass(frozen=True)
class DiscountAsked:
    """Money off as typed: an amount in major units or a share ("5%"), the reason and the name."""

    amount: str
    reason: str
    name: str


@dataclass(frozen=True)
class QuoteRequest:
    """What the caller of a quote may choose; None takes the usual."""

    survey: Path
    on: date
    database: str | None = None
    out: Path | None = None
    discount: DiscountAsked | None = None
    passes: tuple[LetPass, ...] = ()
    write_papers: bool = True


@dataclass(frozen=True)
class Quoted:
    """A kept revision and the files written for it.

    Attributes:
        new: False where the same survey and prices gave the revision that was kept before.
        made_database: path of the database if this quote had to make it, else "".
    """

    estimate: EstimateJson
    files: tuple[Path, ...]
    new: bool
    made_database: str
    stopped: bool
    cautions: tuple[str, ...]


def quote(request: QuoteRequest) -> Quoted:
    """Quote a job: price it, keep the revision, write its papers.

    Raises:
        ProblemsFound: for mistakes in survey, settings, rules or discount, or a stop let pass
            that is none; nothing is kept or written then.
    """
    survey = read_survey(request.survey)
    with _opened(request) as (engine, files, made_database):
        estimate, basis = _estimated(survey, request, engine, files)
        text = request.survey.read_text(encoding="utf-8-sig")
        with db.session(engine) as work:
            kept, new = keep_revision(work, Making(estimate, text))
            written = _papers(request, files, basis.settings, kept)
            work.commit()
    stopped = any(finding.stops for finding in estimate.findings)
    return Quoted(kept, written, new, made_database, stopped, firm_cautions(files, basis))


def check(request: QuoteRequest) -> Quoted:
    """Check a job as `quote` does, but keep and write nothing."""
    survey = read_survey(request.survey)
    with _opened(request) as (engine, files, made_database):
        estimate, basis = _estimated(survey, request, engine, files)
    stopped = any(finding.stops for finding in estimate.findings)
    shown = EstimateJson.of(estimate, 1)
    return Quoted(shown, (), False, made_database, stopped, firm_cautions(files, basis))


@contextmanager
def _opened(request: QuoteRequest) -> Iterator[tuple[Engine, FirmFiles, str]]:
    """Give the firm's database and files, and the database's name if it had to be made."""
    files = firm_files(request.survey)
    database = database_of(request.database, files)
    file = db.file_of(database)
    is_new = file is not None and not file.exists()
    engine = db.open_database(database)
    try:
        yield engine, files, db.shown(database) if is_new else ""
    finally:
        engine.dispose()


def _estimated(
    survey: Survey, request: QuoteRequest, engine: Engine, files: FirmFiles
) -> tuple[Estimate, Basis]:
    with db.session(engine, write=False) as work:
        prices = db.load_price_book(work, request.on)
    basis = basis_of(files, prices, request.on)
    estimate = make_estimate(survey, basis, None, request.passes)
    if request.discount:
        taken = _discount(request.discount, estimate)
        estimate = make_estimate(survey, basis, taken, request.passes)
    return estimate, basis


def _discount(asked: DiscountAsked, estimate: Estimate) -> Discount:
    """Return the discount as money; a share is of the list price."""
    text = asked.amount.strip().replace(",", "")
    list_net = estimate.price.list_net
    try:
        if text.endswith("%"):
            amount = list_net.times(Decimal(text[:-1].strip()) / 100)
        else:
            amount = Money.of(text.lstrip("£€$"), list_net.currency)
    except (InvalidOperation, ValueError) as error:
        raise ProblemsFound([Problem(
            "M005", Place("discount"), f"'{asked.amount}' is no amount of money and no share",
            "write for example 150, 149.50 or 5%",
        )]) from error
    return Discount(amount, asked.reason, asked.name)


def _papers(
    request: QuoteRequest, files: FirmFiles, settings: Settings, estimate: EstimateJson
) -> tuple[Path, ...]:
    """Write workbook, quote page and the estimate itself, all or none; return their paths."""
    if not request.write_papers:
        return ()
    from estimator.papers.quote_page import quote_page
    from estimator.papers.workbook.book import bill_workbook

    folder = request.out or (files.folder or Path()) / "out"
    name = f"{estimate.job.id}-r{estimate.revision}"
    papers = {
        folder / f"{name}-bill.xlsx": bill_workbook(estimate, settings.firm.name),
        folder / f"{name}-quote.html": quote_page(estimate, settings).encode(),
        folder / f"{name}-estimate.json": estimate.dumps().encode(),
    }
    write_all(papers)
    return tuple(papers)
