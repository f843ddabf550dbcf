"""Issue a sheet for an accepted job: what is picked, or what comes back. Each is kept.

A sheet that says the same as the newest one of its kind, which nobody has read back yet, is that
sheet: it is written again with its number.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from sqlalchemy import Connection, func, insert, select

from catalogue.db import load_price_book
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import STOCK_SHEET, STOCK_SHEET_READ
from estimator.papers.cautions import cautions_for
from estimator.papers.contract import EstimateJson
from estimator.papers.sheets.back_pages import back_pages
from estimator.papers.sheets.book import sheet_workbook
from estimator.papers.sheets.pick_pages import Issued, pick_pages
from estimator.settings import Settings
from estimator.van.loading import VanHolds
from estimator.van.pick_sheet import EndToTake, PickNeed, pick_rows
from estimator.van.sheet_model import BackSheet, Leaves, PickSheet, Sheet
from estimator.workflow import pick_needs
from estimator.workflow.back_rows import back_rows
from estimator.workflow.database import at_work
from estimator.workflow.files import all_written
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.job_states import State, held_job
from estimator.workflow.jobs import kept_estimate, revision_number
from estimator.workflow.joint_sheets import Joined, joined, open_leaves, promised_to
from estimator.workflow.on_hand import keeping_of
from estimator.workflow.stick_cuts import already_given, given_to, stick_cuts
from estimator.workflow.stock_shelves import Site, shelves_for, site_of, van_of
from estimator.workflow.van_load import Driven, van_load


@dataclass(frozen=True)
class SheetAsked:
    """Which sheet is wanted: of which job, from which van, with which other job, for which day.

    `alone`: rails are cut for this job alone, not together with the jobs after it.
    """

    job: str
    on: date
    back: bool = False
    van: str | None = None
    shares_with: str | None = None
    alone: bool = False


@dataclass(frozen=True)
class SheetMade:
    """A sheet as it was issued, whether it is new, and where it was written."""

    sheet: Sheet
    issued: Issued
    new: bool
    file: Path | None


def issue_sheet(
    database: str | None, asked: SheetAsked, at: datetime, out: Path | None = None
) -> SheetMade:
    """Issue a sheet, keep it, and write its workbook.

    Raises:
        ProblemsFound: J001 for a job that is not there; Y202 for one that is not accepted; Y201
            for a van that is not there; Y203 if nothing is to be picked, or nothing is out.
    """
    files = firm_files()
    settings = firm_settings(files)
    with at_work(database_of(database, files), write=True) as work:
        if asked.back:
            made: Sheet = _back_sheet(work, asked)
        else:
            made = _pick_sheet(work, asked, settings)
        issued, new = keep_sheet(work, made, at)
        path = None if out is None else out / f"{made.job}-sheet-{issued.name.split('/')[1]}.xlsx"
        pages = {} if path is None else {path: _workbook(work, made, issued)}
        with all_written(pages):
            work.commit()
    return SheetMade(made, issued, new, path)


def accepted_revision(
    work: Connection, job: str, states: Sequence[State] = ("accepted",)
) -> EstimateJson:
    """Return the accepted revision of a job that stands as one of the states.

    Raises:
        ProblemsFound: J001 if there is no such job, Y202 if it is not accepted.
    """
    revision_number(work, job)
    stands = held_job(work, job)
    if stands.state not in states or stands.revision is None:
        raise ProblemsFound([Problem(
            "Y202", Place(f"job {job}"), f"the job is {stands.state}, and only an accepted one is "
            "picked", f"estimator jobs accept {job} --name NAME")])
    return kept_estimate(work, job, stands.revision)


def _pick_sheet(work: Connection, asked: SheetAsked, settings: Settings) -> PickSheet:
    accepted = accepted_revision(work, asked.job)
    prices, van = load_price_book(work, asked.on), van_of(work, asked.van)
    site = shelves_for(work, asked.job, None, van, asked.on)
    estimate, needs, leaves = _needs(work, accepted, prices, site, asked)
    rows = pick_rows(needs, site.shelves)
    if not rows:
        raise ProblemsFound([Problem(
            "Y203", Place(f"job {asked.job}"), "nothing is left to be picked for this job",
            f"what was picked: estimator stock used {asked.job}")])
    driven = [Driven(estimate, needs), *_other(work, asked, prices)]
    holds = VanHolds(van or "van", settings.van.payload_kg, settings.van.longest_mm,
                     int(settings.labour.day_hours * 60))
    job = estimate.job
    return PickSheet(
        job=job.id, title=job.title, address=job.address, revision=estimate.revision, on=asked.on,
        van=van, rows=rows, boxes=pick_needs.boxes_of(estimate, needs, prices),
        sign=pick_needs.to_sign(estimate), load=van_load(driven, prices, holds),
        saw=pick_needs.saw_of(estimate, leaves), leaves=leaves, lifts=pick_needs.lifts_of(estimate),
        aids=pick_needs.aids_of(estimate), places=tuple(site.shelves.places))


def _other(work: Connection, asked: SheetAsked, prices: PriceBook) -> Sequence[Driven]:
    """Return the job that is to share the van, if one is named."""
    if asked.shares_with is None or asked.shares_with == asked.job:
        return []
    other = accepted_revision(work, asked.shares_with)
    site = shelves_for(work, asked.shares_with, None, "", asked.on)
    return [Driven(*_needs(work, other, prices, site, None)[:2])]


def _needs(
    work: Connection, estimate: EstimateJson, prices: PriceBook, site: Site,
    asked: SheetAsked | None,
) -> tuple[EstimateJson, list[PickNeed], tuple[Leaves, ...]]:
    """Return a job's revision with the cuts that are still to be, what is picked, and left over.

    Without `asked` rails are cut from whole sticks.
    """
    given = given_to(work, site.stock, estimate, site_of(estimate.job.id))
    ends = (*site.ends, *promised_to(work, estimate.job.id)) if asked is not None else ()
    found = Joined(stick_cuts(estimate, given, ends, keeping_of(estimate) if ends else None))
    if asked is not None and not asked.alone:
        found = joined(work, site.stock, found.cuts, given, asked.on)
    cuts = found.cuts
    to_take: dict[str, list[EndToTake]] = {}
    for end, bar in cuts.ends:
        to_take.setdefault(end.item, []).append(
            EndToTake(end.lot, end.place, end.length_mm, bar.number))
    already = {**site.already, **already_given(estimate, cuts.sticks)}
    return (cuts.estimate, pick_needs.needs_of(cuts.estimate, prices, already, to_take),
            found.leaves)


def _back_sheet(work: Connection, asked: SheetAsked) -> BackSheet:
    estimate = accepted_revision(work, asked.job)
    rows, places = back_rows(work, estimate)
    if not rows:
        raise ProblemsFound([Problem(
            "Y203", Place(f"job {asked.job}"), "nothing was picked for this job that is still out",
            f"pick it first: estimator stock sheet {asked.job}")])
    job = estimate.job
    return BackSheet(job=job.id, title=job.title, address=job.address, revision=estimate.revision,
                     on=asked.on, rows=rows, places=places, leaves=tuple(
                         each for who, each in open_leaves(work) if who == job.id))


# -- kept ------------------------------------------------------------------------------------------


def keep_sheet(work: Connection, sheet: Sheet, at: datetime) -> tuple[Issued, bool]:
    """Keep a sheet as the job's next, unless it is the newest already; the caller commits.

    Returns:
        its name and digest, and whether it is new.
    """
    text = sheet.model_dump_json()
    digest = hashlib.sha256(text.encode()).hexdigest()
    s = STOCK_SHEET.c
    newest = work.execute(
        select(s.id, s.number, s.digest).where(s.job_id == sheet.job, s.kind == sheet.kind)
        .order_by(s.number.desc()).limit(1)).first()
    if newest is not None and newest.digest == digest and not _is_read(work, newest.id):
        return Issued(f"{sheet.job}/{newest.number}", digest), False
    number = 1 + (work.scalar(
        select(func.max(s.number)).where(s.job_id == sheet.job)) or 0)
    work.execute(insert(STOCK_SHEET).values(
        job_id=sheet.job, number=number, revision=sheet.revision, kind=sheet.kind,
        sheet_json=text, digest=digest, issued_at=at.astimezone(UTC).replace(microsecond=0)))
    return Issued(f"{sheet.job}/{number}", digest), True


def _is_read(work: Connection, sheet_id: int) -> bool:
    r = STOCK_SHEET_READ.c
    return work.scalar(select(r.sheet_id).where(r.sheet_id == sheet_id)) is not None


def _workbook(work: Connection, sheet: Sheet, issued: Issued) -> bytes:
    if isinstance(sheet, BackSheet):
        return sheet_workbook(sheet, issued, back_pages(sheet, issued))
    estimate = kept_estimate(work, sheet.job, sheet.revision)
    return sheet_workbook(
        sheet, issued, pick_pages(sheet, issued, cautions_for(estimate, "site")))
