"""Mistakes in a formula, and how large a formula may be."""

from __future__ import annotations

from typing import NamedTuple

MOST_CHARACTERS = 400
DEEPEST = 32
MOST_NODES = 150
MOST_DIGITS = 15
# After so many mistakes of one formula a reader has enough to mend.
MOST_FAULTS = 10


class Fault(NamedTuple):
    """A mistake in a formula: where (characters from its start), code, words, remedy."""

    at: int
    code: str
    says: str
    mend: str = ""


def too_deep(at: int) -> Fault:
    """Return the fault of a formula that is nested too deep."""
    return Fault(at, "R101", f"the formula is nested more than {DEEPEST} deep",
                 "put a part of it into a computed fact ([[fact]])")


class TooLargeError(Exception):
    """Ends the walk over a formula that is too deep or has too many parts."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(fault.says)
