"""Whether one item may stand in for another: every hard field must be equal or better.

Unknown is not better: a blank value where the original has one fails. Which fields are hard, and
which way is better, stands in `hard_fields.toml`. Pure: items and a price book in, verdicts out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, Literal

from catalogue.columns import unit_of
from catalogue.hard_fields import FamilyFields, HardField, Must, hard_fields
from catalogue.items import Item, Offer
from catalogue.price_book import PriceBook
from catalogue.specs import ConverterSpec

Verdict = Literal["equal", "better", "worse", "unknown"]
PARTNERS = "partners"


@dataclass(frozen=True, slots=True)
class FieldVerdict:
    """How a substitute compares with the original in one hard field.

    Attributes:
        field: name of the field, ending in its unit; `PARTNERS` for the list of partners.
        must: what it must be.
        original, candidate: the two values; None, "" or () is blank.
        why: why the field is hard; `source` says who says so.
        says: the comparison in words ("2.5 mm² is less than 4 mm²"), "" where it is equal.
    """

    field: str
    verdict: Verdict
    must: Must
    original: Any
    candidate: Any
    why: str
    source: str
    says: str = ""

    @property
    def passes(self) -> bool:
        """Return whether the field lets the substitute pass."""
        return self.verdict in ("equal", "better")


@dataclass(frozen=True, slots=True)
class Candidate:
    """An item that might stand in, with the cheapest offer of the day and every hard field."""

    item: Item
    offer: Offer | None
    verdicts: tuple[FieldVerdict, ...]

    @property
    def failing(self) -> tuple[FieldVerdict, ...]:
        """Return the fields for which it may not stand in."""
        return tuple(each for each in self.verdicts if not each.passes)

    @property
    def passes(self) -> bool:
        """Return whether it may stand in."""
        return not self.failing


def judge(original: Item, candidate: Item, role: str = "") -> tuple[FieldVerdict, ...]:
    """Return the verdict on every hard field of an original, in the order of the data.

    Args:
        original: the item that is to be replaced.
        candidate: the item that is to stand in for it.
        role: the role in which it stands in; "" asks for every role of the original.
    """
    fields = hard_fields().families[original.family]
    found = list(_of_item(original, candidate, role, fields))
    if candidate.family == original.family:
        for name, hard in fields.spec.items():
            found += _in_roles(name, hard, role, original, candidate)
    return tuple(found)


def may_stand_in(verdicts: tuple[FieldVerdict, ...]) -> bool:
    """Return whether all verdicts let a substitute pass."""
    return all(each.passes for each in verdicts)


def judge_partners(original: Item, candidate: Item, prices: PriceBook) -> FieldVerdict | None:
    """Return the verdict on the lists of the converters that name a storage module, or None.

    Every converter whose maker permits the original must permit the substitute.
    """
    if original.family != "storage":
        return None
    lists = {item.code: item.spec.storage_allowed for item in prices.items.values()
             if isinstance(item.spec, ConverterSpec)}
    naming = {code: tuple(conv for conv, names in lists.items() if code in names)
              for code in (original.code, candidate.code)}
    hard = hard_fields().families["converter"].spec["storage_allowed"]
    return _compared(PARTNERS, hard, "superset", naming[original.code], naming[candidate.code])


def substitutes_for(item: Item, role: str, prices: PriceBook) -> tuple[Candidate, ...]:
    """Return every other item of the family that shares a role, ranked.

    Those that may stand in come first, by price of a unit; then the others, by how many fields
    they fail. Ties go to the lower code.

    Args:
        item: the original.
        role: the role that must be served; "" for every role of the original.
        prices: the price book of the day.
    """
    shared = {role} if role else set(item.roles)
    found = [
        Candidate(other, prices.offer(other.code), _all_verdicts(item, other, role, prices))
        for other in prices.items.values()
        if other.family == item.family and other.code != item.code and shared & set(other.roles)
    ]
    return tuple(sorted(found, key=_rank))


def _all_verdicts(
    item: Item, other: Item, role: str, prices: PriceBook
) -> tuple[FieldVerdict, ...]:
    partners = judge_partners(item, other, prices)
    return (*judge(item, other, role), *((partners,) if partners is not None else ()))


def _rank(each: Candidate) -> tuple[int, bool, Fraction, str]:
    price = each.offer.unit_price_minor if each.offer is not None else Fraction(0)
    return len(each.failing), each.offer is None, price, each.item.code


def _in_roles(
    name: str, hard: HardField, role: str, original: Item, candidate: Item
) -> Iterator[FieldVerdict]:
    """Yield the verdict on a field of the specification, the worst of all the roles asked for."""
    roles = (role,) if role else original.roles
    ours, theirs = getattr(original.spec, name), getattr(candidate.spec, name)
    found = [_compared(name, hard, must, ours, theirs)
             for must in dict.fromkeys(map(hard.for_role, roles)) if must != "soft"]
    yield from sorted(found, key=lambda each: each.passes)[:1]


# -- one field -------------------------------------------------------------------------------------


def _of_item(
    original: Item, candidate: Item, role: str, fields: FamilyFields
) -> Iterator[FieldVerdict]:
    for name, hard in fields.item.items():
        if hard.must != "soft":
            ours = (role,) if name == "roles" and role else getattr(original, name)
            yield _compared(name, hard, hard.must, ours, getattr(candidate, name))


def _compared(name: str, hard: HardField, must: Must, ours: Any, theirs: Any) -> FieldVerdict:
    verdict, says = _verdict(hard, must, ours, theirs, unit_of(name))
    return FieldVerdict(name, verdict, must, ours, theirs, hard.why, hard.source, says)


def _verdict(
    hard: HardField, must: Must, ours: Any, theirs: Any, unit: str
) -> tuple[Verdict, str]:
    if ours == theirs:
        return "equal", ""
    if _blank(theirs):
        return "unknown", f"nothing is known of it, where {shown(ours, unit)} is asked for"
    if _blank(ours):
        if hard.blank_asks_nothing or must == "superset":
            return "better", f"{shown(theirs, unit)}, where nothing is known of the original"
        return "unknown", (
            f"{shown(theirs, unit)} cannot be compared, since nothing is known of the original")
    if _as_good(hard, must, ours, theirs):
        return "better", f"{shown(theirs, unit)} instead of {shown(ours, unit)}"
    return "worse", _worse(hard, must, ours, theirs, unit)


def _as_good(hard: HardField, must: Must, ours: Any, theirs: Any) -> bool:
    """Return whether a value is as good as another, which is not the same; neither is blank."""
    if must == "at_least":
        return bool(theirs >= ours)
    if must == "at_most":
        return bool(theirs <= ours)
    if must == "yes_if_yes":
        return bool(theirs)
    if must == "superset":
        return not _lacking(hard, ours, theirs)
    if must == "ip":
        return _ip_covers(int(theirs), int(ours))
    if must == "in_order" or must == "in_order_down":
        down = must == "in_order_down"
        return _comes_later(hard.order, *((theirs, ours) if down else (ours, theirs)))
    return False  # "equal": they are not the same


def _blank(value: Any) -> bool:
    return value is None or value in ("", ())


def _parts(hard: HardField, value: Any) -> tuple[str, ...]:
    if isinstance(value, tuple):
        return value
    return hard.covers.get(value, (value,))


def _lacking(hard: HardField, ours: Any, theirs: Any) -> list[str]:
    has = _parts(hard, theirs)
    return [part for part in _parts(hard, ours) if part not in has]


def _comes_later(order: tuple[str, ...], first: str, later: str) -> bool:
    known = first in order and later in order
    return known and order.index(later) > order.index(first)


def _ip_covers(theirs: int, ours: int) -> bool:
    """Return whether an IP code covers another; each numeral by itself."""
    (first, second), (needed, wet) = divmod(theirs, 10), divmod(ours, 10)
    return first >= needed and (second == wet or str(wet) in hard_fields().ip_second[second])


# -- words -----------------------------------------------------------------------------------------


def _worse(hard: HardField, must: Must, ours: Any, theirs: Any, unit: str) -> str:
    his, mine = shown(theirs, unit), shown(ours, unit)
    if must == "at_least":
        return f"{his} is less than {mine}"
    if must == "at_most":
        return f"{his} is more than {mine}"
    if must == "superset":
        return f"it lacks {', '.join(_lacking(hard, ours, theirs))}"
    if must == "ip":
        return f"IP{theirs:02d} does not cover IP{ours:02d}"
    if must == "yes_if_yes":
        return "no, where the original says yes"
    if must in ("in_order", "in_order_down"):
        return f"{his} does not cover {mine}" if must == "in_order" else (
            f"{his} asks for more than {mine}")
    return f"{his} is not {mine}"


def shown(value: Any, unit: str = "") -> str:
    """Return a value of a data sheet in words, with its unit."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(value)
    text = format(value.normalize(), "f") if isinstance(value, Decimal) else str(value)
    return f"{text} {unit}".rstrip()
