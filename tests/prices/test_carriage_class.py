"""A class of carriage for which the supplier has no charge: told at import and in the estimate."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

from catalogue.items import Carriage
from catalogue.money import Money
from estimator.bill import bill_of
from estimator.findings import carriage_findings
from estimator.rules.results import Demand, Finding, Reason, Requirement
from tests.factories import ItemFactory, OfferFactory, PriceBookFactory
from tests.prices.conftest import DAY, SUPPLIER, Desk

LIST = "Part no,Description,Pack,Net,Carriage\nA1,thing,1,11.00,pallet\nA2,thing,1,21.00,\n"
CLASS = ("--columns", "carriage_class=Carriage")
TOLD = (f"no carriage row of {SUPPLIER} holds on {DAY} for class 'pallet', so bringing these goods "
        "would be priced at nothing: I1")


def charge(desk: Desk, name: str, start: str = "2026-09-01", end: str | None = None) -> None:
    desk.change(
        "INSERT INTO carriage (supplier, carriage_class, charge_minor, currency, from_date,"
        " to_date, entered_at, entered_by, entered_from) VALUES (?, ?, 3000, 'GBP', ?, ?,"
        " '2026-09-01T12:00:00.000000+00:00', 'me', 'by hand')", [(SUPPLIER, name, start, end)])


def cautions(desk: Desk) -> list[str]:
    told = desk.read_in(LIST, *CLASS)["cautions"]
    return [each["says"] for each in told if each["code"] == "A216"]


def test_a_class_without_a_charge_is_warned_about_when_the_list_is_read(desk: Desk) -> None:
    charge(desk, "")
    assert cautions(desk) == [TOLD]
    text = desk.run("import", desk.file("list.csv", LIST), "--supplier", SUPPLIER, "--from", DAY,
                    "--columns", "code=Part no", "--columns", "name=Description", "--columns",
                    "pack=Pack", "--columns", "price=Net", "--columns", "price_per=pack",
                    *CLASS).output
    assert f"caution A216: {TOLD}" in text
    assert "estimator catalogue import carriage.csv" in text


def test_a_class_with_a_charge_of_that_day_is_not(desk: Desk) -> None:
    charge(desk, "pallet", "2026-11-02")
    assert cautions(desk) == []


def test_a_charge_that_has_ended_or_is_another_supplier_s_is_none(desk: Desk) -> None:
    charge(desk, "pallet", "2026-09-01", "2026-11-01")
    assert cautions(desk) == [TOLD]



def findings(*carriage: Carriage, held: str = "job", name: str = "pallet") -> list[Finding]:
    item = ItemFactory(code="P", name="Panel", family="panel", held=held)
    demand = Demand(Requirement("panel", item.roles[0]), item, D(2), Reason(
        "r", "rules.toml", 1, "a test", "", "true", "2", "2", D(2), ()))
    offer = OfferFactory(item="P", supplier="Ash", price=Money(100), carriage_class=name)
    prices = PriceBookFactory(items=[item], offers=[offer], carriage=list(carriage))
    return list(carriage_findings(bill_of([demand], [], prices), prices))


def row(name: str) -> Carriage:
    return Carriage("Ash", name, Money(3000), date(2026, 1, 1))


def test_an_estimate_says_that_no_carriage_of_the_class_is_in_the_price() -> None:
    (found,) = findings(row(""), row("long"))
    assert (found.code, found.level, found.subject) == ("carriage-unpriced", "caution", "Ash")
    assert found.says.startswith("no carriage is in the price for goods of class 'pallet' (Panel)")
    assert len(findings()) == 1  # a supplier without any carriage row


def test_it_is_silent_where_there_is_a_charge_or_nothing_is_brought_for_the_job() -> None:
    assert findings(row("pallet")) == []
    assert findings(row(""), name="") == []
    assert findings(row(""), held="stock") == []
