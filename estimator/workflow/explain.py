"""Why a line is in a kept estimate, or why an item is not."""

from __future__ import annotations

from estimator.workflow.firm import here
from estimator.workflow.jobs import stored_estimate


def explain(
    database: str | None, job: str, line: str | None, absent: str | None,
    revision: int | None = None, *, as_json: bool = False,
) -> str:
    """Return the explanation as text, or as JSON the lines or rules it rests on.

    Raises:
        ProblemsFound: if there is no such job, revision, line or item.
    """
    from estimator.papers import explain as papers

    place = here(database)
    estimate = stored_estimate(place, job, revision)
    if absent is None:
        return (papers.why_json if as_json else papers.why)(estimate, line or "")
    tell = papers.why_not_json if as_json else papers.why_not
    return tell(estimate, absent, _roles(place, absent))


def _roles(database: str | None, code: str) -> frozenset[tuple[str, str]]:
    """Return what the item of a code can serve as, if the catalogue holds it."""
    from catalogue import db
    from catalogue.loading import load_items

    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            items = load_items(work, [code])
    finally:
        engine.dispose()
    return frozenset((item.family, role) for item in items for role in item.roles)
