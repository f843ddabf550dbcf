"""The houses of the demo year, and the survey of each as a file that can be quoted."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

FOLDER = Path(__file__).parent
STOREY_M, EAVES_SPARE_M = 1.14, 1.2  # a panel's width on the roof, and what is left beside them


@dataclass(frozen=True, slots=True)
class House:
    """What is invented of a house; the words are those of a survey.

    Attributes:
        weight: how often such a house is asked for, against the others.
        rebates: what may be taken off its list price, as shares.
    """

    key: str
    weight: int
    covering: str
    wall: str
    rows: int
    columns: int
    modules: int
    rebates: tuple[Decimal, ...]

    @property
    def panels(self) -> int:
        """Return how many panels go on the roof."""
        return self.rows * self.columns

    @property
    def kind_of_job(self) -> str:
        """Return what is fitted, in the words of a quote."""
        if not self.modules:
            return "panels"
        return "panels and storage" if self.panels else "storage"


@dataclass(frozen=True, slots=True)
class Heading:
    """Who asks for a job, where, and who looked at it."""

    id: str
    title: str
    customer: str
    address: str
    surveyor: str
    estimator: str
    surveyed_on: date
    supply_date: date


def read_houses() -> tuple[House, ...]:
    """Return the houses in the order of their file."""
    text = (FOLDER / "houses.toml").read_text(encoding="utf-8")
    return tuple(
        House(**{**row, "rebates": tuple(row["rebates"])})
        for row in tomllib.loads(text, parse_float=Decimal)["house"])


def survey_text(house: House, heading: Heading, changed: bool) -> str:
    """Return the survey of a house.

    Args:
        house: what is known of it.
        heading: who and where.
        changed: as it was found on the day of the work: two bonds too thin and no signal.
    """
    return "\n".join([*_head(house, heading), *_site(), *_plane(house), *_storage(house),
                      *_electrical(house, changed)]) + "\n"


def _head(house: House, heading: Heading) -> Iterator[str]:
    parts = [part for part, there in (("panels", house.panels), ("storage", house.modules))
             if there]
    yield "[job]"
    for name in ("id", "title", "customer", "address", "surveyor", "estimator"):
        yield f"{name} = {json.dumps(getattr(heading, name), ensure_ascii=False)}"
    yield f"surveyed_on = {heading.surveyed_on}"
    yield f"supply_date = {heading.supply_date}"
    yield 'evidence = "measured"'
    yield f"parts = {json.dumps([*parts, 'converter'])}\n"


def _site() -> Iterator[str]:
    yield """\
[site]
building = "detached"
build_year = 1968
storeys = 2
floor_area_m2 = 105
travel_min = 30
parking_paid = false
parking_distance_m = 8
carry_steps = 1
listed = false
conservation_area = false
home_or_charity = true
coast_distance_km = 40
wind_m_s = 22.4
altitude_m = 90
terrain = "suburb"
bats = false
birds_nesting = false
asbestos_suspected = false
"""


def _plane(house: House) -> Iterator[str]:
    if not house.panels:
        return
    slates = "slate" in house.covering
    yield f"""\
[[planes]]
name = "rear"
kind = "pitched"
eaves_length_m = {house.columns * STOREY_M + EAVES_SPARE_M:.2f}
slope_length_m = 4.6
ridge_m = 8.1
pitch_deg = 36
azimuth_deg = 182
covering = "{house.covering}"
rafter_spacing_m = {0.40 if slates else 0.60}
rafter_width_mm = {50 if slates else 35}
roof_sound = true
spare_tiles = true
shade = "none"
uplift_kpa = 1.2
array_bonded = false
layout = "portrait"
rows = {house.rows}
columns = {house.columns}
panels = {house.panels}
strings = 1
dc_loft_m = 9
dc_outside_m = 0
scaffold_ground = "clear"
scaffold_sides = 1
"""


def _storage(house: House) -> Iterator[str]:
    if not house.modules:
        return
    yield f"""\
[storage]
modules = {house.modules}
mount = "wall"
place = "garage"
wall = "{house.wall}"
plaster_mm = 0
wall_proved = true
combustible_wall = false
habitable_behind = false
floor = "slab"
floor_level = true
flood_risk = false
vehicle_access = false
flammables_within_2m = false
opening_within_1m = false
separation_min = 30
vehicle_kwh = 0
front_m = 2.1
house_alarm = "interlinked wired"
rated_crossings = 1
frost = false
third_person = false
wall_width_m = 4.6
wall_height_m = 2.4
"""


def _electrical(house: House, changed: bool) -> Iterator[str]:
    beside = ("same_wall = true\nto_storage_m = 1.2\n" if house.modules
              else "wall_width_m = 3.4\nwall_height_m = 2.4\n")
    yield f"""\
[converter]
place = "inside"
wall = "{house.wall}"
plaster_mm = 0
full_sun = false
near_bedroom = false
{beside}wall_crossings = 1
wall_thickness_mm = {450 if house.wall == "stone" else 215}
signal = "{"none" if changed else "good"}"
{"wired_internet_m = 11" if changed else ""}

[supply]
phases = 1
fuse_a = 100
earthing = "TN-C-S"
isolator_present = true
looped = false
tails_mm2 = 25
bonds_undersize = {2 if changed else 0}
existing_generation_w = 0
network_cap_w = 0
other_premises = false
electric_vehicle = false
heat_pump = false
lightning_protection = false

[board]
spare_ways = 3
circuits = 9
condition = "sound"
rcd_for_whole_board = false
surge_present = true
device_direction = "both ways"
family = "standard"
wall = "{house.wall}"

[metering]
route_m = 3

[[legs]]
name = "board to converter"
run = "converter circuit"
method = "trunking"
length_m = 4.5
outdoors = false
rated_crossings = 0
insulation_contact = false

[wishes]
mesh = false
lead_cover = false
panel_electronics = false
"""
