"""The figures on the starter catalogue's data sheets agree with published tables and physics.

The catalogue's prices and data sheets are invented; what is checked here is that its cable values
are those of the table it names, and that no data sheet contradicts itself.
"""

from __future__ import annotations

from decimal import Decimal as D
from itertools import pairwise
from typing import cast, get_args

import pytest

from catalogue import specs
from catalogue.items import Item
from tests.catalogue.starter_reading import ITEMS, OFFERS

BY_CODE = {item.code: item for item in ITEMS}

# mm², A clipped direct, mV/A/m. BS 7671 Table 4D5 column C: 2.5 to 6 mm² seen on a reference
# page of the table, 10 and 16 mm² from memory; volt drop column of the same table.
FLAT = (("2.5", "27", "18"), ("4", "37", "11"), ("6", "47", "7.3"), ("10", "64", "4.4"),
        ("16", "85", "2.8"))
# BS 7671 Table 4D4A (70 °C) two-core method C and Table 4D4B, from memory.
ARMOURED_TWO = (("4", "38", "11"), ("6", "49", "7.3"), ("10", "67", "4.4"), ("16", "89", "2.8"),
                ("25", "118", "1.75"), ("35", "145", "1.25"))
# Same tables, three or four cores loaded three-phase, from memory.
ARMOURED_FIVE = (("4", "33", "9.5"), ("6", "42", "6.4"), ("10", "58", "3.8"), ("16", "77", "2.4"))
# BS 7671 Table 4D2A three or four cores method C and Table 4D2B, from memory.
SHEATHED_FIVE = (("2.5", "24", "15"), ("4", "32", "9.5"), ("6", "41", "6.4"), ("10", "57", "3.8"),
                 ("16", "76", "2.4"))
# EN 50618 Annex A, two adjacent on a surface at 60 °C, from memory; twice the resistance of
# IEC 60228 class 5 tinned copper at 20 °C: 5.09, 3.39, 1.95 ohm/km, from memory.
PANEL_CABLE = (("4", "44", "10.18"), ("6", "57", "6.78"), ("10", "79", "3.90"))
# BS 7671 Table 4D1A method C, two cables, and Table 4D1B (touching), from memory.
TAILS = (("25", "114", "1.75"), ("35", "141", "1.25"))


def cables(kind: str, cores: int) -> list[specs.CableSpec]:
    found = [cast(specs.CableSpec, i.spec) for i in ITEMS if i.family == "cable"]
    return sorted((s for s in found if s.kind == kind and s.cores == cores),
                  key=lambda s: s.size_mm2)


@pytest.mark.parametrize(("kind", "cores", "table"), [
    ("flat twin and earth", 2, FLAT), ("armoured", 2, ARMOURED_TWO),
    ("armoured", 5, ARMOURED_FIVE), ("flexible", 5, SHEATHED_FIVE), ("pv d.c.", 1, PANEL_CABLE),
    ("tails", 1, TAILS),
])
def test_cables_carry_the_values_of_the_table_they_name(
    kind: str, cores: int, table: tuple[tuple[str, str, str], ...]
) -> None:
    found = cables(kind, cores)
    assert [(s.size_mm2, s.clipped_a, s.mv_per_a_m) for s in found] == [
        (D(size), D(amps), D(mv)) for size, amps, mv in table
    ]
    assert [s.size_mm2 for s in found if "Table" not in s.capacity_source
            and "Annex" not in s.capacity_source] == []
    for small, large in pairwise(found):
        assert cast(D, small.clipped_a) < cast(D, large.clipped_a)
        assert cast(D, small.mv_per_a_m) > cast(D, large.mv_per_a_m)


def test_a_larger_cable_of_a_kind_never_costs_less() -> None:
    price = {offer.item: offer.unit_price_minor for offer in OFFERS}
    for kind, cores in (("flat twin and earth", 2), ("armoured", 2), ("armoured", 5),
                        ("flexible", 5), ("pv d.c.", 1), ("earth", 1)):
        line = sorted((cast(specs.CableSpec, i.spec).size_mm2, price[i.code]) for i in ITEMS
                      if i.family == "cable" and cast(specs.CableSpec, i.spec).kind == kind
                      and cast(specs.CableSpec, i.spec).cores == cores)
        assert [p for _, p in line] == sorted(p for _, p in line)
        assert len(line) >= 3


