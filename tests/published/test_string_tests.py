"""Tests at the end of a job against published worked values and tables.

A figure that is not in a document at hand is marked "from memory"; the arithmetic is by hand.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from estimator.closing.limits import Limits
from estimator.closing.physics import insulation_test, string_isc_a, string_voc_v
from estimator.practice.pack import country_folder, read_practice

ON = date(2026, 11, 28)


@pytest.fixture(scope="module")
def limits() -> Limits:
    return Limits(read_practice([country_folder("gb")]), ON)


@pytest.mark.parametrize(("voc_v", "beta", "cell_c", "panels", "volts"), [
    # Engineering notes on sizing strings: 49.5 V, -0.28 %/K, -5 degrees: 53.66 V each.
    ("49.5", "-0.28", -5, 1, "53.66"),
    # One panel by the coefficient of its data sheet: 38.5 V, -0.26 %/K, -10 degrees: 42.00 V.
    ("38.5", "-0.26", -10, 1, "42.00"),
    # By hand: at 25 degrees the data sheet itself, N times; at 55 degrees 30 x 0.26 % less.
    ("41.0", "-0.26", 25, 12, "492.00"),
    ("41.0", "-0.26", 55, 12, "453.62"),
])
def test_open_circuit_volts_follow_the_temperature_of_the_cells(
    voc_v: str, beta: str, cell_c: int, panels: int, volts: str
) -> None:
    found = string_voc_v(panels, D(voc_v), D(beta), D(cell_c))
    assert round(float(found), 2) == float(volts)


def test_short_circuit_current_follows_the_irradiance() -> None:
    """IEC 60904-3 defines the data sheet at 1000 W/m2; 13.64 A under 800 W/m2 are 10.912 A."""
    assert string_isc_a(D("13.64"), D(1000)) == F("13.64")
    assert string_isc_a(D("13.64"), D(800)) == F("10.912")


@pytest.mark.parametrize(("system_v", "test_v", "megohm"), [
    # IEC 62446-1:2016, insulation test: under 120 V with 250 V at least 0.5 megohm; to 500 V with
    # 500 V, above with 1000 V at least 1 megohm (from memory). BS 7671 Table 64 has the same test
    # volts and limits for circuits (from memory).
    ("119.99", 250, "0.5"), ("120", 500, "1"), ("500", 500, "1"), ("500.01", 1000, "1"),
    ("1000", 1000, "1"),
])
def test_insulation_is_tested_by_the_system_voltage(
    limits: Limits, system_v: str, test_v: int, megohm: str
) -> None:
    table = limits.table("closeout_insulation")
    assert table is not None
    assert insulation_test(F(system_v), table) == (test_v, F(megohm))
    assert insulation_test(F(1001), table) is None


@pytest.mark.parametrize(("name", "value"), [
    # Electricity Safety, Quality and Continuity Regulations 2002, regulation 27: 230 V, +10, -6 %.
    ("closeout_supply_most_v", F(230) * F("1.10")), ("closeout_supply_least_v", F(230) * F("0.94")),
    # Network operators' declared loop impedances: 0.35 ohm TN-C-S, 0.8 ohm TN-S (from memory).
    ("closeout_ze_tn_c_s_ohm", F("0.35")), ("closeout_ze_tn_s_ohm", F("0.8")),
    # BS 7671 Table 41.5, note 2: above 200 ohm an electrode may not be stable (from memory).
    ("closeout_electrode_most_ohm", F(200)),
    # G98: the network is told within 28 days; installer scheme: 10 working days.
    ("network_notice_days", F(28)), ("network_scheme_days", F(10)),
    # Common practice, no source.
    ("network_building_days", F(30)), ("closeout_voc_share", F("0.05")),
])
def test_limits_of_the_pack_are_those_of_the_documents(
    limits: Limits, name: str, value: F
) -> None:
    assert limits.number(name) == value
