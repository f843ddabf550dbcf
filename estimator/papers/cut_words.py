"""Words of a cut list that sheet, drawing and terminal share."""

from __future__ import annotations

from estimator.papers import words
from estimator.papers.contract_cuts import CutBarJson, CutJson, CutPieceJson

BEFORE = (
    "Gloves, eye and hearing protection. Secure the bar before the saw touches it.",
    "Cut on the ground or on trestles, never on the roof or a ladder.",
    "Deburr every end and clear the swarf: it cuts hands and cables, and rusts on the roof.",
    "Measure every line again before the first cut. The makers' manuals of rail and saw decide.",
)
NOTHING = "Nothing on this job is cut from bars or drums."
JOINTS = (
    "Joints: none past the first or last fixing, and every piece spans a fixing, however the "
    "rafters lie. Common practice; the rail maker's manual decides, also how far a joint stays off "
    "a fixing."
)
NO_JOINTS = (
    "For these rafters no place keeps all joints clear of the overhangs: the rail maker or an "
    "engineer decides before anything is cut."
)


RUNS = (
    "Lengths hold something over for bends and cuts: measure along the wall, cut to that, and join "
    "where the pieces meet."
)


def taken(bar: CutBarJson) -> str:
    """Return which bar is taken: a new one by its item, or a piece on hand by its mark."""
    return f"{f'ON HAND {bar.on_hand}: ' if bar.on_hand else ''}{bar.name} ({bar.code})"


def joints(cut: CutJson) -> str:
    """Return what holds of the joints."""
    if cut.kind == "run":
        return RUNS
    return JOINTS if cut.joints_clear else NO_JOINTS


def offcut(bar: CutBarJson) -> str:
    """Return what becomes of what is left of a bar."""
    if not bar.offcut_mm:
        return "none"
    return f"{bar.offcut_mm} mm, {'back to the store, marked' if bar.kept else 'scrap'}"


def saw_at(bar: CutBarJson) -> str:
    """Return where the saw ends each piece; a piece as long as the bar is not sawn."""
    marks = [str(each.ends_at_mm) for each in bar.pieces if each.ends_at_mm < bar.length_mm]
    return ", ".join(marks) or "not sawn"


def pieces(bar: CutBarJson) -> str:
    """Return the pieces of a bar by number, length and place."""
    return "; ".join(f"{mark(bar, i)} = {each.length_mm} mm: {each.label}"
                     for i, each in enumerate(bar.pieces))


def mark(bar: CutBarJson, index: int) -> str:
    """Return what is written on a piece: the bar's number and its own, from the square end."""
    return f"{bar.number}.{index + 1}"


def marks_of(cut: CutJson, label: str) -> list[tuple[str, CutPieceJson]]:
    """Return the pieces of a line in the order in which they are joined, with their marks."""
    found = [(each.label, mark(bar, i), each)
             for bar in cut.bars for i, each in enumerate(bar.pieces)
             if each.label == label or each.label.startswith(f"{label}, piece ")]
    return [(name, each) for _, name, each in sorted(
        found, key=lambda one: (len(one[0]), one[0]))]


def result(cut: CutJson) -> str:
    """Return what is taken and what is left over; no money, since the crew reads it."""
    return (f"Bars: {len(cut.bars)}. Joints: {cut.joiners}. Offcuts: {cut.kept_mm} mm kept, "
            f"{cut.scrap_mm} mm scrap. Saw cut: {cut.kerf_mm} mm.")


def proof(cut: CutJson, currency: str) -> str:
    """Return what the bars and joiners cost and how good that is, for the office."""
    cost = words.money(cut.cost, currency)
    if cut.bound >= cut.cost:
        return f"Bars and joiners: {cost}; no lawful way costs less."
    return (f"Bars and joiners: {cost}; any other way saves at most "
            f"{words.money(cut.cost - cut.bound, currency)} ({cut.method}).")
