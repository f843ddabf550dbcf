"""What a revision was made with is kept beside it, each text once."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
import tomllib
from datetime import date
from pathlib import Path

import pytest

from catalogue.item_text import item_text, items_from
from catalogue.price_book import PriceBook
from estimator import VERSION
from estimator.workflow.made_with import KINDS
from estimator.workflow.quote import QuoteRequest, quote
from estimator.workflow.start import start_firm

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo_jobs"
ON = date(2026, 11, 2)


@pytest.fixture
def firm(tmp_path: Path, starter_template: Path) -> Path:
    start_firm(tmp_path / "firm")
    shutil.copy(starter_template, tmp_path / "firm" / "estimator.db")
    for name in ("storage-outside", "flat-roof"):
        shutil.copytree(DEMO / name, tmp_path / "firm" / "jobs" / name)
    return tmp_path / "firm"


def quoted(firm: Path, name: str = "storage-outside") -> int:
    survey = firm / "jobs" / name / "survey.toml"
    return quote(QuoteRequest(survey, ON, write_papers=False)).estimate.revision


def asked(firm: Path, question: str) -> list[tuple[str, ...]]:
    with sqlite3.connect(firm / "estimator.db") as work:
        return work.execute(question).fetchall()


def kept(firm: Path, job: str, number: int) -> dict[str, str]:
    return dict(asked(firm, "SELECT kind, text FROM revision_basis JOIN kept_text USING (digest) "
                            f"WHERE job_id = '{job}' AND number = {number}"))


def job_of(name: str) -> str:
    with (DEMO / name / "survey.toml").open("rb") as file:
        return str(tomllib.load(file)["job"]["id"])


def test_a_revision_keeps_every_text_that_decides_and_its_digest_is_that_of_the_text(
    firm: Path,
) -> None:
    own = firm / "rules" / "own.toml"
    own.write_text('[[risk]]\nid = "own"\nfor = "job"\nwhen = "job.storage"\nchance = "0.5"\n'
                   'cost = "10.00"\nbecause = "a test"\n', encoding="utf-8")
    quoted(firm)
    found = kept(firm, job_of("storage-outside"), 1)
    assert set(found) == set(KINDS)
    rules = json.loads(found["rules"])
    standard = sorted(path.name for path in (ROOT / "estimator/rules/data").glob("*.toml"))
    assert [Path(name).name for name in rules if name.startswith("estimator/")] == standard
    assert rules["rules/own.toml"] == own.read_text(encoding="utf-8")
    assert not any(str(firm) in name for name in rules), "the folder differs from desk to desk"
    assert json.loads(found["settings"])["pricing"]["margin_target"] == "0.15"
    for digest, text in asked(firm, "SELECT digest, text FROM kept_text"):
        assert digest == hashlib.sha256(text.encode()).hexdigest()


def test_a_text_that_two_revisions_share_is_stored_once(firm: Path) -> None:
    quoted(firm, "storage-outside")
    before = asked(firm, "SELECT digest FROM kept_text")
    assert len(before) == len(KINDS)
    quoted(firm, "flat-roof")
    assert len(asked(firm, "SELECT 1 FROM revision_basis")) == 2 * len(KINDS)
    assert len(asked(firm, "SELECT 1 FROM kept_text")) == len(KINDS) + 1, "other items alone"


def test_a_revision_that_stands_keeps_nothing_anew(firm: Path) -> None:
    assert quoted(firm) == 1
    norms = firm / "norms" / "own.toml"
    norms.write_text("# nothing yet\n", encoding="utf-8")
    assert quoted(firm) == 1
    assert len(asked(firm, "SELECT 1 FROM revision_basis")) == len(KINDS)


def test_items_read_back_as_they_were_save_what_decides_nothing(price_book: PriceBook) -> None:
    items = tuple(price_book.items.values())
    back = items_from(item_text(items))
    assert item_text(back) == item_text(reversed(items))
    for was, now in zip(items, back, strict=True):
        assert (was.spec, was.contents, was.waste, was.mass_kg, was.roles, was.head) == (
            now.spec, now.contents, now.waste, now.mass_kg, now.roles, now.head)


def test_the_version_that_is_kept_is_that_of_the_package() -> None:
    with (ROOT / "pyproject.toml").open("rb") as file:
        assert tomllib.load(file)["project"]["version"] == VERSION
