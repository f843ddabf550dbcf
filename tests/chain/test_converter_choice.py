"""Which converter of the starter catalogue a job gets when its survey names none.

Common practice, no source: no storage port is paid for where no storage is asked for, storage
needs a port, each string needs an input, and array power is at most 1.35 times the output.
"""

from __future__ import annotations

from decimal import Decimal as D
from pathlib import Path
from typing import Any

from estimator.estimate import Basis, make_estimate
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey

JOBS = Path(__file__).parents[2] / "demo_jobs"


def surveyed(job: str) -> Survey:
    return read_survey(JOBS / job / "survey.toml")


def converter(survey: Survey, basis: Basis, field: str) -> Any:
    return make_estimate(survey, basis).sheet.job[f"kit.converter.{field}"]


def test_panels_alone_get_a_converter_without_a_storage_port(basis: Basis) -> None:
    assert converter(surveyed("flat-roof"), basis, "has_storage_port") is False


def test_storage_gets_a_port_though_its_module_cannot_be_chosen_yet(basis: Basis) -> None:
    survey = surveyed("mostly-unknown")
    assert not survey.storage.mount.known
    assert converter(survey, basis, "has_storage_port") is True


def test_three_planes_of_a_string_each_get_three_inputs(basis: Basis) -> None:
    slate = surveyed("slate-hip")
    assert converter(slate, basis, "trackers") == 3
    two_planes = slate.model_copy(update={"planes": slate.planes[:2]})
    assert converter(two_planes, basis, "trackers") == 2


def test_the_output_is_the_smallest_that_the_array_allows(basis: Basis) -> None:
    # 12 x 440 W over 1.35 = 3,911 W: 3.68 kW is too small, 5 kW the next one made.
    assert converter(surveyed("panels-and-storage"), basis, "ac_w") == D(5000)
