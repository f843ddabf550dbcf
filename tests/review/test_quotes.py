"""Quotes: how often they are taken, how old they are, whom to ring; figures by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

import pytest
from scipy.stats import binomtest

from estimator.review.open_quotes import Out, aged_quotes, call_list
from estimator.review.win_rate import Band, win_rate

ON = date(2026, 6, 30)


def test_a_band_is_told_with_its_wilson_interval() -> None:
    """12 of 12 + 5 + 3 = 20 decided; the interval against scipy's."""
    report = win_rate([Band(2, 12, 5, 3, 4, 24_000_000, 12_000_000)], "GBP")
    known = binomtest(12, 20).proportion_ci(method="wilson")
    assert report.rows[0] == (
        "10 to 15 %", 24, 12, 5, 3, 4, 0.6, pytest.approx(known.low), pytest.approx(known.high),
        24_000_000, 12_000_000)
    assert report.answer == (
        "12 of 20 quotes that are decided were taken: 60.0 % (likely between 38.7 and 78.1 %).",
        "There are not two bands of margin with 8 decided quotes: nothing is to be said of what "
        "margin does.")


def test_a_higher_margin_is_said_to_lose_quotes_only_where_the_intervals_part() -> None:
    """Wilson by scipy: 30 of 40 is 59.8 to 85.8 %, 10 of 40 is 14.2 to 40.2 %, 22 of 40 is 39.8
    to 69.3 %."""
    low = Band(1, 30, 10, 0, 0, 1, 1)
    assert win_rate([Band(4, 10, 30, 0, 0, 1, 1), low], "GBP").answer[1] == (
        "At 5 to 10 % 30 of 40 were taken (likely between 59.8 and 85.8 %), at 20 to 25 % 10 of 40 "
        "(likely between 14.2 and 40.2 %): the higher margin is taken less often.")
    assert win_rate([low, Band(6, 22, 18, 0, 0, 1, 1)], "GBP").answer[1].endswith(
        "they overlap, so what margin does cannot be told from these quotes.")


def test_quotes_that_are_still_open_decide_nothing() -> None:
    report = win_rate([Band(-1, 0, 0, 0, 2, 1, 0)], "GBP")
    assert report.answer == ("No quote that was sent in the period is decided yet.",)
    assert report.rows[0][:9] == ("below 0 %", 2, 0, 0, 0, 2, None, None, None)


def out(job: str, net_minor: int = 1_000_000, sent: date = date(2026, 6, 20),
        valid_until: date = date(2026, 7, 20), contacted: date | None = None,
        chance: str = "0.35") -> Out:
    return Out(job, job, net_minor, sent, valid_until, contacted, D(chance))


def test_open_quotes_are_told_by_age_with_price_times_chance() -> None:
    """By hand: 10 days out 10,000 x 0.35 = 3,500; 60 days out 8,000 x 0.5 = 4,000 and run out;
    sent today 999.99 x 0.35 = 349.9965, 350.00 to the penny, and it runs out in seven days."""
    report = aged_quotes([
        out("J-1", contacted=date(2026, 6, 25)),
        out("J-2", 800_000, date(2026, 5, 1), date(2026, 6, 29), chance="0.5"),
        out("J-3", 99_999, ON, date(2026, 7, 7))], ON, "GBP")
    assert report.rows == (
        ("0 to 7", 1, 99_999, 35_000, 1, 0, 1), ("8 to 14", 1, 1_000_000, 350_000, 1, 0, 0),
        ("15 to 30", 0, 0, 0, 0, 0, 0), ("31 to 60", 1, 800_000, 400_000, 0, 1, 1),
        ("61 and more", 0, 0, 0, 0, 0, 0))
    assert report.answer == (
        "3 quotes are out on 2026-06-30 for 18,999.99 GBP; times the chance of each that is "
        "7,850.00 GBP.",
        "1 quote runs out within 7 days, 350.00 GBP times their chance; 1 has run out already and "
        "would be priced anew.")


def test_who_still_holds_and_is_worth_most_is_rung_first() -> None:
    report = call_list([
        out("J-1", chance="0.2"), out("J-2", 9_000_000, valid_until=date(2026, 6, 29)),
        out("J-3", chance="0.5"), out("J-0", chance="0.2")], ON, "GBP")
    assert report.column("job") == ("J-3", "J-0", "J-1", "J-2")
    assert report.answer == ("First J-3: 10,000.00 GBP, and it holds for 20 days more.",)
    assert report.rows[0] == ("J-3", "J-3", 1_000_000, D("0.5"), 500_000, 10, 20, None)
