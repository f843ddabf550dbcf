"""What a supplier charges: one invoice or credit note with its lines, however it was read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal

Document = Literal["invoice", "credit note"]
# Kind of a line -> the cost head it stands under where neither an item nor anybody says another.
KINDS: Mapping[str, str] = {
    "goods": "other goods", "carriage": "carriage", "plant": "plant hire",
    "subcontract": "subcontract", "fees": "paperwork", "other": "preliminaries",
}
NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class BillLine:
    """One line of a bill.

    Attributes:
        row: row of the table, or line of the XML file; 0 = entered by hand.
        kind: one of `KINDS`.
        quantity: in units of the item; 0 = not said, or a price that is put right.
        net_minor: what it charges without tax; below zero it gives back.
        order, order_line: of the purchase order that it is charged for.
        item, supplier_code: what it is, by the firm's or the supplier's code.
        head: cost head, if it is said.
    """

    row: int
    kind: str
    name: str
    quantity: Decimal
    net_minor: int
    job: str = ""
    order: int | None = None
    order_line: int | None = None
    item: str = ""
    supplier_code: str = ""
    head: str = ""


@dataclass(frozen=True, slots=True)
class Bill:
    """An invoice or credit note; the amounts of a credit note are below zero."""

    document: Document
    supplier: str
    number: str
    on: date
    due: date | None
    currency: str
    lines: tuple[BillLine, ...]
    tax_minor: int = 0

    @property
    def net_minor(self) -> int:
        """Return what all lines charge."""
        return sum(line.net_minor for line in self.lines)

    @property
    def key(self) -> tuple[str, str]:
        """Return what a supplier's bill is known by: a second one of this key is the same."""
        return bill_key(self.supplier, self.number)


def bill_key(supplier: str, number: str) -> tuple[str, str]:
    """Return supplier and number without regard to capitals and spaces."""
    return " ".join(supplier.casefold().split()), "".join(number.casefold().split())


def as_credit(lines: Sequence[BillLine]) -> tuple[BillLine, ...]:
    """Return the lines of a credit note with amounts below zero, whichever way they were written.

    One that is written with amounts above zero is turned round; a quantity follows its amount.
    """
    turn = -1 if sum(line.net_minor for line in lines) > 0 else 1
    turned = (replace(line, net_minor=turn * line.net_minor, quantity=turn * line.quantity)
              for line in lines)
    return tuple(
        replace(line, quantity=-abs(line.quantity)) if line.net_minor < 0 else line
        for line in turned)
