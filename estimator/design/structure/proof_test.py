"""Tests of wall fixings on site: how many are pulled and how hard, and trials in unknown walls.

BS 8539:2012, annex B.3, as quoted by a fixing maker. The figures stand in the practice pack.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal

from estimator.design.limits import ENGINEER, Number, limit_of
from estimator.practice.pack import Practice

Load = Literal["high", "low"]


@dataclass(frozen=True, slots=True)
class ProofRule:
    """Shares, test loads and least counts of proof tests; the divisor of trials."""

    shares: tuple[Fraction, Fraction]
    loads: tuple[Fraction, Fraction]
    least: int
    share_after_failure: Fraction
    least_after_failure: int
    failures_most: int
    trial_pulls: int
    trial_divisor: Fraction
    source: str
    trial_source: str


@dataclass(frozen=True, slots=True)
class ProofPlan:
    """Pull so many fixings of an area to so many newtons; tell who decides on a failure."""

    fixings: int
    pulls: int
    test_n: Fraction
    source: str
    decides: str = ENGINEER


@dataclass(frozen=True, slots=True)
class TrialResult:
    """Mean failure load [N] of the trials and the load [N] they allow."""

    mean_n: Fraction
    allowable_n: Fraction
    source: str
    decides: str = ENGINEER


def proof_rule(practice: Practice, on: date) -> ProofRule:
    """Return the rule in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a part of it.
    """
    def number(name: str) -> Fraction:
        return Fraction(practice.number(name, on))

    return ProofRule(
        shares=(number("proof_share_high"), number("proof_share_low")),
        loads=(number("proof_load_high"), number("proof_load_low")),
        least=int(number("proof_least")),
        share_after_failure=number("proof_share_after_failure"),
        least_after_failure=int(number("proof_least_after_failure")),
        failures_most=int(number("proof_failures_most")),
        trial_pulls=int(number("trial_pulls")),
        trial_divisor=number("trial_divisor"),
        source=limit_of(practice, "proof_share_high", on).source,
        trial_source=limit_of(practice, "trial_divisor", on).source,
    )


def proof_plan(
    fixings: int, applied_n: Number, rule: ProofRule, load: Load = "high", failures: int = 0
) -> ProofPlan:
    """Return how many fixings of one area are pulled, and to what load.

    One failure: the larger share and at least six. More than one: every fixing.

    Args:
        fixings: fixings of the area, of one kind in one wall.
        applied_n: pull on each fixing in use.
        rule: rule in force.
        load: "high" pulls fewer to more, "low" pulls more to less.
        failures: fixings of the area that have failed so far.

    Raises:
        ValueError: if there are no fixings, or more have failed than there are.
    """
    if fixings < 1 or not 0 <= failures <= fixings:
        raise ValueError("an area has fixings, and no more fail than there are")
    at = 0 if load == "high" else 1
    share, least = rule.shares[at], rule.least
    if failures:
        share = max(share, rule.share_after_failure)
        least = rule.least_after_failure
    pulls = max(-int(-(fixings * share) // 1), least)
    if failures > rule.failures_most:
        pulls = fixings
    return ProofPlan(
        fixings, min(pulls, fixings), Fraction(applied_n) * rule.loads[at], rule.source)


def allowable_from_trials(failed_at_n: Sequence[Number], rule: ProofRule) -> TrialResult:
    """Return the load that fixings pulled to failure in an unknown wall allow: mean / divisor.

    Raises:
        ValueError: for fewer pulls than the rule asks for.
    """
    if len(failed_at_n) < rule.trial_pulls:
        raise ValueError(f"{len(failed_at_n)} pulls are too few: {rule.trial_pulls} are needed")
    mean = sum((Fraction(n) for n in failed_at_n), Fraction(0)) / len(failed_at_n)
    return TrialResult(mean, mean / rule.trial_divisor, rule.trial_source)
