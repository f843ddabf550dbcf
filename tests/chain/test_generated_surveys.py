"""Many surveys that nobody wrote, through the whole chain: no crash, no finding without a source.

`make surveys` runs ten thousand; the suite runs fewer of the same.
"""

from __future__ import annotations

import os
from collections import Counter

import pytest

from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract import EstimateJson
from estimator.papers.terminal import findings_report
from estimator.survey.toml import survey_from
from tests.chain.generated import survey_toml

MANY = int(os.environ.get("SURVEYS", "200"))
BATCH = 50


def estimate_of(number: int, basis: Basis) -> Estimate:
    text = survey_toml(number, basis.prices)
    return make_estimate(survey_from(parse_toml(text, f"{number}.toml")), basis)


def amiss(made: Estimate) -> list[str]:
    """Say what no estimate may lack."""
    told = [f"{each.code} has no source" for each in made.findings if not each.source.strip()]
    told += [f"{each.code} has nobody who decides" for each in made.findings
             if not each.decides.strip()]
    told += [f"{each.code} says nothing" for each in made.findings if not each.says.strip()]
    told += [f"{each.fact} is not asked" for each in made.questions if not each.asks.strip()]
    told += [f"{each.code} has no source" for each in made.judgement.worked if not each.source]
    stops = any(each.stops for each in made.findings)
    if stops and made.kind != "budget":
        told.append("a stop, and yet a firm price")
    if any(each.at_worst == "stop" for each in made.questions) and made.kind != "budget":
        told.append("at worst a stop, and yet a firm price")
    return told


@pytest.mark.parametrize("first", range(0, MANY, BATCH))
def test_no_survey_breaks_the_checks_and_every_finding_has_source_and_decider(
    first: int, basis: Basis
) -> None:
    priced = 0
    for number in range(first, first + BATCH):
        try:
            made = estimate_of(number, basis)
        except ProblemsFound:  # facts that contradict each other: told, not priced
            continue
        assert amiss(made) == [], number
        report = "".join(findings_report(EstimateJson.of(made, 1)).split())  # lines may break
        assert all("".join(each.source.split()) in report for each in made.findings), number
        priced += 1
    assert priced > BATCH // 2, "hardly any of these surveys came to a price"


def test_generated_surveys_reach_every_level_and_both_kinds(
    basis: Basis, price_book: PriceBook
) -> None:
    kinds: Counter[str] = Counter()
    levels: Counter[str] = Counter()
    for number in range(120):
        try:
            made = estimate_of(number, basis)
        except ProblemsFound:
            continue
        kinds[made.kind] += 1
        levels.update(each.level for each in made.findings)
    assert {"stop", "caution", "fine"} <= set(levels)
    assert kinds["budget"] > 0
    assert survey_toml(7, price_book) == survey_toml(7, price_book)
    assert survey_toml(7, price_book) != survey_toml(8, price_book)
