"""Words of a cable list that sheet, drawing and terminal share."""

from __future__ import annotations

from estimator.papers import words
from estimator.papers.contract_cuts import CableJson, CableRunJson, DrumJson

BEFORE = (
    "Gloves and eye protection: blades, armour wires and cut ends are sharp. Secure the drum "
    "before it turns. Cut only cable that lies loose and is connected to nothing.",
    "Measure each run along its own route before the first cut: the lengths hold something over "
    "for ends, turns and waste. Mark both ends of each run with its number.",
    "Every run is one length. A run is never joined from two drums: where a drum turns out short, "
    "take it from another drum; a joint is for the designer to decide.",
    "Marks are metres from the free end of a full drum. Where the sheath is printed with metre "
    "marks, read the one at the free end and count on from it.",
)
SHELF = ("From the shelf: the drums here stand for those of the store. Take a run only from a drum "
         "that holds all of it.")


def metres(length_mm: int) -> str:
    """Return millimetres as metres, without idle noughts: 12.128, 100."""
    whole, rest = divmod(length_mm, 1000)
    return f"{whole}.{rest:03}".rstrip("0").rstrip(".")


def drum(cable: CableJson, each: DrumJson) -> str:
    """Return what is taken: a drum, a length that the supplier measures off, or one on hand."""
    if each.on_hand:
        return f"ON HAND {each.on_hand}: {metres(each.length_mm)} m in one length"
    where = "from the shelf" if cable.held == "stock" else f"from {each.supplier}"
    if each.cut_to_measure:
        return f"{metres(each.length_mm)} m in one length, cut to measure, {where}"
    return f"drum of {metres(each.length_mm)} m, {where}"


def rest(each: DrumJson) -> str:
    """Return what becomes of what is left."""
    if not each.rest_mm:
        return "none"
    left = "over" if each.cut_to_measure else "left of it, marked" if each.on_hand else (
        "left on the drum, marked")
    return f"{metres(each.rest_mm)} m, {left}"


def mark(each: DrumJson, index: int) -> str:
    """Return what is written on a run: C, the number of its drum, and its own from the free end."""
    return f"C{each.number}.{index + 1}"


def marks(run: CableRunJson) -> str:
    """Return from which metre mark to which a run is cut."""
    if run.from_mm is None or run.to_mm is None:
        return "not cut"
    return f"{metres(run.from_mm)} to {metres(run.to_mm)} m"


def too_long(cable: CableJson, run: CableRunJson) -> str:
    """Return what stands in the place of a run that no drum serves."""
    return (f"{run.label}: {metres(run.length_mm)} m, longer than the longest length on offer "
            f"({metres(cable.longest_mm or 0)} m): not to be cut or joined before the designer "
            "has decided")


def paid(each: DrumJson, currency: str) -> str:
    """Return how a length that is cut to measure is charged, for the office; "" for a drum."""
    if not each.cut_to_measure:
        return ""
    if each.cut_charge is None:
        return "sold by the metre"
    return f"cut charge {words.money(each.cut_charge, currency)}"
