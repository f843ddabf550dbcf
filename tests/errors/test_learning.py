"""What is asked of risk and learning and cannot be told, beside the exact words.

`learning/NAME.txt` is the whole message; each was gone through by hand.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from estimator.workflow.risk import RiskRequest, job_risk

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "demo_jobs" / "storage-outside" / "survey.toml"
ON = date(2026, 11, 2)


def ordered_too_early() -> None:
    job_risk(RiskRequest("survey.toml", ON, order_on=date(2026, 11, 1)), lambda done, of: None)


CASES: Mapping[str, Callable[[], None]] = {
    "ordered-too-early": ordered_too_early,
}


@pytest.mark.parametrize("name", sorted(CASES))
def test_it_is_told_in_these_words(
    name: str, tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(DEMO, tmp_path / "survey.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    with pytest.raises(ProblemsFound) as caught:
        CASES[name]()
    wanted = (HERE / "learning" / f"{name}.txt").read_text(encoding="utf-8")
    assert f"{caught.value}\n" == wanted


def test_there_is_no_stray_message() -> None:
    assert {path.stem for path in (HERE / "learning").glob("*.txt")} == set(CASES)
