"""Estimates by hand for the tests of the papers: invented house, items, suppliers and figures.

The papers are tested apart from rules and design: demand, tasks, risks and findings are written
here; the bill, hours and cost are put together by the engine's own stages from them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction

from catalogue.items import BoxPart, Item, Offer
from catalogue.money import Money, raised_to_step
from catalogue.price_book import PriceBook
from catalogue.specs import FAMILIES, HEADS, PlainSpec, Spec
from estimator.bill import bill_of
from estimator.cost import cost_sheet, heads_from_bill
from estimator.design.check import Sum, Worked
from estimator.design.design import Design
from estimator.design.judging import Judgement
from estimator.design.kit import Kit
from estimator.design.sheet import Detail, FactSheet, Unknown
from estimator.estimate import Estimate
from estimator.labour.hours import Task, hours_of
from estimator.price import Discount, Price, VatLine
from estimator.rules.results import (
    Demand,
    FactUsed,
    Finding,
    Gap,
    NotFired,
    Question,
    Reason,
    Requirement,
    Risk,
)
from estimator.settings import Firm, Settings
from estimator.survey.fact import Evidence
from estimator.survey.model import Header
from estimator.verdict import PriceRange

ON = date(2026, 9, 14)
FIRM = Firm(
    name="Sample Roof and Store", address="Unit 4, Sample Yard, Sampleton", phone="01632 960100",
    email="office@sample.example", registration="Registration 000000",
)

MODULES = FactUsed("storage.modules", 3, "", "survey", "measured", "", "survey.toml:14", "3 mods")
WALL = FactUsed(
    "storage.wall", "dense brick", "", "survey", "seen", "", "survey.toml:16", "solid brick")
ROUTE = FactUsed("metering.route_m", D("15"), "m", "survey", "measured", "", "survey.toml:31")
HOLES = FactUsed("kit.storage.bracket_holes", 4, "", "data sheet", "", "DEMO-STORE", "")
ALLOW = FactUsed("practice.data_cable_end_m", D("2"), "m", "practice", "common practice",
                 "common practice, no source", "assembly.toml:88")
BACKUP = FactUsed("job.backup", False, "", "survey", "measured", "", "survey.toml:4")
ISOLATOR = FactUsed("supply.isolator_present", Unknown("supply.isolator_present"), "", "survey",
                    "unknown", "", "survey.toml:25", "iso ??")


@dataclass(frozen=True)
class Row:
    """An item with its price, and how much of it the job needs."""

    code: str
    name: str
    family: str
    unit: str
    need: str
    pack: str
    price: str
    because: str
    held: str = "stock"
    waste: str = "0"
    head: str = ""
    supplier: str = "North Counter"
    contents: tuple[tuple[str, int], ...] = ()
    formula: str = "storage.modules"
    numbers: str = "3"
    facts: tuple[FactUsed, ...] = (MODULES,)
    option: bool = False
    serialised: bool = False
    bin: str = ""
    mass_kg: str = ""
    offers: tuple[Offer, ...] = ()  # in place of the one of supplier, pack and price


ROWS = (
    Row("DEMO-STORE", "storage module 5 kWh", "storage", "each", "3", "1", "1450.00",
        "the customer wants three modules", held="job", serialised=True, mass_kg="60",
        contents=(("DEMO-BRACKET", 1), ("DEMO-LINK", 1), ("DEMO-DATA", 1))),
    Row("DEMO-CONV", "converter 5 kW, storage only", "converter", "each", "1", "1", "980.00",
        "storage needs a converter", held="job", serialised=True, mass_kg="28",
        contents=(("DEMO-CLAMP", 1),), formula="1", numbers="1", facts=()),
    Row("DEMO-BRACKET", "storage wall bracket, four holes", "mounting", "each", "3", "1", "38.50",
        "each wall-hung module hangs on its own bracket"),
    Row("DEMO-LINK", "storage power link, pair", "lead", "pair", "2", "1", "24.00",
        "modules of a stack are linked one to the next",
        formula="storage.modules - 1", numbers="3 - 1"),
    Row("DEMO-SEALED", "converter power lead, sealed ends, 3 m", "lead", "pair", "1", "1", "61.00",
        "the converter stands outside", formula="1", numbers="1", facts=()),
    Row("DEMO-ANCHOR", "wall fixing for brick, 10 mm", "fixing", "each", "16", "50", "41.25",
        "every bracket hole takes one fixing made for that wall", waste="0.05", bin="A2",
        formula="storage.modules * kit.storage.bracket_holes + 4", numbers="3 * 4 + 4",
        facts=(MODULES, HOLES, WALL)),
    Row("00420", "twin and earth 6 mm²", "cable", "m", "18.7", "50", "118.05",
        "the converter's circuit runs from the board", waste="0.05", bin="C1",
        formula="metering.route_m * 1.1 + 2.2", numbers="15 * 1.1 + 2.2", facts=(ROUTE,)),
    Row("DEMO-DATACABLE", "screened pair, outdoor", "cable", "m", "18.5", "100", "58.00",
        "the data meter talks to the converter by cable", waste="0.05", bin="C3",
        formula="metering.route_m * 1.1 + practice.data_cable_end_m", numbers="15 * 1.1 + 2",
        facts=(ROUTE, ALLOW)),
    Row("DEMO-DEVICE", "circuit device 32 A, both ways", "device", "each", "1", "1", "31.40",
        "power flows both ways through the device", formula="1", numbers="1", facts=()),
    Row("DEMO-SUBBOARD", "sub-board, metal, four ways", "enclosure", "each", "1", "1", "64.60",
        "the board has no spare way", formula="1", numbers="1", facts=()),
    Row("DEMO-ACISO", "a.c. isolator, outdoor, 40 A", "isolator", "each", "2", "1", "22.00",
        "the converter is isolated where it stands", formula="2", numbers="2", facts=()),
    Row("DEMO-METER", "data meter, single-phase", "meter", "each", "1", "1", "68.00",
        "the clamp lead is too short for the route", formula="1", numbers="1", facts=(ROUTE,)),
    Row("DEMO-ALARM", "heat alarm, linked by radio", "alarm", "each", "1", "1", "27.90",
        "storage in a garage has its own alarm", formula="1", numbers="1", facts=()),
    Row("DEMO-LABELS", "label, storage sign", "label", "each", "4", "10", "9.99",
        "signs at meter, board, converter and storage", formula="4", numbers="4", facts=()),
    Row("DEMO-SEALANT", "weather sealant, 310 ml", "consumable", "each", "1", "12", "53.40",
        "crossings are sealed outside", waste="0.10", formula="ceil(1 / 3)", numbers="ceil(1 / 3)",
        facts=()),
    Row("DEMO-AID", "lifting aid, one day", "hire", "day", "1", "1", "25.00",
        "a module is too heavy to lift by hand", held="job", formula="1", numbers="1", facts=()),
    Row("DEMO-NOTICE", "notice to the network", "fee", "each", "1", "1", "45.00",
        "the network is told of the converter", held="job", formula="1", numbers="1", facts=()),
    Row("DEMO-COVER", "cover strip over the leads", "containment", "m", "6", "2", "7.30",
        "the customer may want the leads covered", option=True, formula="6", numbers="6",
        facts=()),
)
BOXED_ONLY = (
    Row("DEMO-DATA", "storage data link", "lead", "each", "2", "1", "9.00",
        "modules talk to each other", formula="storage.modules - 1", numbers="3 - 1"),
    Row("DEMO-CLAMP", "current clamp, 10 m lead", "clamp", "each", "0", "1", "0", ""),
)


def item_of(row: Row) -> Item:
    spec = FAMILIES[row.family].model_construct() if row.family in FAMILIES else PlainSpec()
    assert isinstance(spec, Spec)
    return Item(
        code=row.code, name=row.name, family=row.family, roles=(row.name,), unit=row.unit,
        spec=spec, head=row.head or HEADS[row.family],
        held="job" if row.held == "job" else "stock", waste=D(row.waste), bin=row.bin,
        mass_kg=D(row.mass_kg) if row.mass_kg else None, serialised=row.serialised,
        contents=tuple(BoxPart(part, n, date(2026, 1, 1)) for part, n in row.contents),
    )


def offers_of(row: Row) -> tuple[Offer, ...]:
    if row.offers or row.price == "0":
        return row.offers
    return (Offer(row.code, row.supplier, D(row.pack), Money.of(row.price), date(2026, 7, 1),
                  date(2026, 12, 31), 3, f"NC-{row.code}"),)


def reason_of(row: Row, at: int) -> Reason:
    return Reason(
        rule=f"rule-{row.code.lower()}", file="sample.toml", line=10 + at, because=row.because,
        on="", when="job.storage", formula=row.formula, numbers=row.numbers, quantity=D(row.need),
        facts=row.facts,
    )


def lifts_of(rows: Sequence[Row]) -> dict[str, str]:
    """Return who lifts what is above 25 kg: HSE L23, 25 kg for one, 33.3 kg for two."""
    heavy = {row.code: D(row.mass_kg) for row in rows if row.mass_kg and D(row.mass_kg) > 25}
    return {code: "two people and an aid" if kg > 33 else "two people"
            for code, kg in heavy.items()}


def demand_of(row: Row, at: int) -> Demand:
    return Demand(Requirement(row.family, row.name), item_of(row), D(row.need),
                  reason_of(row, at), row.option)


def task(
    code: str, name: str, group: str, units: str, points: tuple[int, int, int], crew: int = 1,
    per: str = "each",
) -> Task:
    low, likely, high = (Fraction(point) * Fraction(units) for point in points)
    return Task(
        task=code, name=name, group=group, per=per, units=D(units), low=low, likely=likely,
        high=high, mean=(low + 4 * likely + high) / 6, sd=(high - low) / 6, crew=crew,
        on_site=group not in ("travel", "office"),
        reasons=(Reason(f"task-{code}", "sample.toml", 200, name, "", "job.storage", units, units,
                        D(units), ()),),
    )


TASKS = (
    task("bracket-solid", "fix a storage bracket to solid wall", "storage", "3", (25, 35, 60)),
    task("hang-module", "hang a storage module", "storage", "3", (16, 24, 50), crew=2),
    task("sub-board", "fit a sub-board with blocks and tails", "electrical", "1", (90, 130, 220),
         per="job"),
    task("cable-clipped", "clip cable", "electrical", "18.7", (3, 4, 7), per="m"),
    task("first-tests", "first tests of the supply", "electrical", "1", (20, 30, 60), per="job"),
    task("show-customer", "show the customer round", "site", "1", (25, 35, 60), per="job"),
    task("travel", "drive there and back", "travel", "2", (70, 80, 110), crew=2, per="trip"),
    task("office-pack", "papers, notices and certificates", "office", "1", (60, 90, 150),
         per="job"),
)
RISKS = (
    Risk("no-isolator", D("0.25"), Money.of("140"), "no isolator between meter and board",
         ("supply.isolator_present",)),
    Risk("bond-thin", D("0.15"), Money.of("180"), "a main bond may be too thin",
         ("supply.bonds_undersize",)),
)
FINDINGS = (
    Finding("storage-place", "fine", "storage", "a garage is a permitted place", "PAS 63100:2024",
            "building control or the insurer", "garage", "not a sleeping room"),
    Finding("lift-mass", "caution", "storage", "a module is above what two people lift",
            "HSE L23, lifting filter", "the person in charge of the lift", "60", "33", "kg"),
)
SIGNED = Finding(
    "roof-added-load", "caution", "garage roof", "panels add 12 % to the load of the roof",
    "Building Research Establishment Digest 489 (from memory)", "structural engineer",
    "0.12", "0.15", "", signed=True,
)
WORKED = (
    Worked("circuit-cable", "converter circuit", "6 mm2 flat cable: 4 mm2 carries too little",
           "tabulated current times factors", "BS 7671 table 4D5 (from memory)",
           (Sum("design current", D("25.6"), "A"), Sum("capacity", D("32"), "A"))),
)
QUESTIONS = (
    Question("supply.isolator_present", "Is there an isolator between meter and board?", "",
             ("isolator-visit",), Money.of("0"), Money.of("140"), ""),
    Question("supply.bonds_undersize", "How many of gas, water, oil, steel lack a proper bond?",
             "", ("bond-upgrade",), None, None, "0", "a bond is missing", "caution"),
)
NOT_FIRED = (
    NotFired("backup-board", "enclosure", "backup board",
             "circuits kept alive hang on a board of their own", "", "job.backup", "false",
             (BACKUP,), False),
    NotFired("isolator-visit", "service", "origin isolation visit",
             "without an isolator the supplier must make the supply dead", "",
             "not supply.isolator_present", "not ?", (ISOLATOR,), True),
)
SHEET = FactSheet(
    parts=frozenset({"storage", "converter"}),
    job={"storage.modules": 3, "storage.wall": "dense brick", "site.build_year": 1974,
         "metering.route_m": D("15"), "job.backup": False,
         "supply.isolator_present": Unknown("supply.isolator_present"),
         "practice.deposit_most_share": D("0.25"),
         "practice.deposit_and_advance_most_share": D("0.60"),
         "practice.advance_weeks_before_delivery": D("3"),
         "practice.cancellation_days": D("14")},
    scopes={"plane": (), "leg": ({"leg.length_m": D("12.5")},)},
    names={"plane": (), "leg": ("board to garage",)},
    details={
        "storage.modules": Detail("survey", "measured", "", "survey.toml:14", "3 mods"),
        "storage.wall": Detail("survey", "seen", "", "survey.toml:16", "solid brick"),
        "site.build_year": Detail("survey", "customer said", "", "survey.toml:9", "cust says 1974"),
        "metering.route_m": Detail("survey", "measured", "", "survey.toml:31", ""),
        "supply.isolator_present": Detail("survey", "unknown", "", "survey.toml:25", "iso ??"),
        "leg[0].length_m": Detail("survey", "measured", "", "survey.toml:40", ""),
    },
)
JOB = Header(
    id="J-104", title="storage in the garage", customer="A. Sample", address="1 Sample Lane",
    surveyor="S. Surveyor", estimator="E. Estimator", surveyed_on=date(2026, 9, 10),
    supply_date=date(2026, 10, 12), evidence=Evidence.SEEN, parts=("storage", "converter"),
    remarks=("park on the drive",), private_remarks=("key under the blue pot",),
)


def firm_estimate(
    rows: Sequence[Row] = ROWS, job: Header = JOB, discount: Discount | None = None,
) -> Estimate:
    """Three wall modules in a garage, converter outside, no open question that stops a price."""
    settings = Settings(firm=FIRM)
    everything = [*rows, *BOXED_ONLY]
    book = PriceBook.of(ON, [item_of(row) for row in everything],
                        [offer for row in everything for offer in offers_of(row)])
    demands = [demand_of(row, at) for at, row in enumerate(everything) if row.need != "0"]
    bill = bill_of(demands, (), book)
    hours = hours_of(TASKS, settings.labour)
    cost = cost_sheet(heads_from_bill(bill), hours, RISKS, settings)
    price = _price(cost.total, cost.direct, discount)
    return Estimate(
        job=job, on=ON, valid_until=date(2026, 10, 14),
        valid_because="quotes hold for 30 days", kind="firm", kind_because=(), currency="GBP",
        sheet=SHEET, design=Design(Kit({}, {}, {}, ()), ()), judgement=Judgement(), bill=bill,
        tasks=TASKS, hours=hours, lifts=lifts_of(rows),
        risks=RISKS, cost=cost, price=price,
        price_range=PriceRange(price.gross, price.gross, open_ended=False),
        findings=FINDINGS, questions=(), not_fired=NOT_FIRED,
        price_holds_if=("an isolator stands between meter and board",
                        "the garage wall is dense brick throughout"),
        scope=("3 storage modules of 5 kWh usable (15 kWh in all), on the wall, place: garage.",
               "One single-phase converter of 5 kW, outside the house, with its circuit."),
        exclusions=("repair of faults found in the existing installation, priced apart when found",
                    "making good of decoration"),
    )


def _price(cost: Money, direct: Money, discount: Discount | None) -> Price:
    """Price at 15 % net margin, raised to £5, part of it at 20 % tax: the worked example's way."""
    listed = Money(raised_to_step(Fraction(cost.minor) / Fraction(17, 20), 500))
    net = listed - discount.amount if discount else listed
    reduced, standard = net - Money.of("100"), Money.of("100")
    vat = (
        VatLine(D("0"), reduced, Money(0), "energy-saving materials fitted in a home"),
        VatLine(D("0.20"), standard, Money.of("20"), "work that is no part of the energy saving"),
    )
    return Price(
        list_net=listed, discount=discount, net=net, vat=vat, gross=net + Money.of("20"),
        margin=Fraction((net - cost).minor, net.minor),
        markup=Fraction((net - cost).minor, cost.minor),
        contribution=Fraction((net - direct).minor, net.minor), signed_by="estimator",
        vat_says="Materials fitted in a home carry no VAT until 31 March 2027.",
    )


