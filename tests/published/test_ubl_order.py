"""A purchase order as XML, held to the published schema of a UBL 2.1 Order.

`ubl_order_2_1.json` holds, for every element that an order of ours may use, its children with how
often each may come, in the order of the schema, drawn from the published schema files named in it.
Codes of units: UN/ECE recommendation 20 (from memory). Currency: ISO 4217.
"""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from datetime import date
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from catalogue.items import UNITS
from catalogue.price_lists.exchange_fields import unit_of
from estimator.buying.ordering import DeliverTo, PurchaseOrder
from estimator.papers.order_ubl import UNIT_CODES, order_ubl
from estimator.settings import Firm
from tests.factories import OrderLineFactory, PurchaseOrderFactory

SCHEMA = json.loads(Path(__file__).with_name("ubl_order_2_1.json").read_text(encoding="utf-8"))
XSD = "urn:oasis:names:specification:ubl:schema:xsd:"  # as in the schema files
SPACES = {"cbc": f"{XSD}CommonBasicComponents-2", "cac": f"{XSD}CommonAggregateComponents-2",
          "ext": f"{XSD}CommonExtensionComponents-2"}
FIRM = Firm(name="Sample & Sons <Solar>", address="1 Sample Lane\nSampleton", phone="01632 960001",
            email="orders@sample.example")
FULL: PurchaseOrder = PurchaseOrderFactory(
    to=DeliverTo("site D-101", "D-101", "27 Mill Bank\nOverwater", "R. Site, 07700 900123"),
    note="ring first",
    lines=(
        OrderLineFactory(
            line=1, item="00440-BK", name='Panel 440 W, 30 mm "black"', quantity=D(12),
            price_minor=5_840, family="panel", serials=True, needed_on=date(2026, 11, 10)),
        OrderLineFactory(
            line=2, item="03025-TE", name="Cable 2.5 mm²", unit="m", quantity=D("18.5"),
            pack=D("0.5"), per=D(100), price_minor=7_900, cut_charge_minor=250,
            price_until=date(2026, 12, 31), supplier_code="", quoted=""),
    ))


def tag(name: str) -> str:
    space, _, local = name.rpartition(":")
    return f"{{{SPACES[space]}}}{local}"


def faults(element: ET.Element) -> list[str]:
    """Return where an element and all in it break the order and counts of the schema."""
    name = element.tag.rpartition("}")[2]
    if name not in SCHEMA["children"]:
        return [] if not len(element) else [f"{name} is not known"]
    rules = [rule.split() for rule in SCHEMA["children"][name]]
    places = {tag(child): at for at, (child, _, _) in enumerate(rules)}
    found = [f"{name} holds {child.tag}" for child in element if child.tag not in places]
    order = [places[child.tag] for child in element if child.tag in places]
    if order != sorted(order):
        found.append(f"the children of {name} are out of order")
    for at, (child, least, most) in enumerate(rules):
        count = order.count(at)
        if count < int(least) or (most != "unbounded" and count > int(most)):
            found.append(f"{name} holds {child} {count} times")
    return found + [fault for child in element for fault in faults(child)]


def parsed(order: PurchaseOrder, firm: Firm = FIRM) -> ET.Element:
    return ET.fromstring(order_ubl(order, firm))


def says(root: ET.Element, path: str) -> list[str]:
    return [each.text or "" for each in root.findall(path, SPACES)]


@pytest.mark.parametrize(("order", "firm"), [
    (FULL, FIRM), (PurchaseOrderFactory(), Firm()),
    (PurchaseOrderFactory(carriage_minor=0, lines=(OrderLineFactory(serials=True),)), FIRM),
], ids=["full", "least", "no carriage"])
def test_every_element_is_one_of_the_schema_in_its_order_and_number(
    order: PurchaseOrder, firm: Firm
) -> None:
    root = parsed(order, firm)
    assert root.tag == f"{{{XSD}Order-2}}Order"
    assert faults(root) == []
    blank = [each.tag for each in root.iter() if not len(each) and not (each.text or "").strip()]
    assert blank == []  # UBL 2.1, IND5: no element is empty (from memory)


def _swap(root: ET.Element) -> None:
    root[0], root[1] = root[1], root[0]


def _drop_id(root: ET.Element) -> None:
    root.remove(root.findall("cbc:ID", SPACES)[0])


def _twice(root: ET.Element) -> None:
    (total,) = root.findall("cac:AnticipatedMonetaryTotal", SPACES)
    root.insert(list(root).index(total), total)


def _strange(root: ET.Element) -> None:
    ET.SubElement(root, tag("cbc:Colour")).text = "red"


@pytest.mark.parametrize("break_it", [_swap, _drop_id, _twice, _strange])
def test_a_broken_order_would_be_found(break_it: Callable[[ET.Element], None]) -> None:
    root = parsed(FULL)
    break_it(root)
    assert len(faults(root)) == 1


