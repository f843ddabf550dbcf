"""Many surveys that nobody wrote, through the whole chain: no crash, no finding without a source.

`make surveys` runs ten thousand; the suite runs fewer of the same.
"""

from __future__ import annotations

import os
from collections import Counter
from dataclasses import dataclass

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
ENOUGH = 120  # so many reach every level and both kinds


@dataclass(frozen=True)
class Seen:
    """What was seen of one estimate: whatever is amiss, its kind, and the levels of findings."""

    amiss: tuple[str, ...]
    kind: str
    levels: tuple[str, ...]


@pytest.fixture(scope="module")
def seen() -> dict[int, Seen | None]:
    """What was seen, by number of the survey; None for one that is refused."""
    return {}


def look(number: int, basis: Basis, seen: dict[int, Seen | None]) -> Seen | None:
    """Return what is seen of the estimate of a survey, made once."""
    if number not in seen:
        text = survey_toml(number, basis.prices)
        try:
            made = make_estimate(survey_from(parse_toml(text, f"{number}.toml")), basis)
        except ProblemsFound:  # facts that contradict each other: told, not priced
            seen[number] = None
        else:
            seen[number] = Seen((*amiss(made), *unreported(made)), made.kind,
                                tuple(each.level for each in made.findings))
    return seen[number]


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


def unreported(made: Estimate) -> list[str]:
    """Say which findings are printed without their source."""
    report = "".join(findings_report(EstimateJson.of(made, 1)).split())  # lines may break
    return [f"the source of {each.code} is not printed" for each in made.findings
            if "".join(each.source.split()) not in report]


@pytest.mark.parametrize("first", range(0, MANY, BATCH))
def test_no_survey_breaks_the_checks_and_every_finding_has_source_and_decider(
    first: int, basis: Basis, seen: dict[int, Seen | None]
) -> None:
    priced = 0
    for number in range(first, first + BATCH):
        found = look(number, basis, seen)
        if found is None:
            continue
        assert found.amiss == (), number
        priced += 1
    assert priced > BATCH // 2, "hardly any of these surveys came to a price"


def test_generated_surveys_reach_every_level_and_both_kinds(
    basis: Basis, price_book: PriceBook, seen: dict[int, Seen | None]
) -> None:
    kinds: Counter[str] = Counter()
    levels: Counter[str] = Counter()
    for number in range(ENOUGH):
        found = look(number, basis, seen)
        if found is not None:
            kinds[found.kind] += 1
            levels.update(found.levels)
    assert {"stop", "caution", "fine"} <= set(levels)
    assert kinds["budget"] > 0
    assert survey_toml(7, price_book) == survey_toml(7, price_book)
    assert survey_toml(7, price_book) != survey_toml(8, price_book)
