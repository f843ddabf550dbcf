"""Judges where the storage of a job is to stand: the facts of its sheet against the place rules."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import cast

from catalogue.price_book import PriceBook
from catalogue.specs import StorageSpec
from estimator.design.case import Case, Outcome
from estimator.design.siting.place_facts import place_facts
from estimator.design.siting.places import judge_place


def judge_storage_place(case: Case) -> Outcome:
    """Return every outcome on the place of the storage, and every question.

    What is assumed of the place is priced, but does not pass here: its question stays.
    """
    facts = place_facts(case.sheet.job)
    if facts.module_kwh is None:
        facts = replace(facts, module_most_kwh=_largest_kwh(case.prices))
    report = judge_place(facts, case.practice, case.on)
    return Outcome((*report.checked, *report.unanswered))


def _largest_kwh(prices: PriceBook) -> Decimal | None:
    """Return the energy of the largest module in the catalogue, while none is chosen."""
    return max((cast(StorageSpec, item.spec).usable_kwh
                for item in prices.with_role("storage", "storage module")), default=None)