def test_it_says_who_orders_what_from_whom_where_to_and_for_when() -> None:
    root = parsed(FULL)
    party = "cac:Party/cac:PartyName/cbc:Name"
    assert says(root, "cbc:ID") == ["12"]
    assert says(root, "cbc:IssueDate") == ["2026-11-02"]
    assert says(root, "cbc:DocumentCurrencyCode") == ["GBP"]
    assert says(root, f"cac:BuyerCustomerParty/{party}") == ["Sample & Sons <Solar>"]
    assert says(root, f"cac:SellerSupplierParty/{party}") == ["Counter North"]
    delivery = "cac:Delivery/cac:"
    assert says(root, f"{delivery}DeliveryLocation/cbc:Description") == ["site of job D-101"]
    assert says(root, f"{delivery}DeliveryLocation/cac:Address/cac:AddressLine/cbc:Line") == [
        "27 Mill Bank", "Overwater"]
    assert says(root, f"{delivery}RequestedDeliveryPeriod/cbc:EndDate") == ["2026-11-10"]
    assert says(root, f"{delivery}DeliveryParty/cac:PartyName/cbc:Name") == [
        "R. Site, 07700 900123"]
    assert "fork-lift truck" in says(root, "cac:DeliveryTerms/cbc:SpecialTerms")[0]
    assert says(root, "cbc:Note") == ["ring first", "All amounts are without VAT."]


def test_amounts_add_up_and_name_their_currency() -> None:
    # By hand: 12 x 58.40 = 700.80; 18.5 m at 79.00 for 100 m = 14.615, with 2.50 for cutting
    # 17.115 -> 17.12; goods 717.92, carriage 7.50.
    root = parsed(FULL)
    item = "cac:OrderLine/cac:LineItem"
    assert says(root, f"{item}/cbc:LineExtensionAmount") == ["700.80", "17.12"]
    assert says(root, f"{item}/cbc:Quantity") == ["12", "18.5"]
    assert says(root, f"{item}/cac:Price/cbc:PriceAmount") == ["58.40", "79.00"]
    assert says(root, f"{item}/cac:Price/cbc:BaseQuantity") == ["1", "100"]
    assert says(root, f"{item}/cac:AllowanceCharge/cbc:Amount") == ["2.50"]
    assert says(root, f"{item}/cac:Item/cbc:PackSizeNumeric") == ["1", "0.5"]
    assert says(root, "cac:AllowanceCharge/cbc:Amount") == ["7.50"]
    total = {each.tag.rpartition("}")[2]: each.text
             for each in root.findall("cac:AnticipatedMonetaryTotal/*", SPACES)}
    assert total == {"LineExtensionAmount": "717.92", "TaxExclusiveAmount": "725.42",
                     "ChargeTotalAmount": "7.50", "PayableAmount": "725.42"}
    assert root.findall(".//cac:TaxTotal", SPACES) == []
    amounts = [each for each in root.iter() if each.tag.endswith("Amount")]
    assert {each.get("currencyID") for each in amounts} == {"GBP"}  # required by AmountType
    assert all(re.fullmatch(r"\d+\.\d\d", each.text or "") for each in amounts)


def test_quantities_carry_a_code_of_recommendation_20() -> None:
    # UN/ECE recommendation 20 (from memory): EA each, PR pair, SET set, MTR metre, MTK square
    # metre, KGM kilogram, LTR litre, DAY day, WEE week.
    assert UNIT_CODES == {
        "each": "EA", "pair": "PR", "set": "SET", "m": "MTR", "m2": "MTK", "kg": "KGM",
        "l": "LTR", "day": "DAY", "week": "WEE"}
    assert {unit_of(code) for code in UNIT_CODES.values()} == set(UNITS)
    quantities = [each for each in parsed(FULL).iter() if each.tag.endswith("Quantity")]
    assert [each.get("unitCode") for each in quantities] == ["EA", "EA", "MTR", "MTR"]


def test_the_same_order_gives_the_same_bytes_which_are_utf_8() -> None:
    made = order_ubl(FULL, FIRM)
    assert made == order_ubl(FULL, FIRM)
    assert made.startswith(b'<?xml version="1.0" encoding="UTF-8"?>\n')
    assert "2.5 mm²" in made.decode("utf-8")


def test_signs_that_xml_cannot_hold_do_not_break_it() -> None:
    # XML 1.0, production 2: no control characters but tab, line feed and carriage return.
    line: Any = OrderLineFactory(name="bell \x07 and \ud800 and ]]> & <b>")
    root = parsed(PurchaseOrderFactory(lines=(line,)))
    assert says(root, "cac:OrderLine/cac:LineItem/cac:Item/cbc:Name") == [
        "bell ? and ? and ]]> & <b>"]
