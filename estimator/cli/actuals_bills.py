"""`estimator actuals bills | bill | settle`: what suppliers charge."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import click

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
from estimator.cli.numbers import AMOUNT, QUANTITY, minor

KINDS = ("goods", "carriage", "plant", "subcontract", "fees", "other")
SHOWN_AFTER_S = 1.0
_job = click.option("--job", type=TEXT, default="", metavar="JOB",
                    help="Job of lines that name none.")
_order = click.option("--order", type=click.IntRange(min=1), metavar="N",
                      help="Our order, of lines that name none.")


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@table_options
@click.option("--kind", type=click.Choice(KINDS), help="Kind of lines that do not say one.")
@_job
@_order
@click.option("--write", is_flag=True, help="Book the bills; else they are only shown.")
@click.option("--skip-refused", is_flag=True,
              help="Book the sound bills though others are refused.")
@click.option("--again", is_flag=True,
              help="Go once more through a file that was read in; what is booked is passed over.")
@database_option
@json_option
@tell_problems
def bills(
    file: Path, columns: tuple[str, ...], decimal: str | None, sheet: str | None,
    dates: str | None, kind: str | None, job: str, order: int | None, write: bool,
    skip_refused: bool, again: bool, database: str | None, as_json: bool,
) -> None:
    """Book the suppliers' invoices and credit notes in FILE.

    Reads .xlsx, .ods and .csv, one row a line: supplier, number, day, net and more; and .xml of a
    UBL 2.1 Invoice or CreditNote. Goods are matched to our orders and what came of them: only the
    difference to what they were taken in at is a cost, of the jobs they were ordered for. What is
    charged and has not come is told and costs nothing yet. Totals must add up to the penny. Nothing
    is booked without --write or your yes.

    \b
    Example:
      estimator actuals bills november.xlsx
      estimator actuals bills invoice.xml --order 12 --write
      estimator actuals bills scaffold.xml --kind subcontract --job D-101 --write
    """
    from estimator.actuals.bill_rows import Usual
    from estimator.cli import actuals_bills_text as text
    from estimator.workflow.bills import BillsWanted, import_bills

    wanted = BillsWanted(file, day_of(None), layout_of(columns, decimal, sheet, dates),
                         Usual(kind or "", job, order), write, skip_refused, again)
    with progress("Bills", SHOWN_AFTER_S) as tell:
        done = import_bills(database, wanted, tell)
    echo_either(text.bills_data(done), text.bills_text(done), as_json)
    may = done.bills and not write and not as_json and (skip_refused or not done.refused)
    if may and agreed():
        done = import_bills(database, replace(wanted, write=True))
        click.echo("Booked." if done.written else "Changed meanwhile; nothing was booked.")
    if done.refused and not done.written:
        sys.exit(WRONG_INPUT)


@click.command()
@click.argument("supplier", type=TEXT)
@click.argument("number", type=TEXT)
@click.argument("net", type=AMOUNT)
@click.option("--kind", type=click.Choice(KINDS), required=True, help="What it is for.")
@click.option("--tax", type=AMOUNT, default=Decimal(0), metavar="AMOUNT", help="Tax beside it.")
@click.option("--credit", is_flag=True, help="It is a credit note.")
@_job
@_order
@click.option("--line", "order_line", type=click.IntRange(min=1), metavar="N",
              help="Line of the order.")
@click.option("--quantity", type=QUANTITY, default=Decimal(0), metavar="N",
              help="Units that are charged.")
@click.option("--item", type=TEXT, default="", metavar="CODE", help="Our code of the item.")
@click.option("--head", type=TEXT, default="", metavar="HEAD",
              help="Cost head, such as scaffold.")
@click.option("--for", "name", type=TEXT, default="", metavar="TEXT", help="Words on the bill.")
@click.option("--on", type=DAY, metavar="DATE", help="Day of the bill; today if not given.")
@click.option("--due", type=DAY, metavar="DATE", help="Day on which it is due.")
@database_option
@json_option
@tell_problems
def bill(
    supplier: str, number: str, net: Decimal, kind: str, tax: Decimal, credit: bool, job: str,
    order: int | None, order_line: int | None, quantity: Decimal, item: str, head: str, name: str,
    on: datetime | None, due: datetime | None, database: str | None, as_json: bool,
) -> None:
    """Book the bill NUMBER of SUPPLIER over NET, of one line, by hand.

    The supplier need not be in the catalogue.

    \b
    Example:
      estimator actuals bill "Sample Scaffolders" S-77 640 --kind subcontract --head scaffold
        --job D-101 --tax 128 --on 2026-11-05 --due 2026-12-05
    """
    from estimator.actuals.bills import BillLine
    from estimator.cli import actuals_bills_text as text
    from estimator.workflow.bills_by_hand import book_by_hand

    line = BillLine(0, kind, name, quantity, minor(net), job, order, order_line, item, "",
                    head.casefold())
    done = book_by_hand(database, (supplier, number), line, minor(tax), credit,
                        (day_of(on), due.date() if due else None), day_of(None))
    echo_either(text.bills_data(done), text.bills_text(done), as_json)


@click.command()
@click.option("--write", is_flag=True, help="Book it; else it is only shown.")
@database_option
@json_option
@tell_problems
def settle(write: bool, database: str | None, as_json: bool) -> None:
    """Book what bills differ by whose goods came, or were written down, after them.

    \b
    Example:
      estimator actuals settle --write
    """
    from estimator.cli import actuals_bills_text as text
    from estimator.workflow.bills_settle import settle_bills

    found = settle_bills(database, write=write)
    echo_either(text.settled_data(found, write), text.settled_text(found, write), as_json)
