"""`estimator prices drift`: what newer prices do to quotes that are out."""

from __future__ import annotations

import json
import sys
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from estimator.cli.common import (
    DAY,
    STOPPED,
    TEXT,
    database_option,
    echo_json,
    json_option,
    progress,
    tell_problems,
)


@click.command()
@click.option("--on", type=DAY, metavar="DATE",
              help="Day of prices, rules and practice values, and on which a quote still binds or "
                   "not; today if not given.")
@click.option("--what-if", multiple=True, type=TEXT, metavar="CHANGE",
              help="Imagine a change, such as 'storage +9 %' or 'head:cable -3.5 %'; the name is a "
                   "family, a cost head, an item's code or a supplier. May be repeated.")
@click.option("--job", "jobs", multiple=True, type=TEXT, metavar="JOB",
              help="Only this open job; may be repeated.")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE",
              help="Also write the table to this .xlsx or .csv file.")
@click.option("--replace", is_flag=True, help="Replace that file if it is there already.")
@database_option
@json_option
@tell_problems
def drift(on: datetime | None, as_json: bool, **chosen: Any) -> None:
    """Run every open quote again at newer prices: cost and margin then and now, whom to ring first.

    The newest revision of each open job is estimated again from its survey, with its discount,
    stops let pass and substitutes; the price stays as quoted. At stake is the chance that a quote
    is accepted (pricing.accept_rate in the settings) times what it has become dearer. Nothing is
    changed in the database.

    Exit status: 0 done, 1 the input is wrong, 2 usage, 3 a price that still binds has fallen under
    the minimum margin, or a quote cannot be priced whole any more.

    \b
    Example:
      estimator prices drift --out drift.xlsx
      estimator prices drift --what-if "storage +9 %" --what-if "supplier:Counter North +2 %"
    """
    from estimator.papers.drift import drift_json, drift_text
    from estimator.workflow.drift import DriftRequest
    from estimator.workflow.drift import drift as all_again

    request = DriftRequest(
        on=(on or datetime.now().astimezone()).date(), database=chosen["database"],
        what_if=chosen["what_if"], jobs=chosen["jobs"], out=chosen["out"],
        replace_out=chosen["replace"])
    with progress("open quotes") as tell:
        found = all_again(request, tell)
    if as_json:
        echo_json(json.dumps(drift_json(found), ensure_ascii=False, indent=2))
    else:
        click.echo(drift_text(found), nl=False)
    if found.alarms:
        sys.exit(STOPPED)
