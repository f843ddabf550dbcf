"""Counts of proof tests: what is refused and what never happens."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.design.limits import ENGINEER
from estimator.design.structure.proof_test import Load, proof_plan
from tests.design.structure.rules_in_force import PROOF

FIXINGS = st.integers(1, 3000)
LOADS = st.sampled_from(get_args(Load))


@given(FIXINGS, st.integers(0, 500), LOADS, st.integers(0, 1))
def test_more_fixings_never_lower_the_number_pulled(
    fixings: int, more: int, load: Load, failures: int
) -> None:
    few = proof_plan(fixings, 100, PROOF, load, failures)
    many = proof_plan(fixings + more, 100, PROOF, load, failures)
    assert many.pulls >= few.pulls
    assert few.pulls <= few.fixings


@given(st.integers(3, 3000), LOADS, st.integers(0, 2))
def test_one_failure_more_never_lowers_the_number_pulled(
    fixings: int, load: Load, failures: int
) -> None:
    one, next_one = (
        proof_plan(fixings, 100, PROOF, load, each) for each in (failures, failures + 1))
    assert next_one.pulls >= one.pulls
    assert next_one.test_n == one.test_n


@pytest.mark.parametrize(("fixings", "failures"), [(0, 0), (3, 4), (3, -1)])
def test_an_area_that_cannot_be_is_refused(fixings: int, failures: int) -> None:
    with pytest.raises(ValueError, match="an area has fixings"):
        proof_plan(fixings, 100, PROOF, failures=failures)


def test_a_plan_names_its_source_and_who_decides() -> None:
    found = proof_plan(12, 100, PROOF)
    assert "BS 8539" in found.source
    assert found.decides == ENGINEER
