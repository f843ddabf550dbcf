"""`estimator catalogue`: find, show, add and exchange the items that can be bought."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from catalogue.problems import printable
from catalogue.toml_source import as_text
from estimator.cli.common import (
    DAY,
    TEXT,
    WRONG_INPUT,
    agreed,
    database_option,
    day_of,
    echo_either,
    echo_json,
    json_option,
    tell_problems,
)

_on = click.option(
    "--on", type=DAY, metavar="DATE",
    help="Day of the prices; today if not given.",
)
_from = click.option(
    "--from", "prices_from", type=DAY, metavar="DATE",
    help="Day from which new prices hold; today if not given.",
)
_family = click.option(
    "--family", type=TEXT, metavar="FAMILY", help="Only this family, such as cable.")
_overwrite = click.option("--overwrite", is_flag=True, help="Replace files that are there.")
_out = click.argument("out", type=click.Path(path_type=Path))


@click.group()
def catalogue() -> None:
    """Find, show, add and exchange items.

    \b
    Example:
      estimator catalogue find isolator outside
    """


@catalogue.command()
@click.argument("words", nargs=-1, type=TEXT)
@_family
@click.option("--role", type=TEXT, metavar="ROLE", help="Only items that serve this role.")
@_on
@database_option
@json_option
@tell_problems
def find(words: tuple[str, ...], family: str | None, role: str | None, on: datetime | None,
         database: str | None, as_json: bool) -> None:
    """List the items whose code, name, role or note holds all WORDS.

    \b
    Example:
      estimator catalogue find 10 mm --family cable
    """
    from estimator.cli import catalogue_text as text
    from estimator.workflow.catalogue import find_items
    from estimator.workflow.firm import here

    found = find_items(here(database), words, day_of(on), family, role)
    echo_either(text.found_data(found), text.found_text(found), as_json)


@catalogue.command()
@click.argument("code", type=TEXT)
@_on
@database_option
@json_option
@tell_problems
def show(code: str, on: datetime | None, database: str | None, as_json: bool) -> None:
    """Show one item: data sheet, box contents, offers in force and before.

    \b
    Example:
      estimator catalogue show 03040-TE
    """
    from estimator.cli import catalogue_text as text
    from estimator.workflow.catalogue import show_item
    from estimator.workflow.firm import here

    shown = show_item(here(database), code, day_of(on))
    echo_either(text.shown_data(shown), text.shown_text(shown), as_json)


@catalogue.command()
@click.argument("item", type=TEXT)
@click.option("--role", type=TEXT, metavar="ROLE", default="",
              help="What it must serve as; every role of the item if not given.")
@_on
@database_option
@json_option
@tell_problems
def substitutes(item: str, role: str, on: datetime | None, database: str | None,
                as_json: bool) -> None:
    """List what may stand in for ITEM, cheapest first, and what may not and why.

    An item may stand in only if every hard field is equal or better; what is not known is not
    better. On a job the rest is worked out too: estimator jobs swap JOB OLD NEW.

    \b
    Example:
      estimator catalogue substitutes 03040-TE --role "circuit cable"
    """
    from estimator.papers import substitutes as text
    from estimator.workflow.firm import here
    from estimator.workflow.substitutes import substitutes_of

    found = substitutes_of(here(database), item, role, day_of(on))
    echo_either(text.substitutes_data(found), text.substitutes_text(found), as_json)


@catalogue.command()
@click.argument("file", type=click.Path(path_type=Path))
@_from
@database_option
@json_option
@tell_problems
def add(file: Path, prices_from: datetime | None, database: str | None, as_json: bool) -> None:
    """Add the item of a TOML file. Its keys are the columns that `form` and `export` have.

    \b
    Example of a file, cable-6.toml:
      family = "cable"
      code = "C-0060"
      name = "Flat twin and earth 6 mm2, drum 50 m"
      roles = ["circuit cable"]
      unit = "m"
      kind = "flat twin and earth"
      size_mm2 = 6
      cores = 2
      supplier = "Counter North"
      pack = 50
      price = 96.00

    \b
    Example:
      estimator catalogue add cable-6.toml --from 2026-12-01
    """
    from estimator.cli import catalogue_text as text
    from estimator.workflow.catalogue import add_item
    from estimator.workflow.firm import here

    added = [add_item(here(database), file, day_of(prices_from))]
    echo_either(text.found_data(added), text.found_text(added), as_json)


@catalogue.command()
@_out
@_family
@_on
@_overwrite
@database_option
@json_option
@tell_problems
def export(out: Path, family: str | None, on: datetime | None, overwrite: bool,
           database: str | None, as_json: bool) -> None:
    """Write the catalogue to OUT: a workbook if it ends in .xlsx, else a folder of CSV files.

    \b
    Example:
      estimator catalogue export items.xlsx --family cable
    """
    from estimator.workflow.catalogue import export_catalogue
    from estimator.workflow.firm import here

    _tell_files(export_catalogue(here(database), out, day_of(on), family, overwrite), as_json)


@catalogue.command()
@click.argument("families", nargs=-1, required=True, type=TEXT, metavar="FAMILY...")
@_out
@_overwrite
@database_option
@json_option
@tell_problems
def form(families: tuple[str, ...], out: Path, overwrite: bool, database: str | None,
         as_json: bool) -> None:
    """Write a workbook to fill in new items, one sheet per FAMILY; `import` reads it.

    \b
    Example:
      estimator catalogue form panel storage new-items.xlsx
    """
    from estimator.workflow.catalogue import write_form
    from estimator.workflow.firm import here

    _tell_files(write_form(here(database), families, out, day_of(None), overwrite), as_json)


@catalogue.command(name="import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--family", type=TEXT, metavar="FAMILY", help="Family of a file not named after it.")
@_from
@click.option("--write", is_flag=True, help="Write the changes; else they are only shown.")
@click.option("--skip-refused", is_flag=True, help="Write the good rows though some are refused.")
@database_option
@json_option
@tell_problems
def import_(file: Path, family: str | None, prices_from: datetime | None, write: bool,
            skip_refused: bool, database: str | None, as_json: bool) -> None:
    """Compare FILE (.xlsx, .csv or a folder of them) with the catalogue; write what differs.

    First it shows what is new, changed, unchanged and refused, with the cell and the reason.
    Nothing is written without --write or your yes, nor while a row is refused.

    \b
    Example:
      estimator catalogue import new-items.xlsx
      estimator catalogue import new-items.xlsx --from 2026-12-01 --write
    """
    from estimator.workflow.catalogue import import_file
    from estimator.workflow.firm import here

    how = (here(database), file, day_of(prices_from), family)
    done = import_file(*how, write=write, skip_refused=skip_refused)
    _tell_import(done, as_json)
    may = done.changes and (skip_refused or not done.problems)
    if may and not write and not as_json and agreed():
        done = import_file(*how, write=True, skip_refused=skip_refused)
        click.echo("Written." if done.written else "Refused meanwhile; nothing was written.")
    if done.problems and not (done.written and skip_refused):
        sys.exit(WRONG_INPUT)


@catalogue.command()
@click.option("--write", is_flag=True, help="Add them; else they are only shown.")
@database_option
@json_option
@tell_problems
def complete(write: bool, database: str | None, as_json: bool) -> None:
    """Add starter items for what the rules ask and no item of this catalogue serves.

    A newer program may ask for kinds of item that an older catalogue lacks. Their data sheets and
    prices are invented: put your own in their place.

    \b
    Example:
      estimator catalogue complete
      estimator catalogue complete --write
    """
    from estimator.workflow.completing import complete as complete_catalogue
    from estimator.workflow.firm import here

    done = complete_catalogue(here(database), write=write)
    _tell_import(done, as_json)
    if done.problems:
        sys.exit(WRONG_INPUT)


def _tell_import(done: Any, as_json: bool) -> None:
    from estimator.cli import catalogue_text as text

    if as_json:
        echo_json(text.as_json(text.import_data(done)))
        return
    click.echo(text.import_text(done))
    if done.written:
        click.echo("Written.")
    elif done.changes:
        click.echo("Nothing is written yet" + (
            "; mend the refused rows or add --skip-refused." if done.problems else "."))


def _tell_files(files: tuple[Path, ...], as_json: bool) -> None:
    names = [as_text(file) for file in files]
    echo_either({"files": names}, "\n".join(f"wrote {printable(name)}" for name in names), as_json)
