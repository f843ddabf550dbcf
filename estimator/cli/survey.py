"""`estimator survey`: what to ask about a house, and what would break its quote."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from catalogue.toml_source import as_text
from estimator.cli.common import (
    DAY,
    database_option,
    day_of,
    echo_json,
    json_option,
    progress,
    tell_problems,
)

survey_argument = click.argument("survey_file", metavar="SURVEY", type=click.Path(path_type=Path))
day_option = click.option("--on", type=DAY, metavar="DATE",
                          help="Day of prices, rules and practice values; today if not given.")


@click.group()
def survey() -> None:
    """Ask what is still open about a house, and see what would break its quote.

    \b
    Example:
      estimator survey ask demo_jobs/mostly-unknown/survey.toml
    """


@survey.command()
@survey_argument
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE.csv",
              help="Also write the call list to this file, with room for the answers.")
@day_option
@database_option
@json_option
@tell_problems
def ask(
    survey_file: Path, out: Path | None, on: datetime | None, database: str | None, as_json: bool
) -> None:
    """Say which question to ask first, and what each answer does to the price.

    For each unknown or weakly known fact the whole estimate is made again with every plausible
    answer. What saves most money a minute comes first; what one photograph answers is asked
    together.

    \b
    Example:
      estimator survey ask demo_jobs/mostly-unknown/survey.toml --out out/call-list.csv
    """
    from estimator.papers.asking import call_list, call_list_json
    from estimator.workflow.asking import AskRequest, what_to_ask

    with progress("estimates") as tell:
        found = what_to_ask(AskRequest(survey_file, day_of(on), database, out), tell)
    if as_json:
        echo_json(json.dumps({"questions": call_list_json(found)}, ensure_ascii=False, indent=2))
        return
    currency = found[0].low.currency if found else ""
    click.echo(call_list(found, currency), nl=False)
    _tell_written(out)


@survey.command(name="break")
@survey_argument
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE.svg",
              help="Also draw the widest changes as a picture.")
@day_option
@database_option
@json_option
@tell_problems
def break_(
    survey_file: Path, out: Path | None, on: datetime | None, database: str | None, as_json: bool
) -> None:
    """Say which single fact, were it otherwise, breaks the quote.

    Each number is tried a step up and down, each word as every other, each fact as not known. The
    price stays as quoted; the margin that is left, and new stops, say whether the quote holds.

    \b
    Example:
      estimator survey break demo_jobs/storage-outside/survey.toml --out out/D-101-break.svg
    """
    from estimator.papers.asking import break_json, break_table
    from estimator.workflow.asking import AskRequest, what_breaks

    with progress("estimates") as tell:
        found = what_breaks(AskRequest(survey_file, day_of(on), database, out), tell)
    if as_json:
        echo_json(json.dumps(break_json(found), ensure_ascii=False, indent=2))
        return
    click.echo(break_table(found), nl=False)
    _tell_written(out)


@survey.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), metavar="SURVEY",
              help="Write the survey to this file; it is printed if none is named.")
@json_option
@tell_problems
def merge(files: tuple[Path, ...], out: Path | None, as_json: bool) -> None:
    """Make one survey of several FILES of one house, and say what was taken from which.

    A file is a survey (.toml), a filled-in form (.xlsx, .ods) or a free-text note (.txt).

    Of each fact the best known claim stands: measured before seen, photographed, said by the
    customer, assumed. Of two that are known equally well the later file's stands.

    \b
    Example:
      estimator survey merge office.toml visit.toml --out survey.toml
    """
    from estimator.papers.merging import merge_json, merge_report
    from estimator.workflow.merging import merge_files

    merged, text = merge_files(files, out)
    if as_json:
        echo_json(json.dumps({"merged": merge_json(merged)}, ensure_ascii=False, indent=2))
        return
    click.echo(merge_report(merged), nl=False, err=out is None)
    if out is None:
        click.echo(text, nl=False)
    _tell_written(out)


@survey.command()
@survey_argument
@click.option("--evidence", default="customer said", show_default=True,
              type=click.Choice(["measured", "seen", "photographed", "customer said"]),
              help="How the answers are known.")
@day_option
@database_option
@tell_problems
def fill(
    survey_file: Path, evidence: str, on: datetime | None, database: str | None
) -> None:
    """Put the open questions one by one, what is worth most first, and write each answer down.

    Each answer is saved at once into the survey file; the rest of the file stays as it is. Stop
    whenever you like and begin again later.

    \b
    Example:
      estimator survey fill survey.toml --evidence measured
    """
    from estimator.cli.fill import Desk, fill_survey
    from estimator.workflow.asking import AskRequest, what_to_ask

    request = AskRequest(survey_file, day_of(on), database)

    def questions() -> Any:
        with progress("estimates") as tell:
            return what_to_ask(request, tell)

    fill_survey(survey_file, evidence, questions, Desk(click.echo, _typed))


@survey.command()
@click.argument("out", metavar="OUT.xlsx", type=click.Path(path_type=Path))
@click.option("--survey", "survey_file", type=click.Path(path_type=Path), metavar="SURVEY",
              help="Fill in what this survey knows already.")
@click.option("--replace", is_flag=True, help="Replace the file if it is there already.")
@json_option
@tell_problems
def form(out: Path, survey_file: Path | None, replace: bool, as_json: bool) -> None:
    """Write a workbook to fill in at the house: a sheet for each part, one fact a row.

    It opens in any spreadsheet program, prints on A4 and is read back by `estimator survey read`.

    \b
    Examples:
      estimator survey form out/D-101-form.xlsx
      estimator survey form out/D-101-form.xlsx --survey demo_jobs/storage-outside/survey.toml
    """
    from estimator.workflow.survey_form import write_form

    write_form(out, survey_file, replace=replace)
    if as_json:
        echo_json(json.dumps({"written": as_text(out)}))
        return
    _tell_written(out)


@survey.command()
@click.argument("form_file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), metavar="SURVEY.toml",
              help="Write the survey to this file; else it is printed.")
@click.option("--replace", is_flag=True, help="Replace that file if it is there already.")
@json_option
@tell_problems
def read(form_file: Path, out: Path | None, replace: bool, as_json: bool) -> None:
    """Read a filled-in form, .xlsx or .ods, and make a survey of it.

    Every mistake is told with its cell, all at once. Sheets may be called otherwise and rows moved;
    what is blank is unknown.

    \b
    Example:
      estimator survey read D-101-form.xlsx --out survey.toml
    """
    from estimator.workflow.survey_form import read_form

    found = read_form(form_file, out, replace=replace)
    if as_json:
        echo_json(json.dumps({
            "survey": found.survey.model_dump(mode="json"), "toml": found.text,
            "written": as_text(out) if out else None,
        }, ensure_ascii=False, indent=2))
        return
    if out is None:
        click.echo(found.text, nl=False)
    _tell_written(out)


@survey.command()
@click.argument("note", metavar="NOTE.txt", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), metavar="FILE.toml",
              help="Also write what was read as a survey file.")
@click.option("--replace", is_flag=True, help="Replace that file if it is there already.")
@click.option("--vocabulary", type=click.Path(path_type=Path), metavar="FILE.toml",
              help="Short forms of the firm's own, which come before the standard ones.")
@click.option("--job", default="NOTE", show_default=True, metavar="ID",
              help="Number of the job, for the survey file.")
@click.option("--part", "parts", multiple=True,
              type=click.Choice(["backup", "converter", "panels", "storage"]),
              help="What is asked for, where the note does not say; may be repeated.")
@json_option
@tell_problems
def notes(
    note: Path, out: Path | None, replace: bool, vocabulary: Path | None, job: str,
    parts: tuple[str, ...], as_json: bool
) -> None:
    """Read a free-text note: facts, words not understood, contradictions, what to ask back.

    Every fact keeps its words and their place. What can be read in two ways is asked back and not
    guessed; what is not understood is listed. The report shows private remarks: it is for the
    office.

    \b
    Example:
      estimator survey notes note.txt --out survey.toml
    """
    from estimator.papers.notes import notes_json, notes_report
    from estimator.workflow.notes import NotesRequest, notes_read

    read = notes_read(NotesRequest(note, vocabulary, out, job, parts, replace))
    if as_json:
        echo_json(json.dumps(notes_json(read), ensure_ascii=False, indent=2))
        return
    click.echo(notes_report(read), nl=False)
    _tell_written(out)


def _typed(prompt: str) -> str | None:
    """Return what is typed, or None where nobody types any more."""
    try:
        answer: str = click.prompt(prompt, default="", show_default=False, prompt_suffix=" ")
    except click.Abort:
        return None
    return answer


def _tell_written(out: Path | None) -> None:
    if out is not None:
        click.echo(f"Written: {out}")
