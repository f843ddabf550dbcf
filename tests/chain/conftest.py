"""A firm without a folder of its own: standard rules, starter catalogue, one day."""

from __future__ import annotations

from datetime import date

import pytest

from catalogue.price_book import PriceBook
from estimator.estimate import Basis
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import FirmFiles

ON = date(2026, 11, 2)


@pytest.fixture(scope="session")
def basis(price_book: PriceBook) -> Basis:
    return basis_of(FirmFiles(None), price_book, ON)
