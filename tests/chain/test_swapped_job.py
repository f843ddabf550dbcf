"""A substitute on a job: design, checks, boxes and price are worked out anew with it.

Expected figures by hand from the starter catalogue's invented data sheets and prices.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction as F
from pathlib import Path

import pytest

from catalogue.items import Item, Offer
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from catalogue.specs import ConverterSpec
from catalogue.substitutes import substitutes_for
from estimator.bill import BillLine
from estimator.buying.swaps import Swap
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.rules.results import Finding
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey

JOBS = Path(__file__).parents[2] / "demo_jobs"
STORAGE = read_survey(JOBS / "storage-outside" / "survey.toml")
BOTH = read_survey(JOBS / "panels-and-storage" / "survey.toml")


@pytest.fixture(scope="module")
def storage_job(basis: Basis) -> Estimate:
    return make_estimate(STORAGE, basis)


@pytest.fixture(scope="module")
def both_job(basis: Basis) -> Estimate:
    return make_estimate(BOTH, basis)


def swapped(survey: Survey, basis: Basis, *pairs: str) -> Estimate:
    swaps = [Swap(*pair.split("="), "out of stock", "A. B.") for pair in pairs]
    return make_estimate(survey, basis, swaps=swaps)


def problems(survey: Survey, basis: Basis, *pairs: str) -> list[str]:
    with pytest.raises(ProblemsFound) as caught:
        swapped(survey, basis, *pairs)
    return [problem.code for problem in caught.value.problems]


def line(estimate: Estimate, code: str) -> BillLine:
    (found,) = [each for each in estimate.bill.lines if each.item.code == code]
    return found


def finding(estimate: Estimate, code: str) -> Finding:
    (found,) = [each for each in estimate.findings if each.code == code]
    return found


def codes(estimate: Estimate) -> set[str]:
    return {each.item.code for each in estimate.bill.lines}


def with_more(book: PriceBook, items: list[Item], offers: list[Offer]) -> PriceBook:
    """Return a book with more items in it, or with some of its own changed."""
    held = {**book.items, **{item.code: item for item in items}}
    every = [offer for each in book.offers.values() for offer in each]
    charges = [charge for each in book.carriage.values() for charge in each]
    return PriceBook.of(book.on, held.values(), [*every, *offers], book.currency, charges)


def goods_minor(estimate: Estimate) -> int:
    """Return what the materials cost where they are sold, without carriage."""
    carriage = [each.amount.minor for each in estimate.cost.heads if each.head == "carriage"]
    return estimate.cost.materials.minor - sum(carriage)


# -- checks ----------------------------------------------------------------------------------------


def test_a_thicker_cable_is_checked_again_and_paid(basis: Basis, storage_job: Estimate) -> None:
    """4 mm² for 6 mm²: 11 and 7.3 mV/A/m of BS 7671 Table 4D5; 1.28 and 1.84 a metre."""
    new = swapped(STORAGE, basis, "03040-TE=03060-TE")
    assert codes(new) ^ codes(storage_job) == {"03040-TE", "03060-TE"}
    drop = D(finding(storage_job, "volt-drop").value)
    assert D(finding(new, "volt-drop").value) == (drop * D("7.3") / 11).quantize(D("0.001"))
    thin, thick = line(storage_job, "03040-TE"), line(new, "03060-TE")
    assert thick.need == thin.need == D("14.1")
    # 14.1 m x 1.28 = 18.048, x 1.84 = 25.944; 5 % waste: 0.9024 and 1.2972.
    assert (thin.cost.minor, thick.cost.minor) == (1805, 2594)
    assert (thin.waste_cost.minor, thick.waste_cost.minor) == (90, 130)
    assert new.cost.total.minor - storage_job.cost.total.minor == (2594 - 1805) + (130 - 90)
    # The list price: cost over 0.85, raised to the next 5.
    step, margin = 500, F(15, 100)
    assert new.price.list_net.minor == -(-F(new.cost.total.minor) / (1 - margin) // step) * step


def test_a_panel_of_other_voltages_is_checked_against_the_converter_again(
    basis: Basis, both_job: Estimate
) -> None:
    """12 in a string at -10 °C: 12 x 41.0 x (1 + 0.0026 x 35) and 12 x 41.3 x (1 + 0.0025 x 35)."""
    new = swapped(BOTH, basis, "00440-BK=00450-BK")
    cold = [D(finding(each, "string-cold-voltage").value) for each in (both_job, new)]
    assert [round(each, 1) for each in cold] == [D("536.8"), D("539.0")]
    ratio = [D(finding(each, "power-ratio").value) for each in (both_job, new)]
    assert ratio == [D("1.056"), D("1.08")]  # 12 x 440 and 12 x 450 over 5000 W
    assert new.cost.materials.minor - both_job.cost.materials.minor == 12 * (6200 - 5700)
    assert any("12 solar panels of 450 W (5.4 kW in all)" in each for each in new.scope)


def test_a_rail_of_another_length_is_cut_again(basis: Basis) -> None:
    """4 lines of 7.104 m are 28.416 m: 8.6 sticks of 3.3 m or 6.5 of 4.4 m, and with the ends used
    again no more than the next whole number; 3 pieces a line of 3.3 m, so 2 joiners."""
    short = swapped(BOTH, basis, "02204-RL=02203-RL")
    assert (line(short, "02203-RL").need, line(short, "02210-JN").need) == (9, 8)
    long = swapped(BOTH, basis, "02203-RL=02204-RL")
    assert line(long, "02204-RL").need == 7
    assert not {"02203-RL"} & codes(long)


def test_a_rail_of_another_profile_is_refused(basis: Basis) -> None:
    assert problems(BOTH, basis, "02203-RL=02206-RH") == ["E305"]


def test_a_fixing_that_the_design_chose_is_judged_again(basis: Basis) -> None:
    new = swapped(STORAGE, basis, "09022=09024")
    assert "(09024)" in finding(new, "converter-anchor").says
    assert line(new, "09024").need == 4


def test_a_cable_two_sizes_thicker_is_taken_although_one_would_do(basis: Basis) -> None:
    new = swapped(STORAGE, basis, "03040-TE=03100-TE")
    assert line(new, "03100-TE").need == D("14.1")
    assert D(finding(new, "volt-drop").value) == D("0.8448")  # 2.112 x 4.4 / 11


# -- boxes -----------------------------------------------------------------------------------------


def test_the_boxes_of_the_substitute_are_netted(basis: Basis, both_job: Estimate) -> None:
    """boxes.csv: the inside converter brings a 5 m clamp and 4 plain bolts, the weatherproof one a
    10 m clamp and 4 stainless; two modules bring 8 plain bolts, and 4 hold the bollard."""
    new = swapped(BOTH, basis, "01150-IN=01150-OU")
    before, after = ({each.item.code: each.quantity for each in made.bill.surplus}
                     for made in (both_job, new))
    assert (before["09010"], before.get("09011", 0)) == (4 + 8 - 4, 0)
    assert (after["09010"], after["09011"]) == (8 - 4, 4)
    served = [{use.part for use in line(made, "06505-05").boxes} for made in (both_job, new)]
    assert served == [{"06505-05"}, {"06510-10"}]


def bare_module(book: PriceBook, *, on_the_lists: bool = True) -> tuple[list[Item], list[Offer]]:
    """Return a module as good as the demo job's, whose box holds no bracket, and the converters."""
    old = book.items["01505-WF"]
    contents = tuple(part for part in old.contents if part.item != "02010-WB")
    new = replace(old, code="STORE-2", name="Storage module 5 kWh, bare", contents=contents)
    offer = book.offer(old.code)
    assert offer is not None
    converters = []
    for item in book.items.values():
        if on_the_lists and isinstance(item.spec, ConverterSpec) and (
                old.code in item.spec.storage_allowed):
            allowed = (*item.spec.storage_allowed, "STORE-2")
            spec = item.spec.model_copy(update={"storage_allowed": allowed})
            converters.append(replace(item, spec=spec))
    return [new, *converters], [replace(offer, item="STORE-2")]


