"""A firm without a folder of its own: standard rules, starter catalogue, one day; a desk."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from catalogue.price_book import PriceBook
from estimator.estimate import Basis
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import FirmFiles
from tests.chain.desk import SURVEY

ON = date(2026, 11, 2)


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
