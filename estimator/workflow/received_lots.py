"""How goods that come in are told apart: by serial number, batch or length, or as an end."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from decimal import Decimal

from catalogue.stock.ends import MM_PER_M, share_of_stick
from catalogue.stock_books import Lot

Pieces = tuple[list[Lot], list[tuple[str, Decimal]]]  # new lots; each lot with its quantity


def next_names(stem: str, count: int, taken: Collection[str]) -> list[str]:
    """Return names for lots: a stem and the next numbers that are free."""
    names: list[str] = []
    number = 0
    while len(names) < count:
        number += 1
        if f"{stem}{number}" not in taken:
            names.append(f"{stem}{number}")
    return names


def by_serial(item: str, serials: Sequence[str]) -> Pieces:
    """Return things with serial numbers, one lot each."""
    return ([Lot(each, item, "serial") for each in serials],
            [(each, Decimal(1)) for each in serials])


def by_length(item: str, lengths: Sequence[Decimal], known: Collection[str]) -> Pieces:
    """Return lengths of drums and bars, named by the item and a number."""
    names = next_names(f"{item}/", len(lengths), known)
    return ([Lot(each, item, "length") for each in names],
            list(zip(names, lengths, strict=True)))


def ends_of(
    item: str, lengths_m: Sequence[Decimal], stick_mm: int, known: Collection[str]
) -> Pieces:
    """Return ends of sticks, each with its share of a stick.

    Raises:
        ValueError: for what is no end of such a stick.
    """
    names = next_names(f"{item}/", len(lengths_m), known)
    lengths = [int(each * MM_PER_M) for each in lengths_m]
    return ([Lot(name, item, "length", length_mm=length)
             for name, length in zip(names, lengths, strict=True)],
            [(name, share_of_stick(length, stick_mm))
             for name, length in zip(names, lengths, strict=True)])
