"""A firm without a folder of its own, and the plausible answers that come with the program."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import pytest

from catalogue.price_book import PriceBook
from estimator.estimate import Basis
from estimator.questions.answers import Answers, standard_answers
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import FirmFiles


@pytest.fixture(scope="session")
def basis(price_book: PriceBook) -> Basis:
    return basis_of(FirmFiles(None), price_book, date(2026, 11, 2))


@pytest.fixture(scope="session")
def answers(basis: Basis) -> Mapping[str, Answers]:
    return standard_answers(basis.rules.facts)
