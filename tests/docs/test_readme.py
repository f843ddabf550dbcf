"""The README shows what the program really prints, and commands that really exist."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from estimator.cli import main

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.compile(r"<!-- shown: (\S+) -->\n```text\n(.*?)```", re.DOTALL)
COMMAND = re.compile(
    r"^(?:\.venv/bin/|\.venv\\Scripts\\)?estimator (.+?)(?:\s+#.*)?$", re.MULTILINE)


def test_the_readme_opens_with_one_paragraph_on_the_practitioners_job() -> None:
    title, paragraph, after = README.split("\n\n")[:3]
    assert title.startswith("# ")
    assert "surveys a house" in paragraph.replace("\n", " ")
    assert "whether the job made money" in paragraph.replace("\n", " ")
    assert after.startswith("## Two commands")


def test_what_the_readme_shows_was_printed() -> None:
    shown = SHOWN.findall(README)
    assert shown
    for file, text in shown:
        printed = (ROOT / file).read_text(encoding="utf-8").splitlines()
        lines = [line for line in text.splitlines() if line != "..."]
        places = [printed.index(line) if line in printed else line for line in lines]
        assert all(isinstance(at, int) for at in places), places
        assert places == sorted(places)


@pytest.mark.parametrize("words", COMMAND.findall(README))
def test_every_command_of_the_readme_exists_with_its_options(words: str) -> None:
    command: click.Command = main
    context = click.Context(main)
    arguments = shlex.split(words.replace("\\", "/"))
    while isinstance(command, click.Group):
        name = arguments.pop(0)
        found = command.get_command(context, name)
        assert found is not None, name
        command = found
    known = {opt for param in command.params for opt in param.opts}
    assert {word for word in arguments if word.startswith("--")} <= known


def test_the_make_targets_of_the_readme_exist() -> None:
    targets = set(re.findall(r"^([a-z-]+):", (ROOT / "Makefile").read_text(), re.MULTILINE))
    assert set(re.findall(r"^make ([a-z-]+)", README, re.MULTILINE)) <= targets
