"""Shares of changes on a demo job: whatever is mixed, they add up to the whole difference."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue.money import Money
from catalogue.price_book import PriceBook
from estimator.difference.facts import fact_changes
from estimator.difference.inputs import Inputs, Made, Maker
from estimator.difference.steps import NOTHING, Step, changes_between, steps_between
from estimator.price import Discount
from estimator.rules.entries import Notes, read_entries
from estimator.survey.setting import with_fact
from estimator.survey.toml import read_survey
from estimator.workflow.basis import read_basis
from estimator.workflow.firm import FirmFiles
from tests.factories import ON, OfferFactory

JOBS = Path(__file__).parents[2] / "demo_jobs"
MAKER = Maker()


@pytest.fixture(scope="module")
def inputs(price_book: PriceBook) -> Inputs:
    basis, read = read_basis(FirmFiles(None), price_book, ON)
    return Inputs(
        survey=read_survey(JOBS / "storage-outside" / "survey.toml"), on=ON,
        practice=basis.practice, norms=basis.norms,
        rules=tuple(read_entries(read.rules, Notes())), settings=basis.settings,
        items=price_book.items, offers=price_book.offers, currency=price_book.currency)


def steps(was: Inputs, now: Inputs, **more: Any) -> tuple[Step, ...]:
    first, last = (Made(each, MAKER.estimate(each)) for each in (was, now))
    return steps_between(first, last, MAKER, **more)


def fact(path: str, value: Any) -> Callable[[Inputs], Inputs]:
    return lambda held: replace(held, survey=with_fact(held.survey, path, value))


def offers(held: Inputs) -> Inputs:
    """Every third item dearer by a penny more than a third."""
    dearer = {
        code: tuple(replace(each, price=Money(each.price.minor * 4 // 3 + 1, "GBP"))
                    for each in found) if at % 3 == 0 else found
        for at, (code, found) in enumerate(held.offers.items())}
    return replace(held, offers=dearer)


def without_a_rule(held: Inputs) -> Inputs:
    return replace(held, rules=tuple(each for each in held.rules if each.kind != "risk"))


def norm(held: Inputs) -> Inputs:
    longer = replace(held.norms["office-pack"], high=D(500))
    return replace(held, norms={**held.norms, "office-pack": longer})


def margin(held: Inputs) -> Inputs:
    pricing = held.settings.pricing.model_copy(update={"margin_target": D("0.1733")})
    return replace(held, settings=held.settings.model_copy(update={"pricing": pricing}))


def waste(held: Inputs) -> Inputs:
    more = {code: replace(each, waste=each.waste + D("0.07")) if each.family == "cable" else each
            for code, each in held.items.items()}
    return replace(held, items=more)


def discount(held: Inputs) -> Inputs:
    return replace(held, discount=Discount(Money(123_45, "GBP"), "a neighbour's job", "A. B."))


CHANGES: list[Callable[[Inputs], Inputs]] = [
    fact("storage.modules", 4), fact("metering.route_m", D("21.7")), fact("board.condition", None),
    offers, without_a_rule, norm, margin, waste, discount,
]


@settings(max_examples=4, deadline=None, derandomize=True,
          suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(chosen=st.lists(st.sampled_from(CHANGES), min_size=2, max_size=4, unique=True))
def test_whatever_changes_together_adds_up(
    inputs: Inputs, chosen: list[Callable[[Inputs], Inputs]]
) -> None:
    now = inputs
    for change in chosen:
        now = change(now)
    whole = MAKER.totals(now) - MAKER.totals(inputs)
    assert sum((step.share for step in steps(inputs, now)), NOTHING) == whole


def test_equal_inputs_have_no_step(inputs: Inputs) -> None:
    assert steps(inputs, replace(inputs)) == ()


def test_prices_of_items_on_no_bill_are_one_change(inputs: Inputs) -> None:
    on_a_bill = {line.item.code for line in MAKER.estimate(inputs).bill.lines}
    now = offers(inputs)
    changes = changes_between(inputs, now, on_a_bill)
    dearer = {code for at, code in enumerate(inputs.offers) if at % 3 == 0}
    assert {change.what.split()[0] for change in changes[:-1]} == dearer & on_a_bill
    assert changes[-1].what == f"{len(dearer - on_a_bill)} items on neither bill"


def test_a_price_is_told_by_the_offers_that_differ(inputs: Inputs) -> None:
    """Of three offers one stays; a price break comes; the item's other price is for a hundred."""
    stays = OfferFactory(item="X-1", supplier="Depot", pack=D(1), price=Money(500, "GBP"))
    was = OfferFactory(item="X-1", supplier="Depot", pack=D(10), per=D(100),
                       price=Money(3_45, "GBP"))
    dearer = replace(was, price=Money(3_60, "GBP"))
    cheaper_by_the_lot = replace(was, least=D(50), price=Money(3_00, "GBP"))
    first, last = (replace(inputs, offers={"X-1": found}) for found in (
        (was, stays), (cheaper_by_the_lot, dearer, stays)))
    told = {(each.was, each.now) for each in changes_between(first, last, {"X-1"})}
    assert told == {("£3.45 for 100, Depot", "£3.00 for 100 from 50 on, Depot and 1 more")}
    (gone,) = changes_between(first, replace(inputs, offers={}), {"X-1"})
    assert (gone.was, gone.now) == ("£3.45 for 100, Depot and 1 more", "no offer")


def test_facts_of_planes_are_told_by_the_plane_s_name_whatever_its_place() -> None:
    """Turned round, a plane renamed (one goes, one comes), and one fact of the other changed."""
    was = read_survey(JOBS / "panels-and-storage" / "survey.toml")
    first = was.planes[0]
    other = first.model_copy(update={"name": "other"})
    was = was.model_copy(update={"planes": (first, other)})
    now = with_fact(was, "plane[0].pitch_deg", D(50))
    now = now.model_copy(update={"planes": (
        other.model_copy(update={"name": "third"}), now.planes[0])})
    told = [(each.what, each.was, each.now) for each in fact_changes(was, now)]
    pitch = f"{first.pitch_deg.value} deg"
    assert told == [
        ("plane 'third'", "", "added"),
        (f"plane '{first.name}': plane.pitch_deg", pitch, "50 deg"),
        ("plane 'other'", "there", "taken away"),
    ]


def test_changes_of_facts_lead_from_one_survey_to_the_other(inputs: Inputs) -> None:
    was = read_survey(JOBS / "panels-and-storage" / "survey.toml")
    now = read_survey(JOBS / "flat-roof" / "survey.toml")
    changes = list(fact_changes(was, now))
    held = replace(inputs, survey=was)
    for change in changes:
        held = change.put(held)
    assert list(fact_changes(held.survey, now)) == []
    assert [each.name for each in held.survey.planes] == [each.name for each in now.planes]
    assert len(changes) > 20
