"""Waterfall, causes and single jobs, with figures reckoned by hand."""

from __future__ import annotations

import pytest

from estimator.review.causes import Part, causes
from estimator.review.stories import OneJob, stories
from estimator.review.waterfall import Head, Quoted, waterfall


def test_the_waterfall_leads_from_the_margin_quoted_to_the_margin_made() -> None:
    """By hand, in pounds: quoted 100 - 85 = 15. Varied to 120 - 100 = 20: +5. Storage 60 reckoned,
    63 spent: -3. Roof 30 reckoned, 34 spent: -4. Risks 6 reckoned, none came: +6. Warranty 4
    reckoned, 3 still held: +1. Made: 15 + 5 - 3 - 4 + 6 + 1 = 20 = 120 - (63 + 34 + 3)."""
    report = waterfall(
        Quoted(1, 100_00, 85_00, 120_00, 100_00, held_minor=3_00),
        {Head("goods", "storage"): 60_00, Head("labour", "labour", "roof"): 30_00,
         Head("provision", "open risks"): 6_00, Head("provision", "warranty"): 4_00},
        {Head("goods", "storage"): 63_00, Head("labour", "labour", "roof"): 34_00}, "GBP")
    assert [(row[0], row[-1]) for row in report.rows] == [
        ("margin as quoted", 15_00), ("agreed variations", 5_00), ("labour, roof", -4_00),
        ("storage", -3_00), ("provision, warranty", 1_00), ("provision, open risks", 6_00),
        ("margin made", 20_00)]
    assert report.answer == (
        "1 job was quoted with a margin of 15.00 GBP (15.0 %) and made 20.00 GBP (16.7 %).",
        "Most was lost by labour, roof (4.00 GBP); storage (3.00 GBP).",
        "Most was won by provision, open risks (6.00 GBP).")


def test_a_standard_without_lines_is_told_as_such_and_still_adds_up() -> None:
    report = waterfall(Quoted(1, 100_00, 85_00, 100_00, 85_00, 0), {},
                       {Head("goods", "storage"): 80_00}, "GBP")
    assert [(row[0], row[-1]) for row in report.rows] == [
        ("margin as quoted", 15_00), ("storage", -80_00), ("reckoned without lines", 85_00),
        ("margin made", 20_00)]


def test_causes_come_in_total_and_then_the_heaviest_lines() -> None:
    """By hand: usage 5.00 - 2.00 = 3.00, price 4.00; 7.00 together."""
    parts = [Part("usage", "00001", 3, 5_00), Part("usage", "00002", 1, -2_00),
             Part("price", "00001", 2, 4_00)]
    report = causes(parts, 7_00, 4, "GBP")
    assert [(row[0], row[-1]) for row in report.rows] == [
        ("in total", 3_00), ("in total", 4_00), ("00001", 5_00), ("00001", 4_00),
        ("00002", -2_00)]
    assert report.answer[0] == (
        "4 jobs cost 7.00 GBP above their standard: goods: dearer or cheaper 4.00 GBP; goods: more "
        "or less used 3.00 GBP.")
    with pytest.raises(ValueError, match="add up to 700"):
        causes(parts, 8_00, 4, "GBP")


def test_no_more_than_twenty_lines_are_told() -> None:
    parts = [Part("usage", f"{at:05d}", 1, at) for at in range(1, 31)]
    report = causes(parts, 465, 30, "GBP")  # 30 x 31 / 2
    assert [row[0] for row in report.rows] == [
        "in total", *(f"{at:05d}" for at in range(30, 10, -1))]


def one(job: str, over_minor: int) -> OneJob:
    return OneJob(job, "storage", "", "stone", "A", 1_000_000, 800_000, 800_000 + over_minor)


def test_a_disaster_is_told_by_its_name() -> None:
    """By hand: 2,400.00 above 8,000.00 is 30 %; 1,600.00 is 20 %, which is not more than 20 %."""
    report = stories([one("J-7", 240_000), one("J-3", 160_000), one("J-1", 0)], 12, 500_000, 1_000,
                     "GBP")
    assert report.answer == (
        "12 jobs cost 5,000.00 GBP above their standard together; the job in the middle 10.00 GBP.",
        "J-7 alone cost 2,400.00 GBP above its standard, 30.0 %: a story of its own.")
    assert report.column("job") == ("J-7", "J-3")
