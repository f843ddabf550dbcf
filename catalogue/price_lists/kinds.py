"""What a row of a price list is that holds no price: blank, heading, total, header once more.

Of other tables the same, with the two fields that each row of theirs fills in.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from catalogue.price_lists.column_map import plain_words

_TOTAL = r"(?:grand |net |gross |page |sub-? ?)?totals?\b[^0-9]*$|sum\b[^0-9]*$|carried forward\b"


PRICED = ("code", "price")


class Kinds:
    """Tells rows without a price from rows whose price is wrong."""

    def __init__(
        self, titles: Mapping[int, str], at: Mapping[str, int], skip_words: Sequence[str],
        filled_in: tuple[str, str] = PRICED,
    ) -> None:
        """Take the header's titles by column, the place of each field in a row, and the words at
        which a row is passed over.

        filled_in: two fields of every row. Only a price list has rows of several words that are
            no mistake though both are blank.
        """
        self.titles, self.at = set(titles.values()) - {""}, at
        self.first, self.second = filled_in
        self.words_are_headings = filled_in == PRICED
        words = [re.escape(word.casefold()) for word in skip_words]
        self._skips = re.compile("|".join([_TOTAL, *words]), re.IGNORECASE).match
        self._any_code = bool(words)

    def any_total(self, codes: Sequence[str]) -> bool:
        """Return whether one of the part numbers is no part number but the word at a sum."""
        # Most part numbers end in a digit, and no word at a sum does.
        likely = codes if self._any_code else [code for code in codes if not code[-1:].isdigit()]
        return any(map(self._skips, likely))

    def kind_of(self, row: Sequence[Any], flawed: bool) -> str:
        """Return the kind of a row that holds no price, or "" for one that should hold one.

        flawed: whether a cell of it holds something that its content does not show.
        """
        filled = [cell for cell in row
                  if cell is not None and (not isinstance(cell, str) or cell.strip())]
        if not filled:
            return "" if flawed else "blank"
        first = plain_words(filled[0]) if isinstance(filled[0], str) else ""
        code, price = self._cell(row, self.first), self._cell(row, self.second)
        if first and (not code or plain_words(str(code)) == first) and self._skips(first):
            return "total"
        if code and plain_words(str(code)) in self.titles and (
                not price or plain_words(str(price)) in self.titles):
            return "repeated header"
        alone = len(filled) == 1 and isinstance(filled[0], str)
        if not flawed and (alone or (
                self.words_are_headings and not code and not price and all(
                    isinstance(cell, str) for cell in filled))):
            return "heading"
        return ""

    def _cell(self, row: Sequence[Any], field: str) -> Any:
        cell = row[self.at[field]] if field in self.at else ""
        return cell.strip() if isinstance(cell, str) else "" if cell is None else cell
