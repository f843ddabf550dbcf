"""Strings on trackers against published methods, tables and worked sizes."""

from __future__ import annotations

from decimal import Decimal as D
from fractions import Fraction as F

import pytest

from estimator.design.electrical.choose_cable import next_rating_a
from estimator.design.electrical.feed_in import (
    conductor_check,
    feed_in_a,
    feed_in_most_a,
    source_conductor_a,
)
from estimator.design.electrical.figures import OutsideTableError
from estimator.design.electrical.strings import (
    PanelVolts,
    Temperatures,
    cold_voc,
    hot_cell_c,
    panel_volts,
    part_a,
    part_v,
    power_ratio,
    string_fuse_a,
    voltage_at,
    window,
)
from estimator.design.limits import Figure
from tests.design.electrical.packs import GB, US, converter, panel
from tests.design.electrical.strung import answer, check, job, judged, stops, sums

WORKED = panel(voc_v="49.5", vmp_v="41.2", voc_pct_per_k="-0.28", vmp_pct_per_k="-0.28")
THREE = panel(voc_v="38.5", voc_pct_per_k="-0.26")


def most(cold: Figure, limit_v: int) -> int:
    """Return the most panels that the window of a converter with that limit allows."""
    volts = PanelVolts(cold.value, F(1), F(1), "coefficient", cold.source)
    return window(panel(), converter(dc_max_v=limit_v), volts).most


def test_parts_are_rated_1_15_times_voc_and_1_25_times_isc() -> None:
    # Guide to the installation of photovoltaic systems (2012) and the IET code of practice:
    # 10 x 45 V x 1.15 = 517.5 V; 3 x 9 A x 1.25 = 33.75 A (by hand).
    assert part_v(GB, panel(voc_v=45), 10).value == F("517.5")
    assert part_a(GB, panel(isc_a=9), 3).value == F("33.75")


def test_the_temperature_method_is_voc_times_one_plus_beta_dt() -> None:
    # IEC 62548: Voc (1 + b (T - 25)); 38.5 V x (1 + 0.0026 x 35) = 42.0035 V (by hand).
    assert voltage_at(D("38.5"), D("-0.26"), -10) == F("42.0035")
    assert voltage_at(D("38.5"), D("-0.26"), 25) == F("38.5")


# NEC Table 690.7(A), crystalline panels (from memory): warmest and coldest of each band, factor.
BANDS = [
    (24, 20, "1.02"), (19, 15, "1.04"), (14, 10, "1.06"), (9, 5, "1.08"), (4, 0, "1.10"),
    (-1, -5, "1.12"), (-6, -10, "1.14"), (-11, -15, "1.16"), (-16, -20, "1.18"),
    (-21, -25, "1.20"), (-26, -30, "1.21"), (-31, -35, "1.23"), (-36, -40, "1.25"),
]


@pytest.mark.parametrize(("warm_c", "cold_c", "factor"), BANDS)
def test_the_us_table_gives_each_band_its_factor(warm_c: int, cold_c: int, factor: str) -> None:
    of_100 = panel(voc_v=100)
    assert cold_voc(US, of_100, warm_c, "table").value == 100 * F(factor)
    assert cold_voc(US, of_100, cold_c, "table").value == 100 * F(factor)


@pytest.mark.parametrize(
    ("between_c", "factor"), [("-5.5", "1.14"), ("-0.1", "1.12"), ("19.9", "1.04")]
)
def test_between_two_bands_the_colder_one_holds(between_c: str, factor: str) -> None:
    assert cold_voc(US, panel(voc_v=100), D(between_c), "table").value == 100 * F(factor)


def test_colder_than_the_us_table_nothing_is_guessed() -> None:
    with pytest.raises(OutsideTableError, match="below -40"):
        cold_voc(US, panel(), -41, "table")


