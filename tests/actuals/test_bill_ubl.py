"""Bills as XML: a UBL 2.1 Invoice or CreditNote is read whole or refused by line.

The sums of `SAMPLE` are those of the sample invoice that comes with OASIS UBL 2.1
(UBL-Invoice-2.1-Example.xml): lines 1273, -3.96, 4.96, -25 and 187.50; packing 100 and a discount
of 100; tax 292.20; 1,000 paid before, 0.30 of rounding, 729 to be paid. Names and codes are ours.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from catalogue.problems import ProblemsFound
from estimator.actuals.bill_rows import Usual
from estimator.actuals.bill_ubl import read_bill
from estimator.actuals.bills import Bill
from estimator.workflow.bills import BillsWanted, import_bills
from tests.actuals.firm import DEPOT, TODAY, asked, come, line, order

SPACES = ('xmlns:cac="urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2" '
          'xmlns:cbc="urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"')
SAMPLE_LINES = ((1, 1_273_00), (-1, -3_96), (2, 4_96), (-1, -25_00), (250, 187_50))


def major(minor: int) -> str:
    return f"{minor / 100:.2f}"


def an_amount(name: str, minor: int, currency: str = "GBP") -> str:
    return f'<cbc:{name} currencyID="{currency}">{major(minor)}</cbc:{name}>'


def a_line(number: int, quantity: int, minor: int, more: str = "", item: str = "") -> str:
    return (f'<cac:InvoiceLine><cbc:ID>{number}</cbc:ID><cbc:InvoicedQuantity unitCode="C62">'
            f"{quantity}</cbc:InvoicedQuantity>{an_amount('LineExtensionAmount', minor)}{more}"
            f"<cac:Item><cbc:Name>Thing {number}</cbc:Name>{item}</cac:Item></cac:InvoiceLine>")


def document(lines: str, totals: str, more: str = "", root: str = "Invoice",
             supplier: str = DEPOT, head: str = "") -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<{root} xmlns="urn:oasis:names:specification:ubl:'
        f'schema:xsd:{root}-2" {SPACES}>\n<cbc:ID>X-1</cbc:ID>\n'
        f"<cbc:IssueDate>2026-11-10</cbc:IssueDate>\n{head}"
        "<cbc:DocumentCurrencyCode>GBP</cbc:DocumentCurrencyCode>\n"
        "<cac:AccountingSupplierParty><cac:Party><cac:PartyName><cbc:Name>"
        f"{supplier}</cbc:Name></cac:PartyName></cac:Party></cac:AccountingSupplierParty>\n"
        f"{more}\n<cac:LegalMonetaryTotal>{totals}</cac:LegalMonetaryTotal>\n{lines}</{root}>\n")


def charge(true: bool, reason: str, minor: int) -> str:
    return (f"<cac:AllowanceCharge><cbc:ChargeIndicator>{str(true).lower()}</cbc:ChargeIndicator>"
            f"<cbc:AllowanceChargeReason>{reason}</cbc:AllowanceChargeReason>"
            f"{an_amount('Amount', minor)}</cac:AllowanceCharge>")


def tax(minor: int) -> str:
    return f"<cac:TaxTotal>{an_amount('TaxAmount', minor)}</cac:TaxTotal>"


def totals(**amounts: int) -> str:
    return "".join(an_amount(name, minor) for name, minor in amounts.items())


SAMPLE = document(
    "".join(a_line(at, quantity, minor) for at, (quantity, minor) in enumerate(SAMPLE_LINES, 1)),
    totals(LineExtensionAmount=143_650, TaxExclusiveAmount=143_650, TaxInclusiveAmount=172_900,
           AllowanceTotalAmount=10_000, ChargeTotalAmount=10_000, PrepaidAmount=100_000,
           PayableRoundingAmount=30, PayableAmount=72_900),
    charge(True, "Packing cost", 10_000) + charge(False, "Promotion discount", 10_000)
    + tax(29_220))


def read(text: str, usual: Usual | None = None) -> Bill:
    Path("bill.xml").write_text(text, encoding="utf-8")
    return read_bill(Path("bill.xml"), "GBP", usual or Usual(), TODAY, "bill.xml")


def refused(text: str) -> list[str]:
    with pytest.raises(ProblemsFound) as found:
        read(text)
    return [f"{each.code} {each.says}" for each in found.value.problems]


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_the_sums_of_the_published_sample_are_read_and_found_to_hold() -> None:
    bill = read(SAMPLE)
    assert bill.net_minor == 143_650
    assert bill.tax_minor == 29_220
    assert [each.net_minor for each in bill.lines] == [
        *(minor for _, minor in SAMPLE_LINES), 10_000, -10_000]
    assert [int(each.quantity) for each in bill.lines[:5]] == [1, -1, 2, -1, 250]


@pytest.mark.parametrize(("was", "now", "says"), [
    (">1436.50</cbc:LineExtensionAmount>", ">1436.49</cbc:LineExtensionAmount>",
     "Z241 LineExtensionAmount is 1436.49, and the lines come to 1436.50: 0.01 more"),
    (">1436.50</cbc:TaxExclusiveAmount>", ">1536.50</cbc:TaxExclusiveAmount>",
     "Z241 TaxExclusiveAmount is 1536.50, and lines, charges and allowances come to 1436.50: "
     "100.00 less"),
    (">1729.00</cbc:TaxInclusiveAmount>", ">1728.69</cbc:TaxInclusiveAmount>",
     "Z241 TaxInclusiveAmount is 1728.69, and lines, charges, allowances and tax come to 1728.70: "
     "0.01 more"),
    (">729.00</cbc:PayableAmount>", ">1729.00</cbc:PayableAmount>",
     "Z241 PayableAmount is 1729.00, and all less what was paid before come to 729.00: 1000.00 "
     "less"),
])
def test_a_sum_that_does_not_hold_is_told_to_the_penny(was: str, now: str, says: str) -> None:
    assert SAMPLE.count(was) == 1
    assert refused(SAMPLE.replace(was, now)) == [says]


def test_each_mistake_is_told_by_line_all_at_once() -> None:
    text = document(
        a_line(1, 1, 100).replace("1.00</cbc:LineExtensionAmount>", "</cbc:LineExtensionAmount>")
        + a_line(2, 1, 100).replace(">1</cbc:InvoicedQuantity>", ">one</cbc:InvoicedQuantity>"),
        totals(), supplier="").replace("2026-11-10", "2026-11-31").replace(
            ">GBP</cbc:Doc", ">EUR</cbc:Doc")
    found = refused(text)
    assert [each.split()[0] for each in found] == ["Z231", "A118", "Z242", "A112", "A113"]
    assert found[2] == "Z242 the bill is in 'EUR', and the firm reckons in GBP"


def test_another_document_and_one_without_lines_are_refused() -> None:
    assert refused("<Order/>") == [
        "Z244 the outermost element is 'Order', which is no invoice or credit note of UBL"]
    assert refused(document("", totals())) == ["Z245 the bill has no lines"]
    with pytest.raises(ProblemsFound) as found:
        read("<!DOCTYPE x [<!ENTITY a 'b'>]><Invoice/>")
    assert [each.code for each in found.value.problems] == ["A107"]


def test_a_credit_note_says_above_nought_what_it_gives_back() -> None:
    text = document(
        a_line(1, 2, 20_00).replace("InvoiceLine", "CreditNoteLine").replace(
            "InvoicedQuantity", "CreditedQuantity"),
        totals(LineExtensionAmount=2_000, TaxExclusiveAmount=2_000, PayableAmount=2_400),
        tax(400), root="CreditNote")
    bill = read(text)
    assert (bill.document, bill.net_minor, bill.tax_minor) == ("credit note", -2_000, -400)
    assert bill.lines[0].quantity == -2


def test_what_a_line_does_not_say_is_as_usual() -> None:
    bill = read(SAMPLE, Usual("subcontract", "D-101"))
    assert {(each.kind, each.job) for each in bill.lines} == {("subcontract", "D-101")}


def test_a_bill_of_our_order_is_matched_and_booked(firm: str) -> None:
    # By hand: 30 clips taken in at 3.00, charged 3.30 -> 0.30; carriage 8.00, all for D-101.
    number = order(firm, line(1, "08410-CC", 30, 10, ("D-101", 30)))
    come(firm, number, (1, 30))
    of_order = "<cac:OrderLineReference><cbc:LineID>1</cbc:LineID></cac:OrderLineReference>"
    text = document(
        a_line(1, 30, 330, of_order), totals(LineExtensionAmount=330, TaxExclusiveAmount=1_130),
        charge(True, "Carriage to store", 800),
        head=f"<cac:OrderReference><cbc:ID>{number}</cbc:ID></cac:OrderReference>\n")
    Path("bill.xml").write_text(text, encoding="utf-8")
    done = import_bills(firm, BillsWanted(Path("bill.xml"), TODAY, write=True))
    assert done.written
    rows: list[tuple[Any, ...]] = asked(
        firm, "SELECT kind, job_id, quantity, net_minor, cost_minor "
              "FROM invoice_line ORDER BY line")
    assert rows == [("goods", "D-101", 30_000, 330, 30), ("carriage", "D-101", 0, 800, 800)]
