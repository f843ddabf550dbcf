"""The single lengths of a quantity of cable: as the design knows them, else shared out evenly."""

from __future__ import annotations

from decimal import ROUND_DOWN, Decimal
from typing import NamedTuple

from estimator.design.sheet import LENGTHS, Environment
from estimator.rules.model import MaterialRule
from estimator.rules.results import Demand

_MICRO = Decimal("0.000001")


class Run(NamedTuple):
    """A part of a demand that is fitted in one length: rule, plane or leg, and which of how many.

    The length is as the rule asks for it, without the allowance for waste.
    """

    rule: str
    on: str
    number: int
    of: int
    length: Decimal

    @property
    def label(self) -> str:
        """Return what the run is, in words: "pv dc cable, south roof, 1 of 4"."""
        parts = [self.rule.replace("-", " ").replace(".", " "), self.on]
        if self.of > 1:
            parts.append(f"{self.number} of {self.of}")
        return ", ".join(part for part in parts if part)


def named_runs(demand: Demand) -> list[Run]:
    """Return the runs of a demand; all of it is one where nothing is said of them."""
    lengths = demand.runs or (demand.quantity,)
    return [Run(demand.reason.rule, demand.reason.on, n, len(lengths), length)
            for n, length in enumerate(lengths, start=1)]


def runs_of(
    rule: MaterialRule, quantity: Decimal, runs: int, env: Environment
) -> tuple[Decimal, ...]:
    """Return the runs of a quantity, which they add up to exactly.

    Where the number of runs is a fact whose lengths the design has found, and they add up to the
    quantity, each run is as long as it was found. Else nobody measured them one by one: they are
    alike, and the last takes the millionths that do not part.

    Args:
        rule: whose quantity it is.
        quantity: above zero.
        runs: how many, at least one.
        env: where the rule ran.
    """
    found = env.get(LENGTHS, {}).get(rule.runs.text, ()) if rule.runs is not None else ()
    if len(found) == runs and sum(found) == quantity:
        return tuple(found)
    each = (quantity / runs).quantize(_MICRO, ROUND_DOWN) if runs > 1 else quantity
    return (*[each] * (runs - 1), quantity - each * (runs - 1))
