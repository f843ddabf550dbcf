"""`estimator facts`: the dictionary of facts that formulas may name."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

import click

from estimator.cli.common import TEXT, echo_json, json_option, tell_problems
from estimator.cli.rules import on_option, rules_option


@click.command()
@click.argument("words", nargs=-1, type=TEXT)
@rules_option
@on_option
@json_option
@tell_problems
def facts(
    words: tuple[str, ...], folders: tuple[Any, ...], on: datetime | None, as_json: bool
) -> None:
    """Print every fact: type, unit, meaning, where it comes from, and which rules read it.

    WORDS narrow the list to facts whose name or meaning holds all of them.

    \b
    Example:
      estimator facts storage wall
    """
    from catalogue.problems import ProblemsFound
    from estimator.rules.check import readers
    from estimator.workflow.rule_check import check_rule_folders

    day = (on or datetime.now().astimezone()).date()
    found = check_rule_folders(folders, day, use_catalogue=False)
    if found.book is None:
        raise ProblemsFound(found.problems)
    read_by = readers(found.book)
    rows = [
        _row(fact, read_by[fact.path]) for fact in found.book.facts.values()
        if all(word.lower() in f"{fact.path} {fact.meaning}".lower() for word in words)
    ]
    if as_json:
        echo_json(json.dumps(rows))
    else:
        _print(rows)


def _row(fact: Any, read_by: tuple[str, ...]) -> dict[str, Any]:
    return {
        "fact": fact.path, "type": fact.type, "unit": fact.unit, "meaning": fact.meaning,
        "values": list(fact.values), "each": fact.scope, "from": fact.origin,
        "read by": list(read_by),
    }


def _print(rows: list[dict[str, Any]]) -> None:
    for row in rows:
        unit = f" [{row['unit']}]" if row["unit"] else ""
        click.echo(f"{row['fact']}  ({row['type']}{unit}, {row['from']})")
        click.echo(f"    {row['meaning']}")
        if row["values"]:
            click.echo(f"    one of: {', '.join(row['values'])}")
        if row["read by"]:
            click.echo(f"    read by: {', '.join(row['read by'])}")
    if not rows:
        click.echo("No fact has these words; `estimator facts` alone lists all of them.")
