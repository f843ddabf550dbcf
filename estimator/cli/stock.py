"""`estimator stock`: what the firm holds, where it lies, for whom it is reserved."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

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
from estimator.cli.numbers import AMOUNT, QUANTITY, minor
from estimator.cli.stock_plan import shelf, short
from estimator.cli.stock_sheets import picked, returned, sheet, used

if TYPE_CHECKING:
    from catalogue.stock.posting import Posted

OWN = ("store", "van", "counter", "quarantine")
_why = click.option("--why", type=TEXT, default="", metavar="TEXT", help="Why; kept with it.")


@click.group()
def stock() -> None:
    """Keep the books of what lies in store, vans and counters; see what is free, short, worth.

    \b
    Example:
      estimator stock show 03040-TE
    """


stock.add_command(short)
stock.add_command(shelf)


def by_now() -> Posted:
    """Return who works here, and the time."""
    from catalogue.entering import user
    from catalogue.stock.posting import Posted

    return Posted(user(), datetime.now(UTC))


@stock.command()
@click.option("--add", type=TEXT, metavar="NAME", help="Add a place.")
@click.option("--kind", type=click.Choice(OWN), help="What the new place is.")
@click.option("--note", type=TEXT, default="", metavar="TEXT", help="A word about it.")
@database_option
@json_option
@tell_problems
def places(add: str | None, kind: str | None, note: str, database: str | None, as_json: bool
           ) -> None:
    """List the places where things lie, or add one: store, van, supplier's counter, quarantine.

    At a counter lies what is paid for and not fetched; in quarantine what nobody may use. A job's
    site is made when goods go there.

    \b
    Example:
      estimator stock places
      estimator stock places --add "van 1" --kind van
    """
    from dataclasses import asdict

    from estimator.papers.stock import places_text
    from estimator.workflow import stock_moves
    from estimator.workflow.firm import here

    if (add is None) != (kind is None):
        raise click.UsageError("a new place has a name and a kind: --add NAME --kind store")
    new = stock_moves.NewPlace(add, kind, note) if add is not None and kind is not None else None
    found = stock_moves.places(here(database), new)
    echo_either([asdict(each) for each in found], places_text(found), as_json)


@stock.command()
@click.argument("item", type=TEXT)
@click.argument("quantity", type=QUANTITY)
@click.option("--into", type=TEXT, required=True, metavar="PLACE", help="Where it is laid.")
@click.option("--cost", type=AMOUNT, required=True, metavar="AMOUNT",
              help="What all of it cost, without tax.")
@click.option("--length", "lengths", type=QUANTITY, multiple=True, metavar="N",
              help="Length of a bar or drum that is told apart, or of an end of a stick. May be "
              "repeated.")
@click.option("--batch", type=TEXT, default="", metavar="NAME", help="Its batch.")
@click.option("--expires", type=DAY, metavar="DATE", help="Last day of the batch.")
@click.option("--serial", "serials", type=TEXT, multiple=True, metavar="NUMBER",
              help="Serial number of a piece. May be repeated.")
@click.option("--document", type=TEXT, default="", metavar="TEXT", help="Order or delivery note.")
@_why
@database_option
@json_option
@tell_problems
def receive(
    item: str, quantity: Decimal, into: str, cost: Decimal, expires: datetime | None,
    database: str | None, as_json: bool, **more: Any,
) -> None:
    """Take QUANTITY of ITEM in, with what was paid for it.

    Of an item that is counted in sticks, such as a rail, --length takes an end in: QUANTITY is how
    many ends. The books count an end as its share of a stick.

    \b
    Example:
      estimator stock receive 02902-MC 200 --into store --cost 116.00
      estimator stock receive 03025-TE 150 --into store --cost 192.00 --length 100 --length 50
      estimator stock receive 02203-RL 2 --into store --cost 12.00 --length 1.35 --length 2.1
      estimator stock receive 05104-WS 6 --into store --cost 51.00 --batch B-77 --expires 2027-05-31
    """
    from estimator.workflow import stock_moves

    wanted = stock_moves.Receiving(
        item, quantity, into, minor(cost), expires_on=expires.date() if expires else None, **more)
    _tell_moves(database, stock_moves.receive, wanted, as_json)


@stock.command()
@click.argument("item", type=TEXT)
@click.argument("quantity", type=QUANTITY)
@click.option("--from", "from_place", type=TEXT, required=True, metavar="PLACE", help="Whence.")
@click.option("--to", "to_place", type=TEXT, required=True, metavar="PLACE", help="Whither.")
@click.option("--lot", "lots", type=TEXT, multiple=True, metavar="NAME",
              help="Which length, batch or serial number. May be repeated for whole lots.")
@_why
@database_option
@json_option
@tell_problems
def move(database: str | None, as_json: bool, **wanted: Any) -> None:
    """Move QUANTITY of ITEM from one of the firm's own places to another.

    \b
    Example:
      estimator stock move 02902-MC 50 --from store --to "van 1"
    """
    from estimator.workflow import stock_moves

    _tell_moves(database, stock_moves.move, stock_moves.Moving(**wanted), as_json)


def _tell_moves(database: str | None, use_case: Any, wanted: Any, as_json: bool) -> None:
    from estimator.papers.stock import moves_data, moves_text
    from estimator.workflow.firm import here
    from estimator.workflow.stock_shown import currency_here

    done = use_case(here(database), wanted, by_now())
    text = "" if as_json else moves_text(done, currency_here(here(database)))
    echo_either(moves_data(done), text, as_json)


@stock.command()
@click.argument("item", type=TEXT, required=False)
@click.argument("quantity", type=QUANTITY, required=False)
@click.option("--place", type=TEXT, metavar="PLACE", help="Where it was counted.")
@click.option("--lot", type=TEXT, default="", metavar="NAME",
              help="Which length, batch or serial number.")
@click.option("--length", type=QUANTITY, metavar="N",
              help="Length in metres of a new end of a stick, which --lot names.")
@click.option("--cost", type=AMOUNT, metavar="AMOUNT",
              help="What was found is worth this; else what the rest is worth.")
@click.option("--file", type=click.Path(path_type=Path), metavar="FILE",
              help="A whole count (.csv, .xlsx) instead: item, place, quantity, lot, kind, "
              "expires_on, cost, length.")
@click.option("--write", is_flag=True, help="Write the differences; else they are only shown.")
@_why
@database_option
@json_option
@tell_problems
def count(
    item: str | None, quantity: Decimal | None, place: str | None, lot: str,
    length: Decimal | None, cost: Decimal | None, file: Path | None, write: bool, why: str,
    database: str | None, as_json: bool,
) -> None:
    """Compare QUANTITY of ITEM, as counted in a place, with the books; write the difference.

    Nothing is written without --write or your yes. A difference is a move of its own: what was
    found comes in, what is missing goes out. With --file a count of everything, such as the
    opening one, is taken over at once, all or none. An end of a stick is counted as 1, or 0.

    \b
    Example:
      estimator stock count 02902-MC 148 --place store --why "counted on Friday" --write
      estimator stock count 02203-RL 1 --place store --lot end-7 --length 1.35
      estimator stock count --file opening.csv
    """
    from estimator.papers.stock import count_data, count_text
    from estimator.workflow import stock_counts
    from estimator.workflow.firm import here

    if file is None and (item is None or quantity is None or place is None):
        raise click.UsageError("say what was counted where: ITEM QUANTITY --place PLACE, or --file")
    if file is not None and (item is not None or place is not None or lot
                             or cost is not None or length is not None):
        raise click.UsageError("--file says it all; leave out ITEM, --place, --lot, --length and "
                               "--cost")
    counted = stock_counts.counted_in(file) if file is not None else [stock_counts.Counting(
        item or "", place or "", quantity or Decimal(0), lot,
        kind="length" if length is not None else None, length_m=length,
        cost_minor=None if cost is None else minor(cost))]
    how = (here(database), counted, by_now())
    done = stock_counts.count(*how, write=write, why=why)
    echo_either(count_data(done), count_text(done), as_json)
    if as_json:
        return
    if done.differs and not write and agreed():
        done = stock_counts.count(*how, write=True, why=why)
    if done.differs:
        click.echo("Written." if done.written else "Nothing is written yet.")


@stock.command()
@click.argument("item", type=TEXT, required=False)
@click.option("--on", type=DAY, metavar="DATE", help="Free for this day; today if not given.")
@click.option("--place", type=TEXT, metavar="PLACE", help="Only what lies there.")
@database_option
@json_option
@tell_problems
def show(item: str | None, on: datetime | None, place: str | None, database: str | None,
         as_json: bool) -> None:
    """Show what is on hand, reserved, on its way and free; of ITEM also where and for whom.

    Free is what may be promised for the day without harm to any accepted job. Jobs accepted first
    are served first; what has expired or lies in quarantine is not free.

    \b
    Example:
      estimator stock show
      estimator stock show 03040-TE --on 2026-12-01
    """
    from estimator.papers.stock import stock_data, stock_text
    from estimator.workflow.firm import here
    from estimator.workflow.stock_shown import stock_shown

    found = stock_shown(here(database), day_of(None), day_of(on), item, place)
    echo_either(stock_data(found), stock_text(found, in_full=item is not None), as_json)


@stock.command()
@database_option
@json_option
@tell_problems
def worth(database: str | None, as_json: bool) -> None:
    """Show what the stock is worth, by moving average and, beside it, first in first out.

    \b
    Example:
      estimator stock worth
    """
    from estimator.papers.stock import worth_data, worth_text
    from estimator.workflow.firm import here
    from estimator.workflow.stock_shown import stock_worth

    found = stock_worth(here(database))
    echo_either(worth_data(found), worth_text(found), as_json)


@stock.command()
@database_option
@json_option
@tell_problems
def check(database: str | None, as_json: bool) -> None:
    """Check that the books are what the moves come to, and that reservations are sound.

    \b
    Example:
      estimator stock check
    """
    from dataclasses import asdict

    from estimator.workflow.firm import here
    from estimator.workflow.stock_shown import check_stock

    sound = check_stock(here(database))
    echo_either(asdict(sound), f"The books are sound: {sound.moves} moves of {sound.items} items, "
                f"{sound.reservations} reservations.", as_json)


@stock.command()
@click.argument("job", type=TEXT)
@click.option("--on", type=DAY, metavar="DATE", help="Day on which the goods are needed; else that "
              "of the work, as the survey says it, else today.")
@database_option
@json_option
@tell_problems
def reserve(job: str, on: datetime | None, database: str | None, as_json: bool) -> None:
    """Reserve the goods of the accepted JOB for another day; its place in the row stays.

    \b
    Example:
      estimator stock reserve D-101 --on 2026-12-01
    """
    from dataclasses import asdict

    from estimator.workflow.firm import here
    from estimator.workflow.reserving import reserve_again

    posted = by_now()
    done = reserve_again(
        here(database), job, on.date() if on else None, posted.by, posted.at)
    echo_either(asdict(done), f"Job {done.job}, revision {done.revision}: {len(done.quantities)} "
                f"items reserved for {done.needed_on}.", as_json)


for _each in (sheet, picked, returned, used):
    stock.add_command(_each)
