"""How many fixings hold rails against uplift, at whole rafter steps.

Fixings are screwed to rafters, and the factor for the worst fixing under a continuous rail is for
equal steps. So where the wind asks for more than the span of the rails does, every step shrinks by
whole rafter spacings, and the rail may reach less far past its last fixing.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from estimator.design.rails import (
    LINES_PER_SEGMENT,
    RailRule,
    area_m2,
    fixings_at,
    lines_m,
)
from estimator.design.roof import Layout
from estimator.design.structure.roof_load import (
    OVERHANG_MOST,
    RoofRule,
    fixing_worst_kn,
    fixings_for,
)


class Held(NamedTuple):
    """Fixings of a plane and the load of the worst one.

    Attributes:
        least: fixings that the whole uplift asks for, wherever they stand.
        overhang_m: most rail past the last fixing.
        worst_kn: a load that no fixing exceeds.
        holds: whether a fixing carries that load.
    """

    fixings: int
    least: int
    step_m: Fraction
    overhang_m: Fraction
    worst_kn: Fraction
    holds: bool


def fixings_by_uplift(
    layout: Layout, rails: RailRule, net_kpa: Fraction, resistance_kn: Fraction, rule: RoofRule
) -> Held:
    """Return the fewest fixings that hold a net uplift, at one step for the whole plane.

    If not even a fixing on every rafter holds, that is returned, and `holds` is false.

    Args:
        layout: the panels; each row lies on two lines of rail.
        rails: spacing of the rafters, most span and overhang of the rail.
        net_kpa: design uplift less the weight that holds down.
        resistance_kn: what one fixing holds.
        rule: rule in force.

    Raises:
        ValueError: if the resistance is not above zero.
    """
    line_kn_m = net_kpa * layout.panel_height_m / LINES_PER_SEGMENT
    lengths = lines_m(layout, rails)
    least = fixings_for(net_kpa * area_m2(layout), resistance_kn, rule)
    ways = []
    for step, overhang in _ways(rails):
        worst = fixing_worst_kn(line_kn_m, step, overhang, rule)
        count = sum(fixings_at(length, step, overhang, rails) for length in lengths)
        ways.append(Held(
            max(count, least), least, step, overhang, worst, worst <= resistance_kn))
    holding = [way for way in ways if way.holds]
    if holding:
        return min(holding, key=lambda way: (way.fixings, -way.step_m))
    return min(ways, key=lambda way: way.worst_kn)


def _ways(rails: RailRule) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield step and overhang of every way to set the fixings, the widest step first.

    The rail reaches past its last fixing as far as its maker allows, or half a step: then the end
    fixing carries no more than its neighbour.
    """
    most = max(1, rails.max_span_m // rails.rafter_spacing_m)
    for rafters in range(int(most), 0, -1):
        step = rafters * rails.rafter_spacing_m
        if rails.max_overhang_m <= OVERHANG_MOST * step:
            yield step, rails.max_overhang_m
        if rails.max_overhang_m > step / 2:
            yield step, step / 2
