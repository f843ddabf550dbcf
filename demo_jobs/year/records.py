"""The plain records of a year: what was offered, and what then happened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True, order=True)
class Choice:
    """Which estimate: of which house, at which prices, with what taken off.

    Attributes:
        period: which of the periods in which prices and practice stay as they are.
        rebate: share of the list price that is taken off.
        changed: with what is found on the day of the work.
        charged: whether the customer pays for what was found.
    """

    house: str
    period: int
    rebate: Decimal
    changed: bool = False
    charged: bool = True


@dataclass(frozen=True, slots=True)
class PlannedTask:
    """A task of an estimate, in person-minutes for all its units."""

    task: str
    group: str
    low: float
    mean: float
    high: float


@dataclass(frozen=True, slots=True)
class PlannedBuy:
    """Whole packs of one offer; `price_minor` is for `per` units."""

    supplier: str
    supplier_code: str
    pack: Decimal
    per: Decimal
    least: Decimal
    quantity: Decimal
    price_minor: int
    cut_charge_minor: int
    lead_days: int
    carriage_class: str
    price_from: date
    price_until: date | None


@dataclass(frozen=True, slots=True)
class PlannedGoods:
    """A line of the bill; `cost_minor` with its waste allowance, which `quantity` holds too."""

    item: str
    name: str
    unit: str
    family: str
    head: str
    from_stock: bool
    quantity: Decimal
    cost_minor: int
    buys: tuple[PlannedBuy, ...]


@dataclass(frozen=True, slots=True)
class Offered:
    """An estimate, as far as the year goes on from it; money in minor units."""

    net_minor: int
    cost_minor: int
    hours: float
    carriage_minor: int
    tasks: tuple[PlannedTask, ...]
    goods: tuple[PlannedGoods, ...]
    bought_in: tuple[PlannedGoods, ...]

    @property
    def margin(self) -> float:
        """Return the net margin of the price, as a share."""
        return 1 - self.cost_minor / self.net_minor


@dataclass(frozen=True, slots=True)
class Revision:
    """One estimate of a job, on its day."""

    on: date
    choice: Choice


@dataclass(frozen=True, slots=True)
class Asked:
    """One enquiry, and what became of its quote.

    Attributes:
        contacted: days on which somebody asked whether they want it.
        chance_percent: how likely it was thought to be taken.
        answer: "accepted", "declined", or "" while nobody has said; answered_on: its day.
    """

    job: str
    title: str
    customer: str
    address: str
    area: str
    estimator: str
    surveyor: str
    lead_source: str
    revisions: tuple[Revision, ...]
    contacted: tuple[date, ...]
    chance_percent: int
    answer: str
    answered_on: date | None


@dataclass(frozen=True, slots=True)
class Worked:
    """What somebody worked at one thing on one day; `begun` is minutes after midnight."""

    person: str
    crew: str
    on: date
    begun: int
    minutes: int
    group: str
    task: str
    cause: str = ""


@dataclass(frozen=True, slots=True)
class BoughtLine:
    """One line of an order: `ordered_minor` for `per` units, `charged_minor` the whole line."""

    goods: PlannedGoods
    buy: PlannedBuy
    quantity: Decimal
    ordered_minor: int
    charged_minor: int


@dataclass(frozen=True, slots=True)
class Bought:
    """An order to one supplier; `came_on` is None while it has not come. Job "" = for the shelf."""

    job: str
    supplier: str
    on: date
    came_on: date | None
    billed_on: date | None
    carriage_minor: int
    lines: tuple[BoughtLine, ...]


@dataclass(frozen=True, slots=True)
class Taken:
    """So much of an item went out to a job from the shelf, and so much of it came back."""

    goods: PlannedGoods
    out: Decimal
    back: Decimal


@dataclass(frozen=True, slots=True)
class Billed:
    """What a supplier charges for plant, subcontract or fees of a job."""

    supplier: str
    on: date
    head: str
    item: str
    name: str
    quantity: Decimal
    net_minor: int


@dataclass(frozen=True, slots=True)
class Found:
    """Something found on the job; `after` is the revision that it led to."""

    on: date
    reason: str
    chargeable: bool
    agreed: bool
    after: Revision


@dataclass(frozen=True, slots=True)
class Paid:
    """What the customer paid."""

    what: str
    on: date
    amount_minor: int


@dataclass(frozen=True, slots=True)
class Done:
    """What happened on an accepted job, up to the end of the year.

    Attributes:
        factor: by which all its hours swing together.
        begun, commissioned, closed: None while it is not.
        gap: whether the planted paper of its close-out was forgotten.
    """

    asked: Asked
    crew: str
    factor: float
    planned_on: date
    begun: date | None
    commissioned: date | None
    closed: date | None
    found: Found | None
    worked: tuple[Worked, ...]
    bought: tuple[Bought, ...]
    taken: tuple[Taken, ...]
    billed: tuple[Billed, ...]
    paid: tuple[Paid, ...]
    gap: bool


@dataclass(frozen=True, slots=True)
class Year:
    """A firm's year: every enquiry, every job, and what was bought for the shelf."""

    seed: int
    first: date
    last: date
    asked: tuple[Asked, ...]
    done: tuple[Done, ...]
    shelf: tuple[Bought, ...]
