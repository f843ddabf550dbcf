"""How many panels one string may hold, by the temperature coefficient of the data sheet.

Voc(T) = Voc (1 + b (T - 25)), b in 1/K and negative (IEC 62548; common to textbooks). The last
word on string voltage belongs to the designer; the maker's manual may ask another method.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

STC_C = 25


def voc_at(voc_v: Decimal, voc_pct_per_k: Decimal, cell_c: Decimal) -> Fraction:
    """Return the open-circuit voltage [V] of a panel at a cell temperature [degrees C]."""
    rise = Fraction(voc_pct_per_k) / 100 * (Fraction(cell_c) - STC_C)
    return Fraction(voc_v) * (1 + rise)


def most_in_string(limit_v: Decimal, voc_cold_v: Fraction) -> int:
    """Return the most panels in series: floor(limit / cold open-circuit voltage)."""
    return int(Fraction(limit_v) // voc_cold_v)


def strings_for(panels: int, most: int) -> int:
    """Return the fewest strings that hold the panels."""
    return -(-panels // most) if most else 0
