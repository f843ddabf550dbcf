"""Which sizes of a circuit's cable the price book offers, and whether their ratings are sound.

A cable in the catalogue states what it carries clipped to a wall. An item serves a circuit if its
stated current reaches what the circuit asks, brought to that way of laying by the tables; a size
that states more than the tables is told, and never sized by what it states.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.specs import CableSpec
from estimator.design.check import Check
from estimator.design.electrical.capacity import CABLES, sizes_mm2, tabulated_a
from estimator.design.electrical.catalogue_rating import rating_check
from estimator.design.electrical.circuit import Circuit, needed_tabulated_a
from estimator.design.electrical.comparing import margin
from estimator.design.electrical.figures import Figures

CLIPPED = "C"


def is_armoured(cable: str) -> bool:
    """Return whether a kind of cable is armoured."""
    return cable.startswith("armoured")


def on_offer(prices: PriceBook, cable: str) -> Iterator[tuple[Item, CableSpec]]:
    """Yield the items of a kind of cable that somebody sells and whose current is stated."""
    role = "armoured cable" if is_armoured(cable) else "circuit cable"
    three = CABLES[cable].phases == 3
    for item in prices.with_role("cable", role):
        spec = item.spec
        if not isinstance(spec, CableSpec) or spec.clipped_a is None:
            continue
        flat = is_armoured(cable) or three or spec.kind == "flat twin and earth"
        if flat and spec.cores >= (4 if three else 2) and item.sold_apart and (
                prices.offer(item.code) is not None):
            yield item, spec


def clipped_needed_a(
    figures: Figures, circuit: Circuit, rating: Fraction, cable: str, size: Fraction
) -> Fraction:
    """Return what a cable must carry clipped to a wall to serve on its hardest leg [A].

    That is In / (Ca Cg Ci Cc) of the leg, times the tabulated current clipped over that by the
    leg's own method.
    """
    clipped = tabulated_a(figures, cable, CLIPPED, size, circuit.terminal_c).value
    return max(
        needed_tabulated_a(figures, circuit, rating, leg).value * clipped
        / tabulated_a(figures, cable, leg.method, size, circuit.terminal_c).value
        for leg in circuit.legs if leg.cable == cable)


def offered_sizes(
    figures: Figures, circuit: Circuit, rating: Fraction, prices: PriceBook
) -> dict[str, Sequence[Fraction]]:
    """Return the sizes on offer of each kind of cable of a circuit.

    A size that no leg can use is offered too if its stated current is that of the table: then the
    checks say what it falls short of.
    """
    offered: dict[str, Sequence[Fraction]] = {}
    for leg in circuit.legs:
        able = offered.get(leg.cable, sizes_mm2(figures, leg.cable, CLIPPED, circuit.terminal_c))
        in_table = sizes_mm2(figures, leg.cable, leg.method, circuit.terminal_c)
        offered[leg.cable] = tuple(size for size in able if size in in_table)
    return {
        cable: tuple(size for size in able if any(
            Fraction(spec.size_mm2) == size and _serves(figures, circuit, rating, cable, spec)
            for _, spec in on_offer(prices, cable)))
        for cable, able in offered.items()}


def _serves(
    figures: Figures, circuit: Circuit, rating: Fraction, cable: str, spec: CableSpec
) -> bool:
    size = Fraction(spec.size_mm2)
    clipped = tabulated_a(figures, cable, CLIPPED, size, circuit.terminal_c).value
    needed = clipped_needed_a(figures, circuit, rating, cable, size)
    return spec.clipped_a is not None and Fraction(spec.clipped_a) >= min(needed, clipped)


def overstated(
    figures: Figures, prices: PriceBook, cable: str, size: Fraction
) -> Iterator[Check]:
    """Yield a caution for each item of a size that states more than the table gives."""
    for item, spec in on_offer(prices, cable):
        check = rating_check(figures, cable, CLIPPED, spec) if spec.size_mm2 == size else None
        if check is not None and margin(check) < 0:
            yield replace(check, level="caution", subject=f"{item.name} ({item.code})",
                          says=f"{check.says} is over the table's; the table's is reckoned with")
