"""How the packs of a line are written out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from estimator.papers import words
from estimator.papers.digits import plain

if TYPE_CHECKING:
    from estimator.papers.contract_parts import LineJson


def packs(line: LineJson) -> str:
    """Return the packs shortly, beside a quantity: "3", "2 of 100", "2 x 100 m + 1 x 25 m"."""
    if len(line.buys) > 1:
        return mix(line)
    if not line.packs or line.pack == 1:
        return str(line.packs or "")
    return f"{line.packs} of {plain(line.pack)}"


def packs_to_buy(line: LineJson) -> str:
    """Return the packs in a sentence: "1 x pack of 50", "2 x 100 m + 1 x 25 m"."""
    return mix(line) if len(line.buys) > 1 else f"{line.packs} x pack of {plain(line.pack)}"


def mix(line: LineJson) -> str:
    """Return packs of several offers, the largest first; of one size they stand together."""
    sizes: dict[str, int] = {}
    for buy in sorted(line.buys, key=lambda each: -each.pack):
        size = words.count(buy.pack, line.unit)
        sizes[size] = sizes.get(size, 0) + buy.packs
    return " + ".join(f"{many} x {size}" for size, many in sizes.items())