PANELS = [cast(specs.PanelSpec, i.spec) for i in ITEMS if i.family == "panel"]


@pytest.mark.parametrize("spec", PANELS, ids=lambda s: f"{s.power_w} W")
def test_a_panel_s_power_is_its_working_volts_times_amps(spec: specs.PanelSpec) -> None:
    # P = V x I at the maximum-power point, within 2 % for the rounding of data sheets; the open
    # circuit has the higher voltage and the short circuit the higher current (textbook).
    assert abs(spec.vmp_v * spec.imp_a / spec.power_w - 1) <= D("0.02")
    assert spec.voc_v > spec.vmp_v
    assert spec.isc_a > spec.imp_a
    assert spec.max_fuse_a > spec.isc_a * D("1.4")
    # 1000 W/m² falls on it at standard test conditions: 18 to 24 % comes out of those on sale.
    area_m2 = spec.width_mm * spec.height_mm / 1_000_000
    assert D("0.18") < spec.power_w / (1000 * area_m2) < D("0.24")
    assert 1700 <= spec.height_mm <= 2000
    assert 400 <= spec.power_w <= 510


def test_the_panel_of_the_worked_string_is_there() -> None:
    # Worked example, invented figures: 1.134 x 1.762 m, 41.0 V, -0.26 %/K, 21.8 kg.
    item = BY_CODE["00440-BK"]
    spec = cast(specs.PanelSpec, item.spec)
    assert (spec.width_mm, spec.height_mm, spec.frame_mm) == (1134, 1762, 30)
    assert (spec.voc_v, spec.voc_pct_per_k, item.mass_kg) == (D("41.0"), D("-0.26"), D("21.8"))


CONVERTERS = [i for i in ITEMS if i.family == "converter"]


@pytest.mark.parametrize("item", CONVERTERS, ids=lambda i: i.code)
def test_a_converter_s_current_follows_from_its_power(item: Item) -> None:
    spec = cast(specs.ConverterSpec, item.spec)
    # I = P / (230 V x phases); the device is the next size up and not more than two sizes.
    amps = spec.ac_w / (230 * spec.phases)
    assert abs(spec.ac_a - amps) <= D("0.1")
    assert amps < spec.device_a <= amps * D("1.6")
    assert spec.has_storage_port == bool(spec.storage_allowed)
    assert spec.has_panel_input == (spec.trackers > 0) == (spec.dc_max_v is not None)
    assert spec.ip >= 44 or not spec.outdoor  # IEC 60529: 4 = splashing water
    for code in spec.storage_allowed:
        assert BY_CODE[code].family == "storage"


def test_converters_come_in_every_kind_a_house_needs() -> None:
    found = {(s.phases, s.outdoor, s.has_panel_input, s.has_storage_port)
             for s in (cast(specs.ConverterSpec, i.spec) for i in CONVERTERS)}
    one_phase = {(1, out, True, True) for out in (True, False)}
    assert one_phase | {(1, False, False, True), (1, True, True, False), (3, True, True, True)} \
        <= found
    assert {D(w) for w in (3000, 3680, 5000, 6000)} <= {
        cast(specs.ConverterSpec, i.spec).ac_w for i in CONVERTERS
        if cast(specs.ConverterSpec, i.spec).phases == 1}
    allowed = {c for i in CONVERTERS for c in cast(specs.ConverterSpec, i.spec).storage_allowed}
    assert allowed == {i.code for i in ITEMS if i.family == "storage"}


def test_both_way_devices_come_in_every_rating_pole_count_and_residual_type() -> None:
    devices = [cast(specs.DeviceSpec, i.spec) for i in ITEMS if "circuit device" in i.roles]
    assert {(d.rating_a, d.poles, d.rcd_type) for d in devices
            if d.both_way and d.board_family == "standard"} >= {
        (D(a), poles, rcd) for a in (16, 20, 25, 32, 40, 63) for poles in (2, 4)
        for rcd in ("none", "A", "F", "B")}
    assert any(not d.both_way for d in devices)
    assert len({d.board_family for d in devices}) == 2


