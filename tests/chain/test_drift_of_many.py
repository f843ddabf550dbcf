"""Many open quotes of houses that nobody wrote: each drifts to what quoting it again gives.

`make drift` runs a thousand and says how long one takes; the suite runs fewer of the same.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from catalogue import db
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.drift import Drift
from estimator.estimate import Basis, make_estimate
from estimator.price import net_margin
from estimator.survey.toml import survey_from
from estimator.workflow.drift import DriftRequest, drift
from estimator.workflow.jobs import Making, keep_revision
from estimator.workflow.quote import QuoteRequest, quote
from tests.chain.dearer import dearer
from tests.chain.generated import survey_toml

QUOTES = int(os.environ.get("QUOTES", "25"))
AGAIN = date(2026, 11, 12)


def kept_quotes(basis: Basis) -> dict[str, str]:
    """Keep so many quotes as revisions; return the survey of each by job."""
    engine = db.open_database("estimator.db")
    found: dict[str, str] = {}
    with db.session(engine) as work:
        for number, text in enumerate(surveys(basis.prices)):
            try:
                made = make_estimate(survey_from(parse_toml(text, "survey")), basis)
            except ProblemsFound:  # facts that contradict each other: told, not quoted
                continue
            keep_revision(work, Making(made, text))
            found[f"G-{number}"] = text
            if len(found) == QUOTES:
                break
        work.commit()
    engine.dispose()
    return found


def surveys(prices: PriceBook) -> Iterator[str]:
    for number in range(QUOTES * 4):
        yield survey_toml(number, prices)


@pytest.fixture
def drifted(
    desk: Path, basis: Basis, capsys: pytest.CaptureFixture[str]
) -> tuple[Drift, dict[str, str]]:
    texts = kept_quotes(basis)
    dearer("estimator.db", 7)
    start, used = time.perf_counter(), time.process_time()
    found = drift(DriftRequest(AGAIN, "estimator.db"), lambda done, of: None)
    took, used = time.perf_counter() - start, time.process_time() - used
    if "QUOTES" in os.environ:
        with capsys.disabled():
            sys.stdout.write(
                f"\n{QUOTES} open quotes run again in {took:.1f} s: {took / QUOTES * 1000:.0f} ms "
                f"each, of which {used / QUOTES * 1000:.0f} ms of processor time\n")
    return found, texts


def test_every_open_quote_drifts_to_what_quoting_it_again_by_hand_gives(
    drifted: tuple[Drift, dict[str, str]]
) -> None:
    found, texts = drifted
    assert found.not_run == ()
    assert {each.quote.job for each in found.quotes} == set(texts)
    assert len(texts) == QUOTES
    for each in found.quotes:
        job, survey = each.quote.job, Path(f"{each.quote.job}.toml")
        survey.write_text(texts[job], encoding="utf-8")
        by_hand = quote(QuoteRequest(survey, AGAIN, "estimator.db", write_papers=False)).estimate
        assert each.cost.full.minor == by_hand.cost.total, job
        assert each.cost.direct.minor == by_hand.cost.direct, job
        assert each.kind == by_hand.kind, job
        assert each.margin_now == net_margin(each.quote.net, each.cost.full), job
        assert sum(one.change.minor for one in each.moved) == each.change.minor, job
    dearer_now = sum(each.change.minor > 0 for each in found.quotes)
    assert dearer_now > QUOTES // 2, "hardly any of these quotes has drifted"
