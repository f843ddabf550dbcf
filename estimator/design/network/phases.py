"""What generation and storage put on each phase: alternating current ratings, no diversity.

Every generator and every store at the premises counts with its full rating, also what is there
already (network operators' connection procedures under ENA Engineering Recommendation G98).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal, NamedTuple

SINGLE, THREE = 1, 3


class Device(NamedTuple):
    """A generator or a store with an output of its own.

    Attributes:
        ac_w: rated output, alternating current [W].
        phases: phases it feeds.
        on_phase: which phase of a three-phase supply it feeds; None where nobody knows.
        existing: whether it is there already.
    """

    name: str
    ac_w: Decimal
    phases: Literal[1, 3] = 1
    on_phase: Literal[1, 2, 3] | None = None
    existing: bool = False

    def amps(self, volts: Decimal, supply_phases: int) -> Fraction:
        """Return what it puts on one phase [A]; `volts` is phase to neutral."""
        over = THREE if self.phases == THREE and supply_phases == THREE else SINGLE
        return Fraction(self.ac_w) / (Fraction(volts) * over)


def per_phase_a(
    devices: Sequence[Device], supply_phases: int, volts: Decimal
) -> tuple[Fraction, ...]:
    """Return the most that may be on each phase [A], exact.

    A single-phase device on a three-phase supply whose phase nobody knows counts on each phase:
    it may be on any of them.
    """
    sums = [Fraction(0)] * supply_phases
    for device in devices:
        amps = device.amps(volts, supply_phases)
        for phase in range(supply_phases):
            everywhere = device.phases == THREE or device.on_phase is None
            if supply_phases == SINGLE or everywhere or device.on_phase == phase + 1:
                sums[phase] += amps
    return tuple(sums)


def supply_kw(fuse_a: Decimal, volts: Decimal, supply_phases: int = SINGLE) -> Fraction:
    """Return what a main fuse passes [kW]: amperes times volts times phases."""
    return Fraction(fuse_a) * Fraction(volts) * supply_phases / 1000
