"""The cut list of a kept estimate, and its drawing."""

from __future__ import annotations

from pathlib import Path

from estimator.papers.contract import EstimateJson
from estimator.workflow.files import refuse_if_taken, write_all
from estimator.workflow.jobs import stored_estimate


def kept_cuts(
    database: str | None, job: str, revision: int | None = None, svg: Path | None = None,
    replace: bool = False,
) -> EstimateJson:
    """Return a kept estimate with its cuts, and draw them in a file if one is named.

    Raises:
        ProblemsFound: if there is no such job or revision, or the file cannot be written (F003),
            has another ending (F007) or is there already and may not be replaced (F008).
    """
    if svg is not None:
        refuse_if_taken(svg, ".svg", replace=replace)
    kept = stored_estimate(database, job, revision)
    if svg is not None:
        from estimator.papers.cut_drawing import cuts_svg

        write_all({svg: cuts_svg(kept).encode()})
    return kept
