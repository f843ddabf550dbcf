"""The cable of a circuit: sizes on offer are checked, the least copper that passes is taken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product as combinations

from estimator.design.check import Check, Level
from estimator.design.electrical.capacity import sizes_mm2
from estimator.design.electrical.circuit import (
    FOLLOW,
    Circuit,
    Sizes,
    carries,
    check_circuit,
    circuit_drop_v,
    drop_limits_v,
)
from estimator.design.electrical.comparing import failure, shown, worst
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.limits import Number


@dataclass(frozen=True, slots=True)
class CircuitDesign:
    """The cable chosen for a circuit, and every check on it.

    Attributes:
        sizes: kind of cable -> size [mm²].
        drop_v: volt drop, or rise, over all legs at the design current.
        level: stop if no size on offer passes; caution if only the aim is missed.
        driven_by: codes of the checks that the next smaller size fails.
        reason: why this size, in words, for the bill.
    """

    name: str
    design_a: Fraction
    rating_a: Fraction
    sizes: Sizes
    checks: tuple[Check, ...]
    drop_v: Fraction
    level: Level
    driven_by: tuple[str, ...]
    reason: str

    def size_mm2(self, cable: str) -> Fraction:
        """Return the size of a kind of cable.

        Raises:
            KeyError: if no leg is of that kind.
        """
        return dict(self.sizes)[cable]


def next_rating_a(figures: Figures, current_a: Number) -> Fraction:
    """Return the next rating made [A] at or above a current.

    Raises:
        OutsideTableError: above the largest rating.
    """
    for rating in figures.first_column("device_ratings"):
        if rating >= current_a:
            return rating
    raise OutsideTableError(f"no device rating for {float(current_a):g} A in the practice pack")


def design_circuit(
    figures: Figures, circuit: Circuit, offered: Mapping[str, Sequence[Number]] | None = None
) -> CircuitDesign:
    """Return the design with the least copper that passes every check.

    Where no size keeps the volt drop, or meets the aim, that with the least drop is taken; where
    none carries the device, the largest. The checks then hold the caution or the stop.

    Args:
        offered: kind of cable -> sizes that can be bought; a kind left out has those of its table.

    Raises:
        OutsideTableError: if a table has no figure for a leg, or no size is on offer.
    """
    rating = Fraction(circuit.rating_a) if circuit.rating_a is not None else (
        next_rating_a(figures, circuit.design_a))
    steps = _steps(figures, circuit, offered or {})
    sizes = _least_copper(figures, circuit, rating, steps)
    checks = check_circuit(figures, circuit, rating, sizes)
    driven_by, reason = _why(figures, circuit, rating, sizes, steps)
    return CircuitDesign(
        circuit.name, Fraction(circuit.design_a), rating, sizes, checks,
        circuit_drop_v(figures, circuit, dict(sizes)), worst(checks), driven_by, reason,
    )


def _least_copper(
    figures: Figures, circuit: Circuit, rating: Fraction,
    steps: Mapping[str, tuple[Fraction, ...]],
) -> Sizes:
    """Return the sizes with the least copper that carry the device and keep the volt drop.

    A kind of which no size carries it has its largest; the checks then say so.

    What a kind carries hangs on its own size alone, so that is settled first; the volt drop hangs
    on all of them.
    """
    carrying = {
        cable: tuple(
            size for size in sizes if carries(figures, circuit, rating, cable, size)
        ) or sizes[-1:]
        for cable, sizes in steps.items()
    }
    every = list(_by_copper(circuit, carrying))
    drops = [circuit_drop_v(figures, circuit, dict(sizes)) for sizes in every]
    most, aim = drop_limits_v(figures, circuit)
    for sizes, drop in zip(every, drops, strict=True):
        if drop <= min(most, aim):
            return sizes
    return min(zip(drops, every, strict=True))[1]


def _steps(
    figures: Figures, circuit: Circuit, offered: Mapping[str, Sequence[Number]]
) -> dict[str, tuple[Fraction, ...]]:
    """Return the sizes to try of each kind: those on offer that every leg's table holds."""
    steps: dict[str, tuple[Fraction, ...]] = {}
    for leg in circuit.legs:
        able = sizes_mm2(figures, leg.cable, leg.method, circuit.terminal_c)
        known = steps.get(leg.cable, offered.get(leg.cable, able))
        steps[leg.cable] = tuple(sorted(Fraction(size) for size in known if size in able))
    for cable, sizes in steps.items():
        if not sizes:
            raise OutsideTableError(
                f"{circuit.name}: no size of {cable} is on offer", "the price book")
    return steps


def _by_copper(
    circuit: Circuit, steps: Mapping[str, tuple[Fraction, ...]]
) -> Iterator[Sizes]:
    """Yield every combination of sizes, the least copper first."""
    lengths = {
        cable: sum((Fraction(leg.length_m) for leg in circuit.legs if leg.cable == cable),
                   Fraction(0))
        for cable in steps
    }
    every = (tuple(zip(steps, sizes, strict=True)) for sizes in combinations(*steps.values()))
    yield from sorted(
        every, key=lambda sizes: (sum(lengths[cable] * size for cable, size in sizes), sizes))


def _why(
    figures: Figures, circuit: Circuit, rating: Fraction, sizes: Sizes,
    steps: Mapping[str, tuple[Fraction, ...]],
) -> tuple[tuple[str, ...], str]:
    """Return the checks that each kind's next smaller size fails, and the reason in words."""
    codes: list[str] = []
    words: list[str] = []
    for cable, size in sizes:
        smaller = [step for step in steps[cable] if step < size]
        said = f"{shown(size)} mm² {cable}"
        if not smaller:
            words.append(f"{said}: the smallest on offer")
            continue
        less = tuple((name, smaller[-1] if name == cable else at) for name, at in sizes)
        failed = [check for check in check_circuit(figures, circuit, rating, less)
                  if check.level != "fine"]
        codes.extend(check.code for check in failed)
        telling = [check for check in failed if check.code not in FOLLOW] or failed
        why = "; ".join(failure(check) for check in telling) or "needs more copper elsewhere"
        words.append(f"{said}: {shown(smaller[-1])} mm² fails: {why}")
    return tuple(dict.fromkeys(codes)), ". ".join(words)
