"""How bars are sawn."""

from __future__ import annotations

from typing import NamedTuple


class Sawing(NamedTuple):
    """How bars are sawn, in millimetres.

    Attributes:
        kerf_mm: what a saw cut takes.
        least_mm: shortest piece that is worth fitting.
        keep_mm: shortest offcut that goes back to the store; 0 = none does.
    """

    kerf_mm: int = 0
    least_mm: int = 1
    keep_mm: int = 0


NO_SAW = Sawing()
