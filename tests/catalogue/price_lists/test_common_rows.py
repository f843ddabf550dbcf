"""Rows read many at once are what they are when each is read by itself."""

from __future__ import annotations

from typing import Any
from unittest.mock import patch

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.common_rows import CommonRows
from catalogue.price_lists.listed import ReadPriceList
from catalogue.price_lists.rows import read_rows
from catalogue.price_lists.table import Table

COLUMNS = {"code": "Code", "item": "Ours", "name": "Name", "price": "Price", "pack": "Pack",
           "per": "Per"}
texts = st.sampled_from(["", " ", "A1", "B-2 ", "C  3", "D\u00a04", "Total", "Sub-total", "¦ x",
                         "=1", "\u200b", "x" * 65, 7.0])
prices = st.sampled_from([1.0, 0.5, 12.34, 79.26000000000001, 0.0345, 0.0, -1.0, 2e7, "1.20", "POA",
                          "", "£3", float("nan"), float("inf")])
quantities = st.sampled_from(["", 1.0, 10.0, "PK10", "100m drum", 0.0, "each"])
odd_rows = st.tuples(texts, texts, texts, prices, quantities, quantities)
plain_rows = st.builds(
    lambda number, price: (f"P{number}", "", "Gland", price / 100, 1.0, 1.0),
    st.integers(0, 999), st.integers(1, 10**6))


def read(rows: list[tuple[Any, ...]], flaws: dict[int, dict[int, str]]) -> ReadPriceList:
    header = ("Code", "Ours", "Name", "Price", "Pack", "Per")
    table = Table("xlsx", "list.xlsx", "P", [list(row) for row in (header, *rows)], 1, 6,
                  flaws=flaws, hidden=frozenset({5}))
    return read_rows(table, ColumnMap(currency="GBP", columns=COLUMNS))


@given(st.lists(plain_rows | odd_rows, max_size=40), st.dictionaries(
    st.integers(2, 42), st.just({4: "formula"}), max_size=2))
def test_both_ways_give_the_same(
    rows: list[tuple[Any, ...]], flaws: dict[int, dict[int, str]]
) -> None:
    at_once = read(rows, flaws)
    with patch.object(CommonRows, "read", return_value=None):
        by_itself = read(rows, flaws)
    assert at_once == by_itself


def test_plain_rows_are_in_fact_read_at_once() -> None:
    rows = [(f"P{number}", "", "Gland", 1.25, 1.0, 1.0) for number in range(1000)]
    rows[700] = ("P700", "", "Gland", 0.0345, 1.0, 1.0)  # finer, but common all the same
    with patch("catalogue.price_lists.rows._Rows._by_itself") as by_itself:
        read(rows, {})
    # Row 5 is hidden; pieces are halved down to four rows, of which the first are 2 to 5.
    assert [call.args[0] for call in by_itself.call_args_list] == [2, 3, 4, 5]


@pytest.mark.parametrize("number", [1.0, 1])
def test_yes_is_no_price_of_one(number: float) -> None:
    rows = [("P1", "", "Gland", True, 1.0, 1.0), ("P2", "", "Gland", number, 1.0, 1.0)]
    found = read(rows, {2: {4: "yes or no"}})
    assert [(row.supplier_code, row.price_minor) for row in found.rows] == [("P2", 100)]
