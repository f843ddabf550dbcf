"""The manager's review: what the firm's jobs say together in a period. Nothing is written but the
files that are asked for, and beside a quote what it is about, where nothing was said of it yet.

Codes of the problems: Z401 an unknown report, Z402 a period that ends before it begins, Z403 a
filter by what no job has, Z404 a period that cannot be read, Z405 a change without a period to
compare with.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from difflib import get_close_matches
from functools import partial
from pathlib import Path

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import JOB_DAY, QUOTED
from estimator.review.cells import JobsAlike
from estimator.review.mix import mix
from estimator.review.report import Report, Review
from estimator.settings import Settings
from estimator.workflow.files import refuse_if_taken, write_all
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.recording import fill_missing
from estimator.workflow.review_asked import Asked
from estimator.workflow.review_jobs import FILTERS, Wanted
from estimator.workflow.review_reports import (
    AS_OF_THE_DAY,
    MIX,
    NOT_NARROWED,
    OF_FINISHED_JOBS,
    REPORTS,
    usual_reports,
)

Tell = Callable[[int, int], None]
Period = tuple[date, date]
_MONTHS = {"": (1, 12), **{f"-Q{at}": (3 * at - 2, 3 * at) for at in range(1, 5)},
           **{f"-{at:02d}": (at, at) for at in range(1, 13)}}
# What a filter is on, as the database has it.
_ASKED_OF = {
    "kind": QUOTED.c.kind_of_job, "covering": QUOTED.c.covering, "wall": QUOTED.c.wall,
    "crew": JOB_DAY.c.crew, "estimator": QUOTED.c.estimator, "area": QUOTED.c.area,
    "source": QUOTED.c.lead_source}


@dataclass(frozen=True)
class ReviewRequest:
    """What is asked.

    Attributes:
        period: first and last day, both included.
        on: the day from which it is looked at: what is open, due or late is so on this day.
        reports: names; () = all that do not take long.
        filters: name of `FILTERS` -> the values of which a job has one.
        compare: another period, or None.
        out: files to write, .xlsx or .html.
    """

    period: Period
    on: date
    database: str | None = None
    reports: tuple[str, ...] = ()
    filters: Mapping[str, Sequence[str]] = field(default_factory=dict)
    compare: Period | None = None
    out: tuple[Path, ...] = ()
    replace_out: bool = False


def review(request: ReviewRequest, tell: Tell) -> Review:
    """Return the reports that are asked for.

    Raises:
        ProblemsFound: Z401 to Z403 and Z405, all at once; mistakes in the settings.
    """
    problems = [*_unknown(request), *_reversed("--from", request.period),
                *_reversed("--compare", request.compare)]
    for out in request.out:
        refuse_if_taken(out, out.suffix.lower(), replace=request.replace_out)
    files = firm_files()
    settings = firm_settings(files)
    engine = db.open_database(database_of(request.database, files))
    try:
        fill_missing(engine)
        with db.session(engine, write=False) as work:
            problems += _nobody_has(work, request.filters)
            if problems:
                raise ProblemsFound(problems)
            found = _told(work, request, settings, tell)
    finally:
        engine.dispose()
    write_all({out: _paper(found, out) for out in request.out})
    return found


def _paper(found: Review, out: Path) -> bytes:
    if out.suffix.lower() == ".html":
        from estimator.papers.review_page import review_page

        return review_page(found).encode("utf-8")
    from estimator.papers.workbook.review_book import review_workbook

    return review_workbook(found)


def _told(work: Connection, request: ReviewRequest, settings: Settings, tell: Tell) -> Review:
    wanted = [name for name in dict.fromkeys(request.reports) if name != MIX]
    names = wanted if request.reports else usual_reports()
    todo = [(request.period, names)]
    if request.compare is not None:
        todo.append((request.compare, [each for each in names if each not in AS_OF_THE_DAY]))
    parts_change = request.compare is not None and (MIX in request.reports or not request.reports)
    made: list[tuple[Review, list[JobsAlike]]] = []
    before, whole = 0, sum(len(each) for _, each in todo)
    for period, each in todo:
        asked = Asked(work, Wanted(*period, settings.firm.currency, request.filters), request.on,
                      settings, database_of(request.database, firm_files()))
        told = _reviewed(asked, period, each, partial(_further, tell, before, whole))
        made.append((told, asked.alike if parts_change else []))
        before += len(each)
    if len(made) == 1:
        return made[0][0]
    (first, now), (other, then) = made
    reports = first.reports
    if parts_change:
        reports = (*reports, mix(then, now, settings.firm.currency))
    return Review(first.title, first.period, first.filters, reports, other)


def _further(tell: Tell, before: int, whole: int, done: int) -> None:
    tell(before + done, whole)


def _reviewed(asked: Asked, period: Period, names: Sequence[str], tell: Callable[[int], None]
              ) -> Review:
    reports: list[Report] = []
    for done, name in enumerate(names, start=1):
        report = REPORTS[name](asked)
        if name in OF_FINISHED_JOBS and asked.left_out:
            report = replace(report, cautions=(*report.cautions, asked.left_out))
        if whole := _whole(name, asked.wanted.filters):
            report = replace(report, cautions=(*report.cautions, whole))
        reports.append(report)
        tell(done)
    shown = {name: ", ".join(values) for name, values in sorted(asked.wanted.filters.items())}
    return Review(f"Review of {in_words(period)}", period, shown, tuple(reports))


def _whole(name: str, filters: Mapping[str, Sequence[str]]) -> str:
    """Return what a report is not narrowed by, in words; "" if it follows all filters given."""
    passed = [each for each in filters if each in NOT_NARROWED.get(name, ())]
    bills = name == "cash" and any(each != "crew" for each in filters)
    said = [f"It is not narrowed by {', '.join(sorted(passed))}." if passed else "",
            "Bills due are those of the whole firm." if bills else ""]
    return " ".join(each for each in said if each)


def in_words(period: Period) -> str:
    """Return a period in words: a whole year is its number."""
    first, last = period
    if (first.month, first.day, last.month, last.day) == (1, 1, 12, 31) and (
            first.year == last.year):
        return str(first.year)
    return f"{first} to {last}"


def period_of(text: str) -> Period:
    """Return the period of 2026, 2026-Q2, 2026-06 or 2026-04-01..2026-09-30.

    Raises:
        ProblemsFound: Z404 if it is none of these.
    """
    year, end = re.match(r"(\d{4})?(.*)", text.strip(), re.DOTALL).groups("")  # type: ignore[union-attr]
    try:
        if year and end in _MONTHS:
            first, last = _MONTHS[end]
            return (date(int(year), first, 1),
                    date(int(year), last, monthrange(int(year), last)[1]))
        begins, _, ends = text.partition("..")
        return date.fromisoformat(begins.strip()), date.fromisoformat(ends.strip())
    except ValueError:
        raise ProblemsFound([Problem(
            "Z404", Place("--compare"), f"'{text}' is no period",
            "write 2026, 2026-Q2, 2026-06 or 2026-04-01..2026-09-30")]) from None


def _unknown(request: ReviewRequest) -> Iterator[Problem]:
    for name in dict.fromkeys(request.reports):
        if name == MIX and request.compare is None:
            yield Problem("Z405", Place("REPORT"), "'mix' parts the change between two periods, "
                          "and there is only one", "name the other: --compare 2025")
        elif name != MIX and name not in REPORTS:
            close = get_close_matches(name, [*REPORTS, MIX], n=1)
            yield Problem(
                "Z401", Place("REPORT"), f"there is no report '{name}'",
                f"did you mean '{close[0]}'?" if close
                else "`estimator review --help` has the names of all")


def _reversed(option: str, period: Period | None) -> Iterator[Problem]:
    if period is not None and period[1] < period[0]:
        days = (period[0] - period[1]).days
        yield Problem(
            "Z402", Place(option), f"the period ends on {period[1]}, {days} "
            f"{'day' if days == 1 else 'days'} before it begins on {period[0]}",
            "give the earlier day first")


def _nobody_has(work: Connection, filters: Mapping[str, Sequence[str]]) -> Iterator[Problem]:
    for name in FILTERS:
        if not filters.get(name):
            continue
        there = set(work.scalars(select(_ASKED_OF[name]).distinct()))
        for value in dict.fromkeys(filters[name]):
            if value not in there:
                yield Problem(
                    "Z403", Place(f"--{name}"), f"no job has the {name} '{value}'",
                    suggestion(value, there - {""}) or "leave the filter out")
