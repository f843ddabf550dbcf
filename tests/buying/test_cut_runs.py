"""Runs of trunking and conduit counted in whole bars by cutting them, not by their sum."""

from __future__ import annotations

from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from catalogue.money import Money
from estimator.buying.charging import charge
from estimator.buying.cutting.runs import cut_runs
from estimator.buying.cutting.sawing import Sawing
from tests.factories import ItemFactory, OfferFactory, spec_of

SAW = Sawing(3, 100, 500)


def test_an_end_of_one_run_gives_that_of_another() -> None:
    # 4.0 = 3 + 1 and 4.9 = 3 + 1.9: 1.9 + 0.003 + 1.0 fit on one bar of 3 m. By hand.
    plan = cut_runs([("a", D("4.0")), ("b", D("4.9"))], D(3), 420, "T", SAW)
    assert plan.cut.bought() == {"T": 3}
    assert plan.joiners == 2


def test_saw_cuts_may_ask_for_a_bar_more_than_the_sum_of_the_runs() -> None:
    # 2 x 1.5 m are 3.0 m, one bar by the sum; the saw takes 3 mm between them
    runs = [("a", D("1.5")), ("b", D("1.5"))]
    assert cut_runs(runs, D(3), 420, "T", SAW).cut.bought() == {"T": 2}
    assert cut_runs(runs, D(3), 420, "T", SAW._replace(kerf_mm=0)).cut.bought() == {"T": 1}


def test_a_run_of_nothing_takes_no_bar() -> None:
    assert cut_runs([("a", D(0))], D(3), 420, "T", SAW).cut.bars == ()


def test_the_shelf_gives_whole_bars_and_the_job_pays_the_metres_it_uses() -> None:
    item = ItemFactory(code="T", family="containment", unit="m",
                       spec=spec_of("containment", size_mm=25, stick_m=3))
    offer = OfferFactory(item="T", pack=D(3), price=Money(420))
    charged = charge(item, [D("1.5"), D("1.5")], D(0), [offer], "GBP", bars=D(6))
    assert charged.buys[0].packs == 2
    assert charged.cost == Money(420)  # 3 m at 1.40


@given(st.lists(st.decimals("0.2", "14", places=2), min_size=1, max_size=4))
def test_bars_lie_between_the_sum_and_one_run_at_a_time(lengths: list[D]) -> None:
    plan = cut_runs([(f"leg {i}", each) for i, each in enumerate(lengths)], D(3), 420, "T", SAW)
    bars = len(plan.cut.bars)
    assert bars * 3 >= sum(lengths)
    # an end shorter than 0.1 m takes from the piece before it, and costs no more bars than this
    assert bars <= sum(-(-each // 3) for each in lengths) + len(lengths)
    assert sum(sum(line.pieces_mm) for line in plan.lines) == sum(int(n * 1000) for n in lengths)
