"""The commands of the close-out, as they are typed; the clocks of every commissioned job."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from catalogue.db import open_database, session
from estimator.cli import main
from estimator.workflow.closeout_set import ReadingSaid, set_reading
from estimator.workflow.job_states import Said, record
from tests.closing.site import DB, EVENING, commissioned
from tests.van.desk import JOB


def run(*arguments: str) -> Result:
    result = CliRunner().invoke(main, ["closeout", *arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def data(*arguments: str) -> Any:
    return json.loads(run(*arguments, "--json").stdout)


def sent(code: str, day: str) -> None:
    set_reading(DB, ReadingSaid(JOB, code, "job", "B. Office", day), EVENING)


def test_a_sheet_is_issued_and_what_is_open_is_shown(desk: Path) -> None:
    made = data("sheet", JOB, "--out", "site.xlsx")
    assert (made["sheet"], made["new"], Path("site.xlsx").exists()) == ("D-101/C1", True, True)
    assert run("sheet", JOB, "--out", "site.xlsx").exit_code == 1  # it is there already
    shown = data("show", JOB)
    assert len(shown["blank"]) == len(shown["readings"]) == len(made["rows"])
    text = run("show", JOB).stdout
    assert "    water: Water test where the roof was cut" in text
    assert "Missing in the handover pack:\n  Electrical certificate with schedules" in text


def test_one_reading_is_said_and_shown(desk: Path) -> None:
    said = data("set", JOB, "external-loop", "job", "0.41", "--name", "S. Fitter")
    assert (said["value"], said["verdict"]) == ("0.41", "not as expected")
    text = run("show", JOB, "--all").stdout
    assert "external-loop: 0.41, not as expected (S. Fitter," in text
    assert "expected at most 0.35 Ω" in text
    assert "at most 0.35 Ω" in text
    accepted = run("set", JOB, "external-loop", "job", "--accept-because", "network told",
                   "--name", "R. Owner")
    assert "may stand because network told (R. Owner," in accepted.stdout
    assert data("show", JOB)["amiss"] == []


def test_clocks_run_past_their_day_and_stop_with_their_paper(desk: Path) -> None:
    """By hand from 1 October 2026: 28 days are 29 October, ten working days 15 October."""
    assert data("clocks", "--on", "2026-11-20") == {"on": "2026-11-20", "jobs": []}
    commissioned(date(2026, 10, 1))
    sent("scheme-certificate", "2026-10-15")
    set_reading(DB, ReadingSaid(JOB, "maker-registration", "job", "B. Office",
                                not_tested="portal is down"), EVENING)
    on = run("clocks", "--on", "2026-10-29", "--json")
    assert on.exit_code == 0
    clocks = {each["code"]: each for each in json.loads(on.stdout)["jobs"][0]["clocks"]}
    assert clocks["network-notice"]["last_day"] == "2026-10-29"
    assert clocks["network-notice"]["days_left"] == 0
    assert clocks["scheme-certificate"] | {"source": ""} == {
        "code": "scheme-certificate", "name": "Scheme certificate registered",
        "last_day": "2026-10-15", "stopped_on": "2026-10-15", "past": False, "late": False,
        "days_left": None, "why_not": "", "source": "", "years_without_holidays": []}
    late = run("clocks", "--on", "2026-11-02", "--past")
    assert late.exit_code == 3
    assert "Network told" in late.stdout
    assert "PAST by 4 days" in late.stdout
    assert "portal is down" in late.stdout
    assert "Scheme certificate" not in late.stdout
    assert late.stdout.endswith("3 past their day on 2026-11-02\n")
    sent("network-notice", "2026-10-30")
    assert "done 2026-10-30, late" in run("clocks", "--on", "2026-11-02").stdout
    for code in ("building-control", "maker-registration"):
        sent(code, "2026-11-05")
    assert run("clocks", "--on", "2026-11-20").stdout.startswith("No clock runs")


def test_a_job_that_is_closed_keeps_its_clocks_and_one_that_was_given_up_has_none(
    desk: Path
) -> None:
    commissioned(date(2026, 10, 1))
    engine = open_database(DB)
    with session(engine) as work:
        work.exec_driver_sql("insert into job_event (job_id, revision, event, at, by, why) select "
                             "job_id, revision, 'closed', at, by, '' from job_event")
        work.commit()
    engine.dispose()
    assert len(data("clocks", "--on", "2026-11-02")["jobs"]) == 1
    for _ in range(2):
        record(DB, "reopened", Said(JOB, "R. Owner"), EVENING)
    assert data("clocks", "--on", "2026-11-02")["jobs"] == []


def test_mistakes_are_told_as_data_too(desk: Path) -> None:
    refused = run("set", JOB, "labels", "job", "--json")
    assert refused.exit_code == 1
    assert [each["code"] for each in json.loads(refused.stdout)["problems"]] == ["Z307", "Z316"]
