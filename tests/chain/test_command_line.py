"""The quote as a user types it: exit status, messages, files, revisions."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from estimator.cli import main

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo_jobs"
DAY = "2026-11-02"


@pytest.fixture
def firm(tmp_path: Path, starter_template: Path) -> Path:
    (tmp_path / "estimator.db").write_bytes(starter_template.read_bytes())
    return tmp_path


def run(firm: Path, *arguments: str) -> Result:
    return CliRunner().invoke(main, [*arguments, "--db", str(firm / "estimator.db")])


def quoted(firm: Path, job: str, *more: str) -> Result:
    survey = str(DEMO / job / "survey.toml")
    return run(firm, "quote", survey, "--on", DAY, "--out", str(firm / "out"), *more)


def files(firm: Path) -> list[str]:
    return sorted(path.name for path in (firm / "out").glob("*")) if (firm / "out").exists() else []


def test_a_firm_quote_leaves_four_papers_and_status_0(firm: Path) -> None:
    result = quoted(firm, "storage-outside")
    assert result.exit_code == 0, result.output
    assert "FIRM PRICE" in result.output
    assert "local codes, makers' manuals and licensed practice decide" in result.output
    assert files(firm) == [
        "D-101-r1-bill.xlsx", "D-101-r1-cuts.svg", "D-101-r1-estimate.json", "D-101-r1-quote.html"]


def test_a_stop_finding_gives_status_3_and_a_budget_range_all_the_same(firm: Path) -> None:
    result = quoted(firm, "mostly-unknown")
    assert result.exit_code == 3
    assert "BUDGET RANGE" in result.output
    assert "under the stairs" in result.output
    assert len(files(firm)) == 4  # the cuts of the rails are drawn as well


def test_json_is_one_document_and_nothing_else(firm: Path) -> None:
    result = quoted(firm, "storage-outside", "--json")
    document = json.loads(result.stdout)
    assert document["currency"] == "GBP"
    assert isinstance(document["price"]["gross"], int)


def test_the_same_survey_and_day_give_the_same_revision_and_the_same_bytes(firm: Path) -> None:
    quoted(firm, "storage-outside")
    before = {name: (firm / "out" / name).read_bytes() for name in files(firm)}
    again = quoted(firm, "storage-outside")
    assert "Nothing has changed since revision 1" in again.output
    assert {name: (firm / "out" / name).read_bytes() for name in files(firm)} == before


def test_a_changed_survey_gives_the_next_revision_and_keeps_the_first(firm: Path) -> None:
    survey = firm / "survey.toml"
    text = (DEMO / "storage-outside" / "survey.toml").read_text()
    survey.write_text(text)
    first = run(firm, "quote", str(survey), "--on", DAY, "--out", str(firm / "out"), "--json")
    survey.write_text(text.replace("travel_min = { value = 40", "travel_min = { value = 70"))
    second = run(firm, "quote", str(survey), "--on", DAY, "--out", str(firm / "out"), "--json")
    assert json.loads(first.stdout)["revision"] == 1
    assert json.loads(second.stdout)["revision"] == 2
    assert json.loads(second.stdout)["price"]["net"] > json.loads(first.stdout)["price"]["net"]
    kept = run(firm, "jobs", "show", "D-101", "--revision", "1", "--json")
    assert json.loads(kept.stdout) == json.loads(first.stdout)


def test_every_mistake_is_told_at_once_and_nothing_is_kept_or_written(firm: Path) -> None:
    survey = firm / "broken.toml"
    survey.write_text('[job]\nid = "X-1"\nparts = ["storage"]\n\n[storage]\nmodulse = 3\n'
                      'mount = "wal"\n')
    before = (firm / "estimator.db").read_bytes()
    result = run(firm, "quote", str(survey), "--on", DAY, "--out", str(firm / "out"))
    assert result.exit_code == 1
    assert "broken.toml:6" in result.output
    assert "did you mean 'modules'?" in result.output
    assert "broken.toml:7" in result.output
    assert "did you mean 'wall'?" in result.output
    assert "Traceback" not in result.output
    assert files(firm) == []
    assert (firm / "estimator.db").read_bytes() == before


def test_a_wished_item_the_catalogue_lacks_is_told_with_its_line(firm: Path) -> None:
    survey = firm / "wish.toml"
    survey.write_text('[job]\nid = "X-2"\nparts = ["storage"]\nevidence = "seen"\n\n'
                      '[wishes]\nstorage = "no-such"\n')
    result = run(firm, "quote", str(survey), "--on", DAY)
    assert result.exit_code == 1
    assert "wish.toml:7" in result.output
    assert "K001" in result.output


def test_a_discount_needs_a_reason_and_a_name(firm: Path) -> None:
    result = quoted(firm, "storage-outside", "--discount", "5%")
    assert result.exit_code == 1
    assert "no reason" in result.output
    assert "name" in result.output
    assert files(firm) == []
    given = quoted(firm, "storage-outside", "--discount", "5%", "--reason", "friend of the house",
                   "--name", "R. Owner", "--json")
    price = json.loads(given.stdout)["price"]
    assert price["discount"]["amount"] * 20 == price["list_net"]
    assert price["net"] == price["list_net"] - price["discount"]["amount"]


@pytest.mark.parametrize("amount", ["five", "-5", "5%%", "1e3", "0"])
def test_a_discount_that_is_no_amount_is_refused(firm: Path, amount: str) -> None:
    result = quoted(firm, "storage-outside", f"--discount={amount}", "--reason", "r", "--name", "n")
    assert result.exit_code == 1
    assert "Traceback" not in result.output


def test_usage_mistakes_give_status_2(firm: Path) -> None:
    assert run(firm, "quote").exit_code == 2
    assert run(firm, "why", "D-101").exit_code == 2
    assert quoted(firm, "storage-outside", "--on", "yesterday").exit_code == 2


def test_why_tells_rule_fact_evidence_boxes_and_offer(firm: Path) -> None:
    quoted(firm, "storage-outside")
    bill = json.loads(run(firm, "jobs", "show", "D-101", "--json").output)
    bracket = next(x for x in bill["lines"] if x["rule"] == "storage-bracket")
    told = run(firm, "why", "D-101", str(bracket["line"])).output
    assert "each wall-hung module hangs on its own bracket" in told
    assert "storage.modules" in told
    assert "from boxes 3" in told
    not_there = run(firm, "why", "D-101", "--not", "current clamp").output
    assert "metering.route_m = 15 m" in not_there
    as_data = json.loads(run(firm, "why", "D-101", str(bracket["line"]), "--json").output)
    assert as_data["lines"][0]["item"] == bracket["item"]


def test_the_list_shows_each_job_by_its_newest_revision(firm: Path) -> None:
    quoted(firm, "storage-outside")
    quoted(firm, "flat-roof")
    listed = json.loads(run(firm, "jobs", "list", "--json").output)
    assert [(job["job"], job["revision"]) for job in listed] == [("D-101", 1), ("D-104", 1)]


def test_an_unknown_job_is_told_with_the_closest_known(firm: Path) -> None:
    quoted(firm, "storage-outside")
    result = run(firm, "why", "D-1O1", "1")
    assert result.exit_code == 1
    assert "D-101" in result.output


def test_papers_that_cannot_be_written_leave_no_revision(firm: Path) -> None:
    (firm / "out").write_text("a file where the folder should be")
    survey = str(DEMO / "storage-outside" / "survey.toml")
    result = run(firm, "quote", survey, "--on", DAY, "--out", str(firm / "out" / "papers"))
    assert result.exit_code == 1
    assert "F003" in result.output
    assert "Traceback" not in result.output
    listed = run(firm, "jobs", "list", "--json")
    assert json.loads(listed.output) == []


def test_a_new_firm_quotes_in_its_own_folder_with_its_own_database(tmp_path: Path) -> None:
    folder = tmp_path / "firm"
    laid = CliRunner().invoke(main, ["start", str(folder)])
    assert laid.exit_code == 0, laid.output
    survey = folder / "jobs" / "first.toml"
    survey.write_bytes((DEMO / "storage-outside" / "survey.toml").read_bytes())
    result = CliRunner().invoke(main, ["quote", str(survey), "--on", DAY])
    assert result.exit_code == 0, result.output
    assert "invented defaults" in result.stderr
    assert (folder / "estimator.db").exists()
    assert len(files(folder)) == 4
    blank = CliRunner().invoke(
        main, ["quote", str(folder / "jobs" / "blank-survey.toml"), "--on", DAY])
    assert blank.exit_code == 0, blank.output
    assert "BUDGET RANGE" in blank.output


def test_a_firms_own_rule_overrides_the_standard_one_by_its_id(tmp_path: Path) -> None:
    folder = tmp_path / "firm"
    CliRunner().invoke(main, ["start", str(folder)])
    (folder / "rules" / "own.toml").write_text(
        '[[rule]]\nid = "storage-bracket"\nfor = "storage"\nwhen = "storage.mount == \'wall\'"\n'
        'item = { family = "mounting", role = "storage wall bracket" }\n'
        'quantity = "storage.modules + 1"\nbecause = "our spare bracket goes in every van"\n')
    survey = DEMO / "storage-outside" / "survey.toml"
    (folder / "jobs" / "own.toml").write_bytes(survey.read_bytes())
    result = CliRunner().invoke(
        main, ["quote", str(folder / "jobs" / "own.toml"), "--on", DAY, "--json"])
    line = next(x for x in json.loads(result.stdout)["lines"] if x["rule"] == "storage-bracket")
    assert (line["need"], line["boxed"], line["buy"]) == (4, 3, 1)
    assert line["because"] == "our spare bracket goes in every van"


def test_a_stop_is_let_pass_by_a_named_person_for_a_reason_kept_with_the_revision(
    firm: Path,
) -> None:
    cellar = ("--let-pass", "storage-fuel-near")
    nameless = quoted(firm, "in-roof", *cellar)
    assert nameless.exit_code == 1
    assert "V002" in nameless.output
    assert "V003" in nameless.output
    wrong = quoted(firm, "storage-outside", *cellar, "--reason", "r", "--name", "n")
    assert wrong.exit_code == 1
    assert "is no stop of this job" in wrong.output
    stop = next(f for f in json.loads(quoted(firm, "in-roof", "--json").stdout)["findings"]
                if f["level"] == "stop")
    done = quoted(firm, "in-roof", "--let-pass", stop["code"], "--reason", "moved on Monday",
                  "--name", "R. Owner", "--json")
    assert done.exit_code == 0
    kept = json.loads(run(firm, "jobs", "show", "D-108", "--json").stdout)
    passed = next(f for f in kept["findings"] if f["code"] == stop["code"])
    assert (passed["let_pass_by"], passed["let_pass_because"]) == ("R. Owner", "moved on Monday")


def test_check_tells_findings_worst_first_and_keeps_nothing(firm: Path) -> None:
    survey = str(DEMO / "mostly-unknown" / "survey.toml")
    result = run(firm, "check", survey, "--on", DAY)
    assert result.exit_code == 3
    assert result.output.index("STOP") < result.output.index("CAUTION")
    found = json.loads(run(firm, "check", survey, "--on", DAY, "--json").stdout)["findings"]
    ranks = [["stop", "caution", "fine"].index(f["level"]) for f in found]
    assert ranks == sorted(ranks)
    assert all(f["source"] and f["decides"] for f in found)
    assert json.loads(run(firm, "jobs", "list", "--json").stdout) == []
    assert files(firm) == []


def test_the_rules_of_a_firm_are_checked_with_its_own_norms_and_practice_values(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "firm"
    CliRunner().invoke(main, ["start", str(folder)])
    (folder / "norms" / "own.toml").write_text(
        '[[norm]]\nid = "polish"\nname = "Polish"\nper = "job"\nlow = 1\nlikely = 2\nhigh = 3\n'
        'crew = 1\ngroup = "site"\non_site = true\nsource = "own records"\nfrom = 2026-01-01\n')
    (folder / "practice" / "own.toml").write_text(
        '[[value]]\nname = "polish_from"\nvalue = "2"\nunit = ""\nmeaning = "modules"\n'
        'source = "own records"\nstanding = "common practice"\nfrom = 2026-01-01\n'
        'decides = "estimator"\n')
    (folder / "rules" / "own.toml").write_text(
        '[[task]]\nid = "polish"\nfor = "storage"\nwhen = "storage.modules > '
        'practice.polish_from"\nnorm = "polish"\nunits = "1"\nbecause = "our finish"\n')
    monkeypatch.chdir(folder)
    checked = CliRunner().invoke(main, ["rules", "check", "--on", DAY])
    assert checked.exit_code == 0, checked.output
    survey = folder / "jobs" / "first.toml"
    survey.write_bytes((DEMO / "storage-outside" / "survey.toml").read_bytes())
    done = CliRunner().invoke(main, ["quote", "jobs/first.toml", "--on", DAY, "--json"])
    assert "polish" in {task["task"] for task in json.loads(done.stdout)["tasks"]}
