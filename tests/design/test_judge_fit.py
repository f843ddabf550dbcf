"""Panels that do not fit their plane are no firm price."""

from __future__ import annotations

from typing import Any

import pytest

from estimator.design.case import Case
from estimator.design.check import Check, Unanswered
from estimator.design.judge_fit import judge_fit
from estimator.design.kit import Kit
from estimator.design.sheet import FactSheet, Unknown
from estimator.survey.model import Header, Survey
from tests.design.electrical.packs import GB
from tests.factories import ON, PriceBookFactory

PLANE: dict[str, Any] = {
    "plane.kind": "pitched", "plane.fits": True, "plane.panels_that_fit": 12,
    "plane.panels_placed": 12, "plane.panels": 12, "plane.rows": Unknown("plane[0].rows"),
    "plane.columns": Unknown("plane[0].columns"),
}


def fit(**changed: Any) -> Check | Unanswered:
    """Return what is told of one plane with some facts changed."""
    env = {**PLANE, **{f"plane.{name}": value for name, value in changed.items()}}
    sheet = FactSheet(frozenset({"panels"}), {}, {"plane": (env,), "leg": ()},
                      {"plane": ("rear",), "leg": ()}, {})
    case = Case(Survey(job=Header(id="S1", parts=("panels",))), sheet, Kit({}, {}, {}, ()), (),
                PriceBookFactory(), GB.practice, ON)
    (told,) = judge_fit(case).told
    return told


def test_as_many_as_fit_are_fine_and_one_more_is_a_stop() -> None:
    fine = fit()
    assert isinstance(fine, Check)
    assert (fine.level, fine.value, fine.limit) == ("fine", 12, 12)
    over = fit(panels=13, fits=False)
    assert isinstance(over, Check)
    assert (over.code, over.level, over.value, over.limit) == ("array-fit", "stop", 13, 12)
    assert over.source.startswith("MIS 3012")
    assert over.decides == "customer, or structural engineer"


def test_a_block_that_does_not_fit_says_that_as_many_do_in_other_rows() -> None:
    told = fit(rows=3, columns=4, fits=False)
    assert isinstance(told, Check)
    assert told.level == "stop"
    assert "block of 3 x 4" in told.says
    assert "12 panels do in other rows" in told.says


def test_a_plane_that_takes_no_panel_is_a_stop_even_if_no_number_is_wanted() -> None:
    told = fit(panels=Unknown("plane[0].panels"), panels_that_fit=0, panels_placed=0)
    assert isinstance(told, Check)
    assert (told.level, told.value, told.limit) == ("stop", 1, 0)


@pytest.mark.parametrize("kind", ["flat", "ground"])
def test_off_the_slope_it_is_a_stop_too_but_no_matter_of_a_wind_standard(kind: str) -> None:
    told = fit(kind=kind, panels=13, fits=False)
    assert isinstance(told, Check)
    assert told.level == "stop"
    assert "MIS" not in told.source
    assert told.decides == "customer"


def test_a_plane_of_unknown_size_is_a_question_never_a_pass() -> None:
    unknown = Unknown("plane[0].slope_length_m")
    told = fit(fits=unknown, panels_that_fit=unknown, kind=Unknown("plane[0].kind"))
    assert isinstance(told, Unanswered)
    assert told.facts == ("plane[0].slope_length_m",)
    assert told.worst.level == "stop"
