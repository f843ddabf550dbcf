"""Examples in help texts name what there is: a job by its id, a survey by its path."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from estimator.cli import main

JOBS = Path(__file__).parents[2] / "demo_jobs"
FOLDERS = sorted(path.parent.name for path in JOBS.glob("*/survey.toml"))
IDS = {re.search(r'^id = "(.+)"', (JOBS / name / "survey.toml").read_text(encoding="utf-8"), re.M)
       for name in FOLDERS}


def commands(group: click.Group, path: str = "estimator") -> Iterator[tuple[str, click.Command]]:
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None
        if isinstance(command, click.Group):
            yield from commands(command, f"{path} {name}")
        else:
            yield f"{path} {name}", command


@pytest.mark.parametrize("name", FOLDERS)
def test_no_example_takes_the_folder_of_a_demo_job_for_its_id(name: str) -> None:
    alone = re.compile(rf"(?<![/\w-]){re.escape(name)}(?![/\w-])")
    wrong = [path for path, command in commands(main) if alone.search(command.help or "")]
    assert wrong == []


def test_the_job_ids_of_examples_are_those_of_demo_jobs() -> None:
    ids = {found.group(1) for found in IDS if found is not None}
    assert "D-101" in ids
    named = {each for _, command in commands(main)
             for each in re.findall(r"\bD-\d+\b", command.help or "")}
    assert named
    assert named <= ids
