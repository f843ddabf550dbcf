"""What a basket is made of: lines, the ways to buy each, what suppliers charge, the day needed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from types import MappingProxyType

from catalogue.items import Carriage
from estimator.buying.purchase import Buy

NO_CLASSES: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to buy the whole of a line from one supplier.

    Attributes:
        goods_minor: price of the packs, in whole minor units.
        lead_days: calendar days from the order until the last of it is there.
        classes: carriage classes of the goods, beside the ordinary one.
        bought: the packs that it is made of; the core never reads them.
    """

    supplier: str
    goods_minor: int
    lead_days: int = 0
    classes: frozenset[str] = NO_CLASSES
    bought: tuple[Buy, ...] = ()

    @property
    def rank(self) -> tuple[int, str, int, tuple[str, ...]]:
        """Return what orders the choices of a line: cheapest goods first, then the name."""
        return self.goods_minor, self.supplier, self.lead_days, tuple(sorted(self.classes))


@dataclass(frozen=True, slots=True)
class BasketLine:
    """One thing to buy and every way to buy it; exactly one way is taken.

    Attributes:
        key: names the line, once in a basket.
        choices: at least one, in the order of `Choice.rank`; `line_of` sorts them.
    """

    key: str
    item: str
    quantity: Decimal
    choices: tuple[Choice, ...]


def line_of(key: str, item: str, quantity: Decimal, choices: Iterable[Choice]) -> BasketLine:
    """Return a line with its choices in order.

    Raises:
        ValueError: for a line without a choice, or a choice of a negative price or delay.
    """
    ranked = tuple(sorted(choices, key=lambda choice: choice.rank))
    if not ranked:
        raise ValueError(f"line {key} has no choice")
    if any(choice.goods_minor < 0 or choice.lead_days < 0 for choice in ranked):
        raise ValueError(f"line {key} has a choice with a negative price or delay")
    return BasketLine(key, item, quantity, ranked)


@dataclass(frozen=True, slots=True)
class Charge:
    """Carriage of an order or of a class in it, in minor units; free from a value of goods on."""

    minor: int
    free_from_minor: int | None = None

    def at(self, value_minor: int) -> int:
        """Return what is charged on an order of this value of goods."""
        free = self.free_from_minor is not None and value_minor >= self.free_from_minor
        return 0 if free else self.minor


NOTHING = Charge(0)


@dataclass(frozen=True)
class Terms:
    """What a supplier asks beside the price of the goods.

    Attributes:
        order: carriage of each order.
        classes: carriage on top, once for an order with goods of the class. A class that the
            supplier has no row for costs nothing more.
        least_minor: the value of goods under which the supplier takes no order.
    """

    order: Charge = NOTHING
    classes: Mapping[str, Charge] = field(default_factory=lambda: MappingProxyType({}))
    least_minor: int = 0


NO_TERMS = Terms()


def terms_of(rows: Iterable[Carriage]) -> Terms:
    """Return the carriage rows in force of one supplier as terms."""
    order, classes, least = NOTHING, {}, 0
    for row in rows:
        charge = Charge(row.charge.minor, row.free_from.minor if row.free_from else None)
        if row.carriage_class:
            classes[row.carriage_class] = charge
        else:
            order = charge
            least = row.least_order.minor if row.least_order else 0
    return Terms(order, MappingProxyType(classes), least)


@dataclass(frozen=True, slots=True)
class Wanted:
    """The day of the order, the day on which all must be there, and what waiting costs.

    Attributes:
        on: the day of the order.
        by: the day needed; None if any day will do.
        late_per_day_minor: what each day costs that the job waits for its last goods; None means
            that the day is hard: a choice that comes later is none.
        surplus_share: share of the goods bought beyond the need that counts as cost: 1 = all of
            it is lost, 0.2 = a fifth (holding it, and some of it never used).
    """

    on: date
    by: date | None = None
    late_per_day_minor: int | None = None
    surplus_share: Decimal = Decimal(1)

    def __post_init__(self) -> None:
        if not 0 <= self.surplus_share <= 1:
            raise ValueError("the share of the surplus that is lost lies between 0 and 1")
        if self.late_per_day_minor is not None and self.late_per_day_minor < 0:
            raise ValueError("waiting never earns money")

    def arrives(self, choice: Choice) -> date:
        """Return the day on which the last of a choice is there."""
        return self.on + timedelta(days=choice.lead_days)

    def days_late(self, choice: Choice) -> int:
        """Return the calendar days by which a choice comes after the day needed."""
        return max(0, (self.arrives(choice) - self.by).days) if self.by else 0

    def in_time(self, choice: Choice) -> bool:
        """Return whether a choice may be taken at all."""
        return self.late_per_day_minor is not None or not self.days_late(choice)
