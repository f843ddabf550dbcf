"""What the readers of a timesheet's and a bill's row share: cells by field, faults gathered."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from catalogue.price_lists import dates, texts
from catalogue.price_lists.column_map import ColumnMap
from catalogue.price_lists.faults import Fault
from catalogue.price_lists.field_rows import FieldRow

FLAWED = object()  # stands for a cell that cannot be read and is told already


class RowReader:
    """Reads one row after another; `faults` are those of the last, by field."""

    def __init__(self, columns: ColumnMap) -> None:
        """Take decimal mark, order of dates and whether codes may be numbers."""
        self.map = columns
        self.faults: list[tuple[str, Fault]] = []
        self.cells: Mapping[str, Any] = {}
        self.flawed: frozenset[str] = frozenset()

    def begin(self, row: FieldRow) -> None:
        """Turn to another row."""
        self.faults, self.cells, self.flawed = [], row.cells, row.flawed

    def given(self, field: str) -> Any:
        """Return the cell of a field; "" without one, `FLAWED` for what was told already."""
        return FLAWED if field in self.flawed else self.cells.get(field, "")

    def cell(self, field: str, read: Callable[[Any], Any], missing: Fault | None = None) -> Any:
        """Return what a cell holds; None if it is blank or wrong."""
        cell = self.given(field)
        if cell is FLAWED:
            return None
        found = missing if cell == "" else read(cell)
        if isinstance(found, Fault):
            self.faults.append((field, found))
            return None
        return found

    def words(self, field: str) -> str:
        """Return the words of a cell, on one line."""
        return self.cell(field, texts.name) or ""

    def code(self, field: str, what: str, mend: str, *, needed: bool = False) -> str:
        """Return a code, which is text; mend: where the right one is found."""
        def read(cell: Any) -> str | Fault:
            found = texts.code(cell, self.map.codes == "numbers", what)
            return found._replace(mend=f"format the cell as text and type it again; {mend}"
                                  ) if isinstance(found, Fault) else found

        missing = Fault("A110", f"the {what} is missing", mend) if needed else None
        return self.cell(field, read, missing) or ""

    def day(self, field: str, missing: Fault | None = None) -> Any:
        """Return the day of a cell."""
        return self.cell(field, lambda cell: dates.day(cell, self.map.date_order), missing)
