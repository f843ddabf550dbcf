"""What moves come to in any order: nothing below zero, nothing lost, value to the penny."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from catalogue.stock.ledger import Move, Refused, Short, Stock, cut, stock_after
from catalogue.stock.valuation import Layer

KINDS: dict[str, Any] = {
    "store": "store", "van": "van", "site": "site", "counter": "counter", "aside": "quarantine"}


def receive(quantity: int, value_minor: int, item: str = "clip", lot: str = "") -> Move:
    return Move("receive", item, D(quantity), to_place="store", lot=lot, value_minor=value_minor)


def pick(quantity: int, job: str = "D-101", lot: str = "") -> Move:
    return Move("pick", "clip", D(quantity), "store", "site", lot, job)


def back(quantity: int, job: str = "D-101") -> Move:
    return Move("return", "clip", D(quantity), "site", "store", job=job)


def test_a_job_pays_the_average_and_is_credited_what_it_paid() -> None:
    # By hand: 100 at 2.00 and 100 at 3.00 are 500.00 for 200; 40 cost 100.00, 10 come back at
    # 25.00, though 60 dearer ones have come in meanwhile.
    stock = Stock(KINDS)
    stock.post(receive(100, 20_000))
    stock.post(receive(100, 30_000))
    assert stock.post(pick(40)).value_minor == 10_000
    stock.post(receive(60, 60_000))
    assert stock.post(back(10)).value_minor == 2_500
    assert stock.with_jobs == {("D-101", "clip"): Layer(D(30), 7_500)}
    assert stock.worth == {"clip": Layer(D(230), 40_000 + 60_000 + 2_500)}


def test_what_a_supplier_brings_to_a_site_is_the_job_s_cost_and_never_stock() -> None:
    # By hand: 3 bought at 14.50 stand beside 10 in the store at 10.00; 1 of the job's comes back at
    # what it was bought for, so that 11 are worth 114.50.
    stock = Stock(KINDS)
    stock.post(receive(10, 10_000))
    bought = Move("receive", "clip", D(3), to_place="site", job="D-101", value_minor=4_350)
    assert stock.post(bought).value_minor == 4_350
    assert stock.worth == {"clip": Layer(D(10), 10_000)}
    assert stock.with_jobs == {("D-101", "clip"): Layer(D(3), 4_350)}
    assert stock.post(back(1)).value_minor == 1_450
    assert stock.worth == {"clip": Layer(D(11), 11_450)}
    assert stock.with_jobs == {("D-101", "clip"): Layer(D(2), 2_900)}


def test_what_comes_into_the_store_with_a_job_in_mind_is_not_the_job_s_yet() -> None:
    stock = Stock(KINDS)
    stock.post(Move("receive", "clip", D(3), to_place="store", job="D-101", value_minor=4_350))
    assert stock.with_jobs == {}
    with pytest.raises(Refused, match="3 clip come in without a value"):
        stock.post(Move("receive", "clip", D(3), to_place="site", job="D-101"))


def test_a_move_between_own_places_has_no_value() -> None:
    stock = Stock(KINDS)
    stock.post(receive(10, 1_000))
    assert stock.post(Move("load", "clip", D(4), "store", "van")).value_minor is None
    assert stock.worth["clip"] == Layer(D(10), 1_000)
    assert stock.on_hand("clip") == 10
    stock.post(Move("move", "clip", D(4), "van", "aside"))
    assert stock.on_hand("clip") == 6


@pytest.mark.parametrize(("move", "says"), [
    (pick(11), "10 clip lie in 'store', 11 are wanted"),
    (pick(1, lot="D-7"), "0 clip of D-7 lie in 'store', 1 are wanted"),
    (Move("move", "clip", D(0), "store", "van"), "0 clip is no quantity to move"),
    (Move("move", "clip", D(1), "store", "store"), "clip goes from 'store' to the same place"),
    (Move("move", "clip", D(1), "store", "shed"), "there is no place 'shed'"),
    (Move("receive", "clip", D(1), to_place="store"), "1 clip come in without a value"),
])
def test_a_move_that_cannot_be_changes_nothing_and_says_why(move: Move, says: str) -> None:
    stock = stock_after(KINDS, [receive(10, 1_000)])
    with pytest.raises(Refused) as refused:
        stock.post(move)
    assert str(refused.value) == says
    assert stock == stock_after(KINDS, [receive(10, 1_000)])


def test_no_more_comes_back_than_a_job_was_given() -> None:
    stock = stock_after(KINDS, [receive(10, 1_000), pick(4), pick(3, "D-102")])
    with pytest.raises(Refused, match="'D-101' was given 4 clip that have not come back, 5 are"):
        stock.post(back(5))


def test_a_drum_is_cut_into_what_is_wanted_and_the_rest_and_keeps_its_worth() -> None:
    stock = stock_after(KINDS, [receive(100, 12_800, "cable", "drum 1")])
    cut(stock, ("cable", "store", "drum 1"), {"drum 1/1": D("18.5"), "drum 1/2": D("81.5")}, "p")
    assert stock.levels == {
        ("cable", "store", "drum 1/1"): D("18.5"), ("cable", "store", "drum 1/2"): D("81.5")}
    assert stock.worth == {"cable": Layer(D(100), 12_800)}
    with pytest.raises(Refused, match=r"drum 1/2 is 81\.5 long, and its cuts add up to 80"):
        cut(stock, ("cable", "store", "drum 1/2"), {"a": D(80)}, "p")
    # By hand: 18.5 m of a drum at 1.28 a metre.
    gone = stock.post(Move("pick", "cable", D("18.5"), "store", "site", "drum 1/1", "D-101"))
    assert gone.value_minor == 2_368


def test_what_is_counted_too_much_is_worth_what_the_rest_is() -> None:
    stock = stock_after(KINDS, [receive(10, 1_000)])
    assert stock.post(Move("count", "clip", D(2), to_place="store")).value_minor == 200
    assert stock.post(Move("count", "clip", D(3), "store")).value_minor == 300
    assert stock.post(Move("count", "tie", D(3), to_place="store")).value_minor == 0


class AnyMoves(RuleBasedStateMachine):
    """Random moves; those that are refused leave no trace, the rest keep the books even."""

    def __init__(self) -> None:
        super().__init__()
        self.stock = Stock(KINDS)
        self.moves: list[Move] = []

    def attempt(self, move: Move) -> None:
        try:
            self.moves.append(self.stock.post(move))
        except Refused:
            return

    @rule(item=st.sampled_from(["clip", "tie"]), quantity=st.decimals("0.001", "99", places=3),
          value=st.integers(0, 99_999), place=st.sampled_from(["store", "van", "counter"]))
    def receive(self, item: str, quantity: D, value: int, place: str) -> None:
        self.attempt(Move("receive", item, quantity, to_place=place, value_minor=value))

    @rule(item=st.sampled_from(["clip", "tie"]), quantity=st.decimals("0.001", "9", places=3),
          value=st.integers(0, 99_999), job=st.sampled_from(["a", "b"]))
    def bring_to_site(self, item: str, quantity: D, value: int, job: str) -> None:
        self.attempt(Move("receive", item, quantity, to_place="site", job=job, value_minor=value))

    @rule(item=st.sampled_from(["clip", "tie"]), quantity=st.decimals("0.001", "40", places=3),
          where=st.sampled_from(["store", "van", "counter"]), job=st.sampled_from(["a", "b"]))
    def pick(self, item: str, quantity: D, where: str, job: str) -> None:
        self.attempt(Move("pick", item, quantity, where, "site", job=job))

    @rule(item=st.sampled_from(["clip", "tie"]), quantity=st.decimals("0.001", "40", places=3),
          where=st.sampled_from(["store", "van", "aside"]), job=st.sampled_from(["a", "b"]))
    def give_back(self, item: str, quantity: D, where: str, job: str) -> None:
        self.attempt(Move("return", item, quantity, "site", where, job=job))

    @rule(item=st.sampled_from(["clip", "tie"]), quantity=st.decimals("0.001", "40", places=3),
          places=st.permutations(["store", "van", "counter", "aside"]))
    def carry(self, item: str, quantity: D, places: list[str]) -> None:
        self.attempt(Move("move", item, quantity, places[0], places[1]))

    @rule(item=st.sampled_from(["clip", "tie"]), quantity=st.decimals("0.001", "9", places=3),
          found=st.booleans())
    def count(self, item: str, quantity: D, found: bool) -> None:
        ends = {"to_place": "store"} if found else {"from_place": "store"}
        self.attempt(Move("count", item, quantity, **ends))  # type: ignore[arg-type]

    @invariant()
    def nothing_is_below_zero(self) -> None:
        assert all(n > 0 for n in self.stock.levels.values())
        assert all(w.quantity > 0 and w.value_minor >= 0 for w in self.stock.worth.values())

    @invariant()
    def what_came_in_went_out_or_lies_there(self) -> None:
        for item in ("clip", "tie"):
            came = sum(m.quantity for m in self.moves if m.item == item and not m.from_place)
            left = sum(m.quantity for m in self.moves if m.item == item and not m.to_place)
            lying = sum(n for (each, _, _), n in self.stock.levels.items() if each == item)
            assert came == left + lying

    @invariant()
    def value_in_is_value_out_and_value_held(self) -> None:
        for item in ("clip", "tie"):
            mine = [m for m in self.moves if m.item == item and m.value_minor is not None]
            into = sum(m.value_minor or 0 for m in mine if self.stock.owns(m.to_place))
            out = sum(m.value_minor or 0 for m in mine if self.stock.owns(m.from_place))
            held = self.stock.worth.get(item, Layer(D(0), 0))
            assert into == out + held.value_minor
            own = sum(n for (each, place, _), n in self.stock.levels.items()
                      if each == item and self.stock.owns(place))
            assert held.quantity == own

    @invariant()
    def what_went_to_jobs_came_back_or_is_with_them(self) -> None:
        for item in ("clip", "tie"):
            mine = [m for m in self.moves if m.item == item and m.job]
            went = sum(m.value_minor or 0 for m in mine if m.kind != "return")
            came = sum(m.value_minor or 0 for m in mine if m.kind == "return")
            held = [layer for (_, each), layer in self.stock.with_jobs.items() if each == item]
            assert went == came + sum(layer.value_minor for layer in held)

    @invariant()
    def the_moves_alone_give_the_same(self) -> None:
        assert stock_after(KINDS, self.moves) == self.stock


TestAnyMoves = AnyMoves.TestCase
TestAnyMoves.settings = settings(max_examples=60, stateful_step_count=30)


def test_short_says_how_much_there_is() -> None:
    with pytest.raises(Short) as short:
        stock_after(KINDS, [receive(3, 1), pick(4)])
    assert short.value.there == 3
