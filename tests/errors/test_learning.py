"""What is asked of risk and learning and cannot be told, beside the exact words.

`learning/NAME.txt` is the whole message; each was gone through by hand. `proposal.toml` is a sound
proposal, which the cases spoil.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from estimator.workflow.booked_hours import Period
from estimator.workflow.norms import LearnRequest, learn_norms
from estimator.workflow.norms_accept import AcceptRequest, accept_norms
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.risk import RiskRequest, job_risk
from estimator.workflow.start import start_firm

HERE = Path(__file__).parent
DEMO = HERE.parents[1] / "demo_jobs" / "storage-outside" / "survey.toml"
ON, STARTS = date(2026, 11, 2), date(2027, 1, 1)
OWN_LINK = """\
[[norm]]
id = "link"
name = "link"
per = "link"
low = 8
likely = 11
high = 20.5
crew = 1
group = "storage"
on_site = true
source = "our records"
from = {}
"""


def ordered_too_early() -> None:
    job_risk(RiskRequest("survey.toml", ON, order_on=date(2026, 11, 1)), lambda done, of: None)


def period_backwards() -> None:
    learn_norms(LearnRequest(ON, Period(date(2026, 12, 31), date(2026, 1, 1)), "estimator.db"))


def nothing_learned() -> None:
    learn_norms(LearnRequest(ON, out=Path("norms.toml")))


def accept(by: str = "R. Owner", was: str = "", now: str = "") -> None:
    proposal = Path("proposal.toml")
    text = (HERE / "learning" / "proposal.toml").read_text(encoding="utf-8")
    assert was in text
    proposal.write_text(text.replace(was, now, 1) if was else text, encoding="utf-8")
    accept_norms(AcceptRequest(proposal, by, STARTS, ON))


def own_link(starts: str) -> None:
    Path("norms", "ours.toml").write_text(OWN_LINK.format(starts), encoding="utf-8")


def no_firm() -> None:
    shutil.move("firm.toml", "firm.was")
    accept(by=" ")


def another_by_now() -> None:
    own_link("2026-09-01")
    accept()


def begun_later() -> None:
    own_link("2027-01-01")
    accept(was="link = [6, 10, 20]", now="link = [8, 11, 20.5]")


def of_that_day_already() -> None:
    taken = Path("norms", "learned-2027-01-01.toml")
    taken.write_text(OWN_LINK.format(STARTS).replace('"link"', '"rail"', 1), encoding="utf-8")
    kept = taken.read_bytes()
    try:
        accept()
    finally:
        assert taken.read_bytes() == kept


def norms_not_begun() -> None:
    own_link("2026-12-01")
    ours = Path("norms", "ours.toml")
    ours.write_text(ours.read_text(encoding="utf-8").replace('"link"', '"our-sheet"', 1),
                    encoding="utf-8")
    Path("rules", "ours.toml").write_text(
        '[[task]]\nid = "our-sheets"\nfor = "storage"\nwhen = "storage.modules > 0"\nunits = "1"\n'
        'norm = "our-sheet"\nbecause = "we sheet the floor"\n', encoding="utf-8")
    quote(QuoteRequest(Path("survey.toml"), ON, write_papers=False))


CASES: Mapping[str, Callable[[], None]] = {
    "ordered-too-early": ordered_too_early,
    "period-backwards": period_backwards,
    "nothing-learned": nothing_learned,
    "no-proposal": lambda: accept(was="jobs = 24", now='jobs = "many"'),
    "no-firm-and-no-name": no_firm,
    "not-learned": lambda: accept(was='id = "link"', now='id = "links"'),
    "wrong-points": lambda: accept(was="likely = 12", now="likely = 6"),
    "another-by-now": another_by_now,
    "begun-later": begun_later,
    "accepted-already": of_that_day_already,
    "norms-not-begun": norms_not_begun,
}


@pytest.mark.parametrize("name", sorted(CASES))
def test_it_is_told_in_these_words(
    name: str, tmp_path: Path, starter_template: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    start_firm(Path("firm"))
    monkeypatch.chdir(tmp_path / "firm")
    shutil.copy(starter_template, "estimator.db")
    shutil.copy(DEMO, "survey.toml")
    monkeypatch.delenv("ESTIMATOR_DB", raising=False)
    files = {path: path.read_bytes() for path in Path().rglob("*.toml")}
    with pytest.raises(ProblemsFound) as caught:
        CASES[name]()
    told = f"{caught.value}\n".replace(f"{tmp_path.as_posix()}/", "")
    wanted = (HERE / "learning" / f"{name}.txt").read_text(encoding="utf-8")
    assert told == wanted
    assert not Path("norms.toml").exists()
    new = {path.as_posix() for path in Path("norms").glob("learned-*") if path not in files}
    assert new == ({"norms/learned-2027-01-01.toml"} if name == "accepted-already" else set())


def test_there_is_no_stray_message() -> None:
    assert {path.stem for path in (HERE / "learning").glob("*.txt")} == set(CASES)
