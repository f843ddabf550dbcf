"""Published worked examples of EN 1991-1-4, surveyed as a site and carried through the checks.

They take the recommended 1.25 kg/m3 of air where the United Kingdom takes 1.226, so the firm's own
practice value says so, and no altitude. "From memory": not read again when the test was written.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest

from catalogue.price_book import PriceBook
from estimator.design.check import Worked
from estimator.estimate import Basis
from estimator.practice.pack import Practice
from estimator.workflow.basis import basis_of
from estimator.workflow.firm import FirmFiles
from tests.chain.roofs import figure, judged, surveyed, worked

ON = date(2026, 11, 2)


@pytest.fixture(scope="module")
def plain(price_book: PriceBook) -> Basis:
    basis = basis_of(FirmFiles(None), price_book, ON)
    practice = basis.practice
    air = tuple(replace(each, value=D("1.25")) for each in practice.values["air_density_kg_m3"])
    return replace(basis, practice=Practice(
        {**practice.values, "air_density_kg_m3": air}, practice.tables))


def wind(basis: Basis, velocity: str, terrain: str, height_m: str) -> Worked:
    site: dict[str, object] = {
        "wind_m_s": D(velocity), "altitude_m": D(0), "terrain": terrain}
    found, _ = judged(surveyed(site=site, ridge_m=D(height_m), uplift_kpa=None), basis)
    return worked(found)


def test_the_single_storey_building_of_the_steel_handbook_comes_out(plain: Basis) -> None:
    # Steel Buildings in Europe, part 3, appendix B, wind on a single-storey building: 26 m/s,
    # category III, z = 8 m: kr 0.215, cr 0.706, ce 1.56, qp 0.659 kN/m2 (each rounded before the
    # next; unrounded 0.662).
    found = wind(plain, "26", "suburb", "8")
    assert figure(found, "terrain factor") == pytest.approx(0.215, abs=0.0005)
    assert figure(found, "roughness factor") == pytest.approx(0.706, abs=0.0015)
    peak = figure(found, "peak velocity pressure")
    assert peak / (0.5 * 1.25 * 26**2 / 1000) == pytest.approx(1.56, abs=0.01)
    assert peak == pytest.approx(0.659, abs=0.003)


def test_the_stored_calculation_sheet_in_suburbs_comes_out_of_a_survey(plain: Basis) -> None:
    # Stored calculation sheet "wind load Euro", terrain III: vb 22 m/s, z 7.02 m.
    found = wind(plain, "22", "suburb", "7.02")
    assert figure(found, "mean wind velocity") == pytest.approx(14.94, abs=0.005)
    assert figure(found, "turbulence") == pytest.approx(0.317, abs=0.0005)
    assert figure(found, "peak velocity pressure") == pytest.approx(0.449, abs=0.0005)


@pytest.mark.parametrize(("terrain", "height_m", "exposure"), [
    # EN 1991-1-4, figure 4.2, exposure factor for flat ground, read off the chart (from memory):
    # category II at 10 m 2.35; III at 10 m 1.7; 0 at 10 m 3.0; IV below 10 m 1.2.
    ("farmland", "10", 2.35), ("suburb", "10", 1.7), ("sea", "10", 3.0), ("town", "6", 1.2),
])
def test_the_exposure_is_that_of_the_chart(
    plain: Basis, terrain: str, height_m: str, exposure: float
) -> None:
    peak = figure(wind(plain, "24", terrain, height_m), "peak velocity pressure")
    assert peak / (0.5 * 1.25 * 24**2 / 1000) == pytest.approx(exposure, abs=0.05)


def test_the_uplift_of_one_panel_comes_out_of_a_survey(plain: Basis) -> None:
    # By hand, EN 1991-1-4 at 8 m in farmland, 22 m/s: 0.669 kN/m2; x 1.3 x 1.5 = 1.3046 kN/m2.
    found = wind(plain, "22", "farmland", "8")
    assert figure(found, "peak velocity pressure") == pytest.approx(0.669, abs=0.0005)
    assert figure(found, "design uplift") == pytest.approx(1.3046, abs=0.0005)
    assert figure(found, "net uplift") == pytest.approx(
        1.3046 - 0.9 * (21.8 / (1.134 * 1.762) + 2.5) * 9.81 / 1000, abs=0.0005)


def test_altitude_and_height_of_the_uk_annex_come_out_of_a_survey(plain: Basis) -> None:
    # A published worked example in Birmingham: map 22 m/s, 66 m above the sea, roof at 18 m; by
    # hand calt 1.0587 and vb 23.29 m/s (the page rounds to 1.05 and 23.17 on the way).
    site: dict[str, object] = {"wind_m_s": D(22), "altitude_m": D(66), "terrain": "town"}
    found, _ = judged(surveyed(site=site, ridge_m=D(18), uplift_kpa=None), plain)
    assert figure(worked(found), "altitude factor") == pytest.approx(1.0587, abs=0.00005)
    assert figure(worked(found), "basic wind velocity") == pytest.approx(23.29, abs=0.005)
