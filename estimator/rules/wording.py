"""Words for the types of formulas, and remedies for the commonest mistakes with them."""

from __future__ import annotations

from estimator.rules.logic import Part

NUMERIC = ("whole", "number")

_SAID = {
    "whole": "a whole number", "number": "a number", "flag": "yes or no", "text": "text",
    "texts": "a list of text", "numbers": "a list of numbers",
}


def said(types: tuple[str, ...]) -> str:
    """Return types in words: "a number or text"."""
    if set(types) >= set(NUMERIC):
        types = tuple(each for each in types if each != "whole")
    return " or ".join(_SAID[each] for each in types)


def type_mend(part: Part, types: tuple[str, ...]) -> str:
    """Return how to make a piece of one of some types."""
    if part.type == "flag" and "number" in types:
        return "choose a number by it: (1 if ... else 0)"
    if "flag" in types:
        return "compare it with something, such as == 'wall' or > 0"
    return ""


def compare_mend(left: Part, right: Part) -> str:
    """Return how to compare two pieces that cannot be compared as written."""
    if "texts" in (left.type, right.type):
        return "ask with `in` whether a list holds a text"
    if {left.type, right.type} <= {"flag"}:
        return "yes and no have no order"
    if {left.type, right.type} <= {"text"}:
        return "text has no order; compare it with == or !="
    return ""
