"""Mistakes in asking how a job came out, each with its whole message, gone through by hand."""

from __future__ import annotations

import shutil
from decimal import Decimal as D
from pathlib import Path

import pytest

from catalogue.db import open_database, session
from tests.chain.desk import run
from tests.workflow.finished import Finished, Worked, write

TOLD = Path(__file__).parent / "job_outcome"
PLAN = (("labour", "labour", "", "roof", D(10), 40_000),
        ("labour", "labour", "", "storage", D(5), 20_000))
# Name of the file with the message -> what is typed after `estimator actuals show`.
CASES = {
    "not-accepted": ("J-1",),
    "stated": ("J-2", "--done", "rof=50", "--done", "roof", "--done", "roof=101", "--done",
               "catering=5", "--planned", "half"),
    "closed": ("J-3", "--done", "roof=50"),
}


@pytest.mark.parametrize("name", CASES)
def test_mistakes_are_told_in_these_words(
    name: str, starter_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    engine = open_database("estimator.db")
    with session(engine) as work:
        write(work, Finished("J-1", state="declined"), Finished("J-2", state="accepted", plan=PLAN),
              Finished("J-3", plan=PLAN, worked=(Worked("roof", 60, 4_000),)))
        work.commit()
    engine.dispose()
    result = run("actuals", "show", *CASES[name])
    assert result.exit_code == 1, result.output
    assert result.stderr == (TOLD / f"{name}.txt").read_text(encoding="utf-8")


def test_every_code_has_a_case() -> None:
    texts = "".join(path.read_text(encoding="utf-8") for path in TOLD.glob("*.txt"))
    assert [code for code in ("Z451", "Z452", "Z453", "Z454")
            if f" error {code}: " not in texts] == []
