"""`estimator practice`: list and check the limits, factors and rates with their sources."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

import click

from estimator.cli.common import TEXT, day_of, echo_json, json_option, tell_problems
from estimator.cli.rules import on_option

country_option = click.option(
    "--country", type=TEXT, metavar="C",
    help="Practice pack: gb, us, anz ...; that of the firm's settings if not given.",
)


@click.group()
def practice() -> None:
    """List and check the practice values: limits, factors and rates with source and dates.

    They are check values: the standard itself, the maker's manual, the local code and the
    licensed person decide.

    \b
    Example:
      estimator practice show storage distance
    """


@practice.command()
@click.argument("words", nargs=-1, type=TEXT)
@country_option
@on_option
@json_option
@tell_problems
def show(
    words: tuple[str, ...], country: str | None, on: datetime | None, as_json: bool
) -> None:
    """List the values in force with unit, source, standing, dates and who decides.

    WORDS narrow the list to values whose name, meaning or source holds all of them.

    \b
    Example:
      estimator practice show energy kWh --country us --on 2026-11-02
    """
    from estimator.workflow.firm import firm_files
    from estimator.workflow.practice import listed, practice_of

    _, pack = practice_of(firm_files(), country)
    lines = listed(pack, day_of(on), words)
    if as_json:
        echo_json(json.dumps([_as_data(line) for line in lines]))
        return
    for line in lines:
        _print(line)
    if not lines:
        click.echo("No value has these words; `estimator practice show` alone lists all of them.")


@practice.command()
@country_option
@on_option
@json_option
@tell_problems
def check(country: str | None, on: datetime | None, as_json: bool) -> None:
    """Read every file of the pack; warn of values that are out of date or lack a sound source.

    A value without a date or a source is a mistake (status 1); what is out of date, ends soon,
    names no edition or says nothing of who decides is a warning.

    \b
    Example:
      estimator practice check --on 2027-04-01
    """
    from estimator.workflow.firm import firm_files
    from estimator.workflow.practice import checked, practice_of

    chosen, pack = practice_of(firm_files(), country)
    found = checked(chosen, pack, day_of(on))
    if as_json:
        echo_json(json.dumps({
            "country": found.country, "on": found.on.isoformat(), "values": found.values,
            "standings": dict(found.standings),
            "warnings": [
                {"kind": w.kind, "name": w.name, "says": w.says} for w in found.warnings],
        }))
        return
    counts = ", ".join(f"{count} {standing}" for standing, count in found.standings)
    click.echo(f"{found.country}: {found.values} values in force on {found.on}: {counts}")
    for warning in found.warnings:
        click.echo(f"{warning.kind}: {warning.name}: {warning.says}")
    count = len(found.warnings)
    click.echo(f"{count} warning{'s' if count != 1 else ''}.")


def _as_data(line: Any) -> dict[str, Any]:
    return {
        "name": line.name, "value": line.value, "unit": line.unit, "meaning": line.meaning,
        "source": line.source, "standing": line.standing, "from": line.from_date.isoformat(),
        "to": line.to_date.isoformat() if line.to_date else None, "decides": line.decides,
        "place": line.place,
    }


def _print(line: Any) -> None:
    value = f"{line.value} {line.unit}".strip()
    until = f" to {line.to_date}" if line.to_date else ""
    click.echo(f"{line.name} = {value}")
    click.echo(f"    {line.meaning}")
    click.echo(f"    source: {line.source} ({line.standing}), from {line.from_date}{until}")
    if line.decides:
        click.echo(f"    decides: {line.decides}")
