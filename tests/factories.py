"""Plausible values with fixed figures for the tests: items of every family, offers, books, rows.

All figures are invented. A test names only the fields it is about.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import factory
from factory.alchemy import SQLAlchemyModelFactory

from catalogue.items import Carriage, Item, Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.specs import FAMILIES, HEADS, Spec
from catalogue.tables.rows import (
    BoxPartRow,
    CarriageRow,
    ItemRoleRow,
    ItemRow,
    JobRow,
    OfferRow,
    RevisionRow,
    SupplierRow,
)
from estimator.buying.ordering import DeliverTo, OrderLine, PurchaseOrder

ON = date(2026, 11, 2)
PRICES_FROM = date(2026, 9, 1)
SUPPLIER = "Counter North"
_NOON = datetime(2026, 11, 2, 12, 0, tzinfo=UTC)

# One plausible data sheet per family: (role, unit, specification).
SHEETS: dict[str, tuple[str, str, dict[str, Any]]] = {
    "panel": ("panel", "each", {
        "width_mm": 1134, "height_mm": 1722, "frame_mm": 30, "power_w": 420,
        "voc_v": Decimal("38.6"), "vmp_v": Decimal("32.3"), "isc_a": Decimal("13.75"),
        "imp_a": Decimal("13.0"), "voc_pct_per_k": Decimal("-0.27"),
        "vmp_pct_per_k": Decimal("-0.34"), "max_system_v": 1500, "max_fuse_a": 25,
        "plug_family": "plug A", "lead_mm": 1200}),
    "converter": ("converter", "each", {
        "phases": 1, "ac_w": 3680, "ac_a": 16, "device_a": 20, "has_panel_input": True,
        "has_storage_port": True, "dc_max_v": 600, "start_v": 100, "mppt_low_v": 90,
        "mppt_high_v": 550, "trackers": 2, "tracker_a": 16, "tracker_isc_a": 20,
        "outdoor": False, "ip": 21, "couple_mm": 300, "depth_mm": 180, "plug_family": "plug A"}),
    "storage": ("storage module", "each", {
        "usable_kwh": Decimal("5"), "nominal_v": Decimal("51.2"), "max_a": 100,
        "max_per_stack": 4, "max_modules": 8, "mounts": "both", "breaker_inside": True,
        "outdoor": True, "ip": 65, "charge_min_c": 0, "clear_side_mm": 300,
        "clear_top_mm": 300, "clear_floor_mm": 500, "depth_mm": 180}),
    "mounting": ("storage wall bracket", "each", {
        "holes": 4, "couple_mm": 400, "marine_grade": True}),
    "cable": ("circuit cable", "m", {
        "kind": "flat twin and earth", "size_mm2": 4, "cores": 2, "clipped_a": 37,
        "mv_per_a_m": 11, "diameter_mm": Decimal("11.6")}),
    "lead": ("storage power link", "pair", {"length_m": 2, "cores": 1, "pair": True}),
    "device": ("circuit device", "each", {
        "rating_a": 20, "poles": 2, "ways": 1, "curve": "C", "both_way": True,
        "board_family": "standard"}),
    "isolator": ("a.c. isolator", "each", {
        "current": "a.c.", "rating_a": 20, "rating_v": 250, "poles": 2}),
    "surge": ("a.c. surge set", "set", {"current": "a.c.", "phases": 1, "rating_v": 275}),
    "meter": ("data meter", "each", {"phases": 1, "max_a": 100, "both_way": True}),
    "clamp": ("current clamp", "each", {"rating_a": 100, "lead_m": 5}),
    "enclosure": ("sub-board", "each", {"ways": 5, "main_switch_a": 63}),
    "containment": ("trunking", "m", {"size_mm": 25, "stick_m": 3}),
    "fixing": ("wall fixing", "each", {
        "walls": ("concrete", "dense brick"), "diameter_mm": 8, "length_mm": 75, "hole_mm": 8,
        "depth_mm": 60, "pull_n": 1600, "shear_n": 1800, "load_rated": True}),
    "sealing": ("wall sleeve", "each", {"size_mm": 40, "outdoor": True}),
    "label": ("storage sign", "each", {"text": "Storage inside.", "goes_on": "the enclosure"}),
    "sheet": ("fire board", "each", {
        "width_mm": 1200, "height_mm": 2400, "thickness_mm": 12, "non_combustible": True}),
    "alarm": ("heat alarm", "each", {"senses": "heat", "link": "wired", "mains": True}),
    "comms": ("storage terminator", "each", {}),
    "earthing": ("bonding clamp", "each", {"size_mm": 32}),
    "electronics": ("panel electronics", "each", {"plug_family": "plug A"}),
    "consumable": ("weather sealant", "each", {}),
    "guard": ("bird mesh", "m", {"outdoor": True}),
    "hire": ("core drill", "day", {}),
    "service": ("scaffold side", "each", {}),
    "fee": ("network notice", "each", {}),
}


def spec_of(family: str, **fields: Any) -> Spec:
    """Return the plausible specification of a family with some fields changed."""
    return FAMILIES[family].model_validate({**SHEETS[family][2], **fields})


class ItemFactory(factory.Factory[Item]):
    """An item of a family: `ItemFactory(family="cable", spec=spec_of("cable", size_mm2=6))`."""

    class Meta:
        model = Item

    family = "panel"
    code = factory.Sequence(lambda n: f"{n:05d}")
    name = factory.LazyAttribute(lambda made: f"{made.roles[0]} {made.code}")
    roles = factory.LazyAttribute(lambda made: (SHEETS[made.family][0],))
    unit = factory.LazyAttribute(lambda made: SHEETS[made.family][1])
    spec = factory.LazyAttribute(lambda made: spec_of(made.family))
    head = factory.LazyAttribute(lambda made: HEADS[made.family])
    # A field that item and specification share has one value.
    length_mm = factory.LazyAttribute(lambda made: _shared(made.spec, "length_mm"))
    width_mm = factory.LazyAttribute(lambda made: _shared(made.spec, "width_mm"))
    height_mm = factory.LazyAttribute(lambda made: _shared(made.spec, "height_mm"))
    note = factory.LazyAttribute(lambda made: getattr(made.spec, "note", ""))


def _shared(spec: Spec, name: str) -> int | None:
    value = getattr(spec, name, None)
    return None if value is None else int(value)


class OfferFactory(factory.Factory[Offer]):
    """An offer for one unit at 10.00, in force since the first of September 2026."""

    class Meta:
        model = Offer

    item = "00000"
    supplier = SUPPLIER
    pack = Decimal(1)
    price = Money(1000)
    from_date = PRICES_FROM
    lead_days = 1


class CarriageFactory(factory.Factory[Carriage]):
    """Carriage of 9.50 for an order, in force since the first of September 2026."""

    class Meta:
        model = Carriage

    supplier = SUPPLIER
    carriage_class = ""
    charge = Money(950)
    from_date = PRICES_FROM


class PriceBookFactory(factory.Factory[PriceBook]):
    """A price book; without offers of its own each item is offered at 10.00.

    `PriceBookFactory(items=[ItemFactory(), ItemFactory(family="cable")])`
    """

    class Meta:
        model = PriceBook

    on = ON
    items = factory.LazyFunction(lambda: [ItemFactory(family=family) for family in FAMILIES])
    offers = factory.LazyAttribute(lambda made: [OfferFactory(item=i.code) for i in made.items])
    currency = "GBP"

    @classmethod
    def _create(cls, model_class: type[PriceBook], *args: Any, **kwargs: Any) -> PriceBook:
        return model_class.of(**kwargs)


class OrderLineFactory(factory.Factory[OrderLine]):
    """Two packs of one unit at 10.00, quoted in September, there in two days."""

    class Meta:
        model = OrderLine

    line = 1
    item = "00000"
    name = "panel 00000"
    unit = "each"
    quantity = Decimal(2)
    pack = Decimal(1)
    per = Decimal(1)
    price_minor = 1000
    price_from = PRICES_FROM
    supplier_code = "CN-1"
    quoted = "price list autumn.csv of 2026-09-01"
    lead_days = 2


class PurchaseOrderFactory(factory.Factory[PurchaseOrder]):
    """Order 12 of one line to the store; goods of 20.00, carriage of 7.50."""

    class Meta:
        model = PurchaseOrder

    number = 12
    supplier = SUPPLIER
    on = ON
    currency = "GBP"
    lines = factory.LazyFunction(lambda: (OrderLineFactory(),))
    to = DeliverTo("store", "", "1 Sample Lane")
    carriage_minor = 750
    by = "buyer"


class RowFactory(SQLAlchemyModelFactory):
    """What the row factories share: they add to the session of the test (`rows` fixture)."""

    class Meta:
        abstract = True
        sqlalchemy_session = None  # bound by the `rows` fixture
        sqlalchemy_session_persistence = "flush"


class SupplierRowFactory(RowFactory):
    class Meta:
        model = SupplierRow

    name = SUPPLIER
    lead_days = 1
    note = ""


class ItemRowFactory(RowFactory):
    """A row of an item of a family, with its role."""

    class Meta:
        model = ItemRow
        exclude = ("role",)

    family = "panel"
    role = factory.LazyAttribute(lambda made: SHEETS[made.family][0])
    code = factory.Sequence(lambda n: f"{n:05d}")
    name = factory.LazyAttribute(lambda made: f"{made.role} {made.code}")
    unit = factory.LazyAttribute(lambda made: SHEETS[made.family][1])
    spec = factory.LazyAttribute(
        lambda made: spec_of(made.family).model_dump_json(exclude_none=True))
    head = factory.LazyAttribute(lambda made: HEADS[made.family])
    held = "stock"
    bin = ""
    mass_kg = None
    length_mm = None
    width_mm = None
    height_mm = None
    waste = Decimal(0)
    vat_class = "energy saving"
    serialised = False
    sold_apart = True
    note = ""
    roles = factory.LazyAttribute(lambda made: [ItemRoleRow(role=made.role, position=0)])


class BoxPartRowFactory(RowFactory):
    class Meta:
        model = BoxPartRow

    box_code = "00000"
    item_code = "00001"
    from_date = PRICES_FROM
    to_date = None
    quantity = 1


class OfferRowFactory(RowFactory):
    class Meta:
        model = OfferRow

    item_code = "00000"
    supplier = SUPPLIER
    supplier_code = ""
    pack = Decimal(1)
    price_minor = 1000
    currency = "GBP"
    lead_days = None
    from_date = PRICES_FROM
    to_date = None
    per = None
    least = Decimal(0)
    cut_charge_minor = None
    carriage_class = ""
    entered_at = _NOON
    entered_by = "buyer"
    entered_from = "a test"
    price_list_id = None
    withdrawn_at = None


class CarriageRowFactory(RowFactory):
    class Meta:
        model = CarriageRow

    supplier = SUPPLIER
    carriage_class = ""
    charge_minor = 950
    free_from_minor = None
    least_order_minor = None
    currency = "GBP"
    from_date = PRICES_FROM
    to_date = None
    entered_at = _NOON
    entered_by = "buyer"
    entered_from = "a test"
    withdrawn_at = None


class JobRowFactory(RowFactory):
    class Meta:
        model = JobRow

    id = factory.Sequence(lambda n: f"job-{n}")
    title = "Storage outside"
    created_at = _NOON


class RevisionRowFactory(RowFactory):
    class Meta:
        model = RevisionRow

    job_id = "job-0"
    number = 1
    on_date = ON
    survey_text = "[job]\nid = 'job-0'\n"
    estimate_json = "{}"
    inputs_digest = "0" * 64
    made_at = _NOON
    kind = "firm"
    net_minor = 898500
    currency = "GBP"


ROW_FACTORIES = (
    SupplierRowFactory, ItemRowFactory, BoxPartRowFactory, OfferRowFactory, CarriageRowFactory,
    JobRowFactory, RevisionRowFactory,
)
