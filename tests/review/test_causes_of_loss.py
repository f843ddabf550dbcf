"""Omissions by cause, and what the firm hangs on; figures by hand."""

from __future__ import annotations

from estimator.review.concentration import Share, concentration
from estimator.review.omissions import Omission, omissions


def test_the_few_causes_that_make_most_of_the_loss_come_first() -> None:
    """By hand: missed 900 - 100 = 800, rework 150, hidden 60 - 60 = 0, waiting 50; 1,000 lost,
    of which the first is 80 %."""
    report = omissions([
        Omission("variation", "hidden", 2, 2, 60_00, 60_00),
        Omission("waiting", "", 3, 2, 50_00), Omission("rework", "leak", 1, 1, 150_00),
        Omission("variation", "missed at survey", 4, 3, 900_00, 100_00)], 40, "GBP")
    assert [(row[0], row[5], row[6]) for row in report.rows] == [
        ("missed at survey (variation)", 800_00, 0.8), ("leak (rework)", 150_00, 0.95),
        ("no cause said (waiting)", 50_00, 1.0), ("hidden (variation)", 0, 1.0)]
    assert report.answer == (
        "1,000.00 GBP were lost on 40 finished jobs by 3 causes.",
        "80.0 % of it comes of missed at survey (variation) 800.00 GBP on 3 jobs.")


def test_waiting_that_was_reckoned_with_is_said() -> None:
    found = [Omission("waiting", "resin", 3, 2, 50_00)]
    assert "labour for 20.00 GBP of it was reckoned with" in omissions(
        found, 4, "GBP", 20_00).cautions[-1]
    assert len(omissions(found, 4, "GBP").cautions) == 1


def test_shares_are_of_each_whole() -> None:
    """By hand: 60 and 40 % is as if on 1 / (0.36 + 0.16) = 1.9 of equal size."""
    report = concentration([
        Share("source", "web page", 6, 600), Share("source", "", 4, 400), Share("area", "ZZ1", 10,
                                                                               1_000),
        Share("item", "00001", 3, 30), Share("item", "00002", 9, 90)], 10, "GBP")
    assert [(row[0], row[-1]) for row in report.rows] == [
        ("web page", 0.6), ("none or not said", 0.4), ("ZZ1", 1.0), ("00002", 0.75),
        ("00001", 0.25)]
    assert report.answer[0].startswith(
        "web page is the largest lead source: 60.0 % of the price, 6 of 10 jobs (likely between ")
    assert report.answer[0].endswith("The firm stands as if on 1.9 of equal size.")
    assert report.answer[-1] == "00002 is 75.0 % of the cost of goods."
