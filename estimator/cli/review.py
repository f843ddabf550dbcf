"""`estimator review`: what the firm's jobs say together."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    Command,
    database_option,
    day_of,
    echo_json,
    json_option,
    progress,
    tell_problems,
)


def _filter(name: str, says: str) -> Callable[[Command], Command]:
    return click.option(f"--{name}", f"only_{name}", multiple=True, type=TEXT, metavar="NAME",
                        help=f"Only jobs of this {says}; may be repeated.")


@click.command()
@click.argument("reports", nargs=-1, type=TEXT, metavar="[REPORT ...]")
@click.option("--from", "first", type=DAY, metavar="DATE", help="First day of the period.")
@click.option("--to", "last", type=DAY, metavar="DATE", help="Last day of the period.")
@click.option("--year", type=click.IntRange(1900, 2999), help="A whole year instead.")
@click.option("--compare", type=TEXT, metavar="PERIOD",
              help="Hold it beside another period: 2025, 2025-Q2, 2025-06 or "
                   "2025-04-01..2025-09-30.")
@click.option("--on", type=DAY, metavar="DATE",
              help="The day it is looked at from: what is open, due or late; today if not given.")
@click.option("--workbook", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE",
              help="Also write a workbook with charts, .xlsx.")
@click.option("--page", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE",
              help="Also write one page with pictures that needs nothing else, .html.")
@click.option("--replace", is_flag=True, help="Replace these files if they are there already.")
@_filter("kind", "kind")
@_filter("covering", "covering")
@_filter("wall", "wall")
@_filter("crew", "crew")
@_filter("estimator", "estimator")
@_filter("area", "area, the first part of a postcode")
@_filter("source", "source of leads")
@database_option
@json_option
@tell_problems
def review(reports: tuple[str, ...], as_json: bool, **chosen: Any) -> None:
    """Say where the margin of finished jobs went, by which cause, and how sure that is.

    Without a REPORT all are told that do not take long. A job counts in the period in which it was
    commissioned, once it is closed; a quote in that in which it was sent. The period is the year of
    the day it is looked at from, unless another is given.

    Under eight jobs nothing is ranked, means are pulled towards that of all, and each job is held
    against its own standard first. No job, price or stock is changed.

    `close-out` and `drift` take long and are told when they are named. Beside another period the
    report `mix` says whether the margin changed because the jobs did.

    \b
    Reports:
      margin-by-kind margin-by-covering margin-by-wall margin-by-crew
      margin-by-estimator waterfall causes norms single-jobs
      win-rate aged-quotes call-list omissions suppliers supplier-truth
      backlog cash concentration close-out drift

    \b
    Example:
      estimator review --year 2026
      estimator review margin-by-crew margin-by-covering --from 2026-04-01 --to 2026-09-30
      estimator review margin-by-wall --year 2026 --compare 2025 --crew A
      estimator review --year 2026 --workbook review.xlsx --page review.html
    """
    from estimator.workflow.review import ReviewRequest, period_of
    from estimator.workflow.review import review as reviewed

    on = day_of(chosen["on"])
    request = ReviewRequest(
        period=_period(chosen["first"], chosen["last"], chosen["year"], on), on=on,
        database=chosen["database"], reports=reports,
        filters={name.removeprefix("only_"): values for name, values in chosen.items()
                 if name.startswith("only_") and values},
        compare=period_of(chosen["compare"]) if chosen["compare"] else None,
        out=_files({".xlsx": chosen["workbook"], ".html": chosen["page"]}),
        replace_out=chosen["replace"])
    with progress("reports", after_s=1.0) as tell:
        found = reviewed(request, tell)
    if as_json:
        from estimator.papers.review_json import review_json

        echo_json(json.dumps(review_json(found), ensure_ascii=False, indent=2))
    else:
        from estimator.papers.review_text import review_text

        click.echo(review_text(found), nl=False)


def _files(given: dict[str, Path | None]) -> tuple[Path, ...]:
    for ending, file in given.items():
        if file is not None and file.suffix.lower() != ending:
            raise click.UsageError(f"'{file}' does not end in {ending}.")
    return tuple(file for file in given.values() if file is not None)


def _period(first: datetime | None, last: datetime | None, year: int | None, on: date
            ) -> tuple[date, date]:
    if year is not None:
        if first or last:
            raise click.UsageError("Give either --year or --from and --to.")
        return date(year, 1, 1), date(year, 12, 31)
    if first is None and last is None:
        return date(on.year, 1, 1), date(on.year, 12, 31)
    return (first.date() if first else date(on.year, 1, 1)), (last.date() if last else on)
