"""A worksheet that takes the formulas of this program as they are."""

from __future__ import annotations

from xlsxwriter.worksheet import Worksheet


class RuledSheet(Worksheet):  # type: ignore[misc]  # the library ships no types
    """A worksheet of plain formulas: sums, rounding and the four signs.

    The library searches every formula for the names of some thirty newer functions, which takes a
    fifth of the time of a workbook. There are none here; `test_workbook` holds the formulas to a
    short list of functions.
    """

    def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
        return formula.removeprefix("=")
