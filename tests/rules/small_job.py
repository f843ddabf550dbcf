"""A small catalogue, a small sheet and short ways to run a few rules over them.

Names, codes and prices are invented.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.items import Item, Offer
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.specs import FAMILIES
from catalogue.toml_source import parse_toml
from estimator.design.sheet import Detail, FactSheet
from estimator.rules.dictionary import fact_dictionary
from estimator.rules.engine import run_rules
from estimator.rules.facts import FactDef
from estimator.rules.load import load_rule_book
from estimator.rules.model import RuleBook
from estimator.rules.results import RuleResults

ON = date(2026, 7, 1)
FACTS = fact_dictionary({
    "practice.clip_spacing_m": FactDef("practice.clip_spacing_m", "number", "m",
                                       "spacing of clips", origin="practice"),
    "practice.steep_deg": FactDef("practice.steep_deg", "number", "deg", "steep roof",
                                  origin="practice"),
})


def item(code: str, family: str, role: str, unit: str = "each", *, sold_apart: bool = True,
         **spec: Any) -> Item:
    return Item(code, f"item {code}", family, (role,), unit, FAMILIES[family](**spec), "storage",
                sold_apart=sold_apart)


def offer(code: str, price: str, pack: str = "1") -> Offer:
    return Offer(code, "Supplier A", Decimal(pack), Money.of(price), date(2026, 1, 1))


ITEMS = (
    item("BR4-A", "mounting", "storage wall bracket", holes=4),
    item("BR4-B", "mounting", "storage wall bracket", holes=4),
    item("BR2", "mounting", "storage wall bracket", holes=2),
    item("BR6", "mounting", "storage wall bracket", holes=6),
    item("FX-SOLID", "fixing", "wall fixing", walls=("concrete", "dense brick"),
         diameter_mm=8, length_mm=80, load_rated=True),
    item("FX-RESIN", "fixing", "wall fixing", walls=("stone",), diameter_mm=8, length_mm=100,
         load_rated=True, resin_ml=5),
    item("CLIP", "containment", "cable clip", size_mm=10),
    item("CABLE", "cable", "data cable", "m", kind="screened pair", size_mm2="0.5", cores=4),
    item("LEAD", "lead", "storage data link", sold_apart=False, length_m=1, cores=8),
    item("MODULE", "storage", "storage module", usable_kwh=5, nominal_v=51, max_a=100,
         max_per_stack=3, max_modules=6, mounts="both", breaker_inside=True, outdoor=False, ip=20),
)
# 8.50 for one of a pack of ten is cheaper than 9.00 for one alone. BR6 has no offer.
OFFERS = (
    offer("BR4-A", "9.00"), offer("BR4-B", "85.00", "10"), offer("BR2", "7.00"),
    offer("FX-SOLID", "30.00", "100"), offer("FX-RESIN", "2.40"), offer("CLIP", "5.00", "100"),
    offer("CABLE", "45.00", "50"), offer("MODULE", "1000.00"),
)
PRICES = PriceBook.of(ON, ITEMS, OFFERS)


def book(text: str) -> RuleBook:
    return load_rule_book([parse_toml(text, "own/rules.toml")], FACTS, PRICES.roles())


def sheet(
    facts: dict[str, Any], parts: tuple[str, ...] = ("storage",),
    planes: tuple[dict[str, Any], ...] = (), legs: tuple[dict[str, Any], ...] = (),
) -> FactSheet:
    """Return a sheet; every fact given is measured on line 5 of the survey."""
    job = {"practice.clip_spacing_m": Decimal("0.3"), "practice.steep_deg": Decimal(45), **facts}
    details = {path: Detail("survey", "measured", "", "survey.toml:5", "as said") for path in facts}
    details["practice.clip_spacing_m"] = Detail("practice", "", "common practice, no source")
    return FactSheet(
        frozenset(parts), job, {"plane": planes, "leg": legs},
        {"plane": tuple(f"roof {i}" for i, _ in enumerate(planes, 1)),
         "leg": tuple(f"leg {i}" for i, _ in enumerate(legs, 1))}, details,
    )


def results(text: str, facts: dict[str, Any], **places: Any) -> RuleResults:
    return run_rules(book(text), sheet(facts, **places), PRICES)


def rule(
    when: str = "true", quantity: str = "1", item: str = "", more: str = "", id_: str = "the-rule"
) -> str:
    wanted = item or 'item = { family = "mounting", role = "storage wall bracket" }'
    return (f'[[rule]]\nid = "{id_}"\nfor = "storage"\nwhen = "{when}"\n{wanted}\n'
            f'quantity = "{quantity}"\nbecause = "of that"\n{more}\n')
