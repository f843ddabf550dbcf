"""The survey: every fact of the house that moves material, labour or price.

Groups follow the parts of the house. Roof planes and cable legs repeat any number of times.
A rule names a fact by group and field: `storage.modules`, `plane.covering`, `leg.length_m`.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated

from pydantic import Field

from estimator.survey import words as w
from estimator.survey.fact import Evidence, Fact, fact
from estimator.survey.group import Count, Group, Length, Number
from estimator.survey.places import Converter, Storage
from estimator.survey.planes import Plane

Amps = Annotated[Decimal, Field(gt=0, le=1000)]


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
