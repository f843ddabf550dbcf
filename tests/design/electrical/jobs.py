"""Jobs for the judge of circuits: a survey of a few facts, an invented converter, cables on offer.

Everything that is not named is known and harmless, so that a test names only what it is about.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal as D
from functools import cache
from typing import Any

from catalogue.items import Item, Offer
from catalogue.price_book import PriceBook
from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered, Worked
from estimator.design.design import design_job
from estimator.design.electrical.judge_circuit import judge_circuit
from estimator.design.facts import survey_sheet
from estimator.practice.pack import country_folder, read_practice
from estimator.rules.complete import assume
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files
from estimator.rules.model import RuleBook
from estimator.survey.model import Survey
from tests.catalogue.starter_reading import ITEMS, OFFERS
from tests.factories import ON, ItemFactory, OfferFactory, spec_of

PRACTICE = read_practice([country_folder("gb")])
CODE = "CONV"
KNOWN: dict[str, dict[str, Any]] = {
    "converter": {"place": "inside", "wall": "dense brick"},
    "supply": {"phases": 1, "fuse_a": 100, "electric_vehicle": False, "heat_pump": False},
    "board": {"spare_ways": 4, "condition": "sound", "rcd_for_whole_board": False,
              "device_direction": "both ways", "family": "standard"},
    "backup": {"circuits": 4, "circuit_m": 10},
    "wishes": {"converter": CODE},
}


def _facts(group: Mapping[str, Any]) -> dict[str, Any]:
    """Return facts as a survey holds them; None is unknown."""
    return {name: {} if value is None else {"value": value, "evidence": "measured"}
            for name, value in group.items()}


def leg(method: str | None = "clipped", length_m: Any = 12, run: str | None = "converter circuit",
        **more: Any) -> dict[str, Any]:
    """Return a leg that touches no insulation, unless told; None is unknown."""
    return {"run": run, "method": method, "length_m": length_m, "insulation_contact": False,
            "outdoors": False, "rated_crossings": 0, **more}


def survey_of(
    legs: Iterable[Mapping[str, Any]], parts: tuple[str, ...] = ("converter",),
    supply_date: date | None = None, **groups: Mapping[str, Any],
) -> Survey:
    """Return a survey with these legs; `groups` change known facts (supply={"fuse_a": 60})."""
    named = {name: _facts({**known, **groups.get(name, {})}) for name, known in KNOWN.items()}
    listed = [{"name": f"leg {at}", **_facts(each)} for at, each in enumerate(legs, 1)]
    return Survey.model_validate({
        "job": {"id": "J-1", "parts": parts, "supply_date": supply_date}, **named,
        "legs": listed})


def prices_of(
    on: date = ON, cables: Iterable[Item] | None = None, **converter: Any
) -> PriceBook:
    """Return the starter catalogue with one converter of its own.

    Args:
        cables: the only cables on offer; None for those of the starter catalogue.
        converter: fields of its data sheet that differ from those of the factories.
    """
    own = ItemFactory(family="converter", code=CODE, spec=spec_of("converter", **converter))
    items = [own, *(item for item in ITEMS if cables is None or item.family != "cable")]
    offers: list[Offer] = [OfferFactory(item=CODE), *OFFERS]
    for each in cables or ():
        items.append(each)
        offers.append(OfferFactory(item=each.code))
    return PriceBook.of(on, items, offers)


def cable_item(size: str, kind: str = "flat twin and earth", **fields: Any) -> Item:
    """Return a cable of a size; it states the tabulated current, unless told."""
    stated = {"2.5": 27, "4": 37, "6": 47, "10": 64, "16": 85}.get(size)
    role = "armoured cable" if kind == "armoured" else "circuit cable"
    spec = {"kind": kind, "size_mm2": D(size), "clipped_a": stated, "mv_per_a_m": None, **fields}
    return ItemFactory(family="cable", code=f"{kind[:2]}-{size}", roles=(role,),
                       spec=spec_of("cable", **spec))


@cache
def rules(on: date) -> RuleBook:
    dictionary = fact_dictionary(practice_definitions(PRACTICE, on))
    return load_rule_book(read_rule_files([STANDARD_RULES]), dictionary)


def case_of(survey: Survey, prices: PriceBook, on: date = ON) -> Case:
    """Return the case that the estimate hands to the checks."""
    in_force = PRACTICE.on(on)
    sheet = survey_sheet(survey, {name: each.value for name, each in in_force.items()}, {})
    design, sheet = design_job(assume(rules(on), sheet), prices)
    return Case(survey, sheet, design.kit, design.planes, prices, PRACTICE, on)


def judged(
    *legs: Mapping[str, Any], on: date = ON, cables: Iterable[Item] | None = None,
    converter: Mapping[str, Any] | None = None, converter_facts: Mapping[str, Any] | None = None,
    **survey: Any,
) -> Outcome:
    """Return what the judge finds of a job.

    Args:
        converter: fields of the converter's data sheet.
        converter_facts: facts of the survey about the converter.
        survey: other groups of the survey, its parts and the day of the work.
    """
    survey["converter"] = converter_facts or {}
    prices = prices_of(on, cables, **(converter or {}))
    return judge_circuit(case_of(survey_of(legs, **survey), prices, on))


def told(outcome: Outcome, code: str, subject: str = "") -> Check:
    """Return the one outcome of a code, on a subject if one is named."""
    (found,) = [each for each in outcome.told if isinstance(each, Check) and each.code == code
                and (not subject or each.subject == subject)]
    return found


def asked(outcome: Outcome, code: str) -> Unanswered:
    """Return the one check of a code that lacks a fact."""
    (found,) = [each for each in outcome.told
                if isinstance(each, Unanswered) and each.code == code]
    return found


def codes(outcome: Outcome, level: str = "") -> set[str]:
    """Return the codes of all outcomes, of one level if it is named."""
    return {each.code for each in outcome.told if isinstance(each, Check)
            and (not level or each.level == level)}


def worked(outcome: Outcome, code: str, subject: str) -> Worked:
    (found,) = [each for each in outcome.worked if (each.code, each.subject) == (code, subject)]
    return found
