"""The list of quoted jobs, for the terminal."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Protocol

from estimator.papers import words
from estimator.papers.terminal import clean, table


class Listed(Protocol):
    """One job of the list, by the revision that counts."""

    @property
    def job(self) -> str: ...  # noqa: D102
    @property
    def title(self) -> str: ...  # noqa: D102
    @property
    def revision(self) -> int: ...  # noqa: D102
    @property
    def on(self) -> date: ...  # noqa: D102
    @property
    def kind(self) -> str: ...  # noqa: D102
    @property
    def net_minor(self) -> int: ...  # noqa: D102
    @property
    def currency(self) -> str: ...  # noqa: D102
    @property
    def stands(self) -> str: ...  # noqa: D102


def job_list(jobs: Iterable[Listed]) -> str:
    """Return one line for each job: id, revision, day, kind, net price, how it stands, title."""
    rows = [
        (job.job, str(job.revision), words.day(job.on), words.KIND[job.kind].lower(),
         words.money(job.net_minor, job.currency), job.stands, clean(job.title))
        for job in jobs
    ]
    if not rows:
        return "No job has been quoted yet: estimator quote SURVEY"
    headings = ("job", "revision", "prices of", "kind", "net price", "stands", "title")
    return "\n".join(table(rows, "lrllrll", headings))
