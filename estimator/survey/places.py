"""Where storage and converter are to stand, as surveyed."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import Field

from estimator.survey import words as w
from estimator.survey.fact import Fact, fact
from estimator.survey.group import Count, Group, Length, Number, Obstruction

Lining = Annotated[Decimal, Field(ge=0, le=200)]


class Storage(Group):
    """Where the storage modules go."""

    modules: Fact[Annotated[int, Field(ge=1, le=60)]] = fact(
        "storage modules wanted", ask="How many storage modules?")
    mount: Fact[w.StorageMount] = fact(
        "hung on the wall or standing on the floor", ask="Hung on the wall or on the floor?")
    place: Fact[w.StoragePlace] = fact("room or place", ask="Where is the storage to go?")
    wall: Fact[w.WallKind] = fact(
        "make-up of the wall behind the storage", ask="What is the wall made of?")
    plaster_mm: Fact[Lining] = fact(
        "plaster, render or plasterboard on the wall behind the storage", "mm",
        "How thick is the plaster, render or board on the wall behind the storage (0 = bare)?")
    wall_proved: Fact[bool] = fact(
        "a trial hole proved the wall solid", ask="Did a trial hole prove the wall solid?")
    combustible_wall: Fact[bool] = fact(
        "the wall or its face can burn", ask="Is the wall faced with anything that burns?")
    habitable_behind: Fact[bool] = fact(
        "a habitable room lies behind the wall", ask="What is on the far side of the wall?")
    floor: Fact[w.Floor] = fact("floor under the place", ask="What is the floor?")
    floor_level: Fact[bool] = fact("the floor is level and firm", ask="Is the floor level?")
    flood_risk: Fact[bool] = fact("the place can flood", ask="Can the place flood?")
    vehicle_access: Fact[bool] = fact(
        "a vehicle can strike the storage", ask="Does a car park or pass there?")
    flammables_within_2m: Fact[bool] = fact(
        "flammables are stored within 2 m", ask="Are fuel, paint or gas kept within 2 m?")
    opening_within_1m: Fact[bool] = fact(
        "a door, window, vent or escape route is within 1 m",
        ask="Is a door, window or vent within 1 m?")
    flammables_m: Fact[Length] = fact(
        "distance to the nearest stored flammables, where it was measured", "m",
        "How far off are fuel, paint or gas?")
    opening_m: Fact[Length] = fact(
        "distance to the nearest door, window, vent or escape route, where it was measured", "m",
        "How far off is the nearest door, window, vent or way out?")
    boundary_m: Fact[Length] = fact(
        "distance to the boundary, for storage out of doors", "m",
        "How far is the boundary from the storage?")
    house_alarm: Fact[w.HouseAlarm] = fact(
        "alarms in the house and how they link", ask="What smoke alarms are there?")
    rated_crossings: Fact[Count] = fact(
        "fire-rated walls or ceilings the storage leads cross",
        ask="How many fire-rated walls or ceilings do the leads cross?")
    frost: Fact[bool] = fact("the place can freeze", ask="Does the place freeze in winter?")
    third_person: Fact[bool] = fact(
        "steps or turns on the lift path call for a third person or an aid",
        ask="Are there steps or tight turns on the way for a heavy module?")
    separation_min: Fact[Number] = fact(
        "fire resistance of walls, ceiling and door between the place and the house (0 = none)",
        "min", "How long do walls, ceiling and door towards the house resist fire?")
    vehicle_kwh: Fact[Number] = fact(
        "energy in the battery of a car kept in the same place (0 = none)", "kWh",
        "Is an electric car kept in the same place, and how large is its battery?")
    side_wall: Fact[bool] = fact(
        "the wall is a side wall of the garage: a car stands along it, not ahead of it",
        ask="Is the wall a side wall of the garage?")
    bottom_m: Fact[Length] = fact(
        "lower edge of the lowest module above the floor", "m",
        "How high above the floor is the lower edge of the modules?")
    front_m: Fact[Length] = fact(
        "clear depth in front of the storage", "m", "How deep is the clear space in front?")
    wall_width_m: Fact[Length] = fact(
        "width of the wall between its ends", "m", "How wide is the wall?")
    wall_height_m: Fact[Length] = fact(
        "height of the wall, floor to ceiling", "m", "How high is the wall?")
    obstructions: tuple[Obstruction, ...] = ()


class Converter(Group):
    """Where the converter goes."""

    place: Fact[w.Side] = fact("inside or outside", ask="Inside or outside?")
    wall: Fact[w.WallKind] = fact(
        "make-up of the wall behind the converter",
        ask="What is the wall behind the converter made of?")
    plaster_mm: Fact[Lining] = fact(
        "plaster, render or plasterboard on the wall behind the converter", "mm",
        "How thick is the plaster, render or board on the wall behind the converter (0 = bare)?")
    full_sun: Fact[bool] = fact("in full sun or driving rain", ask="Is it in sun or rain?")
    near_bedroom: Fact[bool] = fact("near a bedroom", ask="Is a bedroom near?")
    to_storage_m: Fact[Length] = fact(
        "route from the converter to the nearest storage module", "m",
        "How long is the lead route from converter to storage?")
    wall_crossings: Fact[Count] = fact(
        "walls to be cored for leads between converter, storage and board",
        ask="How many walls are to be cored?")
    wall_thickness_mm: Fact[Number] = fact(
        "thickness of the thickest wall to be cored", "mm",
        "How thick is the wall to be cored?")
    signal: Fact[w.Signal] = fact(
        "wireless signal at the converter", ask="What signal does a phone show at the converter?")
    circuit_m: Fact[Length] = fact(
        "route of the converter's circuit, board to converter, where no leg of it is listed", "m",
        "How long is the cable route from the board to the converter, leg by leg?")
    wired_internet_m: Fact[Length] = fact(
        "route of a wired internet lead, if one is wanted", "m",
        "How long is the route to the router?")
    same_wall: Fact[bool] = fact(
        "the converter hangs on the wall of the storage",
        ask="Does the converter hang on the same wall as the storage?")
    wall_width_m: Fact[Length] = fact(
        "width of the wall between its ends", "m", "How wide is the converter's wall?")
    wall_height_m: Fact[Length] = fact(
        "height of the wall, floor to ceiling or eaves", "m", "How high is the converter's wall?")
    obstructions: tuple[Obstruction, ...] = ()