def test_what_the_substitute_s_box_lacks_is_bought(basis: Basis, storage_job: Estimate) -> None:
    """3 modules at the same price; 3 brackets at 38.00 came in their boxes and now do not."""
    more = replace(basis, prices=with_more(basis.prices, *bare_module(basis.prices)))
    new = swapped(STORAGE, more, "01505-WF=STORE-2")
    assert (line(storage_job, "02010-WB").boxed, line(storage_job, "02010-WB").buy) == (3, 0)
    assert (line(new, "02010-WB").boxed, line(new, "02010-WB").buy) == (0, 3)
    assert goods_minor(new) - goods_minor(storage_job) == 3 * 3800


# -- what is kept ----------------------------------------------------------------------------------


def test_the_estimate_keeps_who_swapped_what_and_why(basis: Basis) -> None:
    (kept,) = swapped(STORAGE, basis, "11503-HB=11502-HR").stand_ins
    assert (kept.original.code, kept.substitute.code) == ("11503-HB", "11502-HR")
    assert (kept.why, kept.by) == ("out of stock", "A. B.")


def test_two_swaps_at_once_are_as_two_one_by_one(basis: Basis, storage_job: Estimate) -> None:
    pairs = ("03040-TE=03060-TE", "11503-HB=11502-HR")
    both = swapped(STORAGE, basis, *pairs)
    apart = [swapped(STORAGE, basis, pair) for pair in pairs]
    base = storage_job.cost.total.minor
    assert both.cost.total.minor - base == sum(each.cost.total.minor - base for each in apart)


