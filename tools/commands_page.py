"""docs/commands.md: the help of every command, as the terminal prints it."""

from __future__ import annotations

from collections.abc import Iterator

import click

from estimator.cli import main
from tools.markdown import fence, page

WIDTH = 88
PROGRAM = "estimator"


def commands_page() -> str:
    """Return the page."""
    sections = [f"## {name}\n\n{fence(text)}" for name, text in command_helps()]
    return page(
        "Commands",
        "Every command takes `--help`. Exit status: 0 done, 1 the input is wrong (what, where, how "
        "to mend it), 2 usage, 3 a finding stops a firm price.", sections)


def command_helps() -> Iterator[tuple[str, str]]:
    """Yield each command in words ("estimator rules check") and its help."""
    yield from _helps(main, PROGRAM, None)


def _helps(
    command: click.Command, name: str, parent: click.Context | None
) -> Iterator[tuple[str, str]]:
    context = click.Context(
        command, parent=parent, info_name=name, terminal_width=WIDTH, max_content_width=WIDTH,
        **command.context_settings)
    yield context.command_path, command.get_help(context)
    if isinstance(command, click.Group):
        for each in command.list_commands(context):
            found = command.get_command(context, each)
            if found is not None:
                yield from _helps(found, each, context)


def without_example() -> Iterator[str]:
    """Yield a sentence for every command whose help shows no example of itself."""
    for name, text in command_helps():
        example = text.partition("\n  Example")[2]
        if f"    {name}" not in example:
            yield f"the help of `{name}` shows no example of it"
