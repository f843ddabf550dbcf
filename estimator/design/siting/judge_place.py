"""Judges where the storage of a job is to stand: the facts of its sheet against the place rules."""

from __future__ import annotations

from estimator.design.case import Case, Outcome
from estimator.design.siting.place_facts import place_facts
from estimator.design.siting.places import judge_place


def judge_storage_place(case: Case) -> Outcome:
    """Return every outcome on the place of the storage, and every question.

    What is assumed of the place is priced, but does not pass here: its question stays.
    """
    report = judge_place(place_facts(case.sheet.job), case.practice, case.on)
    return Outcome((*report.checked, *report.unanswered))
