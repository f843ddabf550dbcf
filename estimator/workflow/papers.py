"""Write the papers of a kept revision into a folder: quote and drawings, with a page that leads."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path

from catalogue.toml_source import as_text
from estimator.papers.contract import EstimateJson
from estimator.papers.pack_page import Paper, pack_page
from estimator.settings import Settings
from estimator.workflow.files import write_all
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.jobs import stored_estimate

PARTS = ("quote", "drawings")
INDEX = "index.html"


def write_job_papers(
    database: str | None, job: str, out: Path, only: Collection[str] = (),
    revision: int | None = None,
) -> list[str]:
    """Write papers of a job into a folder, all or none, and return their names.

    The same revision and settings give the same bytes.

    Args:
        only: some of `PARTS`; () = all.
        revision: None = the newest.

    Raises:
        ProblemsFound: J001 or J002 if there is no such job or revision, F003 if a file cannot be
            written.
    """
    files = firm_files()
    settings = firm_settings(files)
    kept = stored_estimate(database_of(database, files), job, revision)
    papers: dict[str, bytes] = {}
    told: list[Paper] = []
    for part in PARTS:
        if not only or part in only:
            _add(part, kept, settings, papers, told)
    papers = {INDEX: pack_page(kept, settings.firm.name, told).encode(), **papers}
    written = {out / name: held for name, held in papers.items()}
    write_all(written)
    return [as_text(path) for path in written]


def _add(
    part: str, kept: EstimateJson, settings: Settings, papers: dict[str, bytes],
    told: list[Paper],
) -> None:
    if part == "quote":
        from estimator.papers.quote_page import quote_page

        papers["quote.html"] = quote_page(kept, settings).encode()
        told.append(Paper("quote.html", "Quote for the customer"))
        return
    from estimator.papers.drawings.pack import drawings_of

    for each in drawings_of(kept, settings.firm.name):
        papers[f"{each.stem}.svg"] = each.svg.encode()
        told.append(Paper(f"{each.stem}.svg", each.shows, picture=True))
