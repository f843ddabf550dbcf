"""The survey: every fact of the house that moves material, labour or price.

Groups follow the parts of the house. Roof planes and cable legs repeat any number of times.
A rule names a fact by group and field: `storage.modules`, `plane.covering`, `leg.length_m`.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from estimator.survey import words as w
from estimator.survey.fact import Evidence, Fact, fact

Length = Annotated[Decimal, Field(ge=0, le=1000)]
Count = Annotated[int, Field(ge=0, le=10_000)]
# A house, not a field: beyond these a survey has slipped a digit.
RoofLength = Annotated[Decimal, Field(ge=0, le=200)]
RowCount = Annotated[int, Field(ge=0, le=50)]
ColumnCount = Annotated[int, Field(ge=0, le=100)]
PanelCount = Annotated[int, Field(ge=0, le=1000)]
Degrees = Annotated[Decimal, Field(ge=0, le=360)]
Pitch = Annotated[Decimal, Field(ge=0, le=90)]
Amps = Annotated[Decimal, Field(gt=0, le=1000)]
Number = Annotated[Decimal, Field(ge=0, le=1_000_000)]
Kilopascals = Annotated[Decimal, Field(ge=0, le=10)]  # some five times what wind does to a house
TimberWidth = Annotated[Decimal, Field(gt=0, le=500)]
Sides = Annotated[int, Field(ge=0, le=8)]
Lining = Annotated[Decimal, Field(ge=0, le=200)]


class Group(BaseModel):
    """A part of the house: frozen, and nothing that is not a known fact is accepted."""

    # Built with the survey that holds it, not on its own: that halves the time of loading.
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class Header(Group):
    """Who, where and when; not facts that a rule reads, apart from `parts`."""

    id: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$")]
    title: str = ""
    customer: str = ""
    address: str = ""
    surveyor: str = ""
    estimator: str = ""
    surveyed_on: date | None = None
    supply_date: date | None = None
    evidence: Evidence = Evidence.ASSUMED
    parts: tuple[w.Part, ...] = Field(min_length=1)
    remarks: tuple[str, ...] = ()
    private_remarks: tuple[str, ...] = ()


class Site(Group):
    """The house, the way to it and what stands round it."""

    building: Fact[w.Building] = fact("kind of building", ask="What kind of house is it?")
    build_year: Fact[Annotated[int, Field(ge=1500, le=2100)]] = fact(
        "year in which the house was built", ask="When was the house built?")
    floor_area_m2: Fact[Number] = fact(
        "floor area of the dwelling", "m²", "What is the floor area of the dwelling?")
    storeys: Fact[Annotated[int, Field(ge=1, le=6)]] = fact(
        "storeys from ground to eaves", ask="How many storeys to the eaves?")
    travel_min: Fact[Number] = fact(
        "one-way drive from the firm's base", "min", "How long is the drive from base?")
    parking_paid: Fact[bool] = fact(
        "parking must be paid for", ask="Must the van's parking be paid for?")
    parking_distance_m: Fact[Length] = fact(
        "carry from van to the work", "m", "How far from the van to the work?")
    carry_steps: Fact[Count] = fact(
        "steps on the carry route", ask="How many steps on the way in?")
    listed: Fact[bool] = fact("listed building", ask="Is the house listed?")
    conservation_area: Fact[bool] = fact(
        "in a conservation area", ask="Is the house in a conservation area?")
    home_or_charity: Fact[bool] = fact(
        "a home or a charity's building, for the tax relief",
        ask="Is the building a home (or a charity's)?")
    coast_distance_km: Fact[Number] = fact(
        "distance to the sea", "km", "How far is the sea?")
    wind_m_s: Fact[Annotated[Decimal, Field(ge=15, le=60)]] = fact(
        "basic wind velocity on the map of the wind code, before altitude", "m/s",
        "What basic wind velocity does the map of the wind code give for the place?")
    altitude_m: Fact[Annotated[Decimal, Field(ge=-10, le=3000)]] = fact(
        "height of the site above the sea", "m", "How high above the sea is the site?")
    terrain: Fact[w.Terrain] = fact(
        "ground upwind of the site, on its most open side",
        ask="What lies upwind for a kilometre, on the most open side: sea, open flat land, "
        "fields with hedges, a suburb or wood, a close town?")
    bats: Fact[bool] = fact("signs of bats", ask="Any droppings or other signs of bats?")
    birds_nesting: Fact[bool] = fact(
        "birds nest at the roof", ask="Do birds nest under or at the roof?")
    asbestos_suspected: Fact[bool] = fact(
        "asbestos is suspected where work is done",
        ask="Any cement sheet, old slate, soffit or textured coating that may hold asbestos?")


class Obstruction(Group):
    """A thing on a roof plane or a wall, by its lower left corner from the lower left of that.

    On a wall the lower left is the left end at the floor.
    """

    name: str
    x_m: Length
    y_m: Length
    width_m: Length
    height_m: Length


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


class Supply(Group):
    """The supply, its earthing and what already generates or draws."""

    phases: Fact[Annotated[int, Field(ge=1, le=3)]] = fact("phases", ask="One or three phases?")
    fuse_a: Fact[Amps] = fact(
        "main fuse as read from its label", "A", "What does the main fuse say?")
    earthing: Fact[w.Earthing] = fact("earthing arrangement", ask="What is the earthing?")
    electrode_good: Fact[bool] = fact(
        "the existing earth electrode tests low and steady",
        ask="What does the earth electrode measure?")
    isolator_present: Fact[bool] = fact(
        "a means to isolate stands between meter and board",
        ask="Is there an isolator between meter and board?")
    looped: Fact[bool] = fact("the service is looped", ask="Is the service looped?")
    tails_mm2: Fact[Number] = fact("size of the tails", "mm²", "What size are the tails?")
    bonds_undersize: Fact[Count] = fact(
        "services whose main bond is missing or too thin",
        ask="How many of gas, water, oil, steel lack a proper bond?")
    existing_generation_w: Fact[Number] = fact(
        "output of generation and storage already there (0 = none)", "W",
        "Is there any solar, storage or generator already, and how large?")
    network_cap_w: Fact[Number] = fact(
        "export limit set by the network (0 = none)", "W", "Has the network set a limit?")
    other_premises: Fact[bool] = fact(
        "generation is fitted at other premises near by in the same weeks",
        ask="Does the firm fit generation within 500 m and 28 days of this job?")
    electric_vehicle: Fact[bool] = fact("a vehicle charger is there or planned",
                                        ask="Is there or will there be a vehicle charger?")
    heat_pump: Fact[bool] = fact("a heat pump is there or planned",
                                 ask="Is there or will there be a heat pump?")
    lightning_protection: Fact[bool] = fact(
        "the house has a lightning protection system", ask="Is there a lightning conductor?")


class Board(Group):
    """The consumer unit."""

    spare_ways: Fact[Count] = fact(
        "true spare ways, counted with the cover off or by make and blanks",
        ask="How many spare ways are there really?")
    circuits: Fact[Count] = fact(
        "circuits the board feeds", ask="How many circuits does the board feed?")
    condition: Fact[w.BoardCondition] = fact(
        "sound, or to be replaced", ask="Is the board sound?")
    rcd_for_whole_board: Fact[bool] = fact(
        "one RCD stands ahead of the whole board", ask="Does one RCD feed the whole board?")
    surge_present: Fact[bool] = fact(
        "surge protection is fitted", ask="Is surge protection fitted?")
    device_direction: Fact[w.DeviceDirection] = fact(
        "direction marks on the device that would feed the converter",
        ask="What in/out marks does the device carry?")
    wall: Fact[w.WallKind] = fact(
        "make-up of the wall round the board", ask="What is the wall round the board made of?")
    family: Fact[str] = fact("board family whose devices it takes", ask="What make is the board?")


class Metering(Group):
    """Where the supply meter is and how far."""

    route_m: Fact[Length] = fact(
        "route from the supply meter to the converter, not as the crow flies", "m",
        "How long is the route from the meter to the converter?")
    existing_route_m: Fact[Length] = fact(
        "route from where existing generation lands to the converter", "m",
        "How long is the route from the existing generation to the converter?")


class Leg(Group):
    """One leg of a cable run."""

    name: str = ""
    run: Fact[w.LegRun] = fact(
        "which run the leg belongs to; the legs of a run in the order of its cable",
        ask="Which run is it?")
    method: Fact[w.LegMethod] = fact("how the leg is run", ask="Clipped, trunking, buried ...?")
    length_m: Fact[Length] = fact("length with rises", "m", "How long is the leg?")
    outdoors: Fact[bool] = fact("the leg is out of doors", ask="Is the leg outdoors?")
    rated_crossings: Fact[Count] = fact(
        "fire-rated walls or ceilings crossed", ask="Does it cross a fire-rated wall?")
    insulation_contact: Fact[bool] = fact(
        "the cable touches thermal insulation", ask="Does it lie in insulation?")


class Backup(Group):
    """Circuits kept alive when the supply fails."""

    circuits: Fact[Count] = fact(
        "circuits to be kept alive", ask="Which circuits are kept alive, and how many?")
    circuit_m: Fact[Length] = fact(
        "cable to move those circuits", "m", "How much cable does it take to move the circuits?")
    feed_m: Fact[Length] = fact(
        "route from the converter's backup output to the backup board, where no leg of it is "
        "listed", "m",
        "How long is the route from the converter's backup output to the backup board, leg by "
        "leg?")
    electrodes: Fact[Count] = fact(
        "earth electrodes the designer asks for",
        ask="How many earth electrodes does the designer ask for?")


class Wishes(Group):
    """What the customer or the estimator chose."""

    panel: Fact[str] = fact("panel item code", ask="Which panel?")
    converter: Fact[str] = fact("converter item code", ask="Which converter?")
    storage: Fact[str] = fact("storage item code", ask="Which storage module?")
    mesh: Fact[bool] = fact("bird mesh wanted", ask="Is bird mesh wanted?")
    lead_cover: Fact[bool] = fact(
        "trunking over the leads wanted, for looks", ask="Should the leads be covered?")
    panel_electronics: Fact[bool] = fact(
        "electronics at each panel wanted", ask="Electronics at each panel?")


class Survey(Group):
    """One house as surveyed."""

    job: Header
    site: Site = Field(default_factory=Site)
    planes: tuple[Plane, ...] = ()
    storage: Storage = Field(default_factory=Storage)
    converter: Converter = Field(default_factory=Converter)
    supply: Supply = Field(default_factory=Supply)
    board: Board = Field(default_factory=Board)
    metering: Metering = Field(default_factory=Metering)
    legs: tuple[Leg, ...] = ()
    backup: Backup = Field(default_factory=Backup)
    wishes: Wishes = Field(default_factory=Wishes)
