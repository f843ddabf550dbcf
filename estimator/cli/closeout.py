"""`estimator closeout`: readings and ticks at the end of a job, and the clocks that run from it."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    agreed,
    database_option,
    day_of,
    echo_either,
    json_option,
    progress,
    tell_problems,
)

_FILE = click.Path(path_type=Path, dir_okay=False)


@click.group()
def closeout() -> None:
    """Test and hand over: the sheet for the site, what was read, what is blank, which days run.

    Limits are check values: a competent, licensed person decides.

    \b
    Example:
      estimator closeout sheet D-101 --out closeout.xlsx
    """


@closeout.command()
@click.argument("job", type=TEXT)
@click.option("--out", type=_FILE, required=True, metavar="FILE.xlsx",
              help="Workbook to write; A4, black and white.")
@click.option("--replace", is_flag=True, help="Replace the file if it is there already.")
@click.option("--on", type=DAY, metavar="DATE",
              help="Day whose limits hold; today if not given.")
@database_option
@json_option
@tell_problems
def sheet(job: str, out: Path, replace: bool, on: datetime | None, database: str | None,
          as_json: bool) -> None:
    """Write the sheet to test accepted JOB by: each reading with what is expected, and its box.

    Cautions come first. The sheet is kept, so that it can be read when it is filled in.

    \b
    Example:
      estimator closeout sheet D-101 --out closeout.xlsx
    """
    from estimator.cli.closeout_text import sheet_data, sheet_text
    from estimator.workflow.closeout_sheet import issue_close_out

    made = issue_close_out(database, job, day_of(on), datetime.now(UTC), out, replace=replace)
    echo_either(sheet_data(made), sheet_text(made), as_json)


@closeout.command()
@click.argument("file", type=_FILE)
@click.option("--name", type=TEXT, default="", metavar="NAME",
              help="Who tested, if the sheet does not say.")
@click.option("--write", is_flag=True, help="Keep the readings; else they are only shown.")
@database_option
@json_option
@tell_problems
def read(file: Path, name: str, write: bool, database: str | None, as_json: bool) -> None:
    """Read a sheet that came back, as .xlsx or .ods, filled in whole or in part.

    A sheet that is stale, foreign or was changed where nothing is to be written is refused; what it
    said already the last time changes nothing.

    \b
    Example:
      estimator closeout read closeout.xlsx --write
    """
    from estimator.cli.closeout_text import read_data, read_text
    from estimator.workflow.closeout_back import read_close_out

    at = datetime.now(UTC)
    found = read_close_out(database, file, at, name, write=write)
    echo_either(read_data(found), read_text(found), as_json)
    if found.new and not write and not as_json and agreed():
        read_close_out(database, file, at, name, write=True)


@closeout.command(name="set")
@click.argument("job", type=TEXT)
@click.argument("code", type=TEXT)
@click.argument("subject", type=TEXT)
@click.argument("value", type=TEXT, required=False, default="")
@click.option("--not-tested", type=TEXT, default="", metavar="REASON", help="Why there is none.")
@click.option("--accept-because", type=TEXT, default="", metavar="REASON",
              help="Why a reading that is not as expected may stand.")
@click.option("--name", "by", type=TEXT, default="", metavar="NAME", help="Who says so.")
@click.option("--instrument", type=TEXT, default="", metavar="TEXT",
              help="Instrument and its serial number.")
@click.option("--calibrated", type=DAY, metavar="DATE", help="When it was calibrated.")
@click.option("--remark", type=TEXT, default="", metavar="TEXT",
              help="Remark, such as the serial number that sits there.")
@click.option("--on", type=DAY, metavar="DATE", help="Day of the test; today if not given.")
@database_option
@json_option
@tell_problems
def set_(calibrated: datetime | None, on: datetime | None, database: str | None, as_json: bool,
         **given: Any) -> None:
    """Say reading CODE of SUBJECT (a string, a circuit, L1, or job) on JOB.

    `estimator closeout show JOB` names codes and subjects.

    \b
    Examples:
      estimator closeout set D-102 string-voc "rear, string 1" 478.2 --name "S. Fitter"
      estimator closeout set D-102 water job --not-tested "dry month, hose next week" --name "S. F."
    """
    from estimator.cli.closeout_text import reading_data, reading_text
    from estimator.workflow.closeout_set import ReadingSaid, set_reading

    said = ReadingSaid(calibrated_on=calibrated.date() if calibrated else None,
                       on=on.date() if on else None, **given)
    found = set_reading(database, said, datetime.now(UTC))
    echo_either(reading_data(found), reading_text(found), as_json)


@closeout.command()
@click.argument("job", type=TEXT)
@click.option("--on", type=DAY, metavar="DATE", help="Day whose limits hold; today if not given.")
@click.option("--all", "whole", is_flag=True, help="Show every reading, not only what is open.")
@database_option
@json_option
@tell_problems
def show(job: str, on: datetime | None, whole: bool, database: str | None, as_json: bool) -> None:
    """Show what of JOB is blank, not as expected, or missing in the handover pack.

    \b
    Example:
      estimator closeout show D-101
    """
    from estimator.cli.closeout_text import show_data, show_text
    from estimator.workflow.closeout_show import shown_close_out

    found = shown_close_out(database, job, day_of(on))
    echo_either(show_data(found), show_text(found, whole=whole), as_json)


@closeout.command(name="clocks")
@click.option("--on", type=DAY, metavar="DATE", help="Day to look from; today if not given.")
@click.option("--past", is_flag=True, help="Only those that are past their day.")
@database_option
@json_option
@tell_problems
def clocks_(on: datetime | None, past: bool, database: str | None, as_json: bool) -> None:
    """List the papers that are due after commissioning, job by job, and which are past their day.

    A clock stops with the day on which its paper went out; a job is left out when all have.
    Exit status 3 if any is past its day.

    \b
    Example:
      estimator closeout clocks --on 2026-12-01
    """
    from estimator.cli.closeout_text import clocks_data, clocks_text
    from estimator.cli.common import STOPPED
    from estimator.workflow.closeout_show import running_clocks

    day = day_of(on)
    with progress("jobs", after_s=1.0) as tell:
        found = running_clocks(database, day, tell)
    echo_either(clocks_data(found, day, past), clocks_text(found, day, past), as_json)
    if any(clock.is_past(day) for job in found for clock in job.clocks):
        sys.exit(STOPPED)
