"""The cut list as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.papers import cable_words, cut_words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CableJson, CutJson


def cut_list(estimate: EstimateJson) -> str:
    """Return what is cut from each bar and drum, and how the lines are joined."""
    head = f"Cut list of job {estimate.job.id}, revision {estimate.revision}"
    if not estimate.cuts and not estimate.cables:
        return f"{head}\n\n{cut_words.NOTHING}\n"
    parts = [head]
    if estimate.cuts:
        parts += ["", *cut_words.BEFORE]
    for cut in estimate.cuts:
        parts += ["", *cut_text(cut), cut_words.proof(cut, estimate.currency)]
    if estimate.cables:
        parts += ["", "RUNS OF CABLE", *cable_words.BEFORE]
    for cable in estimate.cables:
        parts += ["", *cable_text(cable, estimate.currency)]
    return "\n".join(parts) + "\n"


def cable_text(cable: CableJson, currency: str) -> Iterator[str]:
    """Yield what is cut from each drum, and what no drum serves."""
    yield f"{cable.name.upper()} ({cable.item}){', OPTION' if cable.option else ''}"
    if cable.held == "stock" and cable.drums:
        yield cable_words.SHELF
    for each in cable.drums:
        paid = cable_words.paid(each, currency) if cable.held == "job" else ""
        says = ", ".join(part for part in (cable_words.drum(cable, each), paid) if part)
        yield f"  length {each.number}: {says}"
        for i, run in enumerate(each.runs):
            yield (f"    {cable_words.mark(each, i):>7}  {cable_words.marks(run)}: "
                   f"{cable_words.metres(run.length_mm)} m, {run.label}")
        yield f"    rest: {cable_words.rest(each)}"
    for run in cable.too_long:
        yield f"  STOP: {cable_words.too_long(cable, run)}"


def cut_text(cut: CutJson) -> Iterator[str]:
    """Yield what is cut from each bar, then how the lines are joined."""
    yield f"{cut.subject.upper()}, mm from the square end of each bar"
    for bar in cut.bars:
        yield f"  bar {bar.number}: {cut_words.taken(bar)}, {bar.length_mm} mm"
        yield f"    saw at: {cut_words.saw_at(bar)}; offcut: {cut_words.offcut(bar)}"
        for i, piece in enumerate(bar.pieces):
            yield f"    {cut_words.mark(bar, i):>5}  {piece.length_mm:>6} mm  {piece.label}"
    yield "LINES AS THEY ARE JOINED"
    for line in cut.lines:
        joined = " + ".join(mark for mark, _ in cut_words.marks_of(cut, line.label))
        yield f"  {line.label}, {sum(line.pieces_mm)} mm: {joined}"
    yield cut_words.joints(cut)
    yield cut_words.result(cut)
