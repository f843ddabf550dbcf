"""What the firm holds, for the terminal and for machines: places, moves, counts, what is free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.stock.free import Promise, Supply
from catalogue.stock.ledger import Move
from estimator.papers import words
from estimator.papers.digits import plain
from estimator.papers.terminal import clean, shortened, table

NAME_WIDTH = 32


@dataclass(frozen=True, slots=True)
class PlaceShown:
    """A place, and how many items lie there."""

    name: str
    kind: str
    note: str
    items: int


@dataclass(frozen=True, slots=True)
class Counted:
    """What was counted against what the books say; `value_minor` is what the difference is worth.

    The difference is above zero for what was found, below it for what is missing.
    """

    item: str
    name: str
    unit: str
    place: str
    lot: str
    there: Decimal
    counted: Decimal
    value_minor: int = 0

    @property
    def difference(self) -> Decimal:
        """Return what was counted above (or below) what the books say."""
        return self.counted - self.there


@dataclass(frozen=True)
class Count:
    """A count, and whether its differences are in the books."""

    lines: tuple[Counted, ...]
    currency: str
    written: bool = False

    @property
    def differs(self) -> bool:
        """Return whether anything is to be written."""
        return any(line.difference for line in self.lines)


@dataclass(frozen=True, slots=True)
class LotShown:
    """What lies in a place, as it is told apart; `free` of it on the day that was asked for.

    `length_mm`: of an end of a stick, whose quantity is its share of the stick.
    """

    place: str
    place_kind: str
    lot: str
    kind: str
    quantity: Decimal
    expires_on: date | None
    expired: bool
    free: Decimal
    length_mm: int | None = None


@dataclass(frozen=True, slots=True)
class ItemStock:
    """What is held of an item, what is promised, and what is free on a day.

    `ends` counts the ends of sticks, which neither on hand nor free counts.
    """

    item: str
    name: str
    unit: str
    bin: str
    on_hand: Decimal
    reserved: Decimal
    coming: Decimal
    free: Decimal
    short: Decimal
    ends: int = 0
    lots: tuple[LotShown, ...] = ()
    promises: tuple[Promise, ...] = ()
    supplies_coming: tuple[Supply, ...] = ()


@dataclass(frozen=True)
class StockShown:
    """What the firm holds, and what of it is free on a day."""

    on: date
    lines: tuple[ItemStock, ...]


@dataclass(frozen=True, slots=True)
class WorthLine:
    """What is held of an item and what it is worth, by moving average and first in first out."""

    item: str
    name: str
    unit: str
    quantity: Decimal
    average_minor: int
    fifo_minor: int


@dataclass(frozen=True)
class StockWorth:
    """What all of the stock is worth."""

    currency: str
    lines: tuple[WorthLine, ...]

    @property
    def average_minor(self) -> int:
        """Return the worth of all, by moving average: what the books say."""
        return sum(line.average_minor for line in self.lines)

    @property
    def fifo_minor(self) -> int:
        """Return the worth of all, had what came in first gone out first."""
        return sum(line.fifo_minor for line in self.lines)


def places_text(places: Sequence[PlaceShown]) -> str:
    """Return the places as a table."""
    if not places:
        return "No place yet: estimator stock places --add store --kind store"
    rows = [(each.name, each.kind, str(each.items), each.note) for each in places]
    return clean("\n".join(table(rows, "llrl", ("place", "kind", "items", "note"))))


def moves_text(moves: Sequence[Move], currency: str) -> str:
    """Return moves that were written, a line each."""
    rows = [
        (plain(move.quantity), move.item, move.lot, move.from_place or "outside", "to",
         move.to_place or "outside",
         "" if move.value_minor is None else words.money(move.value_minor, currency))
        for move in moves]
    return clean("\n".join([*table(rows, "rlllllr"), "Written."]))


def moves_data(moves: Sequence[Move]) -> list[dict[str, Any]]:
    """Return moves as data."""
    return [asdict(move) for move in moves]


def count_text(count: Count) -> str:
    """Return a count as a table: what the books say, what was counted, the difference."""
    rows = [
        (line.place, line.item, line.lot, shortened(line.name, NAME_WIDTH),
         _of(line.there, line.unit), _of(line.counted, line.unit), _signed(line.difference),
         words.signed(line.value_minor, count.currency))
        for line in count.lines]
    headings = ("place", "item", "lot", "name", "books", "counted", "differs", "worth")
    lines = table(rows, "llllrrrr", headings)
    if not count.differs:
        lines.append("The books are right; there is nothing to write.")
    return clean("\n".join(lines))


def count_data(count: Count) -> dict[str, Any]:
    """Return a count as data."""
    return {"currency": count.currency, "written": count.written,
            "lines": [asdict(line) | {"difference": line.difference} for line in count.lines]}


def stock_text(shown: StockShown, in_full: bool) -> str:
    """Return what is held; in full with lots, promises and what comes."""
    if not shown.lines:
        return "Nothing is held, reserved or on its way."
    rows = [
        (line.item, shortened(line.name, NAME_WIDTH), line.bin, line.unit,
         plain(line.on_hand) + _and_ends(line), plain(line.reserved), plain(line.coming),
         plain(line.free),
         plain(line.short) if line.short else "")
        for line in shown.lines]
    headings = ("item", "name", "bin", "unit", "on hand", "reserved", "coming",
                f"free {shown.on}", "short")
    lines = table(rows, "llllrrrrr", headings)
    if in_full:
        for line in shown.lines:
            lines += _in_full(line, shown.on)
    return clean("\n".join(lines))


def _in_full(line: ItemStock, on: date) -> Iterator[str]:
    if line.lots:
        yield "Where it lies"
        yield from table([
            (each.place, each.lot or "not told apart", "end" if each.length_mm else each.kind,
             _long(each, line.unit), _keeps(each), _free(each, on)) for each in line.lots],
            "lllrll")
    if line.promises or line.short:
        yield "Promised to"
        rows = [(f"job {each.claim.job}", f"for {each.claim.needed_on}",
                 _of(each.quantity, line.unit), _whence(each.supply), "LATE" if each.late else "")
                for each in line.promises]
        if line.short:
            rows.append(("nobody yet", "", _of(line.short, line.unit), "is to be ordered", "SHORT"))
        yield from table(rows, "llrll")
    if line.supplies_coming:
        yield "On its way"
        yield from table([(each.lot, str(each.comes_on), _of(each.quantity, line.unit))
                          for each in line.supplies_coming], "llr")


def _and_ends(line: ItemStock) -> str:
    return f" + {line.ends} end{'s' if line.ends > 1 else ''}" if line.ends else ""


def _long(each: LotShown, unit: str) -> str:
    if each.length_mm is None:
        return _of(each.quantity, unit)
    return f"{plain(Decimal(each.length_mm) / 1000)} m"


def _keeps(each: LotShown) -> str:
    if each.expires_on is None:
        return ""
    return f"{'EXPIRED' if each.expired else 'good until'} {each.expires_on}"


def _free(each: LotShown, on: date) -> str:
    if each.place_kind in ("quarantine", "site"):
        return f"not free: {each.place_kind}"
    if each.length_mm is not None:
        return "kept for no job"
    return f"{plain(each.free)} free on {on}"


def _whence(supply: Supply) -> str:
    if supply.comes_on is not None:
        return f"from {supply.lot}, comes {supply.comes_on}"
    return f"from {supply.place}" + (f", {supply.lot}" if supply.lot else "")


def stock_data(shown: StockShown) -> dict[str, Any]:
    """Return what is held as data."""
    return {"on": shown.on, "lines": [
        asdict(line) | {"promises": [
            {"job": each.claim.job, "needed_on": each.claim.needed_on, "quantity": each.quantity,
             "place": each.supply.place, "lot": each.supply.lot,
             "comes_on": each.supply.comes_on, "late": each.late} for each in line.promises]}
        for line in shown.lines]}


def worth_text(worth: StockWorth) -> str:
    """Return what the stock is worth as a table with its total."""
    if not worth.lines:
        return "Nothing is held."
    rows = [
        (line.item, shortened(line.name, NAME_WIDTH), _of(line.quantity, line.unit),
         words.money(line.average_minor, worth.currency),
         words.money(line.fifo_minor, worth.currency)) for line in worth.lines]
    rows.append(("", "in all", "", words.money(worth.average_minor, worth.currency),
                 words.money(worth.fifo_minor, worth.currency)))
    headings = ("item", "name", "held", "moving average", "first in first out")
    return clean("\n".join([*table(rows, "llrrr", headings),
                            "The books are kept by moving average."]))


def worth_data(worth: StockWorth) -> dict[str, Any]:
    """Return what the stock is worth as data, in minor units."""
    return {"currency": worth.currency, "average_minor": worth.average_minor,
            "fifo_minor": worth.fifo_minor, "lines": [asdict(line) for line in worth.lines]}


def _of(number: Decimal, unit: str) -> str:
    return f"{plain(number)} {unit}" if unit != "each" else plain(number)


def _signed(number: Decimal) -> str:
    return f"{'+' if number > 0 else ''}{plain(number)}"
