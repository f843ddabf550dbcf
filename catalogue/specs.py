"""Typed specification of an item, one model per family.

Field names end in their unit. Numbers are whole numbers or exact decimals, so that a rule's
comparison with a data-sheet value is exact. A field left blank is not on the data sheet: rules
that need it then find no item and say so.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Positive = Annotated[Decimal, Field(gt=0)]
NotNegative = Annotated[Decimal, Field(ge=0)]
Count = Annotated[int, Field(ge=0)]
WallKind = Literal[
    "concrete", "dense brick", "perforated brick", "dense block", "light block", "stone", "stud"
]
Covering = Literal[
    "concrete interlocking", "clay pantile", "plain tile", "natural slate", "fibre slate",
    "stone slate", "metal", "felt", "single ply", "thatch", "ground",
]


class Spec(BaseModel):
    """What every family shares: frozen, nothing unknown accepted."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class PanelSpec(Spec):
    """A solar panel: size, power and the data-sheet values at standard test conditions."""

    width_mm: Positive
    height_mm: Positive
    frame_mm: Positive
    power_w: Positive
    voc_v: Positive
    vmp_v: Positive
    isc_a: Positive
    imp_a: Positive
    voc_pct_per_k: Annotated[Decimal, Field(lt=0)] | None = None
    vmp_pct_per_k: Annotated[Decimal, Field(lt=0)]
    isc_pct_per_k: Decimal = Decimal("0.05")
    max_system_v: Positive
    max_fuse_a: Positive
    plug_family: str
    lead_mm: Positive
    colour: Literal["black", "silver"] = "black"


class ConverterSpec(Spec):
    """A converter: inputs, output, what is built in, and what its manual permits.

    `couple_mm`: height between the top row of its wall fixings and the lowest; `depth_mm`: from
    its back to its front.
    """

    phases: Literal[1, 3]
    ac_w: Positive
    ac_a: Positive
    device_a: Positive
    rcd_type: Literal["none", "A", "F", "B"] = "none"
    has_panel_input: bool
    has_storage_port: bool
    dc_max_v: Positive | None = None
    start_v: Positive | None = None
    mppt_low_v: Positive | None = None
    mppt_high_v: Positive | None = None
    trackers: Count = 0
    strings_per_tracker: Count = 1
    tracker_a: Positive | None = None
    tracker_isc_a: Positive | None = None
    dc_isolator_inside: bool = False
    surge_declared: bool = False
    outdoor: bool
    ip: Count
    noise_db: NotNegative | None = None
    clear_side_mm: NotNegative | None = None
    clear_top_mm: NotNegative | None = None
    clear_floor_mm: NotNegative | None = None
    wall_holes: Count = 4
    couple_mm: Positive | None = None
    depth_mm: Positive | None = None
    backup_w: NotNegative = Decimal(0)
    earth_link_inside: bool = False
    clamp_lead_m: NotNegative = Decimal(0)
    clamp_extension: Literal["none", "twisted pair"] = "none"
    clamp_extension_max_m: NotNegative = Decimal(0)
    storage_allowed: tuple[str, ...] = ()
    storage_max_modules: Count = 0
    plug_family: str = ""


class StorageSpec(Spec):
    """A storage module: energy, stacking limits, mounting and what is built in."""

    usable_kwh: Positive
    nominal_v: Positive
    max_a: Positive
    max_per_stack: Annotated[int, Field(ge=1)]
    max_modules: Annotated[int, Field(ge=1)]
    mounts: Literal["wall", "floor", "both"]
    bracket_holes: Count = 4
    breaker_inside: bool
    outdoor: bool
    ip: Count
    charge_min_c: Decimal | None = None
    heater: bool = False
    needs_terminator: bool = True
    clear_side_mm: NotNegative | None = None
    clear_top_mm: NotNegative | None = None
    clear_floor_mm: NotNegative | None = None
    depth_mm: Positive | None = None


class MountingSpec(Spec):
    """Brackets, hooks, rails, clamps, trays and frames that carry panels or storage.

    `couple_mm` of a wall bracket: height between its top row of holes and the lowest. `profile` of
    a rail: what its section is called; sticks of one profile are joined to one another, whatever
    their lengths. A blank profile is joined to its own length alone.
    """

    coverings: tuple[Covering, ...] = ()
    resistance_kn: Positive | None = None
    max_span_m: Positive | None = None
    max_overhang_m: Positive | None = None
    rafter_min_mm: Positive | None = None
    screws_per_fixing: Count = 0
    stick_m: Positive | None = None
    profile: str = ""
    frame_min_mm: Positive | None = None
    frame_max_mm: Positive | None = None
    bond_through: bool = False
    pitch_min_deg: NotNegative | None = None
    pitch_max_deg: NotNegative | None = None
    marine_grade: bool = False
    holes: Count = 0
    couple_mm: Positive | None = None
    ballast_kg: NotNegative | None = None


class CableSpec(Spec):
    """Cable sold by length: conductor, cores, capacity as tabulated, volt drop, place of use."""

    kind: Literal[
        "flat twin and earth", "single", "armoured", "pv d.c.", "tails", "earth",
        "screened pair", "network", "flexible",
    ]
    size_mm2: Positive
    cores: Annotated[int, Field(ge=1)]
    clipped_a: Positive | None = None
    mv_per_a_m: Positive | None = None
    diameter_mm: Positive | None = None
    outdoor: bool = False
    buried: bool = False
    colour: str = ""
    capacity_source: str = ""


