"""Every demo job is quoted, and its texts stand as a person approved them."""

from __future__ import annotations

import html
import json
import re
from datetime import date
from pathlib import Path

import jsonschema
import pytest

from estimator.papers.contract import EstimateJson
from estimator.papers.planned import plan_lines, quoted_job
from estimator.papers.quote_page import quote_page
from estimator.papers.terminal import findings_report, summary
from estimator.settings import Settings
from estimator.workflow.quote import QuoteRequest, quote
from tests.approved import check_approved

ROOT = Path(__file__).parents[2]
SURVEYS = {path.parent.name: path for path in sorted(ROOT.glob("demo_jobs/*/survey.toml"))}
ON = date(2026, 11, 2)


@pytest.fixture(scope="module")
def quoted(tmp_path_factory: pytest.TempPathFactory) -> dict[str, EstimateJson]:
    database = str(tmp_path_factory.mktemp("firm") / "estimator.db")
    return {
        name: quote(QuoteRequest(path.relative_to(Path.cwd()) if path.is_relative_to(Path.cwd())
                                 else path, ON, database, write_papers=False)).estimate
        for name, path in SURVEYS.items()
    }


def test_there_are_at_least_six_demo_jobs_from_tidy_to_awkward() -> None:
    assert len(SURVEYS) >= 6
    assert {"storage-outside", "mostly-unknown", "flat-roof", "three-phase-stack"} <= set(SURVEYS)


@pytest.mark.parametrize("name", SURVEYS)
def test_the_summary_is_as_approved(quoted: dict[str, EstimateJson], name: str) -> None:
    check_approved(f"demo/{name}-summary.txt", summary(quoted[name]))


@pytest.mark.parametrize("name", SURVEYS)
def test_the_findings_are_as_approved(quoted: dict[str, EstimateJson], name: str) -> None:
    check_approved(f"demo/{name}-findings.txt", findings_report(quoted[name]))


def test_a_demo_job_stands_for_each_level_of_finding(quoted: dict[str, EstimateJson]) -> None:
    """A refused place stops one; one is held by cautions alone and firm; all show what is fine."""
    worst = {
        name: min((each.level for each in made.findings), key=["stop", "caution", "fine"].index)
        for name, made in quoted.items()
    }
    assert worst["mostly-unknown"] == "stop"
    assert worst["storage-outside"] == "caution"
    assert (quoted["mostly-unknown"].kind, quoted["storage-outside"].kind) == ("budget", "firm")
    for name, made in quoted.items():
        assert any(each.level == "fine" for each in made.findings), name
        assert all(each.source and each.decides for each in made.findings), name


@pytest.mark.parametrize("name", SURVEYS)
def test_the_quote_page_is_as_approved(quoted: dict[str, EstimateJson], name: str) -> None:
    check_approved(f"demo/{name}-quote.txt", page_text(quote_page(quoted[name], Settings())))


def page_text(page: str) -> str:
    """Return the words of a page, one run of text a line; its style is approved elsewhere."""
    body = page[page.index("<body"):]
    runs = (" ".join(html.unescape(run).split()) for run in re.split(r"<[^>]*>", body))
    return "\n".join(run for run in runs if run) + "\n"


@pytest.mark.parametrize("name", SURVEYS)
def test_the_estimate_keeps_the_published_schema(
    quoted: dict[str, EstimateJson], name: str
) -> None:
    schema = json.loads((ROOT / "docs" / "estimate.schema.json").read_text())
    document = json.loads(quoted[name].dumps())
    jsonschema.validate(document, schema)
    assert {"job", "revision", "lines", "surplus", "tasks", "hours", "cost", "price", "findings",
            "questions", "currency"} <= set(document)


@pytest.mark.parametrize("name", SURVEYS)
def test_the_shown_figures_add_up(quoted: dict[str, EstimateJson], name: str) -> None:
    made = quoted[name]
    assert sum(head.amount for head in made.cost.heads) == made.cost.direct
    assert made.cost.direct + made.cost.overhead == made.cost.total
    assert made.price.net + sum(line.vat for line in made.price.vat) == made.price.gross
    assert sum(line.net for line in made.price.vat) == made.price.net
    assert made.price.net - made.cost.total >= 0


def test_the_jobs_differ_as_their_descriptions_say(quoted: dict[str, EstimateJson]) -> None:
    kinds = {name: made.kind for name, made in quoted.items()}
    assert kinds["storage-outside"] == "firm"
    assert kinds["panels-and-storage"] == "firm"
    assert kinds["mostly-unknown"] == "budget"
    assert kinds["flat-roof"] == "budget"
    worst = {name: made.findings[0].level for name, made in quoted.items()}
    assert worst["storage-outside"] == "caution"
    assert worst["mostly-unknown"] == "stop"
    assert len(quoted["slate-hip"].facts) > 0


@pytest.mark.parametrize("name", SURVEYS)
def test_what_was_reckoned_line_by_line_adds_up_to_the_full_cost(
    quoted: dict[str, EstimateJson], name: str
) -> None:
    made = quoted[name]
    lines = plan_lines(made)
    assert sum(line.amount_minor for line in lines) == made.cost.total
    labour = [line for line in lines if line.kind == "labour"]
    assert {line.code for line in labour} == {task.task for task in made.tasks}
    assert sum(line.amount_minor for line in labour) == made.cost.labour


def test_demo_jobs_are_held_side_by_side_by_what_they_are_about(
    quoted: dict[str, EstimateJson]
) -> None:
    """Read off the surveys by hand."""
    about = {name: quoted_job(made) for name, made in quoted.items()}
    flat, stack = about["flat-roof"], about["storage-outside"]
    assert (flat.kind_of_job, flat.covering, flat.wall, flat.storeys, flat.panels) == (
        "panels", "felt", "", 1, 6)
    assert (stack.kind_of_job, stack.covering, stack.wall, stack.modules) == (
        "storage", "", "dense brick", 3)
    both = about["three-phase-stack"]
    assert (both.kind_of_job, both.covering, both.wall, both.modules) == (
        "panels and storage", "clay pantile", "stud", 6)
