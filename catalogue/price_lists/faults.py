"""What is wrong with one cell, before anybody knows which cell it is.

Cells that hold the same are read once, so a fault is kept and told wherever that cell stands.

Codes of the problems: A110 part number, A111 text, A112 no price, A113 a number that cannot be
read, A114 a price that cannot be meant, A115 currency, A116 quantity, A117 unit, A118 date, A119
days of lead, A120 formula, A121 error, A124 another kind of cell.
"""

from __future__ import annotations

from typing import Any, NamedTuple

from catalogue.problems import Place, Problem
from catalogue.validation import shown


class Fault(NamedTuple):
    """What is wrong with a cell: code of the problem, words, remedy."""

    code: str
    says: str
    mend: str = ""

    def at(self, place: Place) -> Problem:
        """Return the problem of a cell that has this fault."""
        return Problem(self.code, place, self.says, self.mend)


def fault_of_flaw(flaw: str, currency: str) -> Fault:
    """Return the fault of a cell whose content is not what it shows; see `Table.flaws`."""
    match flaw:
        case "formula":
            return Fault("A120", "the cell holds a formula, and what it shows was computed "
                         "elsewhere", "copy it and paste its value only")
        case "error":
            return Fault("A121", "the cell shows an error", "ask the supplier for the value")
        case "per cent":
            return Fault("A124", "the cell is a percentage", "give the value itself")
        case "yes or no":
            return Fault("A124", "the cell holds yes or no", "give the value itself")
    return Fault("A115", f"the cell's format shows {flaw}, and the list is in {currency}",
                 "import each currency from a file of its own")


def told(cell: Any) -> str:
    """Return a cell as messages repeat it: numbers without a needless fraction."""
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    return shown(cell)
