"""The README's job from quote to closed, typed as it stands there, with the sheets filled in.

Expected sums are by hand from the opening count; the whole print-out is an approved text.
"""

from __future__ import annotations

import re
import shlex
import shutil
from datetime import UTC, datetime, tzinfo
from decimal import Decimal as D
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.cli import main
from estimator.papers.sheets.closeout_pages import WHY_NOT
from estimator.papers.sheets.pages import ALL
from estimator.workflow.closeout_sheet import issue_close_out
from estimator.workflow.stock_sheet import SheetAsked, issue_sheet
from estimator.workflow.used import job_used
from tests.approved import check_approved
from tests.closing.site import put, sound
from tests.van.desk import all_picked, all_used, books, fill, key_of

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
WALK = README.partition("<!-- walk-through -->")[2].partition("<!-- end of walk-through -->")[0]
COMMANDS = [shlex.split(line.removeprefix("estimator "))
            for line in re.findall(r"^estimator .+$", WALK, re.MULTILINE)]
THAT_DAY = datetime(2026, 11, 2, 9, tzinfo=UTC)


class OnThatDay(datetime):
    """A clock that stands still, since a quote holds for thirty days only."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:
        return THAT_DAY if tz is None else THAT_DAY.astimezone(tz)


@pytest.fixture
def desk(tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the demo job, an empty database, and a day on which the quote holds."""
    shutil.copy(starter_template, tmp_path / "estimator.db")
    shutil.copytree(ROOT / "demo_jobs" / "storage-outside",
                    tmp_path / "demo_jobs" / "storage-outside")
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    for module in ("closeout", "common", "job_answers", "stock", "stock_sheets"):
        monkeypatch.setattr(f"estimator.cli.{module}.datetime", OnThatDay)
    return tmp_path


def typed(arguments: list[str]) -> str:
    done = CliRunner().invoke(main, arguments)
    assert done.exit_code == 0, f"{arguments}: {done.output}"
    return done.stdout


def picked_as_told(file: Path) -> None:
    """Fill the pick sheet in: all that is there was taken."""
    made = issue_sheet("estimator.db", SheetAsked("D-101", THAT_DAY.date()), THAT_DAY)
    assert not made.new
    file.write_bytes(fill(file.read_bytes(), {"Pick": all_picked(made)}))


def returned_as_told(file: Path) -> None:
    """Fill in what came back: 20 clips, two offcuts; alarm and label were bought."""
    made = issue_sheet("estimator.db", SheetAsked("D-101", THAT_DAY.date(), back=True), THAT_DAY)
    marks = all_used(made) | {(key_of(made, "08410-CC"), "Back, good"): 20,
                              (key_of(made, "03040-TE"), "Offcuts in m"): "3.2; 1.5"}
    assert ALL not in marks.values()
    bought = {("+1", "Item"): "11503-HB", ("+1", "How many"): 1,
              ("+1", "Paid in all, without tax"): 31.5,
              ("+2", "Item"): "12060", ("+2", "How many"): 1,
              ("+2", "Paid in all, without tax"): 1.15}
    file.write_bytes(fill(file.read_bytes(), {"Comes back": marks, "Bought": bought}))


def filled_as_told(file: Path) -> None:
    """Fill the close-out sheet in: all is sound, but there is no hose for the water test."""
    made = issue_close_out("estimator.db", "D-101", THAT_DAY.date(), THAT_DAY, file, replace=True)
    assert not made.new
    marks = sound(made.sheet, THAT_DAY.date())
    put(marks, made.sheet, "water", None)
    put(marks, made.sheet, "water", "no hose at the house", WHY_NOT)
    file.write_bytes(fill(file.read_bytes(), marks))


def test_the_walk_through_of_the_readme_runs_from_quote_to_what_was_used(desk: Path) -> None:
    assert [each[:2] for each in COMMANDS] == [
        ["quote", "demo_jobs/storage-outside/survey.toml"], ["jobs", "accept"],
        ["stock", "places"], ["stock", "places"], ["stock", "count"], ["stock", "sheet"],
        ["stock", "picked"], ["stock", "sheet"], ["stock", "returned"], ["closeout", "sheet"],
        ["closeout", "read"], ["jobs", "close"],
        ["stock", "used"]]
    printed = []
    for arguments in COMMANDS:
        if arguments[:2] == ["stock", "picked"]:
            picked_as_told(Path(arguments[2]))
        if arguments[:2] == ["stock", "returned"]:
            returned_as_told(Path(arguments[2]))
        if arguments[:2] == ["closeout", "read"]:
            filled_as_told(Path(arguments[2]))
        printed.append(typed(arguments))
    assert "short: 1 each 11503-HB" in printed[5]
    assert "short: 1 each 12060" in printed[5]
    assert printed[6].endswith("Written.\n")
    assert "water: not tested because no hose at the house" in printed[10]
    assert "still blank: 0" in printed[10]
    check_approved("van/used.txt", printed[-1])

    used = {each.item: each for each in job_used("estimator.db", "D-101").lines}
    # By hand: 50 m of cable are worth 64.00, so 14.9 m leave with 19.07, of which 4.7/14.9, 6.02,
    # come back; 51 clips leave with 2.35 and 20 of them bring 0.92 back; three modules at 1450.00;
    # what was bought at what was paid.
    assert (used["03040-TE"].used, used["03040-TE"].cost_minor) == (D("10.2"), 1_907 - 602)
    assert (used["08410-CC"].used, used["08410-CC"].cost_minor) == (31, 143)
    assert (used["01505-WF"].used, used["01505-WF"].cost_minor) == (3, 435_000)
    assert (used["11503-HB"].bought, used["11503-HB"].cost_minor) == (1, 3_150)
    assert books()[2] == []