@pytest.mark.parametrize(
    ("method", "volts", "panels"),
    [("factor", 44.28, 13), ("coefficient", 42.00, 14), ("table", 43.89, 13)],
)
def test_three_methods_give_three_answers_so_the_method_stays_beside_it(
    method: str, volts: float, panels: int
) -> None:
    # By hand: 38.5 V, -0.26 %/K, -10 degrees, 600 V: 38.5 x 1.15 = 44.275 -> 13; 42.0035 -> 14;
    # 38.5 x 1.14 = 43.89 -> 13.
    pack = US if method == "table" else GB
    cold = cold_voc(pack, THREE, -10, method)  # type: ignore[arg-type]
    assert float(cold.value) == pytest.approx(volts, abs=0.0051)
    assert most(cold, 600) == panels
    volts_of = panel_volts(pack, THREE, Temperatures(-10, 70), method)  # type: ignore[arg-type]
    assert volts_of.method == method
    assert {"factor": "photovoltaic", "coefficient": "IEC 62548", "table": "690.7"}[method] in (
        volts_of.source)


def test_a_published_sizing_gives_6_to_18_panels() -> None:
    # Engineering notes on string sizing: Voc 49.5, Vmp 41.2, -0.28 %/K, -5 degrees, limit 1000 V:
    # 53.66 V each -> floor(18.64) = 18; Vmp at 45 degrees 38.89 V -> 18 x 38.89 = 700 V > 200 V;
    # least ceil(200 / 38.89) = 6.
    volts = panel_volts(GB, WORKED, Temperatures(-5, 45), "coefficient")
    assert round(float(volts.voc_cold_v), 2) == 53.66
    assert round(float(volts.vmp_hot_v), 2) == 38.89
    assert round(float(18 * volts.vmp_hot_v)) == 700
    found = window(WORKED, converter(dc_max_v=1000, mppt_low_v=200, start_v=None, mppt_high_v=850),
                   volts)
    assert (found.least, found.most) == (6, 18)


@pytest.mark.parametrize(
    ("panels", "stopped"),
    [(18, set()), (19, {"string-cold-voltage", "string-layout"}), (6, set()),
     (5, {"string-working-low", "string-layout"})],
)
def test_the_published_sizing_holds_through_the_checks_of_a_whole_job(
    panels: int, stopped: set[str]
) -> None:
    # The engineering notes above: 18 x 53.658 = 965.8 V and 19 x 53.658 = 1019.5 V against 1000 V;
    # 6 x 38.893 = 233.4 V and 5 x 38.893 = 194.5 V against 200 V.
    outcome = judged(job(
        {"panels": panels, "strings": 1},
        panel={"voc_v": "49.5", "vmp_v": "41.2", "voc_pct_per_k": "-0.28",
               "vmp_pct_per_k": "-0.28"},
        converters=({"dc_max_v": 1000, "mppt_low_v": 200, "start_v": 150, "mppt_high_v": 1000,
                     "ac_w": 6000},),
        practice={"coldest_c": "-5", "hottest_cell_c": "45"}))
    assert stops(outcome) == stopped
    told = sums(answer(outcome, "string-window"))
    assert (told["fewest panels in series"], told["most panels in series"]) == (6, 18)
    assert round(float(told["open circuit of a panel in the cold"]), 2) == 53.66


@pytest.mark.parametrize(
    ("coefficient", "method", "most_panels"),
    [("-0.26", "by coefficient", 14), (None, "by factor", 13)],
)
def test_two_methods_give_two_answers_through_the_checks_of_a_whole_job(
    coefficient: str | None, method: str, most_panels: int
) -> None:
    # 38.5 V at -10 degrees against 600 V: 42.0035 V by the coefficient -> 14; 44.275 V by the
    # factor of 1.15 -> 13 (as above).
    outcome = judged(job({"panels": 14, "strings": 1}, panel={
        "voc_v": "38.5", "voc_pct_per_k": coefficient}))
    kept = answer(outcome, "string-window")
    assert kept.method == method
    assert sums(kept)["most panels in series"] == most_panels
    cold = check(outcome, "string-cold-voltage")
    assert cold.level == ("fine" if most_panels == 14 else "stop")
    assert method in cold.says


@pytest.mark.parametrize(
    ("voc_cold", "vmp_hot", "limit", "low", "least", "most_panels"),
    [
        ("50", "40", 600, 200, 5, 12),      # both divide without rest: 600 / 50, 200 / 40
        ("50.01", "39.99", 600, 200, 6, 11),  # a hair off: the most falls, the least rises
        ("601", "40", 600, 200, 5, 0),
    ],
)
def test_the_most_rounds_down_and_the_least_rounds_up(
    voc_cold: str, vmp_hot: str, limit: int, low: int, least: int, most_panels: int
) -> None:
    # Textbook: N max = floor(Vmax / Voc cold), N min = ceil(low end of tracker / Vmp hot).
    volts = PanelVolts(F(voc_cold), F(45), F(vmp_hot), "coefficient", "given")
    found = window(panel(), converter(dc_max_v=limit, mppt_low_v=low, start_v=None), volts)
    assert (found.least, found.most) == (least, most_panels)


