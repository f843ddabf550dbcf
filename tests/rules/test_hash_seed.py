"""The order of results does not hang on Python's hash seed."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROGRAM = """
from tests.rules.small_job import results, rule
from tests.rules.test_engine import ASSUME, CLIPS, COMPUTED
wish = rule("storage.mount == 'wall' and storage.frost and storage.wall == 'stone'",
            "storage.stacks")
found = results(COMPUTED + CLIPS + ASSUME + wish, {}, parts=("storage", "panels"),
                planes=({}, {}), legs=({}, {}))
for part in (found.demands, found.questions, found.not_fired, found.risks, found.assumptions):
    print(part)
"""


def printed(seed: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], cwd=ROOT, check=True, capture_output=True, text=True,
        env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
    )
    return done.stdout


def test_two_hash_seeds_give_the_same_results() -> None:
    first = printed("1")
    assert "Question" in first
    assert first == printed("4242")
