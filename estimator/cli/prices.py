"""`estimator prices`: what suppliers charge, and what that does to quotes."""

from __future__ import annotations

import click

from estimator.cli.prices_drift import drift


@click.group()
def prices() -> None:
    """See what newer prices do to quotes that are out.

    \b
    Example:
      estimator prices drift
    """


prices.add_command(drift)
