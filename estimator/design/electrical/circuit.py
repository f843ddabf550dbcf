"""A circuit with its legs, and every check of the sizes it is given.

Ib <= In <= Iz and I2 <= 1.45 Iz (BS 7671, Regulation 433.1); the tabulated current reaches
In / (Ca Cg Ci Cc) on every leg; the volt drop over all legs keeps within its limit and, for a
converter, the rise within the design aim. The fault loop and the disconnection time are not
checked here: they are the designer's.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.check import Check
from estimator.design.electrical.capacity import (
    CABLES,
    Device,
    air_factor,
    device_factor,
    ground_factor,
    insulation_factor,
    product,
    soil_factor,
    tabulated_a,
    usable_c,
)
from estimator.design.electrical.comparing import at_least, at_most
from estimator.design.electrical.figures import Figures
from estimator.design.electrical.grouping import (
    Arrangement,
    group_factor,
    mixed_sizes_factor,
    needed_not_together_a,
)
from estimator.design.electrical.voltage_drop import (
    DropLeg,
    Supply,
    Use,
    aim_v,
    drop_v,
    limit_v,
    mv_per_a_m,
)
from estimator.design.limits import Figure, Number

IN_GROUND = "D"
# Checks that mostly follow from the capacity: kept where it is, broken where it is broken.
FOLLOW = ("cable-carries", "cable-overload")
Sizes = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class Leg:
    """A leg of a circuit: the cable, how it is laid, and what warms it.

    Attributes:
        cable: kind of cable, a name of `capacity.CABLES`.
        method: reference method; "D" is in the ground.
        circuits: circuits grouped, this one among them; `mixed_sizes` where their sizes differ.
        together: whether all of them may be overloaded at once.
        insulation_mm: length wholly surrounded by thermal insulation.
    """

    name: str
    length_m: Number
    cable: str
    method: str
    air_c: Number = 30
    ground_c: Number = 20
    soil_k_m_w: Number = Fraction(5, 2)
    circuits: int = 1
    arrangement: Arrangement = "bunched"
    gap_diameters: Number = 0
    mixed_sizes: bool = False
    together: bool = True
    insulation_mm: Number = 0


@dataclass(frozen=True, slots=True)
class Circuit:
    """A circuit to be given its cable.

    Attributes:
        design_a: current of the load, or of the converter's output (Ib).
        rating_a: rating of the device (In); None = the next rating made.
        terminal_c: lowest temperature marked on the accessories at its ends.
        feeds_in: whether a converter feeds in, so that the 1 % aim for the rise holds.
    """

    name: str
    design_a: Number
    legs: tuple[Leg, ...]
    rating_a: Number | None = None
    device: Device = "breaker"
    phases: Literal[1, 3] = 1
    use: Use = "other"
    supply: Supply = "public"
    terminal_c: int = 70
    feeds_in: bool = False

    def __post_init__(self) -> None:
        if not self.legs or any(leg.length_m < 0 for leg in self.legs):
            raise ValueError(f"{self.name}: a circuit has legs of no negative length")
        if any(CABLES[leg.cable].phases != self.phases for leg in self.legs):
            raise ValueError(f"{self.name}: the cable is not for {self.phases}-phase circuits")


def circuit_drop_v(
    figures: Figures, circuit: Circuit, sizes: Mapping[str, Fraction]
) -> Fraction:
    """Return the volt drop [V] over all legs with these sizes."""
    return drop_v(circuit.design_a, [
        DropLeg(leg.length_m,
                mv_per_a_m(figures, leg.cable, leg.method, sizes[leg.cable]).value)
        for leg in circuit.legs
    ])


def factor_parts(
    figures: Figures, circuit: Circuit, rating: Number, leg: Leg
) -> tuple[tuple[str, Figure], ...]:
    """Return the factors on the tabulated current of a leg by name: Ca (two in ground), Cg, Ci."""
    conductor_c = usable_c(leg.cable, circuit.terminal_c)
    place: tuple[tuple[str, Figure], ...]
    if leg.method == IN_GROUND:
        place = (("ground", ground_factor(figures, conductor_c, leg.ground_c)),
                 ("soil", soil_factor(figures, leg.soil_k_m_w)))
    else:
        place = (("air", air_factor(figures, conductor_c, leg.air_c)),)
    group = mixed_sizes_factor(leg.circuits) if leg.mixed_sizes else group_factor(
        figures, leg.circuits, leg.arrangement, leg.gap_diameters)
    if not leg.together and group.value < 1:
        needed = needed_not_together_a(figures, rating, circuit.design_a, group.value)
        group = Figure(Fraction(rating) / needed, "", group.source)
    return (*place, ("grouping", group),
            ("insulation", insulation_factor(figures, leg.insulation_mm)))


def leg_factors(figures: Figures, circuit: Circuit, rating: Number, leg: Leg) -> Figure:
    """Return Ca Cg Ci of a leg as one factor with its sources."""
    return product(tuple(part for _, part in factor_parts(figures, circuit, rating, leg)))


def needed_tabulated_a(
    figures: Figures, circuit: Circuit, rating: Fraction, leg: Leg
) -> Figure:
    """Return the tabulated current that the cable of a leg must reach: In / (Ca Cg Ci Cc)."""
    factors = product((
        leg_factors(figures, circuit, rating, leg),
        device_factor(figures, circuit.device, leg.method == IN_GROUND)))
    return Figure(rating / factors.value, "A", factors.source)


def check_circuit(
    figures: Figures, circuit: Circuit, rating: Fraction, sizes: Sizes
) -> tuple[Check, ...]:
    """Return every check of a circuit with these sizes."""
    chosen = dict(sizes)
    law = figures.number("overload_factor")
    checks = [at_most(
        "circuit-load", circuit.name, "design current within the device's rating",
        Fraction(circuit.design_a), Figure(rating, "A", law.source, law.decides))]
    for leg in circuit.legs:
        checks.extend(_leg_checks(figures, circuit, rating, leg, chosen[leg.cable]))
    drop = circuit_drop_v(figures, circuit, chosen)
    checks.append(at_most(
        "volt-drop", circuit.name, "volt drop over all legs", drop, _limit(figures, circuit)))
    if circuit.feeds_in:
        checks.append(at_most(
            "volt-rise-aim", circuit.name, "voltage rise at the converter, a design aim", drop,
            aim_v(figures, circuit.phases), "caution"))
    return tuple(checks)


def drop_limits_v(figures: Figures, circuit: Circuit) -> tuple[Fraction, Fraction]:
    """Return the most volt drop [V] by law and by aim; the same where no aim holds."""
    most = _limit(figures, circuit).value
    return most, aim_v(figures, circuit.phases).value if circuit.feeds_in else most


def carries(
    figures: Figures, circuit: Circuit, rating: Fraction, cable: str, size: Fraction
) -> bool:
    """Return whether a size passes every check of its current on all legs of its kind."""
    return all(
        check.level == "fine" for leg in circuit.legs if leg.cable == cable
        for check in _leg_checks(figures, circuit, rating, leg, size)
    )


def _limit(figures: Figures, circuit: Circuit) -> Figure:
    length = sum((Fraction(leg.length_m) for leg in circuit.legs), Fraction(0))
    return limit_v(figures, circuit.use, circuit.supply, length, circuit.phases)


def _leg_checks(
    figures: Figures, circuit: Circuit, rating: Fraction, leg: Leg, size: Fraction
) -> tuple[Check, ...]:
    subject = f"{circuit.name}, {leg.name}"
    tabulated = tabulated_a(figures, leg.cable, leg.method, size, circuit.terminal_c)
    needed = needed_tabulated_a(figures, circuit, rating, leg)
    carries = tabulated.value * leg_factors(figures, circuit, rating, leg).value
    law = figures.number("overload_factor")
    operates = figures.cell("operates_at", circuit.device, "factor")
    return (
        at_least(
            "cable-capacity", subject, "tabulated current against In / (Ca Cg Ci Cc)",
            tabulated.value,
            Figure(needed.value, "A", f"{tabulated.source}; {needed.source}", law.decides)),
        at_most(
            "cable-carries", subject, "device's rating within what the cable carries here",
            rating, Figure(carries, "A", law.source, law.decides)),
        at_most(
            "cable-overload", subject, "current at which the device surely operates",
            rating * operates.value,
            Figure(law.value * carries, "A", f"{law.source}; {operates.source}", law.decides)),
    )
