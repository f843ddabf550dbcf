"""A firm without a folder of its own: standard rules, starter catalogue, one day; a desk."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from catalogue.price_book import PriceBook
from estimator.estimate import Basis
from estimator.questions.answers import Answers
from estimator.questions.worth import Worth, worth_asking
from estimator.survey.model import Survey
from estimator.workflow import asking
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import FirmFiles
from tests.chain.desk import SURVEY
from tests.compiled_once import compiled_once

ON = date(2026, 11, 2)


@pytest.fixture(autouse=True)
def _rules_compiled_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("estimator.workflow.basis.load_rule_book", compiled_once)


@pytest.fixture(scope="session")
def basis(price_book: PriceBook) -> Basis:
    return basis_of(FirmFiles(None), price_book, ON)


@pytest.fixture
def desk(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a database and a sound survey in it; commands run there."""
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copy(SURVEY, tmp_path / "survey.toml")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    return tmp_path


@pytest.fixture(scope="module")
def questions_held() -> dict[str, tuple[Worth, ...]]:
    """What is worth asking, by survey, as the tests of one file found it."""
    return {}


@pytest.fixture
def asked_once(
    questions_held: dict[str, tuple[Worth, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Work out once for each survey of a file what is worth asking: some 150 estimates each time.

    For commands that are typed at the same catalogue without a firm's own files.
    """
    def held(
        survey: Survey, basis: Basis, answers: Mapping[str, Answers],
        tell: Callable[[int, int], None],
    ) -> tuple[Worth, ...]:
        key = survey.model_dump_json()
        if key not in questions_held:
            questions_held[key] = worth_asking(survey, basis, answers, tell)
        return questions_held[key]

    monkeypatch.setattr(asking, "worth_asking", held)
