"""Prices and quantities are exact: held against decimals and fractions of the standard library."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook
from xlsxwriter import Workbook as XlsxWorkbook

from catalogue.price_lists import numbers, prices, quantities
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.faults import Fault
from catalogue.price_lists.prices import Finer, Prices
from catalogue.price_lists.reading import read_price_list

MOST = prices.MOST * 10**prices.PLACES
ten_thousandths = st.integers(1, MOST)
SEPARATORS = {".": [",", " ", "\u00a0", "\u202f", "\u2009", "'"],
              ",": [".", " ", "\u00a0", "\u202f", "\u2009", "'"]}


def value_of(read: int | Finer | Fault) -> Fraction:
    """Return the minor units for one of what the price is for."""
    assert not isinstance(read, Fault), read
    return Fraction(read.minor, read.times) if isinstance(read, Finer) else Fraction(read)


@given(ten_thousandths)
def test_a_number_cell_is_the_price_that_was_typed(amount: int) -> None:
    typed = Decimal(amount).scaleb(-4)
    assert value_of(Prices("GBP", ".", False)[float(typed)]) == Fraction(typed) * 100


@given(ten_thousandths)
def test_a_neighbour_of_the_binary_fraction_is_the_same_price(amount: int) -> None:
    # Fifteen significant digits are what a workbook shows; computed cells differ in the last bit.
    typed = Decimal(amount).scaleb(-4)
    for towards in (0.0, math.inf):
        near = math.nextafter(float(typed), towards)
        assert value_of(Prices("GBP", ".", False)[near]) == Fraction(typed) * 100


@given(ten_thousandths, st.sampled_from([".", ","]), st.data())
def test_a_text_is_the_price_that_it_shows(amount: int, mark: str, data: st.DataObject) -> None:
    separator = data.draw(st.sampled_from(["", *SEPARATORS[mark]]))
    sign = data.draw(st.sampled_from(["", "£", "£ ", "GBP "]))
    whole, part = divmod(amount, 10**4)
    grouped = f"{whole:,}".replace(",", separator)
    written = f"{sign}{grouped}{mark}{part:04}"
    assert value_of(Prices("GBP", mark, False)[written]) == Fraction(amount, 100)


@given(ten_thousandths)
def test_a_price_is_raised_only_as_far_as_it_must_be(amount: int) -> None:
    read = prices.meant(amount, amount, False)
    expected = next(times for times in (1, 10, 100) if amount * times % 100 == 0)
    assert (read.times if isinstance(read, Finer) else 1) == expected


@given(st.floats())
def test_any_number_is_read_to_fifteen_digits_or_refused(cell: float) -> None:
    read = numbers.scaled(cell, 4, ".")
    if isinstance(read, Fault):
        return
    assert Decimal(read).scaleb(-4) == Decimal(f"{cell:.15g}")


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused_and_never_breaks(cell: str) -> None:
    for mark in (".", ","):
        read = Prices("GBP", mark, False)[cell]
        assert isinstance(read, int | Finer | Fault)
        assert quantities.pack(cell, mark)
        assert quantities.per(cell, mark)


@given(st.integers(1, quantities.MOST * quantities.ONE))
def test_a_quantity_is_kept_in_thousandths(milli: int) -> None:
    typed = Decimal(milli).scaleb(-3)
    assert quantities.quantity(float(typed), ".") == milli
    assert quantities.quantity(f"{typed:f}", ".") == milli
    assert quantities.quantity(f"{typed:f}".replace(".", ","), ",") == milli


@pytest.mark.parametrize(("cell", "mark", "minor"), [
    # A lone group of three under the declared mark is a group, never a fraction.
    ("1,234", ".", 123_400), ("1.234", ",", 123_400), ("1,2345", ",", Fraction(12_345, 100)),
    ("12,50 €", ",", 1_250), ("1.234.567,89", ",", 123_456_789), (".5", ".", 50),
    ("12.", ".", None),
    ("1,23,456", ".", None), ("12,345,67", ".", None), ("0x10", ".", None), ("1_000", ".", None),
    ("--", ".", None), ("£", ".", None), ("£1.00 €", ".", None), ("5-", ".", None),
])
def test_marks_and_groups_mean_one_thing(
    cell: str, mark: str, minor: int | Fraction | None
) -> None:
    read = Prices("EUR" if "€" in cell else "GBP", mark, False)[cell]
    assert isinstance(read, Fault) if minor is None else value_of(read) == minor


@pytest.mark.parametrize("library", ["openpyxl", "xlsxwriter"])
def test_two_writers_of_workbooks_give_the_prices_that_were_written(
    library: str, tmp_path: Path
) -> None:
    # One writes 17 significant digits of a number, the other 16.
    typed = [Decimal(n * 7919 % 99_999_999 + 1).scaleb(-2) for n in range(500)]
    path = tmp_path / "list.xlsx"
    if library == "openpyxl":
        book = Workbook()
        for cells in [("Code", "Price"), *((f"P{n}", float(each))
                                          for n, each in enumerate(typed))]:
            book.active.append(cells)
        book.save(path)
    else:
        with XlsxWorkbook(path) as made:
            sheet = made.add_worksheet()
            sheet.write_row(0, 0, ("Code", "Price"))
            for n, each in enumerate(typed):
                sheet.write_row(n + 1, 0, (f"P{n}", float(each)))
    read = read_price_list(path, ColumnMap(
        currency="GBP", columns={"code": "Code", "price": "Price"}))
    assert [row.price_minor for row in read.rows] == [int(each * 100) for each in typed]
