"""The page that leads through a pack of papers: what lies in the folder, with its drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.papers import words
from estimator.papers.contract import EstimateJson
from estimator.papers.page_templates import page_template


@dataclass(frozen=True, slots=True)
class Paper:
    """One file of the pack: its name, what it is, and whether the page shows it as a picture."""

    file: str
    shows: str
    picture: bool = False


def pack_page(estimate: EstimateJson, firm: str, papers: Sequence[Paper]) -> str:
    """Return the page as HTML; everything that a person typed is escaped."""
    return page_template("pack.html").render(
        firm=firm, job=estimate.job, revision=estimate.revision, on=words.day(estimate.on),
        papers=papers, kind=words.KIND[estimate.kind], deferral=words.DEFERRAL)
