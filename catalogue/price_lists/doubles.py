"""Part numbers that stand in a list more than once.

Rows may share a part number if pack, least quantity or first day differ: these are offers of their
own. Where all three agree, rows that are the same are one row, and rows that differ are all
refused: nobody but the supplier knows which one holds.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable
from fractions import Fraction
from operator import itemgetter

from catalogue.price_lists.faults import Fault
from catalogue.price_lists.listed import ListedPrice

_WORDS = {
    "name": "name", "item": "the firm's code", "unit": "unit",
    "cut_charge_minor": "charge for a cut",
    "carriage_class": "class of carriage", "lead_days": "days of lead", "to_date": "last day",
}
_CODE = itemgetter(ListedPrice._fields.index("supplier_code"))
_NAMED = 5  # rows that a message names


def without_doubles(
    rows: list[ListedPrice], refuse: Callable[[int, Fault], None], skipped: Counter[str],
) -> list[ListedPrice]:
    """Return the rows that hold; tell of the others, by row, or count them as repeated."""
    if len(set(map(_CODE, rows))) == len(rows):
        return rows
    doubled = {code for code, times in Counter(map(_CODE, rows)).items() if times > 1}
    offers: dict[tuple[object, ...], list[ListedPrice]] = defaultdict(list)
    for row in rows:
        if row.supplier_code in doubled:
            offers[row.supplier_code, row.pack_milli, row.least_milli, row.from_date].append(row)
    wrong: dict[int, Fault] = {}
    repeated: set[int] = set()
    for same in offers.values():
        if len({row[1:] for row in same}) > 1:
            numbers = list(dict.fromkeys(row.row for row in same))
            for number in numbers:
                wrong.setdefault(number, _fault(same, numbers))
        else:
            repeated |= {row.row for row in same[1:]} - {same[0].row}
    for number, fault in sorted(wrong.items()):
        refuse(number, fault)
    repeated -= set(wrong)
    skipped.update({"repeated row": len(repeated)} if repeated else {})
    return [row for row in rows if row.row not in wrong and row.row not in repeated]


def _fault(same: list[ListedPrice], numbers: list[int]) -> Fault:
    differ = [words for field, words in _WORDS.items()
              if len({getattr(row, field) for row in same}) > 1]
    if len({Fraction(row.price_minor, row.per_milli or row.pack_milli) for row in same}) > 1:
        differ.insert(0, "price")
    shown = [str(number) for number in numbers[:_NAMED]]
    more = len(numbers) - len(shown)
    rows = _listed([*shown, f"{more} more"] if more else shown)
    what = _listed(differ or ["quantity that the price is for"])
    return Fault("A123", f"the part number '{same[0].supplier_code}' stands in rows {rows}, with "
                 f"another {what}", "ask the supplier which one holds")


def _listed(words: list[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
