"""What a question is worth is the difference of whole estimates, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from catalogue.money import Money
from estimator.estimate import Basis, make_estimate
from estimator.questions.answers import Answers
from estimator.questions.worth import Tried, Worth, facts_to_ask, in_order, worth_asking
from estimator.survey.fact import Evidence
from estimator.survey.model import Survey
from estimator.survey.setting import fact_at, with_fact
from estimator.survey.toml import read_survey

DEMO = Path(__file__).parents[2] / "demo_jobs"


@pytest.fixture(scope="module")
def house() -> Survey:
    """The firm demo job with one fact taken away: is an isolator there?"""
    sound = read_survey(DEMO / "storage-outside" / "survey.toml")
    return with_fact(sound, "supply.isolator_present", None)


@pytest.fixture(scope="module")
def only(answers: Mapping[str, Answers]) -> dict[str, Answers]:
    return {"supply.isolator_present": answers["supply.isolator_present"]}


def test_the_spread_is_the_difference_of_two_whole_estimates(
    house: Survey, basis: Basis, only: dict[str, Answers]
) -> None:
    (worth,) = worth_asking(house, basis, only)
    prices = [make_estimate(with_fact(house, worth.fact, value), basis).price.gross
              for value in (True, False)]
    assert worth.spread == max(prices) - min(prices)
    assert worth.spread > Money(0)
    assert (worth.low, worth.high) == (min(prices), max(prices))


def test_the_likely_price_is_the_mean_by_the_chances(
    house: Survey, basis: Basis, only: dict[str, Answers]
) -> None:
    (worth,) = worth_asking(house, basis, only)
    by_value = {each.value: each for each in worth.tried}
    shares = dict(zip(only[worth.fact].values, only[worth.fact].shares, strict=True))
    mean = sum(Fraction(by_value[value].price.minor) * share for value, share in shares.items())
    assert abs(worth.likely.minor - mean) <= Fraction(1, 2)


def test_the_expected_loss_is_the_mean_of_the_cost_above_what_is_priced_now(
    house: Survey, basis: Basis, only: dict[str, Answers]
) -> None:
    now = make_estimate(house, basis).cost.total.minor
    (worth,) = worth_asking(house, basis, only)
    over = sum((each.share * max(0, each.cost.minor - now) for each in worth.tried), Fraction(0))
    assert abs(worth.loss.minor - over) <= Fraction(1, 2)  # no answer brings a new stop


def test_a_house_of_which_everything_is_known_has_nothing_to_ask(
    basis: Basis, answers: Mapping[str, Answers]
) -> None:
    """Every spread of a known fact is zero: there is no other answer."""
    sound = read_survey(DEMO / "storage-outside" / "survey.toml")
    known = sound
    for path in facts_to_ask(sound, make_estimate(sound, basis), answers):
        fact = fact_at(sound, path)
        assert fact is not None
        value = fact.value if fact.known else answers[path].values[0]
        known = with_fact(known, path, value)
    # An answer may open questions of its own; it is asked until there are none.
    for path in facts_to_ask(known, make_estimate(known, basis), answers):
        known = with_fact(known, path, answers[path].values[0])
    assert worth_asking(known, basis, answers) == ()


def test_a_weakly_known_fact_is_asked_again(
    basis: Basis, only: dict[str, Answers]
) -> None:
    sound = read_survey(DEMO / "storage-outside" / "survey.toml")
    told = with_fact(sound, "supply.isolator_present", True, Evidence.CUSTOMER_SAID)
    (worth,) = worth_asking(told, basis, only)
    assert worth.known_as == "customer said"
    assert worth.low == make_estimate(told, basis).price.gross


def test_progress_is_told_after_each_estimate(
    house: Survey, basis: Basis, only: dict[str, Answers]
) -> None:
    told: list[tuple[int, int]] = []
    worth_asking(house, basis, only, lambda done, of: told.append((done, of)))
    assert told == [(1, 2), (2, 2)]


def test_the_demo_job_of_which_little_is_known_asks_what_moves_the_price_first(
    basis: Basis, answers: Mapping[str, Answers]
) -> None:
    house = read_survey(DEMO / "mostly-unknown" / "survey.toml")
    few = {path: answers[path] for path in (
        "plane.covering", "wishes.mesh", "board.surge_present", "site.travel_min")}
    asked = [each.fact for each in worth_asking(house, basis, few)]
    assert asked[0] == "plane[0].covering"
    assert set(asked) == {"plane[0].covering", "wishes.mesh", "board.surge_present",
                          "site.travel_min"}


def worth_of(fact: str, loss: str, minutes: str = "1", photo: str = "", high: str = "0") -> Worth:
    tried = (Tried(True, Fraction(1), Money(0), Money(0), frozenset(), frozenset()),)
    return Worth(fact, "?", "", "unknown", Money(0), Money(0), Money.of(high), Fraction(0),
                 Money.of(loss), Decimal(minutes), photo, tried)


def test_what_saves_most_a_minute_comes_first_and_a_wide_spread_breaks_the_tie() -> None:
    found = in_order([
        worth_of("a", "10"), worth_of("b", "30", "5"), worth_of("c", "20"),
        worth_of("d", "10", high="5"),
    ])
    assert [each.fact for each in found] == ["c", "d", "a", "b"]  # 20, 10, 10 and 6 a minute


def test_facts_of_one_photograph_are_asked_together() -> None:
    found = in_order([
        worth_of("roof.a", "100", photo="roof"), worth_of("meter.a", "50", photo="meter"),
        worth_of("roof.b", "1", photo="roof"), worth_of("c", "20"),
    ])
    assert [each.fact for each in found] == ["roof.a", "roof.b", "meter.a", "c"]


def test_an_answer_that_the_house_cannot_have_is_left_out(
    house: Survey, basis: Basis, only: dict[str, Answers]
) -> None:
    """A converter that is not in the catalogue is refused, not priced."""
    sound = make_estimate(house, basis).design.kit.items["converter"]
    assert sound is not None
    told = with_fact(house, "wishes.converter", sound.code, Evidence.ASSUMED)
    offered = replace(only["supply.isolator_present"], fact="wishes.converter",
                      values=(sound.code, "no-such-converter"),
                      shares=(Fraction(1, 2), Fraction(1, 2)))
    (worth,) = worth_asking(told, basis, {"wishes.converter": offered})
    assert [each.value for each in worth.tried] == [sound.code]
    assert worth.likely == worth.tried[0].price
