"""`estimator actuals`: hours, bills and payments of jobs, and what they come to."""

from __future__ import annotations

import sys
from dataclasses import asdict, replace
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import click

from estimator.cli.actuals_bills import bill, bills, settle
from estimator.cli.actuals_options import layout_of, table_options
from estimator.cli.common import (
    DAY,
    TEXT,
    WRONG_INPUT,
    agreed,
    database_option,
    day_of,
    echo_either,
    json_option,
    progress,
    tell_problems,
)
from estimator.cli.numbers import AMOUNT

_FILE = click.Path(path_type=Path, dir_okay=False)
SHOWN_AFTER_S = 1.0


@click.group()
def actuals() -> None:
    """Book what came back from jobs: hours, suppliers' bills, customers' payments.

    \b
    Example:
      estimator actuals hours timesheet.xlsx --write
    """


for of_suppliers in (bills, bill, settle):
    actuals.add_command(of_suppliers)


@actuals.command()
@click.argument("file", type=_FILE)
@table_options
@click.option("--decimal-hours", is_flag=True,
              help="7.30 in this file is 7.3 hours for certain, not half past seven.")
@click.option("--write", is_flag=True, help="Book the hours; else they are only shown.")
@click.option("--skip-refused", is_flag=True, help="Book the sound rows though others are refused.")
@click.option("--again", is_flag=True,
              help="Go once more through a file that was read in; what is booked is passed over.")
@database_option
@json_option
@tell_problems
def hours(
    file: Path, columns: tuple[str, ...], decimal: str | None, sheet: str | None,
    dates: str | None, decimal_hours: bool, write: bool, skip_refused: bool, again: bool,
    database: str | None, as_json: bool,
) -> None:
    """Book the hours of the timesheet FILE on their jobs, at the firm's cost of an hour.

    Reads .xlsx, .ods and .csv: person, day, job, task group or task, and hours (7:30, 7h30, 7.5),
    minutes, or begun and ended; waiting and rework need a cause. First it shows how the columns are
    read, what would be booked and every refused row with its cell. Nothing is booked without
    --write or your yes.

    \b
    Example:
      estimator actuals hours timesheet.xlsx
      estimator actuals hours week-45.csv --dates "day month year" --write
      estimator actuals hours week-45.csv --columns person=Name --columns day=Date
        --columns job="Job no" --columns group=Work --columns hours=Hrs
    """
    from estimator.cli import actuals_text as text
    from estimator.workflow.hours import HoursWanted, import_hours

    wanted = HoursWanted(file, day_of(None), layout_of(columns, decimal, sheet, dates),
                         decimal_hours, write, skip_refused, again)
    with progress("Timesheet", SHOWN_AFTER_S) as tell:
        done = import_hours(database, wanted, tell)
    echo_either(text.hours_data(done), text.hours_text(done), as_json)
    may = done.rows and not write and not as_json and (skip_refused or not done.refused)
    if may and agreed():
        done = import_hours(database, replace(wanted, write=True))
        click.echo("Booked." if done.written else "Changed meanwhile; nothing was booked.")
    if done.refused and not done.written:
        sys.exit(WRONG_INPUT)


@actuals.command(name="hours-sheet")
@click.option("--out", type=_FILE, default=Path("timesheet.xlsx"), show_default=True,
              metavar="FILE.xlsx", help="The workbook.")
@click.option("--replace", "replaces", is_flag=True, help="Replace a file of this name.")
@database_option
@json_option
@tell_problems
def hours_sheet(out: Path, replaces: bool, database: str | None, as_json: bool) -> None:
    """Write a blank timesheet with the jobs in hand, task groups and tasks to choose from.

    It is printed on A4 or filled in on a screen, and read by `actuals hours`.

    \b
    Example:
      estimator actuals hours-sheet --out timesheet.xlsx
    """
    from estimator.workflow.hours_sheet import write_hours_sheet

    jobs = write_hours_sheet(database, out, replace=replaces)
    echo_either({"written": out.as_posix(), "jobs": jobs},
                f"written: {out} (jobs in hand: {jobs})", as_json)


