"""`estimator start`: lay a folder for a firm, or print a blank survey."""

from __future__ import annotations

import json
from pathlib import Path

import click

from catalogue.problems import printable
from catalogue.toml_source import as_text
from estimator.cli.common import echo_json, json_option, tell_problems


@click.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option("--blank-survey", is_flag=True,
              help="Print a blank survey with every fact and its meaning; lay no folder.")
@json_option
@tell_problems
def start(folder: Path | None, blank_survey: bool, as_json: bool) -> None:
    """Lay a FOLDER for a firm: settings, own rules, norms and practice, jobs.

    A folder that holds anything is refused and left as it is.

    \b
    Examples:
      estimator start our-firm
      estimator start --blank-survey > survey.toml
    """
    if blank_survey == (folder is not None):
        raise click.UsageError("Name a FOLDER, or ask for a --blank-survey.")
    if folder is None:
        from estimator.survey.template import survey_template

        if as_json:
            echo_json(json.dumps({"survey": survey_template()}))
        else:
            click.echo(survey_template(), nl=False)
        return
    from estimator.workflow.start import start_firm

    _tell(start_firm(folder), folder, as_json)


def _tell(laid: tuple[Path, ...], folder: Path, as_json: bool) -> None:
    if as_json:
        echo_json(json.dumps({"files": [as_text(path) for path in laid]}))
        return
    click.echo(f"Laid {printable(str(folder))}:")
    for path in laid:
        click.echo(f"  {path.relative_to(folder)}")
    click.echo("Now replace the figures marked REPLACE in firm.toml: they are invented.")
