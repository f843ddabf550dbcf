"""Reads an exchange file: a UBL Catalogue or a BMEcat catalogue, by its outermost element.

Codes of the problems, beside those of `faults`: A107 no such file, A108 which kind of price.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from catalogue.price_lists import bmecat, ubl
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.doubles import without_doubles
from catalogue.price_lists.exchange_fields import Fields
from catalogue.price_lists.faults import Fault
from catalogue.price_lists.listed import ListedPrice, ReadPriceList
from catalogue.price_lists.xml_records import Element, Records
from catalogue.problems import Place, Problem, ProblemsFound

_NAMES = frozenset({ubl.LINE}) | ubl.LIST | bmecat.LINES | bmecat.LIST


def read_exchange_file(path: Path, column_map: ColumnMap, shown: str) -> ReadPriceList:
    """Return the prices of an exchange file; a row is a line or product, counted from 1.

    Raises:
        ProblemsFound: A107 if it is no sound XML or another kind of message, A108 if it holds
            several kinds of price and the map names none.
    """
    return _Exchange(path, column_map, shown).read()


class _Exchange:
    """One exchange file while it is read."""

    def __init__(self, path: Path, column_map: ColumnMap, shown: str) -> None:
        self.records = Records(path, _NAMES, shown)
        self.map, self.shown = column_map, shown
        self.kinds: dict[str, list[ListedPrice]] = {}
        self.lines: dict[int, int] = {}  # row -> line of the file
        self.told: list[tuple[int, Problem]] = []
        self.refused: set[int] = set()
        self.skipped: Counter[str] = Counter()
        self.currency = ""
        self.result = ReadPriceList("", column_map.currency)

    def read(self) -> ReadPriceList:
        """Return what the file holds."""
        number = 0
        for record in self.records:
            self._check_root()
            if record.name in ubl.LIST | bmecat.LIST:
                self._of_list(record)
                continue
            number += 1
            self._line(number, record)
        self._check_root()
        result = self.result
        result.form = "UBL catalogue" if self.records.root == ubl.ROOT else "BMEcat"
        result.rows = without_doubles(self._of_one_kind(), self._refuse_row, self.skipped)
        result.refused = [problem for _, problem in sorted(self.told, key=lambda each: each[0])]
        result.refused_rows = len(self.refused)
        result.skipped = dict(sorted(self.skipped.items()))
        return result

    def _check_root(self) -> None:
        root = self.records.root
        if root not in (ubl.ROOT, bmecat.ROOT):
            raise ProblemsFound([Problem(
                "A107", Place(self.shown, 1), f"the outermost element is '{root}', which is no "
                "catalogue of UBL or BMEcat", "ask the supplier for one, or for a workbook")])

    def _of_list(self, record: Element) -> None:
        """Note what holds for the whole list."""
        fields = Fields(record, self.map)
        if record.name in bmecat.LIST:
            self.currency = bmecat.currency_of(record)
        else:
            self.result.from_date, self.result.to_date = ubl.validity(record, fields)
        self.told += [(0, fault.at(Place(self.shown, line))) for line, fault in fields.faults]

    def _line(self, number: int, line: Element) -> None:
        is_ubl = self.records.root == ubl.ROOT
        why = ubl.skipped(line) if is_ubl else bmecat.skipped(line)
        if why:
            self.skipped[why] += 1
            return
        self.lines[number] = line.line
        fields = Fields(line, self.map)
        found = list(ubl.prices(number, line, self.map, fields) if is_ubl else bmecat.prices(
            number, line, self.map, fields, self.currency))
        for at, fault in fields.faults:
            self._refuse(number, at, fault)
        if not fields.faults:
            for kind, price in found:
                self.kinds.setdefault(kind, []).append(price)

    def _of_one_kind(self) -> list[ListedPrice]:
        """Return the prices of the kind that the map names, or of the only net one."""
        wanted = self.map.price_type
        named = {kind for kind in self.kinds if kind}
        if wanted:
            kinds = {wanted} & set(self.kinds)
        elif self.records.root == bmecat.ROOT:
            kinds = set(self.kinds) & {"", *bmecat.NET}
        else:
            kinds = set(self.kinds)
        if len(kinds) == 1 or not self.kinds:
            return [price for kind in kinds for price in self.kinds[kind]]
        counts = ", ".join(f"'{kind}' ({len(self.kinds[kind])})" for kind in sorted(named))
        mend = 'name one in the column map: price_type = "net_list"'
        if wanted:
            raise ProblemsFound([Problem(
                "A108", Place(self.shown), f"the catalogue holds prices of the kinds {counts}, and "
                f"none of the kind '{wanted}'", mend)])
        raise ProblemsFound([Problem(
            "A108", Place(self.shown), f"the catalogue holds prices of the kinds {counts}, and it "
            "is not said which to take", mend)])

    def _refuse(self, number: int, line: int, fault: Fault) -> None:
        self.told.append((number, fault.at(Place(self.shown, line))))
        self.refused.add(number)

    def _refuse_row(self, number: int, fault: Fault) -> None:
        self._refuse(number, self.lines[number], fault)
