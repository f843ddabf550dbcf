"""A firm of its own for each test, or one for a file of tests that only read."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.actuals.firm import make_firm


@pytest.fixture
def firm(starter_template: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The path of a database of its own; commands run in its folder."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return make_firm(starter_template, tmp_path)