class LeadSpec(Spec):
    """A made-up lead or pair of leads of fixed length with plugs fitted."""

    length_m: Positive
    cores: Annotated[int, Field(ge=1)]
    pair: bool = False
    sealed_end: bool = False
    outdoor: bool = False
    plug_family: str = ""
    may_cut: bool = False
    may_extend: bool = False


class DeviceSpec(Spec):
    """A protective device for a board: rating, poles, direction."""

    rating_a: Positive
    poles: Annotated[int, Field(ge=1, le=4)]
    ways: Annotated[int, Field(ge=1)]
    curve: Literal["B", "C", "D", "gG", "none"]
    rcd_type: Literal["none", "AC", "A", "F", "B"] = "none"
    both_way: bool
    board_family: str = ""


class IsolatorSpec(Spec):
    """A switch that isolates: direct or alternating current, rating, poles, place of use."""

    current: Literal["a.c.", "d.c."]
    rating_a: Positive
    rating_v: Positive
    poles: Annotated[int, Field(ge=1)]
    outdoor: bool = False
    lockable: bool = True


class SurgeSpec(Spec):
    """A surge protective device."""

    current: Literal["a.c.", "d.c."]
    phases: Literal[0, 1, 3] = 1
    rating_v: Positive


class MeterSpec(Spec):
    """An energy or data meter."""

    phases: Literal[1, 3]
    max_a: Positive
    both_way: bool
    data_link: bool = True
    poles: Count = 2


class ClampSpec(Spec):
    """A current clamp and its fixed lead."""

    rating_a: Positive
    lead_m: Positive
    split_core: bool = True


class EnclosureSpec(Spec):
    """A board, sub-board or small enclosure."""

    ways: Count
    metal: bool = True
    outdoor: bool = False
    main_switch_a: Positive | None = None
    phases: Literal[1, 3] = 1


class ContainmentSpec(Spec):
    """Trunking, conduit, clips, glands and cleats."""

    size_mm: Positive
    stick_m: Positive | None = None
    outdoor: bool = False
    metal: bool = False


class FixingSpec(Spec):
    """A fixing with its recommended loads in the walls it suits."""

    walls: tuple[WallKind, ...] = ()
    diameter_mm: Positive
    length_mm: Positive
    hole_mm: Positive | None = None
    depth_mm: NotNegative | None = None
    pull_n: NotNegative | None = None
    shear_n: NotNegative | None = None
    resin_ml: NotNegative = Decimal(0)
    sleeve: bool = False
    outdoor: bool = False
    load_rated: bool = False


class SealingSpec(Spec):
    """Sealant, fire seal, sleeves, boots and tape."""

    volume_ml: NotNegative | None = None
    fire_rated_min: NotNegative | None = None
    outdoor: bool = False
    size_mm: Positive | None = None


class LabelSpec(Spec):
    """A label: the words on it and where it goes."""

    text: str
    goes_on: str
    outdoor: bool = False


class SheetSpec(Spec):
    """A board or sheet sold whole."""

    width_mm: Positive
    height_mm: Positive
    thickness_mm: Positive
    non_combustible: bool


class AlarmSpec(Spec):
    """A heat or smoke alarm and the way it links to others."""

    senses: Literal["heat", "smoke"]
    link: Literal["wired", "radio", "none"]
    mains: bool


class ElectronicsSpec(Spec):
    """Electronics at a panel; its plugs must be of the panel's own family."""

    plug_family: str = ""
    max_w: Positive | None = None


class PlainSpec(Spec):
    """A family whose items differ by role and size only (consumables, hire, services, fees)."""

    size_mm: Positive | None = None
    length_m: Positive | None = None
    outdoor: bool = False
    persons: Count = 0
    note: str = ""


FAMILIES: dict[str, type[Spec]] = {
    "panel": PanelSpec,
    "converter": ConverterSpec,
    "storage": StorageSpec,
    "mounting": MountingSpec,
    "cable": CableSpec,
    "lead": LeadSpec,
    "device": DeviceSpec,
    "isolator": IsolatorSpec,
    "surge": SurgeSpec,
    "meter": MeterSpec,
    "clamp": ClampSpec,
    "enclosure": EnclosureSpec,
    "containment": ContainmentSpec,
    "fixing": FixingSpec,
    "sealing": SealingSpec,
    "label": LabelSpec,
    "sheet": SheetSpec,
    "alarm": AlarmSpec,
    "comms": PlainSpec,
    "earthing": PlainSpec,
    "electronics": ElectronicsSpec,
    "consumable": PlainSpec,
    "guard": PlainSpec,
    "hire": PlainSpec,
    "service": PlainSpec,
    "fee": PlainSpec,
}

# The cost head under which a family's money is shown, unless the item names another.
HEADS: dict[str, str] = {
    "panel": "panels", "converter": "converter", "storage": "storage", "mounting": "mounting",
    "cable": "cable", "lead": "cable", "device": "switchgear", "isolator": "switchgear",
    "surge": "switchgear", "meter": "metering", "clamp": "metering", "enclosure": "switchgear",
    "containment": "cable", "fixing": "fixings", "sealing": "sealing and fire",
    "label": "labels", "sheet": "sealing and fire", "alarm": "sealing and fire",
    "comms": "comms", "earthing": "earthing", "electronics": "panels",
    "consumable": "consumables", "guard": "mounting", "hire": "plant hire",
    "service": "subcontract", "fee": "paperwork",
}
