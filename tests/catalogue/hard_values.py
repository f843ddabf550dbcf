"""For every hard field: a value of the original, one that is as good, and one that is not.

By hand, from what each field means; the last value of a direction is at its edge, the least step
away on the wrong side. `SAME` says that nothing but the same will do. Values are invented.
"""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

SAME = object()
Row = tuple[Any, Any, Any]

PLAIN: dict[str, Row] = {
    "size_mm": (32, SAME, 33), "length_m": (D("1.2"), D("1.3"), D("1.1")),
    "outdoor": (True, SAME, False), "persons": (2, 3, 1),
}
PLUGS: Row = ("plug A", SAME, "plug B")

HARD_VALUES: dict[str, dict[str, Row]] = {
    "panel": {
        "width_mm": (1134, 1133, 1135), "height_mm": (1722, 1721, 1723), "power_w": (420, 421, 419),
        "max_system_v": (1000, 1500, 999), "max_fuse_a": (20, 25, 19), "plug_family": PLUGS,
        "lead_mm": (1200, 1201, 1199), "colour": ("black", SAME, "silver"),
    },
    "converter": {
        "phases": (1, SAME, 3), "ac_w": (3680, 3681, 3679), "ac_a": (16, 15, D("16.1")),
        "device_a": (20, 16, 21), "rcd_type": ("A", "none", "B"),
        "has_panel_input": (True, SAME, False), "has_storage_port": (True, SAME, False),
        "dc_max_v": (600, 601, 599), "start_v": (100, 99, 101), "mppt_low_v": (90, 89, 91),
        "mppt_high_v": (550, 551, 549), "trackers": (2, 3, 1), "strings_per_tracker": (2, 3, 1),
        "tracker_a": (16, 17, 15), "tracker_isc_a": (20, 21, 19),
        "dc_isolator_inside": (True, SAME, False), "surge_declared": (True, SAME, False),
        "outdoor": (True, SAME, False), "ip": (54, 65, 53), "noise_db": (35, 34, 36),
        "clear_side_mm": (300, 299, 301), "clear_top_mm": (300, 299, 301),
        "clear_floor_mm": (500, 499, 501), "depth_mm": (180, 179, 181),
        "backup_w": (3000, 3001, 2999), "earth_link_inside": (False, SAME, True),
        "clamp_lead_m": (5, 6, 4), "clamp_extension": ("none", "twisted pair", SAME),
        "clamp_extension_max_m": (20, 21, 19), "storage_max_modules": (6, 7, 5),
        "storage_allowed": (("S1", "S2"), ("S0", "S1", "S2"), ("S1", "S3")), "plug_family": PLUGS,
    },
    "storage": {
        "usable_kwh": (5, D("5.1"), D("4.9")), "nominal_v": (D("51.2"), SAME, D("51.3")),
        "max_a": (100, 101, 99), "max_per_stack": (4, 5, 3), "max_modules": (8, 9, 7),
        "mounts": ("wall", "both", "floor"), "breaker_inside": (True, SAME, False),
        "outdoor": (True, SAME, False), "ip": (54, 55, 45), "charge_min_c": (0, -1, 1),
        "heater": (True, SAME, False), "clear_side_mm": (300, 299, 301),
        "clear_top_mm": (300, 299, 301), "clear_floor_mm": (500, 499, 501),
        "depth_mm": (180, 179, 181),
    },
    "mounting": {
        "coverings": (("plain tile",), ("plain tile", "metal"), ("metal",)),
        "resistance_kn": (D("1.1"), D("1.2"), D("1.0")), "max_span_m": (D("1.2"), D("1.3"), 1),
        "max_overhang_m": (D("0.3"), D("0.4"), D("0.2")), "rafter_min_mm": (45, 44, 46),
        "profile": ("40 x 40", SAME, "40 x 62"), "frame_min_mm": (30, 29, 31),
        "frame_max_mm": (35, 36, 34),
        "bond_through": (True, SAME, False), "pitch_min_deg": (10, 9, 11),
        "pitch_max_deg": (60, 61, 59), "marine_grade": (True, SAME, False), "holes": (4, SAME, 6),
        "couple_mm": (400, 401, 399), "ballast_kg": (20, SAME, 21),
    },
    "cable": {
        "kind": ("armoured", SAME, "flat twin and earth"), "size_mm2": (4, 6, D("2.5")),
        "cores": (2, SAME, 3), "clipped_a": (37, 38, 36), "mv_per_a_m": (11, 10, 12),
        "outdoor": (True, SAME, False), "buried": (True, SAME, False),
        "colour": ("green and yellow", SAME, "blue"),
    },
    "lead": {
        "length_m": (5, D("5.1"), D("4.9")), "cores": (2, 8, 1), "pair": (True, SAME, False),
        "sealed_end": (True, SAME, False), "outdoor": (True, SAME, False), "plug_family": PLUGS,
        "may_cut": (True, SAME, False), "may_extend": (True, SAME, False),
    },
    "device": {
        "rating_a": (20, SAME, 25), "poles": (2, SAME, 4), "ways": (2, 1, 3),
        "curve": ("C", SAME, "B"), "rcd_type": ("A", "F", "AC"), "both_way": (True, SAME, False),
        "board_family": ("standard", SAME, "other"),
    },
    "isolator": {
        "current": ("d.c.", SAME, "a.c."), "rating_a": (20, 21, 19), "rating_v": (600, 601, 599),
        "poles": (2, 4, 1), "outdoor": (True, SAME, False), "lockable": (True, SAME, False),
    },
    "surge": {
        "current": ("a.c.", SAME, "d.c."), "phases": (1, SAME, 3), "rating_v": (275, SAME, 276),
    },
    "meter": {
        "phases": (1, SAME, 3), "max_a": (100, 101, 99), "both_way": (True, SAME, False),
        "data_link": (True, SAME, False), "poles": (2, SAME, 4),
    },
    "clamp": {
        "rating_a": (100, SAME, 200), "lead_m": (5, 6, 4), "split_core": (True, SAME, False),
    },
    "enclosure": {
        "ways": (5, 6, 4), "metal": (True, SAME, False), "outdoor": (True, SAME, False),
        "main_switch_a": (63, 64, 62), "phases": (1, SAME, 3),
    },
    "containment": {
        "size_mm": (25, SAME, 26), "outdoor": (True, SAME, False), "metal": (False, SAME, True),
    },
    "fixing": {
        "walls": (("concrete",), ("concrete", "dense brick"), ("dense brick",)),
        "diameter_mm": (8, SAME, 10), "length_mm": (75, 76, 74), "hole_mm": (8, 7, 9),
        "depth_mm": (60, 59, 61), "pull_n": (1600, 1601, 1599), "shear_n": (1800, 1801, 1799),
        "resin_ml": (0, SAME, 5), "sleeve": (False, SAME, True), "outdoor": (True, SAME, False),
        "load_rated": (True, SAME, False),
    },
    "sealing": {
        "volume_ml": (300, 301, 299), "fire_rated_min": (60, 120, 30),
        "outdoor": (True, SAME, False), "size_mm": (40, SAME, 41),
    },
    "label": {
        "text": ("Isolate here.", SAME, "Off here."), "goes_on": ("the meter", SAME, "the board"),
        "outdoor": (True, SAME, False),
    },
    "sheet": {
        "width_mm": (1200, 1201, 1199), "height_mm": (2400, 2401, 2399),
        "thickness_mm": (12, SAME, 13), "non_combustible": (True, SAME, False),
    },
    "alarm": {
        "senses": ("heat", SAME, "smoke"), "link": ("radio", SAME, "wired"),
        "mains": (True, SAME, False),
    },
    "electronics": {"plug_family": PLUGS, "max_w": (500, 501, 499)},
    **dict.fromkeys(
        ("comms", "earthing", "consumable", "guard", "hire", "service", "fee"), PLAIN),
}
