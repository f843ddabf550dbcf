"""What a job joins to the network, as far as it is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.design.network.phases import Device
from estimator.design.sheet import Unknown


@dataclass(frozen=True, slots=True)
class Connection:
    """What is to be joined to the network; None stands for a fact nobody knows.

    Attributes:
        devices: everything that generates or stores, new and existing.
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
        return self.supply_phases or 1

    @property
    def all_devices(self) -> tuple[Device, ...]:
        """Return the devices, with what is there already as one more."""
        if not self.existing_w:
            return self.devices
        return (*self.devices, Device("already there", self.existing_w, existing=True))


def connection_of(env: Mapping[str, Any]) -> Connection:
    """Return the connection of a job from its sheet; the chosen converter is the new device."""
    def known(path: str) -> Any:
        value = env.get(path)
        return None if isinstance(value, Unknown) else value

    watts, phases = known("kit.converter.ac_w"), known("kit.converter.phases")
    devices = () if watts is None else (
        Device(str(known("kit.converter.name") or "converter"), Decimal(watts), phases or 1),)
    return Connection(
        devices, known("supply.phases"), known("supply.existing_generation_w"),
        known("supply.network_cap_w"), known("supply.other_premises"), known("supply.fuse_a"))