@actuals.command(name="take-back")
@click.argument("line", type=click.IntRange(min=1))
@click.option("--because", type=TEXT, required=True, metavar="TEXT", help="Why; kept with it.")
@database_option
@json_option
@tell_problems
def take_back(line: int, because: str, database: str | None, as_json: bool) -> None:
    """Take back LINE of the hours by a line of its opposite; nothing is deleted.

    \b
    Example:
      estimator actuals take-back 12 --because "was on another job that day"
    """
    from estimator.cli import actuals_text as text
    from estimator.workflow.firm import here
    from estimator.workflow.hours_back import take_back as taken_back

    done = taken_back(here(database), line, because)
    echo_either(asdict(done), text.taken_back_text(done), as_json)


@actuals.command()
@click.argument("job", type=TEXT)
@click.argument("amount", type=AMOUNT)
@click.option("--what", type=TEXT, required=True, metavar="TEXT",
              help="What it is: deposit, part payment, balance.")
@click.option("--back", is_flag=True, help="It was paid back to the customer.")
@click.option("--on", type=DAY, metavar="DATE", help="Day of the payment; today if not given.")
@database_option
@json_option
@tell_problems
def paid(job: str, amount: Decimal, what: str, back: bool, on: datetime | None,
         database: str | None, as_json: bool) -> None:
    """Book what the customer of JOB paid, or with --back what was paid back.

    \b
    Example:
      estimator actuals paid D-101 2000 --what deposit --on 2026-11-05
      estimator actuals paid D-101 50 --what balance --back
    """
    from estimator.cli import actuals_text as text
    from estimator.workflow.firm import here
    from estimator.workflow.payments import pay

    done = pay(here(database), job, -amount if back else amount, what, day_of(on), day_of(None))
    echo_either(text.paid_data(done), text.paid_text(done), as_json)


@actuals.command(name="list")
@click.option("--job", type=TEXT, metavar="JOB", help="Only this job.")
@click.option("--lines", is_flag=True,
              help="Also every line of hours, with its number, and of bills.")
@database_option
@json_option
@tell_problems
def list_(job: str | None, lines: bool, database: str | None, as_json: bool) -> None:
    """Show what was booked on jobs: sums by head, hours, and what customers paid.

    Goods are what left the stock for the job or was brought to its site, and what the bills charge
    beyond that.

    \b
    Example:
      estimator actuals list --job D-101 --lines
    """
    from estimator.cli import actuals_text as text
    from estimator.workflow.actual_costs import actual_costs
    from estimator.workflow.firm import here

    found = actual_costs(here(database), job)
    echo_either(text.costs_data(found), text.costs_text(found, lines), as_json)


@actuals.command()
@click.argument("job", type=TEXT)
@click.option("--done", multiple=True, type=TEXT, metavar="GROUP=PERCENT",
              help="How much of a task group is done, as you see it; may be repeated.")
@click.option("--planned", type=TEXT, default="", metavar="PERCENT",
              help="How much of the job should be done by now; by its days on site if not given.")
@click.option("--on", type=DAY, metavar="DATE", help="As seen on this day; today if not given.")
@database_option
@json_option
@tell_problems
def show(job: str, done: tuple[str, ...], planned: str, on: datetime | None,
         database: str | None, as_json: bool) -> None:
    """Hold JOB against its standard: what it made, and which cause, head and line it went on.

    The standard is the plan of the quote, flexed by the variations agreed. A difference is parted
    into usage (of hours: efficiency), price (of hours: rate), another item and another supplier;
    the parts add up to the penny. Of a job that is not closed it also says how far it is: earned
    value, and what the whole will cost if it goes on as it went.

    \b
    Example:
      estimator actuals show D-101
      estimator actuals show D-101 --done roof=60 --done electrical=25
    """
    from estimator.papers.review_json import review_json
    from estimator.papers.review_text import review_text
    from estimator.workflow.job_outcome import OutcomeWanted, job_outcome

    found = job_outcome(database, OutcomeWanted(job, day_of(on), done, planned))
    echo_either(review_json(found), review_text(found), as_json)
