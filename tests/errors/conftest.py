"""Commands typed again and again: their rules are compiled once."""

from __future__ import annotations

import pytest

from tests.compiled_once import compiled_once


@pytest.fixture(autouse=True)
def _rules_compiled_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("estimator.workflow.basis.load_rule_book", compiled_once)