def test_every_converter_s_device_and_isolator_can_be_had() -> None:
    devices = [cast(specs.DeviceSpec, i.spec) for i in ITEMS if "circuit device" in i.roles]
    isolators = [cast(specs.IsolatorSpec, i.spec) for i in ITEMS if "a.c. isolator" in i.roles]
    for c in (cast(specs.ConverterSpec, i.spec) for i in CONVERTERS):
        poles = 2 if c.phases == 1 else 4
        for family in ("standard", "range two"):
            assert any(d.both_way and d.rating_a == c.device_a and d.rcd_type == c.rcd_type
                       and d.poles >= c.phases and d.board_family == family for d in devices)
        assert any(s.rating_a >= c.device_a and s.poles == poles and s.outdoor >= c.outdoor
                   for s in isolators)


def test_clamps_and_plugs_suit_every_panel() -> None:
    plugs = {cast(specs.LeadSpec, i.spec).plug_family for i in ITEMS
             if "panel connector pair" in i.roles}
    assert {p.plug_family for p in PANELS} <= plugs
    for role in ("middle clamp", "end clamp"):
        grips = [cast(specs.MountingSpec, i.spec) for i in ITEMS if role in i.roles]
        for frame in {p.frame_mm for p in PANELS} | {D(30), D(32), D(35), D(40)}:
            assert any(cast(D, g.frame_min_mm) <= frame <= cast(D, g.frame_max_mm)
                       for g in grips)


def test_every_covering_and_every_wall_is_served() -> None:
    def coverings(role: str) -> set[str]:
        return {c for i in ITEMS if role in i.roles
                for c in cast(specs.MountingSpec, i.spec).coverings}

    pitched = {"concrete interlocking", "clay pantile", "plain tile", "natural slate",
               "fibre slate", "stone slate"}
    assert coverings("roof fixing") >= pitched | {"metal"}
    assert coverings("replacement tile") >= pitched
    assert coverings("roof entry") >= pitched | {"metal", "felt", "single ply"}
    assert coverings("fixing flashing") == pitched - {"concrete interlocking", "clay pantile"}
    fixings = [(i, cast(specs.FixingSpec, i.spec)) for i in ITEMS if i.family == "fixing"]
    for wall in get_args(specs.WallKind):
        for role in ("anti-tip fixing", "light wall fixing", "board fixing"):
            assert any(role in i.roles and wall in s.walls for i, s in fixings)
        hung = [s for i, s in fixings if "wall fixing" in i.roles and wall in s.walls]
        assert hung
        assert all(s.load_rated for s in hung)
        assert any(s.outdoor for s in hung)
        # Common practice, no source: hollow, light and stone walls are fixed with resin.
        if wall in ("perforated brick", "light block", "stone"):
            assert all(s.resin_ml > 0 for s in hung)


# Usual order of size of recommended loads in newtons: data sheets in general, from memory, low
# confidence; a plausibility bound only.
@pytest.mark.parametrize(("code", "pull", "shear"), [
    ("09020", (600, 900), (600, 900)), ("09021", (900, 1300), (900, 1300)),
    ("09022", (900, 1300), (900, 1300)), ("09030", (800, 1900), (1000, 2000)),
    ("09031", (300, 600), (400, 800)), ("09032", (300, 900), (400, 900)),
    ("09033", (800, 1900), (1000, 2000)), ("09034", (300, 600), (400, 800)),
    ("09036", (6000, 9000), (6000, 9000)), ("09050", (400, 700), (400, 700)),
    ("09051", (60, 140), (60, 140)), ("09053", (200, 300), (200, 300)),
])
def test_fixing_loads_stay_inside_the_usual_order_of_size(
    code: str, pull: tuple[int, int], shear: tuple[int, int]
) -> None:
    spec = cast(specs.FixingSpec, BY_CODE[code].spec)
    assert pull[0] <= cast(D, spec.pull_n) <= pull[1]
    assert shear[0] <= cast(D, spec.shear_n) <= shear[1]