def test_a_job_without_swaps_is_as_it_was(basis: Basis, storage_job: Estimate) -> None:
    again = make_estimate(STORAGE, basis, swaps=())
    assert again.stand_ins == ()
    assert again.price == storage_job.price
    assert again.bill == storage_job.bill


def test_every_first_substitute_of_a_job_stands_in_or_says_why_not(
    basis: Basis, storage_job: Estimate
) -> None:
    tried = 0
    for old in storage_job.bill.lines:
        best = substitutes_for(old.item, "", basis.prices)[:1]
        if not best or not best[0].passes:
            continue
        tried += 1
        new = swapped(STORAGE, basis, f"{old.item.code}={best[0].item.code}")
        assert codes(new) ^ codes(storage_job) == {old.item.code, best[0].item.code}
        assert sum(each.need for each in new.bill.lines if each.item.code == best[0].item.code) >= (
            old.need)
    assert tried >= 15


# -- refused ---------------------------------------------------------------------------------------


def test_a_refusal_names_every_failing_field(basis: Basis) -> None:
    with pytest.raises(ProblemsFound) as caught:
        swapped(STORAGE, basis, "01136-OU=01136-IN")
    (problem,) = caught.value.problems
    assert problem.code == "E305"
    named = [part.split(":")[0].split()[-1] for part in problem.says.split("; ")]
    assert named[1:] == ["ip", "clear_side_mm", "clear_top_mm", "clear_floor_mm", "clamp_lead_m"]
    assert "as converter: outdoor: no, where the original says yes" in problem.says


def test_every_wrong_swap_is_told_at_once(basis: Basis) -> None:
    assert problems(STORAGE, basis, "01136-OU=01136-IN", "03040-TE=03025-TE", "02110-ZN=02110-SS") \
        == ["E305", "E305", "E304"]


def test_swaps_that_cannot_be_followed(basis: Basis) -> None:
    assert problems(STORAGE, basis, "nothing=03060-TE") == ["E301"]
    assert problems(STORAGE, basis, "03040-TE=03501-CP") == ["E302"]  # comes only in a box
    assert problems(STORAGE, basis, "03040-TE=03040-TE") == ["E303"]
    assert problems(STORAGE, basis, "03040-TE=03060-TE", "03040-TE=03100-TE") == ["E303", "E303"]
    assert problems(STORAGE, basis, "03040-TE=03060-TE", "03060-TE=03100-TE") == ["E303"]


def test_a_module_that_is_not_on_the_converter_s_list_is_refused(basis: Basis) -> None:
    items, offers = bare_module(basis.prices, on_the_lists=False)
    more = replace(basis, prices=with_more(basis.prices, items, offers))
    assert problems(STORAGE, more, "01505-WF=STORE-2") == ["E306"]


def test_what_a_rule_asks_for_beyond_the_hard_fields_is_not_given_up(basis: Basis) -> None:
    """A type B device trips on all that type F trips on, but the design says F."""
    three = read_survey(JOBS / "three-phase-stack" / "survey.toml")
    assert problems(three, basis, "04420-F=04420-B") == ["E307"]


def test_a_dearer_substitute_is_taken_although_others_cost_less(
    basis: Basis, storage_job: Estimate
) -> None:
    """The same cable at twice the price: 14.1 m x 2.56 = 36.096."""
    offer = basis.prices.offer("03040-TE")
    assert offer is not None
    dear = replace(offer, item="DEAR", price=offer.price.times(2))
    item = replace(basis.prices.items["03040-TE"], code="DEAR")
    more = replace(basis, prices=with_more(basis.prices, [item], [dear]))
    made = swapped(STORAGE, more, "03040-TE=DEAR")
    assert codes(made) ^ codes(storage_job) == {"03040-TE", "DEAR"}
    assert line(made, "DEAR").cost.minor == 3610