def test_twelve_panels_of_41_v_reach_537_v_at_minus_ten() -> None:
    # Worked example, invented figures: 12 x 41 V at -10 degrees with 0.26 %/K = 537 V.
    assert round(float(12 * voltage_at(41, D("-0.26"), -10))) == 537


def test_hot_cells_are_plausible_only() -> None:
    # IEC 62548 habit (from memory) 20 to 35 K above the air; one practitioner on a mailing list
    # adds 15: bounds only.
    least, most_c = hot_cell_c(GB, 30)
    assert 45 <= least <= most_c <= 70


def test_us_conductors_are_sized_at_156_percent() -> None:
    # Advanced Photovoltaic Installations, chapter 117: Isc 10 A -> 10 x 1.25 x 1.25 = 15.625 A.
    assert source_conductor_a(US, 10).value == F("15.625")


def test_a_7_6_kw_converter_at_240_v_takes_a_40_a_device_and_10_awg_is_rejected() -> None:
    # IAEI Magazine, September-October 2020, photograph: 7600 / 240 = 31.67 A, x 1.25 = 39.58 A ->
    # 40 A; 10 AWG copper is held to 30 A, so the design is rejected.
    least = feed_in_a(US, 7600, 240)
    assert round(float(F(7600, 240)), 2) == 31.67
    assert round(float(least), 2) == 39.58
    rating = next_rating_a(US, least)
    assert rating == 40
    assert conductor_check(US, rating, 10).level == "stop"
    assert conductor_check(US, rating, 8).level == "fine"
    assert conductor_check(US, 30, 10).level == "fine"


@pytest.mark.parametrize(
    ("busbar", "main", "feed_in"), [(200, 200, 40), (100, 100, 20), (100, 125, 0)]
)
def test_the_us_busbar_rule_leaves_a_fifth(busbar: int, main: int, feed_in: int) -> None:
    # NEC 705.12 (from memory): 1.2 x busbar - main: 200 / 200 -> 40 A; a class hand-out's 100 A
    # feeder -> 20 A; a main device over 1.2 x busbar leaves nothing.
    assert feed_in_most_a(US, busbar, main) == feed_in


def test_string_fuses_are_plausible_only() -> None:
    # IEC 62548 and a textbook page, middling confidence: a fuse from three strings as a rule,
    # 1.4 to 2.4 x Isc over both sources; bounds only.
    sheet = panel(isc_a=13, max_fuse_a=25)
    assert string_fuse_a(GB, sheet, 2) is None
    fuse = string_fuse_a(GB, sheet, 3)
    assert fuse is not None
    assert F("1.4") * 13 <= fuse[0] <= fuse[1] <= F("2.4") * 13
    assert fuse[1] <= 25


def test_a_maker_that_asks_for_1_25_on_voltage_is_served_by_its_own_factor() -> None:
    # Several module manuals ask for 1.25 on Voc too (middling confidence): the factor is data of
    # the pack, so a firm's own file changes it. 45 x 1.25 = 56.25 V against 51.75 V.
    from dataclasses import replace

    from estimator.design.electrical.figures import Figures

    (value,) = GB.practice.values["dc_voltage_factor"]
    own = replace(GB.practice, values={
        **GB.practice.values, "dc_voltage_factor": (replace(value, value=D("1.25")),)})
    assert cold_voc(Figures(own, GB.on), panel(voc_v=45), -10, "factor").value == F("56.25")
    assert cold_voc(GB, panel(voc_v=45), -10, "factor").value == F("51.75")


@pytest.mark.parametrize(
    ("array_w", "level"), [(3680, "fine"), (4600, "fine"), (5200, "caution"), (3000, "caution")]
)
def test_the_power_ratio_is_a_plausible_band(array_w: int, level: str) -> None:
    # General practice, no source, middling confidence: 1.0 to 1.25 usual, up to 1.3 or 1.35
    # accepted; a soft warning outside.
    assert power_ratio(GB, array_w, 3680).level == level
