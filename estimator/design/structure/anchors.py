"""What a wall fixing may carry: partial factors, and pull and shear together.

Symbols of EN 1992-4 and ETAG 029: beta N and beta V are pull and shear over their resistances.
A rating comes from the fixing's own sheet for that wall, or from tests on site; never from here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from estimator.design.check import Check
from estimator.design.limits import Figure, Number, exact, limit_of, outcome, shown
from estimator.practice.pack import Practice


class WallRule(NamedTuple):
    """How a kind of wall is judged.

    Attributes:
        material: material that the partial factor is stated for.
        factor: partial factor on the characteristic load; None where none is published and the
            wall is tested on site.
        most_sum: most sum of both ratios.
        test_first: whether fixings are tested by pulling before anything heavy hangs on them.
    """

    material: str
    factor: Fraction | None
    most_sum: Fraction
    test_first: bool


@dataclass(frozen=True)
class AnchorRule:
    """Partial factors and interaction in force on a day."""

    walls: Mapping[str, WallRule]
    load_factor: Fraction
    steel_power: Figure
    concrete_power: Figure
    edge_mm: Figure
    source: str
    decides: str


def anchor_rule(practice: Practice, on: date) -> AnchorRule:
    """Return the rule in force on a day.

    Raises:
        ProblemsFound: P020 if the pack lacks a part of it.
    """
    table = practice.table("anchor_walls", on)
    material, factor = table.column("material"), table.column("factor")
    most, test = table.column("most sum"), table.column("test first")
    return AnchorRule(
        walls={
            str(wall): WallRule(
                str(material[wall]), exact(factor[wall]) if wall in factor else None,
                exact(most[wall]), test.get(wall) == "yes",
            )
            for wall in table.keys
        },
        load_factor=limit_of(practice, "anchor_load_factor", on).value,
        steel_power=limit_of(practice, "anchor_steel_power", on),
        concrete_power=limit_of(practice, "anchor_concrete_power", on),
        edge_mm=limit_of(practice, "anchor_edge_mm", on),
        source=table.source,
        decides=table.decides,
    )


def recommended_n(characteristic_n: Number, wall: str, rule: AnchorRule) -> Fraction | None:
    """Return the recommended load [N]: Rk / (material factor x load factor).

    None where no factor is published for the wall: it is tested on site.
    """
    factor = rule.walls[wall].factor
    if factor is None:
        return None
    return Fraction(characteristic_n) / (factor * rule.load_factor)


def judge_steel(pull: Number, shear: Number, rule: AnchorRule) -> Check:
    """Return pull and shear ratios of the steel together: (beta N)^2 + (beta V)^2 <= 1."""
    together = _powers(pull, shear, rule.steel_power.value)
    return _judged("anchor-steel", together, Fraction(1), rule.steel_power)


def judge_concrete(pull: Number, shear: Number, rule: AnchorRule) -> Check:
    """Return pull and shear ratios in concrete together.

    Either (beta N)^1.5 + (beta V)^1.5 <= 1, or beta N + beta V <= 1.2 with neither above 1. The
    form that passes is shown; the first where neither does.
    """
    powers = _judged(
        "anchor-concrete", _powers(pull, shear, rule.concrete_power.value), Fraction(1),
        rule.concrete_power)
    added = judge_sum(pull, shear, rule.walls["concrete"].most_sum, rule)
    return added if added.passes and not powers.passes else powers


def judge_sum(pull: Number, shear: Number, most: Fraction, rule: AnchorRule) -> Check:
    """Return the sum of both ratios against the most for the wall, neither being above 1."""
    single = max(Fraction(pull), Fraction(shear))
    if single > 1:
        return _judged("anchor-single", single, Fraction(1), _by(rule))
    return _judged("anchor-sum", Fraction(pull) + Fraction(shear), most, _by(rule))


def judge_anchor(pull: Number, shear: Number, wall: str, rule: AnchorRule) -> Check:
    """Return whether a fixing carries pull and shear in a wall, by the rule for that wall.

    Args:
        pull: pull over the recommended pull.
        shear: shear over the recommended shear.
        wall: kind of wall.
        rule: rule in force.
    """
    if rule.walls[wall].material == "concrete":
        return judge_concrete(pull, shear, rule)
    return judge_sum(pull, shear, rule.walls[wall].most_sum, rule)


def _powers(pull: Number, shear: Number, power: Fraction) -> Fraction | float:
    """Return the sum of both ratios raised to a power: exact for a whole power."""
    ratios = Fraction(pull), Fraction(shear)
    if power.denominator == 1:
        return sum((ratio**power.numerator for ratio in ratios), Fraction(0))
    return sum(math.pow(ratio, power) for ratio in ratios)


def _by(rule: AnchorRule) -> Figure:
    return Figure(Fraction(1), "", rule.source, rule.decides)


def _judged(code: str, value: Fraction | float, limit: Fraction, by: Figure) -> Check:
    passes = value <= limit
    says = (
        f"pull and shear together take {shown(value * 100)} % of what is allowed "
        f"({shown(limit * 100)} %)" + ("" if passes else ": choose another fixing or use more")
    )
    return outcome(code, says, value, limit, "", passes, by.source, by.decides)
