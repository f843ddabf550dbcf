"""The cut list as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.papers import cut_words
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_cuts import CutJson


def cut_list(estimate: EstimateJson) -> str:
    """Return what is cut from each bar and how the lines are joined."""
    head = f"Cut list of job {estimate.job.id}, revision {estimate.revision}"
    if not estimate.cuts:
        return f"{head}\n\nNothing on this job is cut from bars.\n"
    parts = [head, "", *cut_words.BEFORE]
    for cut in estimate.cuts:
        parts += ["", *_cut(cut, estimate.currency)]
    return "\n".join(parts) + "\n"


def _cut(cut: CutJson, currency: str) -> Iterator[str]:
    yield f"{cut.subject.upper()}, mm from the square end of each bar"
    for bar in cut.bars:
        yield f"  bar {bar.number}: {bar.name} ({bar.code}), {bar.length_mm} mm"
        yield f"    saw at: {cut_words.saw_at(bar)}; offcut: {cut_words.offcut(bar)}"
        for i, piece in enumerate(bar.pieces):
            yield f"    {cut_words.mark(bar, i):>5}  {piece.length_mm:>6} mm  {piece.label}"
    yield "LINES AS THEY ARE JOINED"
    for line in cut.lines:
        joined = " + ".join(mark for mark, _ in cut_words.marks_of(cut, line.label))
        yield f"  {line.label}, {sum(line.pieces_mm)} mm: {joined}"
    yield cut_words.joints(cut)
    yield cut_words.result(cut)
    yield cut_words.proof(cut, currency)
