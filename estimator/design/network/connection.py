"""What a job joins to the network, as far as it is known."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from estimator.design.network.phases import SINGLE, THREE, Device, per_phase_a
from estimator.design.sheet import Unknown

CONVERTER, PHASES = "kit.converter.ac_w", "supply.phases"
THERE, CAP = "supply.existing_generation_w", "supply.network_cap_w"
PREMISES, FUSE = "supply.other_premises", "supply.fuse_a"


class Connection(NamedTuple):
    """What is to be joined to the network; None stands for a fact nobody knows.

    Attributes:
        devices: everything new that generates or stores, with an output of its own.
        supply_phases: 1 or 3.
        existing_w: output of what is there already, on an unknown phase [W] (0 = none).
        export_limit_w: export limit that is set or offered [W] (0 = none).
        other_premises: whether others near by are connected in the same weeks.
        fuse_a: main fuse [A].
    """

    devices: tuple[Device, ...]
    supply_phases: int | None
    existing_w: Decimal | None = Decimal(0)
    export_limit_w: Decimal | None = Decimal(0)
    other_premises: bool | None = False
    fuse_a: Decimal | None = None

    @property
    def phases(self) -> int:
        """Return the phases of the supply; one while nobody knows, which is the worst case."""
        return self.supply_phases or SINGLE

    @property
    def all_devices(self) -> tuple[Device, ...]:
        """Return the devices, with what is there already as one more."""
        if not self.existing_w:
            return self.devices
        return (*self.devices, Device("already there", self.existing_w, existing=True))

    @property
    def sum_misses(self) -> tuple[str, ...]:
        """Return the facts without which the sum on a phase is not known.

        The phases are one of them even for a single-phase converter: they decide which one fits.
        """
        asked = ((CONVERTER, self.devices or None), (PHASES, self.supply_phases),
                 (THERE, self.existing_w))
        return tuple(path for path, value in asked if value is None)

    def worst_a(self, volts: Decimal) -> Fraction:
        """Return the sum on the heaviest phase [A] with what is known, on one phase at worst."""
        return max(per_phase_a(self.all_devices, self.phases, volts))

    def least_a(self, volts: Decimal) -> Fraction:
        """Return what is on the heaviest phase [A] at least, whatever is still unknown."""
        return max(per_phase_a(self.all_devices, self.supply_phases or THREE, volts))


def known(env: Mapping[str, Any], path: str) -> Any:
    """Return a fact of a sheet, or None while it is unknown or only assumed."""
    value = env.get(path)
    return None if isinstance(value, Unknown) or path in env.get("@assumed", ()) else value


def connection_of(env: Mapping[str, Any]) -> Connection:
    """Return the connection of a job from its sheet; the chosen converter is the new device."""
    watts, phases = known(env, CONVERTER), known(env, "kit.converter.phases")
    devices = () if watts is None else (
        Device(str(known(env, "kit.converter.name") or "converter"), Decimal(watts),
               3 if phases == THREE else 1),)
    return Connection(devices, *(known(env, path) for path in (PHASES, THERE, CAP, PREMISES, FUSE)))
