"""Value added tax by date of supply: which rate each part of the price carries, and why.

Rates and their dates come from the practice pack. The tool shows the rule it used; a mixed
supply, and any doubt, is for the firm's accountant.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from catalogue.items import VatClass
from catalogue.money import Exact, Money, exact
from estimator.bill import Bill
from estimator.practice.pack import Practice

ENERGY_SAVING: VatClass = "energy saving"
STANDARD: VatClass = "standard"
FULL_RATE = "goods and work without a VAT relief"


@dataclass(frozen=True, slots=True)
class VatLine:
    """Tax at one rate on one part of the price."""

    rate: Decimal
    net: Money
    vat: Money
    because: str


@dataclass(frozen=True, slots=True)
class VatCase:
    """What the tax hangs on.

    Attributes:
        on: day of supply.
        home_or_charity: a home or a charity's building; None while nobody knows.
        panels, storage: whether panels, and storage, are part of the same supply.
        fitted: False where goods are sold without fitting.
        registered: whether the firm is registered for VAT.
    """

    on: date
    home_or_charity: bool | None
    panels: bool
    storage: bool
    fitted: bool = True
    registered: bool = True


@dataclass(frozen=True, slots=True)
class VatPart:
    """A part of the price that carries one rate; `weight` is its share against the others."""

    weight: Fraction
    rate: Decimal
    because: str


@dataclass(frozen=True)
class VatDecision:
    """How a net price is taxed.

    Attributes:
        parts: one for each rate; empty when the firm is not registered.
        says: one sentence for the quote.
        cautions: what somebody has to look at before the quote goes out.
        last_day: the last day on which these rates hold, or None while no change is known.
    """

    parts: tuple[VatPart, ...]
    says: str
    cautions: tuple[str, ...] = ()
    last_day: date | None = None


def class_weights(bill: Bill) -> dict[VatClass, Fraction]:
    """Return the bought cost of a bill by VAT class, waste included, options left out.

    Labour, overhead and margin belong to no item; they follow the bought cost.
    """
    weights: dict[VatClass, Fraction] = {}
    for line in bill.lines:
        if not line.option:
            cost = Fraction((line.cost + line.waste_cost).minor)
            weights[line.item.vat_class] = weights.get(line.item.vat_class, Fraction(0)) + cost
    return weights


def decide_vat(
    case: VatCase, weights: Mapping[VatClass, Exact], practice: Practice
) -> VatDecision:
    """Return which part of the price carries which rate on the day of supply.

    Args:
        case: the facts of the supply.
        weights: bought cost by VAT class, at least zero, in any one unit.
        practice: the country's rates with their dates.

    Raises:
        ProblemsFound: P020 if the pack has no standard rate on that day.
    """
    if not case.registered:
        return VatDecision((), "The firm is not registered for VAT: no VAT is added.")
    standard = practice.number("vat_standard_rate", case.on)
    relief, because, cautions = _relief(case, practice)
    saving = standard if relief is None else relief
    by_class = {vat_class: exact(weight) for vat_class, weight in weights.items() if weight > 0}
    if not by_class:
        by_class = {STANDARD: Fraction(1)}
        cautions = (*cautions, "nothing is bought for this job, so no VAT relief is assumed: "
                    "ask the accountant")
    parts = _parts(by_class, saving, because, standard)
    if len(parts) > 1:
        cautions = (*cautions, "the price mixes VAT rates: ask the accountant whether it is one "
                    "supply")
    return VatDecision(
        parts, f"VAT at the rate of the day of supply, {case.on.day} {case.on:%B %Y}.", cautions,
        _last_day(case, by_class, relief, practice),
    )


def _parts(
    by_class: Mapping[VatClass, Fraction], saving: Decimal, because: str, standard: Decimal
) -> tuple[VatPart, ...]:
    """Return one part for each rate: without relief both classes carry the full rate."""
    relieved, full = by_class.get(ENERGY_SAVING), by_class.get(STANDARD)
    if relieved is None:
        return (VatPart(by_class[STANDARD], standard, FULL_RATE),)
    if full is None:
        return (VatPart(relieved, saving, because),)
    if saving == standard:
        return (VatPart(relieved + full, standard, because),)
    return (VatPart(relieved, saving, because), VatPart(full, standard, FULL_RATE))


def _relief(case: VatCase, practice: Practice) -> tuple[Decimal | None, str, tuple[str, ...]]:
    """Return the rate of the relief (None: there is none), why, and cautions."""
    rate = practice.at("vat_energy_saving_rate", case.on)
    if not case.fitted:
        return None, "goods sold without fitting have no relief", ()
    if case.home_or_charity is False:
        return None, "the building is neither a home nor a charity's", ()
    if case.home_or_charity is None:
        return None, "nobody has said yet that the building is a home or a charity's", (
            "VAT is shown at the full rate until it is known whether the building is a home or "
            "a charity's",)
    if rate is None or not isinstance(rate.value, Decimal):
        return None, f"the practice pack knows no relief on {case.on}", (
            f"the practice pack knows no VAT relief on {case.on}: ask the accountant",)
    if not case.panels and not case.storage:
        return None, "neither panels nor storage are part of the supply", (
            "a converter or a backup supply alone may have a VAT relief: ask the accountant",)
    if not case.panels and not _flag(practice, "vat_storage_alone", case.on):
        return None, "storage without panels in the same supply has no relief on this day", ()
    return rate.value, f"energy-saving materials fitted in the building: {rate.source}", (
        () if _flag(practice, "vat_charity_buildings", case.on)
        else ("on this day the relief holds for a home, not for a charity's building",)
    )


def _flag(practice: Practice, name: str, on: date) -> bool:
    found = practice.at(name, on)
    return found is not None and found.value is True


def _last_day(
    case: VatCase, by_class: Mapping[VatClass, Fraction], relief: Decimal | None,
    practice: Practice,
) -> date | None:
    """Return the last day of the rates that are used."""
    used = ["vat_standard_rate"] if relief is None or STANDARD in by_class else []
    if relief is not None and ENERGY_SAVING in by_class:
        used.append("vat_energy_saving_rate")
    ends = [practice.needed(name, case.on).to_date for name in used]
    return min((end for end in ends if end is not None), default=None)


def vat_split(net: Money, parts: Sequence[VatPart]) -> tuple[VatLine, ...]:
    """Return the tax on a net price: one line for each rate, each rounded once.

    The net price is apportioned over the parts by the largest remainder, so the lines' net
    amounts add up to it.

    Raises:
        ValueError: if the weights are not above zero.
    """
    if not parts:
        return ()
    shares = net.share([part.weight for part in parts])
    return tuple(
        VatLine(part.rate, share, share.times(part.rate), part.because)
        for part, share in zip(parts, shares, strict=True)
    )


def vat_fraction(rate: Exact) -> Fraction:
    """Return the share of a price with tax that is tax: rate / (1 + rate), 1/6 at 20 %.

    Raises:
        ValueError: for a negative rate.
    """
    value = exact(rate)
    if value < 0:
        raise ValueError("a tax rate is at least zero")
    return value / (1 + value)


def vat_within(gross: Money, rate: Exact) -> Money:
    """Return the tax contained in a price with tax at one rate, rounded once."""
    return gross.times(vat_fraction(rate))