def budget_estimate() -> Estimate:
    """The same house with a stop finding and a part that the catalogue does not hold."""
    made = firm_estimate()
    gap = Gap("bollard", Requirement("guard", "bollard"), D(1), "a car can strike the storage")
    stop = Finding("storage-flood", "stop", "storage", "the place can flood", "common practice, "
                   "no source", "building control or the insurer", "yes", "no")
    return replace(
        made, kind="budget", questions=QUESTIONS,
        kind_because=("storage-flood: the place can flood", "no item for: bollard"),
        bill=replace(made.bill, gaps=(gap,)), findings=(*made.findings, SIGNED, stop),
        judgement=Judgement(worked=WORKED),
        price_range=PriceRange(made.price.gross, Money.of("8065"), open_ended=True),
    )


HOSTILE = '=HYPERLINK("http://bad.example","pay")<script>alert(1)</script>'


def hostile_estimate() -> Estimate:
    """Every free text of the survey holds a formula and a script."""
    job = JOB.model_copy(update={
        "customer": HOSTILE, "address": "@SUM(1)<b>x</b>", "title": "+1+1", "remarks": ("-2+3",),
    })
    rows = tuple(replace(row, name=f"={row.name}", because=f"@{row.because}") for row in ROWS)
    made = firm_estimate(rows, job)
    return replace(
        made, scope=(HOSTILE,), price_holds_if=(HOSTILE,), exclusions=(HOSTILE,),
        questions=(replace(QUESTIONS[0], asks=HOSTILE),),
        findings=(replace(FINDINGS[1], says=HOSTILE, source=HOSTILE),),
    )


def large_estimate(lines: int) -> Estimate:
    """So many lines of shelf stock on top of the sample's own, for timing; each sixth a cable."""
    spare = tuple(
        replace(ROWS[6], code=f"DEMO-X{n:03d}", name=f"cable of kind {n}") if n % 6 == 0 else
        replace(ROWS[5], code=f"DEMO-X{n:03d}", name=f"fixing of kind {n}") for n in range(lines)
    )
    return firm_estimate((*ROWS, *spare)[: max(lines, len(ROWS))])
