"""The starter catalogue's boxes net out as in the worked storage job (invented figures).

Three 5 kWh modules hang on dense brick in a garage, the converter is outside through the wall,
the meter is 15 m of route away and the converter's clamp lead of 10 m may not be joined.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal as D

import pytest

from catalogue.items import Item
from catalogue.price_book import PriceBook
from estimator.bill import Bill, bill_of
from estimator.rules.results import Demand, Reason, Requirement
from tests.catalogue.starter_reading import ITEMS, OFFERS

ON = date(2026, 9, 15)
BOOK = PriceBook.of(ON, ITEMS, OFFERS)
MODULE, CONVERTER = "01505-WF", "01136-OU"
PAIR, DATA_LINK, CLAMP, BRACKET = "03520-IN", "03508-CL", "06510-10", "02010-WB"
Demands = dict[str, tuple[Requirement, int]]


def cheapest(requirement: Requirement) -> Item:
    """Return the item that costs least of those that serve."""
    found = [(offer.unit_price_minor, item.code) for item in ITEMS
             if requirement.serves(item) and (offer := BOOK.offer(item.code))]
    return BOOK.items[min(found)[1]]


def bill(demands: Demands) -> Bill:
    def demand(name: str, requirement: Requirement, quantity: int) -> Demand:
        reason = Reason(name, "", 0, "", "", "", "", "", D(quantity), ())
        return Demand(requirement, cheapest(requirement), D(quantity), reason)

    return bill_of([demand(n, r, q) for n, (r, q) in demands.items()], [], BOOK)


def bought(of: Bill) -> dict[str, tuple[D, D]]:
    """Return rule -> (boxed, bought)."""
    return {line.reasons[0].rule: (line.boxed, line.buy) for line in of.lines}


def comes_back(of: Bill) -> dict[str, int]:
    return {surplus.item.code: surplus.quantity for surplus in of.surplus}


def job(wall: str, *, outside: bool, lead_m: int) -> Demands:
    """Return what the trade's rules ask for, before anything is netted (common practice)."""
    lead = (("length_m", D(lead_m)),)
    sealed = (("sealed_end", True), ("outdoor", True)) if outside else ()
    hung = Requirement("fixing", "wall fixing", at_least=(("load_rated", True),),
                       includes=(("walls", wall),))
    stainless = Requirement("fixing", "wall fixing", includes=(("walls", wall),),
                            at_least=(("load_rated", True), ("outdoor", outside)))
    return {
        "module": (Requirement("storage", "storage module", code=MODULE), 3),
        "converter": (Requirement("converter", "converter", code=CONVERTER), 1),
        "bracket": (Requirement("mounting", "storage wall bracket", exactly=(("holes", 4),)), 3),
        "module fixing": (hung, 12),
        "converter fixing": (stainless, 4),
        "power link": (Requirement("lead", "storage power link", at_least=(("pair", True),)), 2),
        "data link": (Requirement("lead", "storage data link", at_least=(("cores", 8),)), 2),
        "power lead": (Requirement("lead", "converter power lead", at_least=(*lead, *sealed)), 1),
        "data lead": (Requirement("lead", "converter data lead", at_least=lead), 1),
    }


def test_the_worked_job_buys_and_brings_back_what_it_says() -> None:
    metered = {"meter": (Requirement("meter", "data meter", exactly=(("phases", 1),)), 1)}
    done = bill(job("dense brick", outside=True, lead_m=4) | metered)
    # Need less what the boxes hold: 3 - 3 brackets, 2 - 3 link pairs, 2 - 3 data links; the
    # 3 m data lead is too short for 4 m, the boxed power lead is for inside use only.
    assert bought(done) == {
        "module": (0, 3), "converter": (0, 1), "bracket": (3, 0), "module fixing": (0, 12),
        "converter fixing": (0, 4), "power link": (2, 0), "data link": (2, 0),
        "power lead": (0, 1), "data lead": (0, 1), "meter": (0, 1),
    }
    back = comes_back(done)
    assert (back[PAIR], back[DATA_LINK], back[CLAMP], back["03530-DL"]) == (1, 1, 1, 1)
    # 3 x 4 bolts of the modules and 4 of the converter are fit for concrete only.
    assert (back["09010"], back["09011"], BRACKET in back) == (12, 4, False)
    lines = {line.reasons[0].rule: line for line in done.lines}
    assert lines["power lead"].item.spec.sealed_end
    assert lines["data lead"].item.spec.length_m == 5


def test_the_worked_job_s_main_prices_are_the_stated_ones() -> None:
    # Worked example, invented figures: modules 1,450, converter 980, meter 68, leads 85.
    done = {line.reasons[0].rule: line.cost.minor
            for line in bill(job("dense brick", outside=True, lead_m=4)).lines}
    assert (done["module"], done["converter"]) == (3 * 145_000, 98_000)
    assert done["power lead"] + done["data lead"] == 8_500
    assert BOOK.offer("06101-DM").price.minor == 6_800


def test_boxed_bolts_serve_where_the_wall_is_concrete() -> None:
    done = bought(bill(job("concrete", outside=True, lead_m=4)))
    assert done["module fixing"] == (12, 0)
    assert done["converter fixing"] == (4, 0)


def test_with_the_converter_inside_three_boxed_pairs_serve_three_needs() -> None:
    # Common practice, no source: n modules, n boxes, n pairs needed, nothing over.
    done = bill(job("dense brick", outside=False, lead_m=2))
    assert bought(done)["power link"] == (2, 0)
    assert bought(done)["power lead"] == (1, 0)
    assert PAIR not in comes_back(done)
    assert bought(done)["data lead"] == (1, 0)


def test_the_two_core_data_lead_never_serves_as_a_link_between_modules() -> None:
    link = Requirement("lead", "storage data link", at_least=(("cores", 8),))
    assert not link.serves(BOOK.items["03530-DL"])
    assert BOOK.items["03530-DL"].spec.cores == 2


@pytest.mark.parametrize("role", ["storage floor base", "anti-tip bracket"])
def test_a_module_on_the_floor_needs_base_and_bracket_and_the_base_is_sold_apart(
    role: str,
) -> None:
    done = bill({
        "module": (Requirement("storage", "storage module", code=MODULE), 3),
        role: (Requirement("mounting", role), 1),
    })
    # The boxed wall bracket only stops tipping on the floor, so it may serve there.
    assert bought(done)[role] == ((0, 1) if role == "storage floor base" else (1, 0))
