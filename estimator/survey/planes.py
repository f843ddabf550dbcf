"""The roof planes of a survey, and what stands on them."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import Field

from estimator.survey import words as w
from estimator.survey.fact import Fact, fact
from estimator.survey.group import Count, Group, Length, Number, Obstruction

# A house, not a field: beyond these a survey has slipped a digit.
RoofLength = Annotated[Decimal, Field(ge=0, le=200)]
RowCount = Annotated[int, Field(ge=0, le=50)]
ColumnCount = Annotated[int, Field(ge=0, le=100)]
PanelCount = Annotated[int, Field(ge=0, le=1000)]
Degrees = Annotated[Decimal, Field(ge=0, le=360)]
Pitch = Annotated[Decimal, Field(ge=0, le=90)]
Kilopascals = Annotated[Decimal, Field(ge=0, le=10)]  # some five times what wind does to a house
TimberWidth = Annotated[Decimal, Field(gt=0, le=500)]
Sides = Annotated[int, Field(ge=0, le=8)]


class Plane(Group):
    """One roof plane (or ground array)."""

    name: str = ""
    kind: Fact[w.PlaneKind] = fact(
        "how the panels are carried: on a pitched roof, in it, on a flat roof, on the ground",
        ask="Pitched, in-roof, flat or ground?")
    eaves_length_m: Fact[RoofLength] = fact(
        "length along the eaves", "m", "How long is the plane along the eaves?")
    slope_length_m: Fact[RoofLength] = fact(
        "length up the slope, not on plan", "m", "How long is the slope, eaves to ridge?")
    ridge_m: Fact[Annotated[Decimal, Field(gt=0, le=60)]] = fact(
        "height of the top of the roof or of a ground array above the ground", "m",
        "How high above the ground is the ridge?")
    pitch_deg: Fact[Pitch] = fact("pitch", "deg", "What is the pitch?")
    azimuth_deg: Fact[Degrees] = fact(
        "direction the plane faces, from north by east", "deg", "Which way does it face?")
    covering: Fact[w.Covering] = fact("roof covering", ask="What is the roof covered with?")
    rafter_spacing_m: Fact[Annotated[Decimal, Field(gt=0, le=3)]] = fact(
        "spacing of the rafters, centre to centre", "m",
        "What is the rafter spacing, seen from the loft with a tape?")
    rafter_width_mm: Fact[TimberWidth] = fact(
        "width of a rafter", "mm", "How wide are the rafters?")
    roof_sound: Fact[bool] = fact(
        "covering and timbers are sound", ask="Are tiles, felt and timbers sound?")
    spare_tiles: Fact[bool] = fact(
        "matching spare tiles or slates can be had", ask="Are matching spares on site?")
    shade: Fact[w.Shade] = fact("shade on the plane", ask="What shades the plane, and when?")
    uplift_kpa: Fact[Kilopascals] = fact(
        "design uplift from the wind calculation, own weight taken off", "kPa",
        "What uplift did the wind calculation give?")
    edge_zone_m: Fact[Length] = fact(
        "clear edge asked for on this plane, where it differs from the practice value", "m",
        "Does the mounting maker or engineer ask another edge zone?")
    layout: Fact[w.Layout] = fact("panels upright, lying or whichever fits more")
    rows: Fact[RowCount] = fact("rows of panels wanted", ask="How many rows?")
    columns: Fact[ColumnCount] = fact("panels in a row wanted", ask="How many panels in a row?")
    panels: Fact[PanelCount] = fact(
        "panels wanted on the plane; blank = as many as fit", ask="How many panels here?")
    strings: Fact[Count] = fact("strings on the plane", ask="How many strings?")
    dc_loft_m: Fact[Length] = fact(
        "direct-current route inside (loft), array to converter", "m",
        "How long is the cable route inside, from the roof entry to the converter?")
    dc_outside_m: Fact[Length] = fact(
        "direct-current route outside, array to converter", "m",
        "How long is the cable route outside?")
    scaffold_ground: Fact[w.ScaffoldGround] = fact(
        "ground on which the scaffold stands",
        ask="What is under the eaves: clear ground, glass, a neighbour, a pavement?")
    glazed_length_m: Fact[Length] = fact(
        "length of glazed roof below the eaves, to be bridged by the scaffold", "m",
        "How long is the glazed roof, and is there a clear metre at each end of it?")
    scaffold_sides: Fact[Sides] = fact(
        "sides that need scaffold", ask="How many sides need scaffold?")
    ballast_kg: Fact[Number] = fact(
        "ballast from the engineer's calculation", "kg", "What ballast did the engineer give?")
    array_bonded: Fact[bool] = fact(
        "the designer asks for the frame of the array to be bonded to earth",
        ask="Does the designer ask for the array frame to be bonded?")
    trench_m: Fact[Length] = fact(
        "trench from a ground array to the house", "m", "How long is the trench?")
    trench_surface: Fact[w.TrenchSurface] = fact(
        "surface to be dug", ask="Lawn, drive or slab?")
    obstructions: tuple[Obstruction, ...] = ()
