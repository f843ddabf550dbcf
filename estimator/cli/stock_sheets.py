"""`estimator stock sheet | picked | returned | used`: sheets that go out and come back."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from estimator.cli.common import (
    DAY,
    TEXT,
    agreed,
    database_option,
    day_of,
    echo_either,
    json_option,
    tell_problems,
)

_FILE = click.Path(path_type=Path, dir_okay=False)
_name = click.option("--name", type=TEXT, default="", metavar="NAME",
                     help="Who did it, if the sheet does not say.")
_write = click.option("--write", is_flag=True, help="Write the moves; else they are only shown.")


@click.command()
@click.argument("job", type=TEXT)
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=Path("out"),
              show_default=True, metavar="DIR", help="Folder for the workbook.")
@click.option("--back", is_flag=True, help="A sheet for what comes back after the job.")
@click.option("--on", type=DAY, metavar="DATE", help="Day of the work; today if not given.")
@click.option("--van", type=TEXT, metavar="PLACE",
              help="Van whose standing stock may be taken; the only one if there is one.")
@click.option("--with", "shares_with", type=TEXT, metavar="JOB",
              help="Another accepted job that is to share the van on the day.")
@click.option("--alone", is_flag=True,
              help="Cut the rails for this job alone; else offcuts are kept for the jobs after it.")
@database_option
@json_option
@tell_problems
def sheet(
    job: str, out: Path, back: bool, on: datetime | None, van: str | None,
    shares_with: str | None, alone: bool, database: str | None, as_json: bool,
) -> None:
    """Write the pick sheet of accepted JOB, or with --back the sheet for what comes back.

    The sheet says where everything lies, what is short, what to cut from which drum, what must lie
    in the boxes, and how the van is loaded. It is kept, so that it can be read when it is filled
    in. Rails are cut together with those of the accepted jobs of the next two weeks where that
    saves sticks: the sheet says which offcut is kept for whom, and the sheet of the later job names
    it.

    \b
    Example:
      estimator stock sheet D-101 --with D-102
    """
    from estimator.cli.stock_sheets_text import sheet_data, sheet_text
    from estimator.workflow.stock_sheet import SheetAsked, issue_sheet

    made = issue_sheet(database, SheetAsked(job, day_of(on), back, van, shares_with, alone),
                       datetime.now(UTC), out)
    echo_either(sheet_data(made), sheet_text(made), as_json)


@click.command()
@click.argument("file", type=_FILE)
@_name
@_write
@database_option
@json_option
@tell_problems
def picked(file: Path, name: str, write: bool, database: str | None, as_json: bool) -> None:
    """Read a filled pick sheet: what was picked, short, swapped, written in.

    The moves are shown first. A sheet that is stale, foreign or was changed where nothing is to be
    written is refused; one that was read already changes nothing.

    \b
    Example:
      estimator stock picked out/D-101-sheet-1.xlsx --write
    """
    from estimator.cli.stock_sheets_text import picked_data, picked_text
    from estimator.workflow.picked import read_picked

    at = datetime.now(UTC)
    read = read_picked(database, file, at, name, write=write)
    echo_either(picked_data(read), picked_text(read), as_json)
    if read.moves and not write and not as_json and agreed():
        read_picked(database, file, at, name, write=True)


@click.command()
@click.argument("file", type=_FILE)
@_name
@_write
@database_option
@json_option
@tell_problems
def returned(file: Path, name: str, write: bool, database: str | None, as_json: bool) -> None:
    """Read a filled sheet of what comes back: good, damaged, offcuts, fitted, bought.

    What is not back is used, and shown with its cost.

    \b
    Example:
      estimator stock returned out/D-101-sheet-2.xlsx --write
    """
    from estimator.cli.stock_sheets_text import returned_data, returned_text
    from estimator.workflow.returned import read_returned

    at = datetime.now(UTC)
    read = read_returned(database, file, at, name, write=write)
    echo_either(returned_data(read), returned_text(read), as_json)
    if read.before is None and not write and not as_json and agreed():
        read_returned(database, file, at, name, write=True)


@click.command()
@click.argument("job", type=TEXT)
@database_option
@json_option
@tell_problems
def used(job: str, database: str | None, as_json: bool) -> None:
    """Show what accepted JOB has used so far: picked + bought - returned, with its cost.

    \b
    Example:
      estimator stock used D-101
    """
    from estimator.cli.stock_sheets_text import used_data, used_text
    from estimator.workflow.used import job_used

    found = job_used(database, job)
    echo_either(used_data(found), used_text(found), as_json)
