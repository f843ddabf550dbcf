"""What a quote's margin becomes, by which parts, and whom to ring first: by hand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import Money, total
from estimator.cost_parts import Charged, Costed, Moved, costed, moves
from estimator.drift import Drift, Drifted, OpenQuote, drift_sheet, verdict_on
from estimator.price import net_margin
from estimator.settings import Pricing, Settings

TODAY = date(2026, 11, 12)
LATER = date(2026, 12, 2)


def cost(full: int, parts: Mapping[tuple[str, str], int] | None = None) -> Costed:
    return Costed(Money(full - 1000), Money(full),
                  {key: Money(minor) for key, minor in (parts or {}).items()})


def drifted(
    job: str, *, then: int = 85_000, now: int = 85_000, until: date = LATER, kind: str = "firm",
) -> Drifted:
    """A quote of 1,000.00 net with its cost then and now, in pence."""
    net = Money(100_000)
    margin = net_margin(net, Money(now))
    return Drifted(
        quote=OpenQuote(job, "", 1, date(2026, 11, 2), until, kind, net, cost(then)),
        cost=cost(now), kind=kind, kind_because=(), unpriced=(), expired=until < TODAY,
        margin_then=net_margin(net, Money(then)), margin_now=margin,
        contribution_now=net_margin(net, Money(now - 1000)),
        verdict=verdict_on(margin, Pricing()), moved=())


def sheet(*quotes: Drifted, accept_rate: str = "0.5") -> Drift:
    pricing = Pricing(accept_rate=Decimal(accept_rate))
    return drift_sheet(quotes, (), TODAY, Settings(pricing=pricing))


def ring(found: Drift) -> list[str]:
    return sorted(found.stakes, key=lambda job: found.stakes[job].place)


def test_what_is_at_stake_is_the_chance_times_the_loss() -> None:
    found = sheet(drifted("a", now=86_000), drifted("b", now=89_000), accept_rate="0.35")
    assert ring(found) == ["b", "a"]
    assert found.stakes["b"].minor == 1400  # 0.35 x 40.00
    assert found.exposure == Money(5000)
    assert found.expected == 1750


def test_on_a_tie_the_quote_that_ends_sooner_is_rung_first_then_the_lower_number() -> None:
    found = sheet(drifted("c", now=86_000), drifted("b", now=86_000),
                  drifted("a", now=86_000, until=date(2026, 12, 3)))
    assert ring(found) == ["b", "c", "a"]


def test_what_is_no_dearer_is_not_rung_and_makes_up_for_nothing() -> None:
    found = sheet(drifted("cheaper", now=60_000), drifted("same"), drifted("dearer", now=86_000))
    assert ring(found) == ["dearer"]
    assert found.exposure == Money(1000)


def test_a_quote_binds_on_its_last_day_and_not_on_the_next() -> None:
    last = drifted("last", now=86_000, until=TODAY)
    gone = drifted("gone", now=99_000, until=date(2026, 11, 11))
    found = sheet(gone, last)
    assert ring(found) == ["last"]
    assert [each.quote.job for each in found.quotes] == ["last", "gone"]
    assert found.exposure == Money(1000)


def test_a_budget_promised_nothing() -> None:
    found = sheet(drifted("budget", now=99_000, kind="budget"))
    assert ring(found) == []
    assert not found.alarms


@pytest.mark.parametrize(("now", "verdict"), [
    (85_000, "holds"), (85_001, "under target"), (90_000, "under target"),
    (90_001, "under minimum"), (100_000, "under minimum"), (100_001, "at a loss"),
])
def test_a_verdict_compares_the_exact_margin(now: int, verdict: str) -> None:
    assert drifted("a", now=now).verdict == verdict  # target 15 %, minimum 10 % of 1,000.00


def test_only_a_binding_price_that_fell_under_the_minimum_raises_the_alarm() -> None:
    assert sheet(drifted("a", now=90_001)).alarms
    assert not sheet(drifted("a", now=90_000)).alarms
    assert not sheet(drifted("signed below it", then=95_000, now=95_000)).alarms
    assert not sheet(drifted("gone", now=95_000, until=date(2026, 11, 1))).alarms


def test_parts_of_a_cost_are_its_items_with_waste_then_what_no_item_accounts_for() -> None:
    lines = [Charged("1", "cable", "cable", Money(700), Money(21)),
             Charged("2", "clips", "cable", Money(100), Money(0)),
             Charged("1", "cable", "cable", Money(70), Money(2))]
    heads = [("cable", Money(870)), ("waste", Money(23)), ("labour, roof", Money(500)),
             ("warranty", Money(15))]
    made = costed(lines, heads, Money(1408), Money(1608))
    assert made.parts == {
        ("1", "cable"): Money(793), ("2", "clips"): Money(100),
        ("", "labour, roof"): Money(500), ("", "warranty"): Money(15),
        ("", "overhead"): Money(200)}
    assert total(list(made.parts.values())) == made.full


def test_an_item_that_was_renamed_has_moved_only_by_its_price() -> None:
    then = cost(3000, {("1", "old name"): 2000, ("", "overhead"): 1000})
    now = cost(3100, {("1", "new name"): 2200, ("", "overhead"): 900})
    assert moves(then, now) == (
        Moved("1", "new name", Money(200)), Moved("", "overhead", Money(-100)))


AMOUNTS = st.tuples(*[st.integers(-10**6, 10**6)] * 4)


@given(then=AMOUNTS, now=AMOUNTS)
def test_what_moved_adds_up_to_the_change_of_cost(
    then: tuple[int, ...], now: tuple[int, ...]
) -> None:
    keys = (("1", "cable"), ("2", "clips"), ("", "labour, roof"))
    before = cost(sum(then[:3]), dict(zip(keys, then, strict=False)))
    after = cost(sum(now[:2]) + now[3], {**dict(zip(keys[:2], now, strict=False)),
                                         ("3", "new"): now[3]})
    found = moves(before, after)
    assert total([each.change for each in found]) == after.full - before.full
    assert [abs(each.change.minor) for each in found] == sorted(
        (abs(each.change.minor) for each in found), reverse=True)


@given(then=st.integers(1, 10**9), now=st.integers(1, 10**9), net=st.integers(1, 10**9))
def test_a_margin_is_an_exact_share_of_the_price_as_quoted(then: int, now: int, net: int) -> None:
    before, after = (net_margin(Money(net), Money(each)) for each in (then, now))
    assert before - after == Fraction(now - then, net)
