"""A desk with a sound survey and a database, and commands as they are typed there."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from click.testing import CliRunner, Result

from estimator.cli import main

ROOT = Path(__file__).parents[2]
SURVEY = ROOT / "demo_jobs" / "storage-outside" / "survey.toml"
DAY = "2026-11-02"


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(main, arguments)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def quote(*more: str, survey: str = "survey.toml") -> Result:
    return run("quote", survey, "--on", DAY, *more)


def codes(result: Result) -> set[str]:
    """Return the codes of the problems, which stand on the standard output as JSON."""
    return {problem["code"] for problem in json.loads(result.stdout)["problems"]}


def papers(desk: Path) -> list[str]:
    return sorted(path.name for path in (desk / "out").glob("*"))


def as_a_process(
    desk: Path, *arguments: str, told: bytes | None = None, **environment: str
) -> subprocess.CompletedProcess[bytes]:
    program = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from estimator.cli import run; run()"
    return subprocess.run(
        [sys.executable, "-W", "error", "-c", program, *arguments], cwd=desk, input=told,
        capture_output=True, check=False, env={**os.environ, **environment})
