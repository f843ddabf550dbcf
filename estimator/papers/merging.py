"""What a merge of surveys decided, as text and as plain data."""

from __future__ import annotations

from typing import Any

from estimator.papers.asking import value_words
from estimator.papers.terminal import INDENT, clean, wrapped
from estimator.survey.merge import Claim, Merged


def merge_report(merged: Merged) -> str:
    """Return each fact on which the sources differ, with what stands and what does not."""
    differing = [each for each in merged.taken if each.differs]
    agreeing = len(merged.taken) - len(differing)
    lines = [f"{len(differing)} facts on which the sources differ; {agreeing} on which they agree"]
    for each in differing:
        lines += ["", f"{INDENT}{each.fact}", *wrapped(_claim(each.taken), f"{INDENT * 2}taken  ")]
        for claim in each.left:
            lines += wrapped(_claim(claim), f"{INDENT * 2}left   ")
    return clean("\n".join(lines)) + "\n"


def _claim(claim: Claim) -> str:
    words = f' "{claim.words}"' if claim.words else ""
    place = f" ({claim.place})" if claim.place else f" ({claim.source})"
    return f"{value_words(claim.value)}, {claim.evidence}{words}{place}"


def merge_json(merged: Merged) -> list[dict[str, Any]]:
    """Return what was decided as plain data."""
    return [
        {"fact": each.fact, "differs": each.differs, "taken": _data(each.taken),
         "left": [_data(claim) for claim in each.left]}
        for each in merged.taken
    ]


def _data(claim: Claim) -> dict[str, str]:
    return {"source": claim.source, "value": value_words(claim.value),
            "evidence": claim.evidence, "words": claim.words, "place": claim.place}
