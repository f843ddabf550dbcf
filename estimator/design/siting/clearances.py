"""Clear space round what hangs on a wall: the data sheet's, else the practice default.

Where the data sheet is blank: 300 mm left, right and above, 500 mm to the floor (common practice,
no source). A country whose pack states least distances keeps them whatever the data sheet says.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from estimator.design.check import limit_in
from estimator.design.siting.shapes import up_mm
from estimator.practice.pack import Practice

DATA_SHEET = "data sheet"
COMMON = "common practice, no source"
STANDING = "stands on the floor"


if TYPE_CHECKING:
    from typing import Protocol

    class ClearancesOnSheet(Protocol):
        """What converter and storage data sheets say of the space round them [mm]."""

        @property
        def clear_side_mm(self) -> Decimal | None: ...  # noqa: D102

        @property
        def clear_top_mm(self) -> Decimal | None: ...  # noqa: D102

        @property
        def clear_floor_mm(self) -> Decimal | None: ...  # noqa: D102


class Clearance(NamedTuple):
    """Clear space in whole millimetres with the source of each number.

    Attributes:
        between_mm: clear space between two units side by side.
    """

    side_mm: int
    top_mm: int
    floor_mm: int
    between_mm: int
    side_source: str = DATA_SHEET
    top_source: str = DATA_SHEET
    floor_source: str = DATA_SHEET
    between_source: str = DATA_SHEET

    @property
    def by_default(self) -> bool:
        """Return whether any number is not from the data sheet: the manual is to be asked."""
        sources = (self.side_source, self.top_source, self.floor_source)
        return any(source not in (DATA_SHEET, STANDING) for source in sources)


def clearance_of(
    sheet: ClearancesOnSheet, practice: Practice, on: date, standing: bool = False
) -> Clearance:
    """Return the clear space of one unit.

    Args:
        sheet: its specification; a blank field takes the practice default.
        standing: whether it stands on the floor, so that it keeps no distance from it.

    Raises:
        ProblemsFound: P020 if the pack has no default for a blank field.
    """
    side, side_source = _number(sheet.clear_side_mm, "side", practice, on)
    top, top_source = _number(sheet.clear_top_mm, "top", practice, on)
    floor, floor_source = (0, STANDING) if standing else _number(
        sheet.clear_floor_mm, "floor", practice, on)
    between, between_source = side, side_source
    apart = practice.at("siting_between_mm", on)
    if apart is not None and up_mm(limit_in(apart)) > between:
        between, between_source = up_mm(limit_in(apart)), apart.source
    return Clearance(side, top, floor, between, side_source, top_source, floor_source,
                     between_source)


def _number(
    on_sheet: Decimal | None, name: str, practice: Practice, on: date
) -> tuple[int, str]:
    if on_sheet is None:
        default = practice.needed(f"siting_default_{name}_mm", on)
        clear, source = limit_in(default), default.source
    else:
        clear, source = on_sheet, DATA_SHEET
    least = practice.at(f"siting_least_{name}_mm", on)
    if least is not None and limit_in(least) > clear:
        clear, source = limit_in(least), least.source
    return up_mm(clear), source
