"""Compares a price list with the prices of its supplier that are in use. Nothing is written.

Which item a row means is never guessed: the list's own column of the firm's codes says it, else a
link, else the part number of an earlier price. What none of them knows is counted as unknown.

A row holds from the day of the list, or from its own day: a later one is a price to come; an
earlier one is taken at its word, unless the price that holds began since: then the list's day
counts.

Codes of the problems: A201 the list and the item count in different units, A202 a pack that is no
whole number of pieces, A203 an item that is not sold apart, A204 two rows that contradict.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from heapq import nlargest
from operator import itemgetter

from catalogue.items import COUNTED_UNITS
from catalogue.price_lists.changes import (
    ADDED,
    Known,
    Move,
    Price,
    PriceChanges,
    Series,
    Unknown,
    as_price,
)
from catalogue.price_lists.faults import Fault
from catalogue.price_lists.listed import ListedPrice, ReadPriceList
from catalogue.problems import Place

MOST_MOVES = 50
PIECE = "each"
UNSAID = frozenset({"lead_days", "cut_charge", "carriage_class"})  # stay where no column says them
_WHOLE = 1000
_MILLION = 1_000_000
_BEYOND_MEASURE = _MILLION**4  # a rise from nought
_LINK = "estimator prices link"
_BY = {"each": "the piece", "m": "the metre"}
# Fields in whose cell a row is wrong; the part number, if the list has no column for them.
_CELLS = {"A201": ("unit",), "A202": ("pack",), "A203": ("item",), "A204": ("price",)}


def compare(
    read: ReadPriceList, known: Known, day: date, shown_as: str, says: Set[str] = UNSAID
) -> PriceChanges:
    """Return what a list changes.

    Args:
        read: the list.
        known: what the catalogue holds of its supplier's prices.
        day: first day of the list.
        shown_as: how messages name the file.
        says: fields of `UNSAID` for which the list has a column; the others stay as they hold.
    """
    work = _Comparison(known, PriceChanges(day, read.currency), shown_as, UNSAID - says,
                       read.to_date, read.cell)
    work.sort_out(read.rows)
    work.take_alone()
    for key, rows in work.several.items():
        work.take_several(key, rows)
    return work.finished()


@dataclass(slots=True)
class _Comparison:
    """One comparison under way.

    Attributes:
        ends: last day of the list.
        alone: the rows that are the only one of their series and begin with the list.
        several: other rows whose item is known and that fit it, by series.
        spoken_of: series of refused rows: not missing, though nothing is taken from them.
        followed: every price that another one follows, with that one.
    """

    known: Known
    done: PriceChanges
    shown_as: str
    unsaid: Set[str]
    ends: date | None
    cell: Callable[..., tuple[Place, str]] | None = None
    day: str = ""
    alone: dict[Series, ListedPrice] = field(default_factory=dict)
    several: dict[Series, list[ListedPrice]] = field(default_factory=dict)
    spoken_of: set[Series] = field(default_factory=set)
    followed: list[tuple[Price, Price]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.day = self.done.day.isoformat()

    def sort_out(self, rows: Sequence[ListedPrice]) -> None:
        """Find out which item each row means; put aside what is unknown or does not fit."""
        units, links, torn, later = (
            self.known.units, self.known.links, self.known.torn, self.known.later)
        alone, several, day = self.alone, self.several, self.done.day
        fits: dict[tuple[str, str, int], bool] = {}
        for row in rows:
            (_, code, item, _, unit_said, pack, _, least, _, _, _, _, start, end) = row
            if not item:
                item = links.get(code, "") if code not in torn else ""
            unit = units.get(item)
            if unit is None:
                self.done.unknown.append(Unknown(row, self._why_unknown(row)))
                continue
            key = (item, pack, least)
            asked = (unit, unit_said, pack)
            fit = fits.get(asked)
            if fit is None:
                fit = fits[asked] = not any(_misfits(row, item, unit))
            if not fit:
                self._refuse(key, row, _misfits(row, item, unit))
            elif end is not None or (start is not None and start != day) or (
                key in later if later else False
            ) or alone.setdefault(key, row) is not row:
                several.setdefault(key, []).append(row)
        for key, others in several.items():
            if key in alone:
                others.append(alone.pop(key))
                others.sort(key=itemgetter(0))  # in the order of the list

    def _why_unknown(self, row: ListedPrice) -> str:
        if row.item:
            return f"there is no item {row.item}"
        if row.supplier_code in self.known.torn:
            return "earlier prices give this part number to several items"
        return "no item is linked to this part number"

    def _refuse(self, key: Series, row: ListedPrice, faults: Iterable[Fault]) -> None:
        for fault in faults:
            place, before = (Place(self.shown_as, row.row), "") if self.cell is None else (
                self.cell(row.row, *_CELLS[fault.code], "code"))
            self.done.refused.append(fault._replace(says=f"{before}{fault.says}").at(place))
        self.done.refused_rows += 1
        self.spoken_of.add(key)

    def take_alone(self) -> None:
        """Take the rows that are alone in their series, which are nearly all."""
        held, day, currency, done = self.known.held, self.day, self.done.currency, self.done
        ends = None if self.ends is None or self.ends.isoformat() < day else self.ends.isoformat()
        for key, row in self.alone.items():
            before = held.get(key)
            (_, code, _, _, _, _, per, _, price, cut, carriage, lead, _, _) = row
            if before is None:
                # unpacking would take half as long again
                done.new.append(as_price(key + (  # noqa: RUF005
                    day, price, per, cut, carriage, lead, code, ends, currency, ADDED)))
            elif self.unsaid or lead is None or before.to_day is not None or (
                before.from_day == day
            ):
                self.take(key, day, row, before)
            else:
                now = as_price(key + (  # noqa: RUF005
                    day, price, per, cut, carriage, lead, code, ends, currency, ADDED))
                if before.price_minor == price and _same(before, now):
                    done.unchanged += 1
                else:
                    done.changed.append(now)
                    self.followed.append((before, now))

    def take(self, key: Series, start: str, row: ListedPrice, before: Price | None) -> Price:
        """Take a row that holds from a day on over what held until then; return what then holds."""
        now = self._price(key, start, row, before)
        if before is None:
            self.done.new.append(now)
            return now
        if not before.holds_on(start):
            self.done.new.append(now)
        elif _same(before, now):
            self.done.unchanged += 1
            return before
        else:
            self.done.changed.append(now)
            self.followed.append((before, now))
        if before.from_day == start:
            self.done.put_right.append(before.offer_id)
        return now

    def take_several(self, key: Series, rows: Sequence[ListedPrice]) -> None:
        """Take the rows of a series that has more than one, or days of its own."""
        day, held = self.done.day, self.known.held.get(key)
        by_day: dict[str, list[ListedPrice]] = {}
        begun = [row for row in rows if (row.from_date or day) <= day]
        newest = max((row.from_date or day for row in begun), default=day)
        current = [row for row in begun if (row.from_date or day) == newest
                   and (row.to_date is None or row.to_date >= day)]
        self.done.past += len(begun) - len(current)
        start = newest.isoformat()
        by_day[self.day if held is not None and start < held.from_day else start] = current
        for row in rows:
            if row.from_date is not None and row.from_date > day:
                by_day.setdefault(row.from_date.isoformat(), []).append(row)
        coming = list(self.known.later.get(key, ()))
        self.done.to_come += any(each.from_day not in by_day for each in coming)
        for start, listed in sorted(by_day.items()):
            while coming and coming[0].from_day <= start:
                held = coming.pop(0)
            if len(listed) > 1:
                self._contradict(key, listed)
            elif listed:
                held = self.take(key, start, listed[0], held)

    def _contradict(self, key: Series, rows: Sequence[ListedPrice]) -> None:
        """Refuse rows that give one series several prices from one day on."""
        for row in rows:
            others = " and ".join(f"part number {other.supplier_code} in row {other.row}"
                                  for other in rows if other is not row)
            self._refuse(key, row, [Fault(
                "A204", f"part number {row.supplier_code} gives item {key[0]} one price, and "
                f"{others} another for the same pack and quantity",
                f"ask the supplier which one holds, or link one of the part numbers to another "
                f"item: {_LINK}")])

    def _price(self, key: Series, start: str, row: ListedPrice, before: Price | None) -> Price:
        """Return what a row says; what the list is silent about stays as it holds."""
        (_, code, _, _, _, _, per, _, price, cut, carriage, lead, _, end) = row
        ends = self.ends if end is None else end
        to_day = None
        if ends is not None:
            to_day = ends.isoformat()
            if to_day < start:  # a price to come that begins after the list has ended
                to_day = None
        if before is not None:
            if lead is None:
                lead = before.lead_days
            if self.unsaid:
                cut = before.cut_charge_minor if "cut_charge" in self.unsaid else cut
                carriage = before.carriage_class if "carriage_class" in self.unsaid else carriage
        return as_price((*key, start, price, per, cut, carriage, lead, code, to_day,
                          self.done.currency, ADDED))

    def finished(self) -> PriceChanges:
        """Return the whole comparison."""
        done = self.done
        done.missing = [
            price for key, price in self.known.held.items()
            if key not in self.alone and key not in self.several and key not in self.spoken_of
            and price.holds_on(self.day)]
        self._note_rises()
        return done

    def _note_rises(self) -> None:
        """Count which prices of a unit rose and fell, and keep the largest changes."""
        done, sizes = self.done, []
        for before, now in self.followed:
            was, becomes = before.price_minor, now.price_minor
            if before.per_milli != now.per_milli:
                was, becomes = _comparable(before, now)
            sizes.append(abs(becomes - was) * _MILLION // was if was else _BEYOND_MEASURE)
            if becomes > was:
                done.dearer += 1
            elif becomes < was:
                done.cheaper += 1
            else:
                sizes[-1] = -1
        least = max(0, min(nlargest(MOST_MOVES, sizes), default=0))
        moves = sorted((-size, now, before) for size, (before, now) in zip(
            sizes, self.followed, strict=True) if size >= least)
        done.moves = [_move(*each) for each in moves[:MOST_MOVES]]


def _comparable(before: Price, now: Price) -> tuple[int, int]:
    """Return two prices of one series as whole numbers for the same quantity."""
    pack = now.pack_milli
    return (before.price_minor * (now.per_milli or pack),
            now.price_minor * (before.per_milli or pack))


def _move(minus_size: int, now: Price, before: Price) -> Move:
    if not before.price_minor:
        return Move(before, now, None)
    was, becomes = _comparable(before, now)
    return Move(before, now, -minus_size if becomes > was else minus_size)


def _same(before: Price, now: Price) -> bool:
    """Return whether two prices say the same; one pack may be said in two ways."""
    if before.price_minor != now.price_minor or before[6:11] != now[6:11]:
        return False
    pack = now.pack_milli
    return (before.per_milli or pack) == (now.per_milli or pack)


def _misfits(row: ListedPrice, item: str, unit: str) -> Iterator[Fault]:
    """Yield what a row and its item contradict each other in."""
    code = row.supplier_code
    other = f"link part number {code} to another item: {_LINK}" if not row.item else (
        "correct the firm's own code in the row")
    if not unit:
        yield Fault("A203", f"part number {code} is item {item}, which comes in the box of another "
                    "item and is never sold apart, so it can have no price",
                    f"{other}; or say in the catalogue that it is sold apart")
        return
    counted = unit in COUNTED_UNITS
    if row.unit and row.unit != unit and not (counted and row.unit == PIECE):
        yield Fault("A201", f"the list gives part number {code} by {_BY.get(row.unit, row.unit)}, "
                    f"and item {item} is counted by {_BY.get(unit, unit)}",
                    f"ask the supplier for pack and price by {_BY.get(unit, unit)}, or {other}")
    elif counted and row.pack_milli % _WHOLE:
        held = Decimal(row.pack_milli).scaleb(-3).normalize()
        yield Fault("A202", f"a pack of part number {code} holds {held:f}, and item {item} is "
                    f"counted in whole pieces ({unit})",
                    f"ask the supplier how many are in a pack, or {other}")
