"""One job, named by its survey's file or, if it was quoted, by its id."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from estimator.papers.contract import EstimateJson
from estimator.workflow.firm import FirmFiles, database_of, firm_files


def is_survey(named: str) -> bool:
    """Return whether a name is that of a survey's file and not the id of a job."""
    return named.lower().endswith(".toml") or Path(named).is_file()


def estimate_named(
    named: str, on: date, database: str | None
) -> tuple[EstimateJson, FirmFiles, bool]:
    """Return an estimate, the firm's files, and whether the estimate is one that is kept.

    Args:
        named: a survey, which is estimated now and not kept, or a job by its newest revision.
        on: the day of prices for a survey.

    Raises:
        ProblemsFound: for mistakes in survey, settings or rules; J001 if there is no such job.
    """
    if is_survey(named):
        from estimator.workflow.quote import QuoteRequest, check

        survey = Path(named)
        made = check(QuoteRequest(survey, on, database, write_papers=False))
        return made.estimate, firm_files(survey), False
    from estimator.workflow.jobs import stored_estimate

    files = firm_files()
    return stored_estimate(database_of(database, files), named), files, True
