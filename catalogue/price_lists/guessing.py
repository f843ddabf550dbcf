"""Proposes a column map from a header and the words of the trade; a person looks at it.

Only what a title says is proposed. What it does not say, such as what a price is for, is left open
and named by `ColumnMap.lacks`; decimal mark and order of dates are never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from catalogue.price_lists.column_map import FIELDS, ColumnMap, FieldSet, plain_words
from catalogue.price_lists.kinds import PRICED
from catalogue.price_lists.table import column_letters

# The likelier title first; each is compared without what stands in brackets.
_WORDS: dict[str, tuple[str, ...]] = {
    "item": ("your code", "your part no", "your ref", "customer code", "buyer code",
             "customer part no"),
    "code": ("part no", "part number", "part code", "product code", "product no", "stock code",
             "stock no", "item code", "item no", "article no", "article number", "article",
             "catalogue no", "catalogue number", "cat no", "order code", "supplier code", "sku",
             "code", "part", "reference", "ref"),
    "name": ("description", "product description", "item description", "name", "product name",
             "details", "product", "item", "designation"),
    "price": ("net price", "net", "your price", "nett price", "nett", "trade price", "trade",
              "unit price", "price each", "price", "cost price", "cost", "list price", "list"),
    "pack": ("pack qty", "pack quantity", "pack size", "pack", "qty per pack", "box qty",
             "box quantity", "carton qty", "outer", "pack of", "packaging"),
    "per": ("price per", "per", "price unit", "price qty", "price quantity", "price basis",
            "unit of price"),
    "unit": ("unit", "uom", "u/m", "unit of measure", "units"),
    "least": ("moq", "min qty", "minimum qty", "minimum order", "min order", "min order qty",
              "minimum order quantity", "minimum quantity", "from qty", "qty from"),
    "currency": ("currency", "ccy", "curr"),
    "cut_charge": ("cut charge", "cutting charge", "cutting"),
    "carriage_class": ("carriage", "carriage class", "delivery class"),
    "lead_days": ("lead time", "lead days", "lead time days", "delivery days", "lead"),
    "from_date": ("valid from", "effective from", "effective date", "price from", "start date"),
    "to_date": ("valid to", "valid until", "effective to", "expires", "expiry date", "end date"),
}
_BRACKETS = re.compile(r"[(\[][^)\]]*[)\]]|\b(?:ex|excl|exc)\.? vat\b|[£€$]|\b(?:gbp|eur)\b")
_BREAK = re.compile(r"(?:price |net |qty )?([0-9]{1,6})(?: ?\+| and over| or more| up)")


PRICES = FieldSet(
    FIELDS, _WORDS, ColumnMap.lacks,
    'say which field each column holds, part number and net price at least: '
    '--columns code="{first}" --columns price="..." --columns price_per=pack', PRICED)


def guess(
    titles: Sequence[str], currency: str, words: Mapping[str, Sequence[str]] = _WORDS
) -> ColumnMap:
    """Return the map that a header suggests.

    Args:
        titles: title of each column, from A on; "" where there is none.
        currency: of the list, which no title is trusted to say.
        words: field -> what its column may be called.
    """
    plain = [plain_words(_BRACKETS.sub(" ", plain_words(title))) for title in titles]
    columns: dict[str, str] = {}
    taken: set[int] = set()
    for field, called in words.items():
        at = next((plain.index(word) for word in called
                   if word in plain and plain.index(word) not in taken), None)
        if at is not None:
            taken.add(at)
            columns[field] = _called(titles, at)
    breaks = {match[1]: _called(titles, at) for at, title in enumerate(plain)
              if words is _WORDS and (match := _BREAK.fullmatch(title)) and at not in taken}
    if "price" not in columns and "1" in breaks:
        columns["price"] = breaks.pop("1")
    return ColumnMap(currency=currency, columns=columns, price_breaks=breaks)


def _called(titles: Sequence[str], at: int) -> str:
    """Return a column's title, or its letter where another has the same title."""
    plain = [plain_words(title) for title in titles]
    return titles[at] if plain.count(plain[at]) == 1 else f"column {column_letters(at + 1)}"
