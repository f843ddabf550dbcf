"""What is known of the place where storage is to stand; None stands for what nobody knows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from estimator.design.check import Amount
from estimator.design.sheet import Unknown

OUTDOORS = ("outside wall", "outdoors")
GARAGES = ("garage", "detached garage")
# Where a vehicle may come near; None: the place is not known, so it may be one of them.
DRIVEN_TO = (None, *GARAGES, "outbuilding", *OUTDOORS)
FLAMMABLES_ASKED_M, OPENING_ASKED_M = Decimal(2), Decimal(1)  # distances the survey asks about


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance as far as it is known: at least so much, less than so much [m]."""

    at_least_m: Decimal | None = None
    below_m: Decimal | None = None

    def keeps(self, limit_m: Decimal) -> bool | None:
        """Return whether it is the limit or more; None if that cannot be told."""
        if self.at_least_m is not None and self.at_least_m >= limit_m:
            return True
        if self.below_m is not None and self.below_m <= limit_m:
            return False
        return None

    @property
    def told(self) -> bool:
        """Return whether anything is known of it."""
        return self.at_least_m is not None or self.below_m is not None

    @property
    def amount(self) -> Amount:
        """Return the metres if it was measured, else what is known in words."""
        if self.at_least_m is None:
            return "" if self.below_m is None else f"less than {self.below_m}"
        if self.below_m == self.at_least_m.next_plus():
            return self.at_least_m
        return f"at least {self.at_least_m}"


def measured(metres: Decimal) -> Distance:
    """Return a distance that was measured."""
    # Below the next representable step: an exact distance keeps a limit equal to it.
    return Distance(metres, metres.next_plus())


@dataclass(frozen=True, slots=True)
class PlaceFacts:
    """The place of the storage and what stands round it.

    A fact that is only assumed is not known here: it is priced, and it never passes a check.

    Attributes:
        place: a word of the survey, or one of the pack's further places ("void").
        module_kwh: energy of one unit; `modules` how many of them.
        module_most_kwh: the most that one unit can have, where none is chosen yet.
        kit_waits_for: facts that are missing to choose the units, where none is chosen.
        vehicle: whether a vehicle can strike the storage.
        vehicle_kwh: energy of a car kept in the same place (0 = none).
        separation_min: fire resistance towards the house [min] (0 = none).
        solar: whether panels are or will be on the premises, for the words of the sign.
        side_wall: whether the wall is a side wall of a garage; `bottom_m` lower edge of the units.
    """

    place: str | None = None
    modules: int | None = None
    module_kwh: Decimal | None = None
    module_most_kwh: Decimal | None = None
    kit_waits_for: tuple[str, ...] = ("wishes.storage",)
    floor_area_m2: Decimal | None = None
    flammables: Distance = Distance()
    opening: Distance = Distance()
    boundary_m: Decimal | None = None
    separation_min: Decimal | None = None
    combustible_wall: bool | None = None
    habitable_behind: bool | None = None
    vehicle: bool | None = None
    vehicle_kwh: Decimal | None = None
    house_alarm: str | None = None
    flood: bool | None = None
    front_m: Decimal | None = None
    wall_width_m: Decimal | None = None
    wall_height_m: Decimal | None = None
    side_wall: bool | None = None
    bottom_m: Decimal | None = None
    second_life: bool = False
    solar: bool = False

    @property
    def energy_kwh(self) -> Fraction | None:
        """Return the energy of all modules [kWh], exact."""
        if self.modules is None or self.module_kwh is None:
            return None
        return Fraction(self.module_kwh) * self.modules


def place_facts(env: Mapping[str, Any]) -> PlaceFacts:
    """Return the facts of a job's sheet that the place rules read."""
    assumed = env.get("@assumed", ())

    def known(path: str) -> Any:
        value = env.get(path)
        return None if path in assumed or isinstance(value, Unknown) else value

    return PlaceFacts(
        place=known("storage.place"), modules=known("storage.modules"),
        module_kwh=known("kit.storage.usable_kwh"),
        kit_waits_for=_waits_for(env.get("kit.storage.usable_kwh")),
        floor_area_m2=known("site.floor_area_m2"),
        flammables=_distance(known("storage.flammables_m"),
                             known("storage.flammables_within_2m"), FLAMMABLES_ASKED_M),
        opening=_distance(known("storage.opening_m"), known("storage.opening_within_1m"),
                          OPENING_ASKED_M),
        boundary_m=known("storage.boundary_m"), separation_min=known("storage.separation_min"),
        combustible_wall=known("storage.combustible_wall"),
        habitable_behind=known("storage.habitable_behind"),
        vehicle=known("storage.vehicle_access"), vehicle_kwh=known("storage.vehicle_kwh"),
        house_alarm=known("storage.house_alarm"), flood=known("storage.flood_risk"),
        front_m=known("storage.front_m"), wall_width_m=known("storage.wall_width_m"),
        wall_height_m=known("storage.wall_height_m"), side_wall=known("storage.side_wall"),
        bottom_m=known("storage.bottom_m"), solar=bool(known("job.panels")),
    )


def _waits_for(energy: object) -> tuple[str, ...]:
    return tuple(sorted(energy.facts)) if isinstance(energy, Unknown) else ("wishes.storage",)


def _distance(metres: Decimal | None, within: bool | None, asked_m: Decimal) -> Distance:
    """Return a distance as measured, else what "is it within so many metres" says of it."""
    if metres is not None:
        return measured(metres)
    if within is None:
        return Distance()
    return Distance(below_m=asked_m) if within else Distance(at_least_m=asked_m)
