"""`estimator prices`: suppliers' price lists, their prices, and what those do to quotes."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import click

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
from estimator.cli.prices_drift import drift

SHOWN_AFTER_S = 1.0
_FILE = click.Path(path_type=Path)
_supplier = click.option(
    "--supplier", type=TEXT, required=True, metavar="S", help="Whose prices they are.")


@click.group()
def prices() -> None:
    """Take over suppliers' price lists; compare prices, follow and end them, see what they do.

    \b
    Example:
      estimator prices compare "Counter North"
    """


prices.add_command(drift)


@prices.command(name="import")
@click.argument("file", type=_FILE)
@_supplier
@click.option("--from", "from_date", type=DAY, metavar="DATE",
              help="First day of the prices; else what the list says, else today.")
@click.option("--columns", multiple=True, type=TEXT, metavar="MAP.toml|KEY=HEADER",
              help="Column map: one file, or pairs; else the kept one, else a guess to look at.")
@click.option("--decimal", type=click.Choice([".", ","]), help="Decimal mark of the list.")
@click.option("--currency", type=TEXT, metavar="GBP", help="Currency of the list.")
@click.option("--sheet", type=TEXT, metavar="NAME", help="Sheet of the workbook.")
@click.option("--new-supplier", type=click.IntRange(0, 730), metavar="DAYS",
              help="Add the supplier, who usually delivers in so many days.")
@click.option("--write", is_flag=True, help="Write the changes; else they are only shown.")
@click.option("--again", is_flag=True, help="Read a file once more that was read in already.")
@click.option("--expire-missing", is_flag=True,
              help="End the prices that the list no longer holds.")
@click.option("--unknown", type=_FILE, metavar="OUT.csv",
              help="Write the part numbers whose item is not known, for `prices link`.")
@click.option("--refused", type=_FILE, metavar="OUT.csv",
              help="Write every refused row with cell and reason.")
@click.option("--replace", is_flag=True, help="Replace the files of these names that are there.")
@database_option
@json_option
@tell_problems
def import_(
    file: Path, supplier: str, from_date: datetime | None, columns: tuple[str, ...],
    decimal: str | None, currency: str | None, sheet: str | None, new_supplier: int | None,
    write: bool, again: bool, expire_missing: bool, unknown: Path | None, refused: Path | None,
    replace: bool, database: str | None, as_json: bool,
) -> None:
    """Compare the price list FILE with the prices that hold; write what differs.

    Reads .xlsx, .ods, .csv and catalogue messages in .xml. First it shows how the columns are
    read, what is new, changed, unchanged, refused or of an unknown item, and the largest changes of
    price. Nothing is written without --write or your yes; then all sound rows are, and the column
    map is kept for the supplier. A guessed map is taken over by --write too: look at it first.

    \b
    Example:
      estimator prices import list.xlsx --supplier "Counter North"
      estimator prices import list.xlsx --supplier "Counter North" --from 2026-12-01 --write
      estimator prices import list.csv --supplier "Roof Merchant" --columns code="Part no"
        --columns price=Net --columns price_per=pack --unknown unknown.csv
    """
    from estimator.workflow.firm import here
    from estimator.workflow.price_columns import Layout
    from estimator.workflow.prices import Out, Wanted, import_prices

    layout = Layout(columns, decimal or "", currency or "", sheet or "")
    wanted = Wanted(file, supplier, day_of(None), from_date and from_date.date(), layout,
                    new_supplier, write, again, expire_missing, Out(unknown, refused, replace))
    with progress("Price list", SHOWN_AFTER_S) as tell:
        done = import_prices(here(database), wanted, tell)
    _tell_import(done, as_json)
    if done.changes_anything and not write and not as_json and agreed():
        done = import_prices(here(database), wanted.to_be_written())
        click.echo("Written." if done.written else "Changed meanwhile; nothing was written.")
    if done.refused_rows and done.changes is not None and not done.written:
        sys.exit(WRONG_INPUT)


def _tell_import(done: Any, as_json: bool) -> None:
    from estimator.cli import prices_text as text

    echo_either(text.import_data(done), text.import_text(done), as_json)
    if not as_json and done.changes is not None:
        click.echo("Written." if done.written else "Nothing is written yet.")


@prices.command()
@click.argument("file", type=_FILE)
@_supplier
@database_option
@json_option
@tell_problems
def link(file: Path, supplier: str, database: str | None, as_json: bool) -> None:
    """Link part numbers of a supplier to items, as FILE says.

    FILE is what `prices import --unknown` wrote, with the column `item` filled in; a row that is
    left blank waits. All links are written, or none. Then import the list, if need be with --again.

    \b
    Example:
      estimator prices link unknown.csv --supplier "Counter North"
    """
    from dataclasses import asdict

    from estimator.cli import prices_text as text
    from estimator.workflow.firm import here
    from estimator.workflow.price_links import link_items

    linked = link_items(here(database), file, supplier)
    echo_either(asdict(linked), text.linked_text(linked), as_json)


@prices.command()
@click.argument("item", type=TEXT)
@click.option("--on", type=DAY, metavar="DATE", help="Day of the states; today if not given.")
@database_option
@json_option
@tell_problems
def history(item: str, on: datetime | None, database: str | None, as_json: bool) -> None:
    """Show every offer that was ever entered for ITEM, with its list, its end and the change.

    \b
    Example:
      estimator prices history 03040-TE
    """
    from estimator.cli import prices_text as text
    from estimator.workflow import price_history
    from estimator.workflow.firm import here

    shown = price_history.history(here(database), item, day_of(on))
    echo_either(text.history_data(shown), text.history_text(shown), as_json)


@prices.command()
@click.argument("names", nargs=-1, required=True, type=TEXT, metavar="SUPPLIER|ITEM...")
@click.option("--on", type=DAY, metavar="DATE", help="Day of the prices; today if not given.")
@click.option("--to", type=DAY, metavar="DATE", help="Another day to compare with.")
@database_option
@json_option
@tell_problems
def compare(names: tuple[str, ...], on: datetime | None, to: datetime | None,
            database: str | None, as_json: bool) -> None:
    """Show the prices of all suppliers side by side, the cheapest unit first.

    Of single items, or of all items that a supplier offers; with --to also day against day.

    \b
    Example:
      estimator prices compare 03040-TE
      estimator prices compare "Counter North" --on 2026-11-01 --to 2026-12-01
    """
    from estimator.cli import prices_text as text
    from estimator.workflow.firm import here
    from estimator.workflow.price_history import compare_prices

    day, other = day_of(on), None if to is None else to.date()
    lines = compare_prices(here(database), names, day, other)
    echo_either(text.compared_data(lines), text.compared_text(lines, day, other), as_json)


@prices.command()
@_supplier
@click.option("--item", "items", multiple=True, type=TEXT, metavar="CODE",
              help="Only this item; may be given several times.")
@click.option("--from", "from_date", type=DAY, required=True, metavar="DATE",
              help="First day on which the prices no longer hold.")
@click.option("--reason", type=TEXT, required=True, metavar="TEXT", help="Why; kept with them.")
@click.option("--write", is_flag=True, help="Write it; else it is only shown.")
@database_option
@json_option
@tell_problems
def expire(supplier: str, items: tuple[str, ...], from_date: datetime, reason: str, write: bool,
           database: str | None, as_json: bool) -> None:
    """End a supplier's prices, of some items or of all, the day before DATE.

    Nothing is written without --write or your yes. What held until now can still be seen and priced
    with.

    \b
    Example:
      estimator prices expire --supplier "Counter North" --item 03040-TE --from 2026-12-01
        --reason "no longer made" --write
    """
    from estimator.cli import prices_text as text
    from estimator.workflow.firm import here
    from estimator.workflow.price_ends import expire_prices

    how = (here(database), supplier, from_date.date(), reason, items)
    done = expire_prices(*how, write=write)
    echo_either(text.ended_data(done), text.ended_text(done), as_json)
    if as_json:
        return
    if done.endings and not write and agreed():
        done = expire_prices(*how, write=True)
    click.echo("Written." if done.written else "Nothing is written yet.")


@prices.command()
@click.option("--supplier", type=TEXT, metavar="S", help="Only the lists of this supplier.")
@database_option
@json_option
@tell_problems
def lists(supplier: str | None, database: str | None, as_json: bool) -> None:
    """List the price lists that were read in, newest first.

    \b
    Example:
      estimator prices lists --supplier "Counter North"
    """
    from estimator.cli import prices_text as text
    from estimator.workflow.firm import here
    from estimator.workflow.price_history import lists_read

    found = lists_read(here(database), supplier)
    echo_either(text.lists_data(found), text.lists_text(found), as_json)
