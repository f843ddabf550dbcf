"""Quote a job: read its survey, price it, keep the revision, write the papers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path

from sqlalchemy import Engine

from catalogue import db
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import read_toml
from estimator.buying.swaps import Swap
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract import EstimateJson
from estimator.price import Discount
from estimator.settings import Settings
from estimator.survey.model import Survey
from estimator.survey.toml import survey_from
from estimator.verdict import LetPass
from estimator.workflow.basis import ReadFrom, firm_cautions, read_basis
from estimator.workflow.files import all_written
from estimator.workflow.firm import FirmFiles, database_of, firm_files
from estimator.workflow.jobs import Making, keep_revision
from estimator.workflow.made_with import texts_made_with

# An amount may part its thousands by commas; a comma anywhere else is refused, since "5,5%" would
# be read as 55 %.
_AMOUNT = re.compile(
    r"(?P<sign>[£€$]?)\s*(?P<number>(?:[0-9]{1,12}|[0-9]{1,3}(?:,[0-9]{3}){1,4})(?:\.[0-9]{1,12})?)"
    r"\s*(?P<share>%?)")


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
    swaps: tuple[Swap, ...] = ()
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
        ProblemsFound: for mistakes in survey, settings, rules or discount, a stop let pass that is
            none, or a substitute that may not stand in; nothing is kept or written then.
    """
    source = read_toml(request.survey)  # once: a pipe gives its text a single time
    survey, text = survey_from(source), source.text.replace("\r\n", "\n")
    with _opened(request) as (engine, files, made_database):
        estimate, basis, read = _estimated(survey, request, engine, files)
        made_with = partial(texts_made_with, estimate, basis, read, files)
        with db.session(engine) as work:
            kept, new = keep_revision(work, Making(estimate, text, made_with))
            papers = _papers(request, files, basis.settings, kept)
            with all_written(papers):  # a revision that cannot be kept leaves no papers
                work.commit()
    stopped = any(finding.stops for finding in estimate.findings)
    return Quoted(kept, tuple(papers), new, made_database, stopped, firm_cautions(files, basis))


def check(request: QuoteRequest) -> Quoted:
    """Check a job as `quote` does, but keep and write nothing."""
    survey = survey_from(read_toml(request.survey))
    with _opened(request) as (engine, files, made_database):
        estimate, basis, _ = _estimated(survey, request, engine, files)
    stopped = any(finding.stops for finding in estimate.findings)
    shown = EstimateJson.of(estimate, 1)
    return Quoted(shown, (), False, made_database, stopped, firm_cautions(files, basis))


@contextmanager
def _opened(request: QuoteRequest) -> Iterator[tuple[Engine, FirmFiles, str]]:
    """Give the firm's database and files, and the database's name if it had to be made."""
    files = firm_files(request.survey)
    database = database_of(request.database, files)
    is_new = db.is_to_be_made(database)
    engine = db.open_database(database)
    try:
        yield engine, files, db.shown(database) if is_new else ""
    finally:
        engine.dispose()


def _estimated(
    survey: Survey, request: QuoteRequest, engine: Engine, files: FirmFiles
) -> tuple[Estimate, Basis, ReadFrom]:
    with db.session(engine, write=False) as work:
        prices = db.load_price_book(work, request.on)
    basis, read = read_basis(files, prices, request.on)
    estimate = make_estimate(survey, basis, None, request.passes, request.swaps)
    if request.discount is not None:
        taken = _discount(request.discount, estimate)
        estimate = make_estimate(survey, basis, taken, request.passes, request.swaps)
    return estimate, basis, read


def _discount(asked: DiscountAsked, estimate: Estimate) -> Discount:
    """Return the discount as money; a share is of the list price."""
    list_net = estimate.price.list_net
    typed = _AMOUNT.fullmatch(asked.amount.strip())
    if typed is None or (typed["sign"] and typed["share"]):
        raise _no_amount(asked)
    number = typed["number"].replace(",", "")
    if typed["share"]:
        return Discount(list_net.times(Decimal(number) / 100), asked.reason, asked.name)
    try:
        return Discount(Money.of(number, list_net.currency), asked.reason, asked.name)
    except ValueError as error:  # parts of a penny
        raise _no_amount(asked) from error


def _no_amount(asked: DiscountAsked) -> ProblemsFound:
    return ProblemsFound([Problem(
        "M005", Place("discount"), f"'{asked.amount}' is no amount of money and no share",
        "write for example 150, 149.50 or 5%")])


def _papers(
    request: QuoteRequest, files: FirmFiles, settings: Settings, estimate: EstimateJson
) -> dict[Path, bytes]:
    """Return workbook, quote page, cuts and the estimate itself, by the paths they are to have."""
    if not request.write_papers:
        return {}
    from estimator.papers.quote_page import quote_page
    from estimator.papers.workbook.book import bill_workbook

    folder = request.out or (files.folder or Path()) / "out"
    name = f"{estimate.job.id}-r{estimate.revision}"
    drawing = {}
    if estimate.cuts or estimate.cables:
        from estimator.papers.cut_drawing import cuts_svg

        drawing[folder / f"{name}-cuts.svg"] = cuts_svg(estimate).encode()
    return {
        **drawing,
        folder / f"{name}-bill.xlsx": bill_workbook(estimate, settings.firm.name),
        folder / f"{name}-quote.html": quote_page(estimate, settings).encode(),
        folder / f"{name}-estimate.json": estimate.dumps().encode(),
    }
