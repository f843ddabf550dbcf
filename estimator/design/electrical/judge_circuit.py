"""The alternating-current side of a job: circuits and their cable, supply, board."""

from __future__ import annotations

from typing import Any

from estimator.design.case import Case, Outcome
from estimator.design.electrical.circuit_outcome import circuit_outcome
from estimator.design.electrical.figures import Figures
from estimator.design.electrical.judge_board import board_outcome
from estimator.design.electrical.judge_supply import supply_outcome
from estimator.design.electrical.surveyed_circuit import BACKUP, CONVERTER


def judge_circuit(case: Case) -> Outcome:
    """Return what is found of the converter's circuit, the backup feed, the supply and the board.

    Only for what the job asks: the circuit of a converter that is fitted, the feed of a backup.

    Raises:
        ProblemsFound: P020 if the practice pack has no such table or value on that day.
    """
    figures = Figures(case.practice, case.on)
    outcomes = []
    if "converter" in case.sheet.parts:
        outcomes += [circuit_outcome(case, figures, CONVERTER), supply_outcome(case, figures),
                     board_outcome(case)]
    if "backup" in case.sheet.parts:
        outcomes.append(circuit_outcome(case, figures, BACKUP))
    facts: dict[str, Any] = {
        f"{run.facts}.over_to_armoured": False for run in (CONVERTER, BACKUP)}
    for each in outcomes:
        facts.update(each.facts)
    return Outcome(
        tuple(told for each in outcomes for told in each.told), facts,
        because={path: why for each in outcomes for path, why in each.because.items()},
        assumed=frozenset().union(*(each.assumed for each in outcomes)),
        worked=tuple(worked for each in outcomes for worked in each.worked),
        lengths={path: found for each in outcomes for path, found in each.lengths.items()})
