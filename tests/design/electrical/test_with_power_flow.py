"""Volt drop and rise along legs beside power-grid-model, a library that solves power networks.

It solves the node equations of a network; here a source, some legs in a row and a load or an
infeed at the end. Tolerance 1e-6 V: what its iteration leaves over.
"""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from power_grid_model import LoadGenType, PowerGridModel, initialize_array

from estimator.design.electrical.voltage_drop import DropLeg, drop_v, mv_per_a_m
from tests.design.electrical.packs import GB

Ohms = list[tuple[float, float]]


def end_v(legs: Ohms, current_a: float, between_lines_v: float, feeds_in: bool) -> float:
    """Return the voltage between lines at the end of balanced legs of (r, x) ohm per line."""
    count = len(legs)
    node = initialize_array("input", "node", count + 1)
    node["id"], node["u_rated"] = np.arange(count + 1), between_lines_v
    line = initialize_array("input", "line", count)
    line["id"] = 100 + np.arange(count)
    line["from_node"], line["to_node"] = np.arange(count), np.arange(1, count + 1)
    line["from_status"] = line["to_status"] = 1
    line["r1"], line["x1"] = [r for r, _ in legs], [x for _, x in legs]
    line["c1"] = line["tan1"] = 0
    line["i_n"] = 1000
    source = initialize_array("input", "source", 1)
    source["id"], source["node"], source["status"], source["u_ref"] = 200, 0, 1, 1.0
    source["sk"] = 1e20  # a stiff supply: only the legs drop
    load = initialize_array("input", "sym_load", 1)
    load["id"], load["node"], load["status"] = 300, count, 1
    load["type"] = LoadGenType.const_current
    sign = -1 if feeds_in else 1
    load["p_specified"] = sign * math.sqrt(3) * between_lines_v * current_a
    load["q_specified"] = 0
    model = PowerGridModel({"node": node, "line": line, "source": source, "sym_load": load})
    return float(model.calculate_power_flow()["node"]["u"][-1])


lengths = st.decimals("0.1", "200", places=1)
millivolts = st.sampled_from(["44", "29", "18", "12", "7.9", "4.4", "2.8", "1.75", "0.5"])
runs = st.lists(st.tuples(lengths, millivolts), min_size=1, max_size=6)


@settings(max_examples=200, deadline=None)
@given(runs, st.decimals("0.5", "63", places=1), st.booleans())
def test_single_phase_legs_of_different_cable_drop_what_the_node_equations_say(
    legs: list[tuple[Decimal, str]], current_a: Decimal, feeds_in: bool
) -> None:
    # One line of the solved network stands for the loop out and back, so r is mV/A/m x L / 1000
    # and the voltage to neutral is that between lines over root 3. Very long thin runs at a high
    # current are left out: beyond a half of the supply no network works.
    drop = drop_v(current_a, [DropLeg(length, Decimal(mv)) for length, mv in legs])
    assume(drop <= 115)
    ohms = [(float(mv) * float(length) / 1000, 0.0) for length, mv in legs]
    solved = end_v(ohms, float(current_a), 230 * math.sqrt(3), feeds_in) / math.sqrt(3)
    assert abs(solved - 230) == pytest.approx(float(drop), abs=1e-6)
    assert (solved > 230) == feeds_in


@settings(max_examples=100, deadline=None)
@given(runs, st.decimals("0.5", "63", places=1), st.booleans())
def test_three_phase_legs_drop_between_lines_what_the_node_equations_say(
    legs: list[tuple[Decimal, str]], current_a: Decimal, feeds_in: bool
) -> None:
    # The tables' three-phase figures are volts between lines, so r of a line is that over root 3.
    drop = drop_v(current_a, [DropLeg(length, Decimal(mv)) for length, mv in legs])
    assume(drop <= 200)
    ohms = [(float(mv) * float(length) / 1000 / math.sqrt(3), 0.0) for length, mv in legs]
    solved = end_v(ohms, float(current_a), 400, feeds_in)
    assert abs(solved - 400) == pytest.approx(float(drop), abs=1e-6)


@pytest.mark.parametrize("size", [25, 35, 50, 70, 95])
@pytest.mark.parametrize("current_a", [20, 100])
def test_the_impedance_of_large_sizes_never_gives_less_than_resistance_and_reactance(
    size: int, current_a: int
) -> None:
    # From 25 mm² up Table 4E4B prints r, x and z. For a load of unity power factor the true drop
    # is nearly r alone, so z errs on the safe side, by no more than 6 % in this table.
    r, x = (float(GB.cell("cable_armoured_90_mv", size, part).value) for part in "rx")
    length = 80
    z = mv_per_a_m(GB, "armoured 90", "C", size).value
    by_z = float(drop_v(current_a, [DropLeg(length, z)]))
    ohms = [(r * length / 1000, x * length / 1000)]
    solved = 230 - end_v(ohms, current_a, 230 * math.sqrt(3), False) / math.sqrt(3)
    assert solved * 0.998 <= by_z <= solved * 1.06
