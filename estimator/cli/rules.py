"""`estimator rules`: check and list the assembly rules."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from estimator.cli.common import DAY, database_option, echo_json, json_option, tell_problems

rules_option = click.option(
    "--rules", "folders", multiple=True, type=click.Path(exists=True, path_type=Path),
    help="A folder of rule files (or one file) that overrides the standard rules by id.",
)
on_option = click.option(
    "--on", type=DAY, metavar="DATE",
    help="Day of the practice values and the catalogue; today if not given.",
)


@click.group()
def rules() -> None:
    """Check and list the assembly rules.

    \b
    Example:
      estimator rules check --rules our-rules
    """


@rules.command()
@rules_option
@on_option
@database_option
@json_option
@tell_problems
def check(
    folders: tuple[Path, ...], on: datetime | None, database: str | None, as_json: bool
) -> None:
    """Compile every formula; check names, types, roles and norms; tell every mistake.

    \b
    Example:
      estimator rules check
    """
    from catalogue.problems import ProblemsFound

    found = _checked(folders, on, database)
    if found.problems:
        raise ProblemsFound(found.problems)
    if as_json:
        echo_json(json.dumps({"counts": found.counts, "unasked": found.unasked}))
        return
    click.echo("Rules are sound: " + ", ".join(f"{n} {what}" for what, n in found.counts.items()))
    if found.unasked:
        click.echo("Roles of the catalogue that no rule asks for:")
        for family, role in found.unasked:
            click.echo(f"  {family}: {role}")


@rules.command(name="list")
@rules_option
@on_option
@json_option
@tell_problems
def list_(folders: tuple[Path, ...], on: datetime | None, as_json: bool) -> None:
    """List every rule with its part of the job, its condition and its reason.

    \b
    Example:
      estimator rules list
    """
    from tabulate import tabulate

    from catalogue.problems import ProblemsFound

    found = _checked(folders, on, None, catalogue=False)
    if found.book is None:
        raise ProblemsFound(found.problems)
    rows = [_row(rule) for rule in found.book.rules]
    if as_json:
        echo_json(json.dumps(rows))
        return
    click.echo(tabulate(rows, headers="keys", maxcolwidths=[None, 10, 10, 44, 44]))


def _checked(
    folders: tuple[Path, ...], on: datetime | None, database: str | None, catalogue: bool = True
) -> Any:
    from estimator.workflow.rule_check import check_rule_folders

    day = (on or datetime.now().astimezone()).date()
    return check_rule_folders(folders, day, database, use_catalogue=catalogue)


def _row(rule: Any) -> dict[str, str]:
    when = getattr(rule, "when", None)
    return {
        "rule": rule.id,
        "kind": type(rule).__name__.removesuffix("Rule").lower(),
        "part": rule.part,
        "when": when.text if when is not None else f"{rule.fact} is unknown",
        "because": getattr(rule, "because", "") or getattr(rule, "says", ""),
    }

