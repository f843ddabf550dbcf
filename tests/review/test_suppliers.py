"""Suppliers: what they charge above what was ordered, and how they keep their word; by hand."""

from __future__ import annotations

from datetime import date, timedelta

from estimator.review.suppliers import Ordered, supplier_truth, suppliers

ON = date(2026, 3, 2)


def orders(supplier: str, number: int, over_minor: int = 0, late: int = 0) -> list[Ordered]:
    """Orders of 1,000.00 that came in four days, promised in five; the late ones in seven."""
    return [Ordered(supplier, 100_000, over_minor + (100 if at % 2 else -100) * bool(over_minor),
                    ON, ON + timedelta(5), ON + timedelta(7 if at < late else 4), 9_000, 1_000)
            for at in range(number)]


def test_a_supplier_whose_bills_creep_is_named_and_the_others_are_not() -> None:
    """By hand: 20 orders of 1,000.00, each charged 12.00 more, give or take 1.00: 1.2 %."""
    report = suppliers([*orders("Creeping", 20, 1_200), *orders("Fair", 30), *orders("Rare", 3)],
                       "GBP")
    says = dict(zip(report.column("supplier"), report.column("says"), strict=True))
    assert says == {"Creeping": "charges more than was ordered", "Fair": "",
                    "Rare": "under 8 orders"}
    assert report.rows[0][:7] == ("Creeping", 20, 2_000_000, 20 / 53, 24_000, 0.012, 20)
    assert report.answer[0] == ("For goods ordered at 53,000.00 GBP suppliers charged 240.00 GBP "
                                "above the price of the order, 0.5 %.")


def test_orders_that_have_not_come_charge_nothing() -> None:
    late = Ordered("Slow", 0, 0, ON, ON, None, 0, 0)
    assert suppliers([late], "GBP").answer == ("No order of the period has come.",)
    assert supplier_truth([late], {}, "GBP").rows == (
        ("Slow", 1, 1, None, None, 0, None, None, None, None, 0),)


def test_days_damage_and_credits_are_told_by_name() -> None:
    """By hand: of ten, two came in seven days, promised in five; a tenth of what came is damaged.
    Wilson of 18 of 20 is 69.9 to 97.2 %, of 2 of 10 is 5.7 to 51.0 % (scipy)."""
    report = supplier_truth([*orders("Late", 20, late=18), *orders("Fair", 10, late=2)],
                            {"Fair": 5_000}, "GBP")
    assert report.rows[0][:7] == ("Fair", 10, 0, 4.0, 7, 2, 0.2)
    assert report.rows[0][-2:] == (0.1, 5_000)
    assert report.answer == (
        "20 of 30 orders that came were late.",
        "Late is late more often than the others: 18 of 20 (likely between 69.9 and 97.2 %).")
