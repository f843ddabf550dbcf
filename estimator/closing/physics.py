"""What a string should show under the sky of the day, and how its insulation is tested."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from estimator.practice.tables import PracticeTable

STC_CELL_C = 25  # standard test conditions: IEC 60904-3
STC_IRRADIANCE_W_M2 = 1000
_PER_CENT = 100


class InsulationTest(NamedTuple):
    """Volts to test with, and the least resistance."""

    test_v: Fraction
    least_megohm: Fraction


def string_voc_v(
    panels: int, voc_v: Decimal, voc_pct_per_k: Decimal, cell_c: Decimal | Fraction
) -> Fraction:
    """Return the open-circuit voltage of a string [V]: N Voc (1 + beta (T - 25)).

    Args:
        panels: in series.
        voc_v: of one panel at standard test conditions [V].
        voc_pct_per_k: temperature coefficient beta [%/K], below 0.
        cell_c: temperature of the cells [degC].

    Source: IEC 62548, method of the temperature coefficient; the light's own small effect on it is
    left out, so it holds from about 400 W/m2 on.
    """
    change = Fraction(voc_pct_per_k) / _PER_CENT * (Fraction(cell_c) - STC_CELL_C)
    return panels * Fraction(voc_v) * (1 + change)


def string_isc_a(isc_a: Decimal, irradiance_w_m2: Decimal | Fraction) -> Fraction:
    """Return the short-circuit current of a string [A]: Isc G / 1000.

    Args:
        isc_a: of one panel at 1000 W/m2 [A].
        irradiance_w_m2: in the plane of the panels [W/m2].

    Source: IEC 60904-3, standard test conditions; temperature, some hundredths of a per cent a
    degree, is left out.
    """
    return Fraction(isc_a) * Fraction(irradiance_w_m2) / STC_IRRADIANCE_W_M2


def insulation_test(system_v: Fraction, table: PracticeTable) -> InsulationTest | None:
    """Return how an array of so many volts is tested; None above the table.

    Args:
        system_v: highest voltage of the system [V], open circuit with its allowance.
        table: of columns to_v, included, test_v, least_megohm, as IEC 62446-1 has it.
    """
    for to_v, included, test_v, least in table.rows:
        assert isinstance(to_v, Decimal)
        assert isinstance(test_v, Decimal)
        assert isinstance(least, Decimal)
        if system_v < Fraction(to_v) or (included == "yes" and system_v == Fraction(to_v)):
            return InsulationTest(Fraction(test_v), Fraction(least))
    return None
