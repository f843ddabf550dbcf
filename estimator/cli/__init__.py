"""The terminal: thin commands over `workflow`; each loads only what it needs.

One module for each command or group of commands, named after it; the table below leads to them.
`common` has what all share: the options `--db` and `--json`, the exit statuses, and how problems
are told. `catalogue_text` is what the catalogue commands print. A command parses, calls one use
case, prints and sets the exit status; heavy libraries load inside it, so that help stays instant.
No sum, no query and no rule belongs here.
"""

from __future__ import annotations

import atexit
import gc
import importlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, TextIO

import click

# New objects between two searches for cyclic garbage. A quote makes fewer, so none is searched
# for; a command that makes millions still gives its memory back.
SEARCH_AFTER = 1_000_000
_AS_JSON = "estimator.as_json"

# Name of the command -> module and attribute. Modules load when their command is called, so that
# help stays instant.
COMMANDS = {
    "quote": ("estimator.cli.quote", "quote", "Quote a job from its survey."),
    "check": ("estimator.cli.check", "check", "Check whether a job is safe, allowed, buildable."),
    "survey": ("estimator.cli.survey", "survey", "Ask what is open; see what breaks a quote."),
    "risk": ("estimator.cli.risk", "risk", "Say how far a job's cost may spread."),
    "like": ("estimator.cli.like", "like", "Show the finished jobs most like a new one."),
    "why": ("estimator.cli.why", "why", "Say why a line is in a bill, or why it is not."),
    "papers": ("estimator.cli.papers", "papers", "Write quote and drawings of a job."),
    "jobs": ("estimator.cli.jobs", "jobs", "List the quoted jobs; say what became of them."),
    "orders": ("estimator.cli.orders", "orders", "Decide what to order from whom."),
    "stock": ("estimator.cli.stock", "stock", "Keep the books of the stock; see what is free."),
    "closeout": ("estimator.cli.closeout", "closeout", "Test and hand over; see which days run."),
    "actuals": ("estimator.cli.actuals", "actuals", "Book hours, bills and payments of jobs."),
    "review": ("estimator.cli.review", "review", "Say where the margin of finished jobs went."),
    "diff": ("estimator.cli.diff", "diff", "Say what changed between two revisions, by cause."),
    "facts": ("estimator.cli.facts", "facts", "Print the dictionary of facts."),
    "rules": ("estimator.cli.rules", "rules", "Check and list the assembly rules."),
    "practice": ("estimator.cli.practice", "practice", "List and check the practice values."),
    "norms": ("estimator.cli.norms", "norms", "List, learn and accept labour norms."),
    "catalogue": ("estimator.cli.catalogue", "catalogue", "Find, show, add and exchange items."),
    "prices": ("estimator.cli.prices", "prices", "Take over price lists; see what prices do."),
    "start": ("estimator.cli.start", "start", "Lay a folder for a firm."),
    "db": ("estimator.cli.db", "db", "Look after the database."),
}


class LazyGroup(click.Group):
    """A group whose commands are imported when they are called.

    A command line that cannot be read is told on the error output; where it asks for JSON, also
    as JSON on the standard output.
    """

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        """Read the options before the command; remember whether JSON is asked for."""
        as_json = "--json" in args
        with _usage_as_json(as_json):
            context = super().make_context(info_name, args, parent, **extra)
        context.meta[_AS_JSON] = as_json
        return context

    def invoke(self, ctx: click.Context) -> Any:
        """Read the rest of the command line and call the command."""
        with _usage_as_json(ctx.meta[_AS_JSON]):
            return super().invoke(ctx)

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of all commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return a command, or None if there is no such name."""
        if cmd_name not in COMMANDS:
            return None
        module, attribute, _ = COMMANDS[cmd_name]
        command: click.Command = getattr(importlib.import_module(module), attribute)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, says) for name, (_, _, says) in COMMANDS.items()])


@contextmanager
def _usage_as_json(as_json: bool) -> Iterator[None]:
    try:
        yield
    except click.UsageError as error:
        if as_json:
            from catalogue.problems import Place, Problem
            from estimator.cli.common import echo_problems

            echo_problems([Problem(
                "U001", Place("the command line"), error.format_message(),
                "`estimator COMMAND --help` shows how the command is used")])
        raise


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="solar-storage-estimator")
def main() -> None:
    """From survey notes to a checked bill of materials, labour hours and a quoted price.

    An estimate, not a design: local codes, makers' manuals and licensed practice decide.

    \b
    Example:
      estimator quote demo_jobs/storage-outside/survey.toml
    """


def run() -> None:
    """Run one command as a process of its own: what the installed `estimator` calls.

    While libraries load, Python walks over every object time and again in search of cyclic
    garbage, and once more on leaving: a quarter of a quote's time, and nothing is found.
    """
    # Else pydantic reads the metadata of every installed package in search of plug-ins.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    for stream in (sys.stdout, sys.stderr):
        _take_any_text(stream)
    gc.set_threshold(SEARCH_AFTER)
    atexit.register(gc.freeze)  # the process ends: its memory needs no search
    main()


def _take_any_text(stream: TextIO | None) -> None:
    """Write a character that the terminal's alphabet lacks as its number; stop no command."""
    reconfigure = getattr(stream, "reconfigure", None)  # none where the stream is closed
    if reconfigure is not None:
        reconfigure(errors="backslashreplace")
