"""The cable of a circuit out of the price book; where no flat cable serves, armoured instead."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple

from catalogue.price_book import PriceBook
from estimator.design.check import SEVERITY, Level
from estimator.design.electrical.cable_on_offer import is_armoured, offered_sizes
from estimator.design.electrical.choose_cable import (
    CircuitDesign,
    design_circuit,
    next_rating_a,
)
from estimator.design.electrical.circuit import FOLLOW, Circuit
from estimator.design.electrical.comparing import worst
from estimator.design.electrical.figures import Figures, OutsideTableError
from estimator.design.electrical.laying import armoured_instead


class Sized(NamedTuple):
    """A circuit with its cable.

    Attributes:
        circuit: the circuit as it was sized, armoured all the way where `over`.
        offered: sizes on offer of each kind of cable.
        unoffered: kinds of cable that nobody offers.
        over: whether the legs meant for flat cable go over to armoured.
        why_over: why they do, in words; "" if they do not.
    """

    circuit: Circuit
    design: CircuitDesign
    offered: dict[str, tuple[Fraction, ...]]
    unoffered: tuple[str, ...] = ()
    over: bool = False
    why_over: str = ""


def size_circuit(figures: Figures, circuit: Circuit, prices: PriceBook) -> Sized:
    """Return the circuit with the least copper on offer that passes every check.

    Where no flat size does, it is armoured all the way if that passes more, or has less volt drop.
    Where nobody offers a cable at all, it has the size of the tables: the bill then tells what is
    missing.

    Raises:
        OutsideTableError: if a table has no figure for a leg.
    """
    first = _try(figures, circuit, prices)
    if first is not None and _level(first) == "fine":
        return first
    other = _armoured(figures, circuit, prices)
    if other is not None and (first is None or _better(other, first)):
        return other._replace(over=True, why_over=_why(first))
    return first or _sized(figures, circuit, prices, unoffered=True)


def _level(sized: Sized) -> Level:
    """Return the gravest level of what hangs on the cable: not of a load over its device."""
    return worst(tuple(check for check in sized.design.checks if check.code != "circuit-load"))


def _better(one: Sized, other: Sized) -> bool:
    ranks = SEVERITY[_level(one)], SEVERITY[_level(other)]
    if ranks[0] == ranks[1]:
        return one.design.drop_v < other.design.drop_v
    return ranks[0] > ranks[1]


def _try(figures: Figures, circuit: Circuit, prices: PriceBook) -> Sized | None:
    """Return the circuit sized from what is on offer; None if that is not enough to try."""
    try:
        return _sized(figures, circuit, prices)
    except OutsideTableError:
        return None


def _sized(
    figures: Figures, circuit: Circuit, prices: PriceBook, unoffered: bool = False
) -> Sized:
    """Return the circuit sized.

    Args:
        unoffered: whether a kind that nobody offers has the sizes of its table.
    """
    rating = Fraction(circuit.rating_a) if circuit.rating_a is not None else (
        next_rating_a(figures, circuit.design_a))
    offered = {
        cable: tuple(sizes)
        for cable, sizes in offered_sizes(figures, circuit, rating, prices).items()
        if sizes or not unoffered}
    design = design_circuit(figures, circuit, offered)
    return Sized(circuit, design, offered,
                 unoffered=tuple(cable for cable, _ in design.sizes if cable not in offered))


def _armoured(figures: Figures, circuit: Circuit, prices: PriceBook) -> Sized | None:
    """Return the circuit sized in armoured cable all the way; None if it is so already."""
    if all(is_armoured(leg.cable) for leg in circuit.legs):
        return None
    legs = tuple(leg if is_armoured(leg.cable) else armoured_instead(leg, circuit.phases)
                 for leg in circuit.legs)
    return _try(figures, replace(circuit, legs=legs), prices)


def _why(first: Sized | None) -> str:
    if first is None:
        return "no flat cable is on offer"
    failed = dict.fromkeys(
        check.says for check in first.design.checks
        if not check.passes and check.code not in (*FOLLOW, "circuit-load"))
    return f"no flat size on offer keeps: {'; '.join(failed)}"
