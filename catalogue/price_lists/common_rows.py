"""Reads many common rows at once, column by column.

A list may have a hundred thousand rows, and nearly all are common: text in the columns of text,
a price and terms without a fault, nothing to clean. What holds for a whole column is found out for
the column, which takes a tenth of the time of asking each cell. If anything in the rows is not
common, none of them is read here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain
from math import isfinite
from typing import Any, cast

from catalogue.price_lists.kinds import Kinds
from catalogue.price_lists.listed import ListedPrice
from catalogue.price_lists.prices import MINOR, MOST, Finer, Prices
from catalogue.price_lists.terms import Terms, TermsOf, priced
from catalogue.price_lists.texts import LONGEST_CODE, LONGEST_NAME

Row = Sequence[Any]
_END = "¦"  # between texts; one that holds it beside a space is only read by itself


class CommonRows:
    """Reads rows of one table whose every cell is as usual."""

    def __init__(
        self, at: Mapping[str, int], term_fields: Sequence[str], prices: Prices, terms: TermsOf,
        kinds: Kinds,
    ) -> None:
        """Take the place of each field in a row, and what reads prices, terms and kinds."""
        self.code, self.price = at["code"], at["price"]
        self.name, self.item = at.get("name"), at.get("item")
        self.term_columns = [at[field] for field in term_fields]
        self.prices, self.terms, self.kinds = prices, terms, kinds

    def read(self, numbers: Sequence[int], rows: Sequence[Row]) -> list[ListedPrice] | None:
        """Return the prices of the rows, one of each; None if any of them is not common."""
        columns = list(zip(*rows, strict=False))
        codes = columns[self.code]
        names = [""] * len(rows) if self.name is None else columns[self.name]
        items = [""] * len(rows) if self.item is None else columns[self.item]
        if not (_clean(codes, LONGEST_CODE)
                and (self.name is None or _clean(names, LONGEST_NAME))
                and (self.item is None or _clean(items, LONGEST_CODE))
                and "" not in codes and not self.kinds.any_total(codes)):
            return None
        minors = self._minors(columns[self.price])
        of_terms = [columns[at] for at in self.term_columns]
        terms = list(map(self.terms.__getitem__, zip(*of_terms, strict=True))) if of_terms else [
            self.terms[()]] * len(rows)
        if minors is None or set(map(type, terms)) != {Terms}:
            return None
        sound = cast("list[Terms]", terms)
        if type(minors) is list:
            new, kind = tuple.__new__, ListedPrice
            return [
                # unpacking would take half as long again
                new(kind, (number, code, item, name) + before + (minor,) + after)  # noqa: RUF005
                for number, code, item, name, (before, after), minor in zip(
                    numbers, codes, items, names, sound, minors, strict=True)]
        return [priced(number, words, each, minor) for number, words, each, minor in zip(
            numbers, zip(codes, items, names, strict=True), sound, minors, strict=True)]

    def _minors(self, cells: Sequence[Any]) -> list[int] | tuple[int | Finer, ...] | None:
        """Return whole minor units as a list, finer prices as a tuple; None if there is a fault."""
        if set(map(type, cells)) == {float} and isfinite(sum(cells)) and (
                min(cells) > 0 and max(cells) <= MOST):
            minors = [round(cell * MINOR) for cell in cells]
            if [minor / MINOR for minor in minors] == list(cells) and min(minors):
                return minors
        read = list(map(self.prices.__getitem__, cells))
        types = set(map(type, read))
        if types == {int}:
            return read
        return tuple(read) if types <= {int, Finer} else None


def is_blank(rows: Sequence[Row]) -> bool:
    """Return whether no row of a workbook holds anything."""
    return all(cell == "" for cell in rows[0]) and set(chain.from_iterable(rows)) <= {""}


def _clean(texts: Sequence[Any], longest: int) -> bool:
    """Return whether all are texts without a character or space to be cleaned."""
    try:
        joined = f"{_END}{_END.join(texts)}{_END}"
    except TypeError:  # a number or a date among them
        return False
    return joined.isprintable() and "  " not in joined and f" {_END}" not in joined and (
        f"{_END} " not in joined and max(map(len, texts)) <= longest)
