"""An invoice or credit note as XML: a UBL Invoice or CreditNote.

OASIS Universal Business Language 2.1 (OASIS Standard, 4 November 2013; ISO/IEC 19845:2015),
document types Invoice and CreditNote. The job stands in `ProjectReference/ID`, or in the
`AccountingCost` of a line or of the whole; the order in `OrderReference/ID`, its line in
`OrderLineReference/LineID`. What is charged for the whole document is a line of its own, and what
is allowed is one below nought. A credit note says in amounts above nought what it gives back.

The sums must hold, as EN 16931-1 has them (rules BR-CO-10, BR-CO-13, BR-CO-15, BR-CO-16, from
memory): lines = LineExtensionAmount; lines + charges - allowances = TaxExclusiveAmount; that + tax
= TaxInclusiveAmount, where some senders count the rounding in; less what was paid before, with the
rounding = PayableAmount.

Codes of the problems: Z244 no invoice; the others as `bill_rows`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

from catalogue.price_lists import dates, texts
from catalogue.price_lists.exchange_fields import is_true
from catalogue.price_lists.faults import Fault, told
from catalogue.price_lists.numbers import of_plain
from catalogue.price_lists.xml_records import Element, Records
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.actuals.bill_rows import Usual, adds_up_not
from estimator.actuals.bills import NOTHING, Bill, BillLine, Document, as_credit

ROOTS: dict[str, Document] = {"Invoice": "invoice", "CreditNote": "credit note"}
MOST_PARTS = 500_000  # elements of one document; a line has some forty
_CARRIAGE = re.compile(r"carriage|freight|deliver|postage|haulage|transport", re.IGNORECASE)
_FREIGHT = ("FC", "DL", "SAA")  # freight, delivery, shipping: UNCL 7161 (from memory)
_TOTAL = "LegalMonetaryTotal/"


def read_bill(path: Path, currency: str, usual: Usual, today: date, shown: str) -> Bill:
    """Return the bill that a file holds.

    Raises:
        ProblemsFound: A107 if it is no sound XML, Z244 if it is another document, else every
            mistake in it by line.
    """
    records = Records(path, frozenset(ROOTS), shown, MOST_PARTS)
    found = next(iter(records), None)
    if found is None or records.root not in ROOTS:
        raise ProblemsFound([Problem(
            "Z244", Place(shown, 1), f"the outermost element is '{records.root}', which is no "
            "invoice or credit note of UBL", "ask the supplier for one, or for a workbook")])
    reader = _Reader(found, ROOTS[records.root], currency, usual)
    bill = reader.read(today)
    if reader.faults:
        raise ProblemsFound([fault.at(Place(shown, line)) for line, fault in sorted(
            reader.faults, key=lambda each: each[0])])
    return bill


class _Reader:
    """One document while it is read; `faults` by line of the file."""

    def __init__(self, root: Element, document: Document, currency: str, usual: Usual) -> None:
        self.root, self.document, self.currency, self.usual = root, document, currency, usual
        self.faults: list[tuple[int, Fault]] = []

    def wrong(self, element: Element | None, fault: Fault) -> None:
        self.faults.append(((element or self.root).line, fault))

    def read(self, today: date) -> Bill:
        party = "AccountingSupplierParty/Party/"
        supplier = texts.clean(self.root.says(f"{party}PartyName/Name")
                               or self.root.says(f"{party}PartyLegalEntity/RegistrationName"))
        number = texts.clean(self.root.says("ID"))
        if not supplier:
            self.wrong(None, Fault("Z231", "the supplier is missing", "ask for a whole invoice"))
        if not number:
            self.wrong(None, Fault(
                "Z232", "the number of the bill is missing", "ask the supplier for it"))
        on, due = self._days(today)
        said = self.root.says("DocumentCurrencyCode")
        if said and said != self.currency:
            self.wrong(self.root.first("DocumentCurrencyCode"), Fault(
                "Z242", f"the bill is in {told(said)}, and the firm reckons in {self.currency}",
                "book it by hand at what the bank charged: estimator actuals bill"))
        name = "InvoiceLine" if self.document == "invoice" else "CreditNoteLine"
        lines = [self._line(each) for each in self.root.all(name)]
        if not lines:
            self.wrong(None, Fault("Z245", "the bill has no lines", "ask for a whole invoice"))
        extra = list(self._charges())
        tax = self._tax()
        self._check_totals(lines, extra, tax)
        held = (*lines, *extra)
        if self.document == "credit note":
            held, tax = as_credit(held), -abs(tax)
        return Bill(self.document, supplier, number, on, due, self.currency, held, tax)

    def _days(self, today: date) -> tuple[date, date | None]:
        on = self._day(self.root.first("IssueDate"))
        due = self._day(self.root.first("DueDate")
                        or self.root.first("PaymentMeans/PaymentDueDate"))
        if on is None:
            if not self.root.says("IssueDate"):
                self.wrong(None, Fault("A118", "the day is missing", "ask for a whole invoice"))
            return today, due
        if on > today:
            self.wrong(self.root.first("IssueDate"), Fault(
                "Z243", f"{on} is still to come, and today is {today}", "look the day over"))
        if due is not None and due < on:
            self.wrong(self.root.first("DueDate"), Fault(
                "Z243", f"it is due on {due}, before its own day {on}", "look both days over"))
        return on, due

    def _day(self, element: Element | None) -> date | None:
        if element is None or not element.text.strip():
            return None
        found = dates.day(element.text.strip()[:10], "year month day")
        if isinstance(found, Fault):
            self.wrong(element, found)
            return None
        return found

    def _line(self, line: Element) -> BillLine:
        quantity = line.first("InvoicedQuantity") or line.first("CreditedQuantity")
        order = self._order(line.says("OrderLineReference/OrderReference/ID")
                            or self.root.says("OrderReference/ID"), line)
        at = line.says("OrderLineReference/LineID")
        item = line.says("Item/BuyersItemIdentification/ID")
        theirs = line.says("Item/SellersItemIdentification/ID")
        goods = bool(order or item)
        return BillLine(
            line.line, self.usual.kind or ("goods" if goods else "other"),
            texts.clean(line.says("Item/Name") or line.says("Item/Description")),
            self._quantity(quantity), self._amount(line.first("LineExtensionAmount"), line),
            self._job(line), order, int(at) if at.isdecimal() and int(at) else None,
            texts.clean(item), texts.clean(theirs))

    def _order(self, text: str, line: Element) -> int | None:
        if not text:
            return self.usual.order
        if not text.isdecimal() or not int(text):
            self.wrong(line, Fault("Z236", f"{told(text)} is no number of an order of ours",
                                   "see them: estimator orders list"))
            return None
        return int(text)

    def _job(self, line: Element | None) -> str:
        said = (line.says("AccountingCost") if line else "") or self.root.says(
            "ProjectReference/ID") or self.root.says("AccountingCost")
        return texts.clean(said) or self.usual.job

    def _quantity(self, element: Element | None) -> Decimal:
        if element is None or not element.text.strip():
            return NOTHING
        milli = of_plain(element.text, 3)
        if isinstance(milli, Fault):
            self.wrong(element, milli)
            return NOTHING
        return Decimal(milli) / 1000

    def _amount(self, element: Element | None, of: Element) -> int:
        if element is None or not element.text.strip():
            self.wrong(element or of, Fault("A112", "the net amount is missing", "ask for it"))
            return 0
        minor = of_plain(element.text, 2)
        if isinstance(minor, Fault):
            self.wrong(element, minor)
            return 0
        return minor

    def _charges(self) -> Iterator[BillLine]:
        """Yield what is charged or allowed for the whole document, as lines."""
        for each in self.root.all("AllowanceCharge"):
            minor = self._amount(each.first("Amount"), each)
            charged = is_true(each.says("ChargeIndicator"))
            reason = texts.clean(each.says("AllowanceChargeReason"))
            freight = each.says("AllowanceChargeReasonCode") in _FREIGHT or _CARRIAGE.search(reason)
            order = self._order(self.root.says("OrderReference/ID"), each)
            kind = "carriage" if freight and charged else self.usual.kind or (
                "goods" if order else "other")
            yield BillLine(each.line, kind, reason or ("charge" if charged else "allowance"),
                           NOTHING, minor if charged else -minor, self._job(None), order)

    def _tax(self) -> int:
        return sum(self._amount(each, each) for each in self.root.all("TaxTotal/TaxAmount")
                   if each.given.get("currencyID", self.currency) == self.currency)

    def _check_totals(self, lines: list[BillLine], extra: list[BillLine], tax: int) -> None:
        of_lines = sum(line.net_minor for line in lines)
        net = of_lines + sum(line.net_minor for line in extra)
        rounding, prepaid = self._said("PayableRoundingAmount"), self._said("PrepaidAmount")
        gross = net + tax
        for name, whose, sums in (
            ("LineExtensionAmount", "the lines", (of_lines,)),
            ("TaxExclusiveAmount", "lines, charges and allowances", (net,)),
            ("TaxInclusiveAmount", "lines, charges, allowances and tax",
             (gross, gross + rounding)),
            ("PayableAmount", "all less what was paid before", (gross - prepaid + rounding,)),
        ):
            element = self.root.first(_TOTAL + name)
            if element is not None and self._said(name) not in sums:
                self.wrong(element, adds_up_not(name, self._said(name), whose, sums[0]))

    def _said(self, name: str) -> int:
        element = self.root.first(_TOTAL + name)
        return 0 if element is None else self._amount(element, element)
