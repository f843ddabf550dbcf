"""What is read off a revision, from quote to close-out: demo jobs, figures from their surveys."""

from __future__ import annotations

import shutil
from datetime import date
from decimal import Decimal as D
from pathlib import Path

import pytest

from catalogue.db import open_database, session
from estimator.closing.design import Design, StringOf
from estimator.workflow.closeout_design import design_of
from estimator.workflow.closeout_readings import designed
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.quote import QuoteRequest, quote

ROOT = Path(__file__).parents[2]
JOBS = {"mostly-unknown": "D-106", "panels-and-storage": "D-102", "slate-hip": "D-103",
        "three-phase-stack": "D-105"}


@pytest.fixture(scope="module")
def designs(starter_template: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Design]:
    database = str(shutil.copy(starter_template, tmp_path_factory.mktemp("jobs") / "estimator.db"))
    for name in JOBS:
        survey = ROOT / "demo_jobs" / name / "survey.toml"
        quote(QuoteRequest(survey, date(2026, 11, 2), database, write_papers=False))
    engine = open_database(database)
    with session(engine, write=False) as work:
        found = {name: designed(work, kept_estimate(work, job, 1)) for name, job in JOBS.items()}
        bare = design_of(kept_estimate(work, "D-102", 1))
    engine.dispose()
    return {**found, "without data sheets": bare}


def test_strings_are_those_of_the_layout(designs: dict[str, Design]) -> None:
    assert designs["panels-and-storage"].strings == (StringOf("rear, string 1", 12, "rear"),)
    assert [(each.name, each.panels) for each in designs["three-phase-stack"].strings] == [
        ("east, string 1", 9), ("west, string 1", 9)]


def test_the_panel_is_that_of_the_revision(designs: dict[str, Design]) -> None:
    panel = designs["panels-and-storage"].panel
    assert panel is not None
    # The data sheet of 00440-BK in the starter catalogue.
    assert (panel.voc_v, panel.isc_a, panel.voc_pct_per_k) == (D(41), D("13.64"), D("-0.26"))
    assert designs["without data sheets"].panel is None


def test_panel_electronics_leave_nothing_to_expect_of_a_string(designs: dict[str, Design]) -> None:
    assert designs["slate-hip"].panel is None
    assert designs["slate-hip"].no_panel == "as the manual of the panel electronics says"


def test_circuits_come_with_what_was_worked_out(designs: dict[str, Design]) -> None:
    circuit, = designs["panels-and-storage"].circuits
    assert circuit.name == "converter circuit"
    # 4.5 m of 4 mm2 with 1.5 mm2: On-Site Guide, 16.71 milliohm a metre at 20 degrees; 11 mV/A/m.
    assert circuit.r1r2_ohm == pytest.approx(D("4.5") * D("0.01671"), abs=D("0.00001"))
    assert circuit.rise_v == pytest.approx(D("4.5") * D("0.011") * D("21.7"), abs=D("0.01"))
    assert [each.name for each in designs["three-phase-stack"].circuits] == [
        "converter circuit", "backup feed"]


def test_what_the_survey_says_decides_what_is_due(designs: dict[str, Design]) -> None:
    stack = designs["three-phase-stack"]
    assert (stack.phases, stack.earthing) == (3, "TN-C-S")
    assert stack.figures == {"storage.modules": D(6)}
    assert {"backup", "electrode", "several phases", "export limit", "vehicle and storage",
            "asked first", "roof", "cut"} <= stack.circumstances
    assert "storage without backup" not in stack.circumstances
    assert "electrode" in designs["slate-hip"].circumstances  # TT


def test_what_nobody_knows_is_not_taken_for_no(designs: dict[str, Design]) -> None:
    unknown = designs["mostly-unknown"]
    assert unknown.earthing == ""
    assert {"electrode", "frost", "vehicle and storage"} <= unknown.circumstances
    known = designs["panels-and-storage"].circumstances
    assert {"electrode", "frost", "vehicle and storage"}.isdisjoint(known)
