"""The labour norms of a firm: list them, and learn others from finished jobs.

Nothing is changed here; what is learned is written as a proposal, which a person accepts
(`estimator.workflow.norms_accept`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from catalogue.problems import Place, Problem, ProblemsFound
from estimator.labour.norms import Norm, is_own, read_norms
from estimator.learning.learned import Learned, learned
from estimator.workflow.basis import norm_files
from estimator.workflow.booked_hours import Period, booked_jobs
from estimator.workflow.database import at_work
from estimator.workflow.files import refuse_if_taken, write_all
from estimator.workflow.firm import FirmFiles, database_of, firm_files


@dataclass(frozen=True)
class LearnRequest:
    """From which jobs to learn, against the norms of which day; `out` is a file, or None."""

    on: date
    period: Period = field(default_factory=Period)
    database: str | None = None
    out: Path | None = None
    replace: bool = False


def learn_norms(request: LearnRequest) -> Learned:
    """Return what finished jobs say of the norms, and write the proposal if a file is named.

    Raises:
        ProblemsFound: Z511 for a period that ends before it begins; Z512 if a file is named and
            nothing is proposed; F007, F008 for the file; nothing is written then.
    """
    first, last = request.period.first, request.period.last
    if first is not None and last is not None and last < first:
        raise ProblemsFound([Problem(
            "Z511", Place("the period"), f"it ends on {last}, before it begins on {first}",
            "name the earlier day with --from")])
    if request.out is not None:
        refuse_if_taken(request.out, ".toml", replace=request.replace)
    files = firm_files()
    sources = norm_files(files)
    norms = read_norms(sources, request.on)
    with at_work(database_of(request.database, files)) as work:
        found = booked_jobs(work, request.period, sources, request.on)
    told = learned(found.jobs, norms, request.on, found.closed, (found.first, found.last))
    if request.out is not None:
        _write(request.out, told)
    return told


def _write(out: Path, told: Learned) -> None:
    from estimator.papers.norms_file import proposal_text

    if not told.proposed:
        raise ProblemsFound([Problem(
            "Z512", Place(out.as_posix()), f"{told.jobs} finished jobs speak for no other norm",
            "leave --out away to see what they say of each")])
    write_all({out: proposal_text(told).encode()})


@dataclass(frozen=True, slots=True)
class NormListed:
    """One version of a norm: in which file it stands, and whether it holds on the day."""

    norm: Norm
    file: str
    own: bool
    holds: bool


def listed_norms(on: date, files: FirmFiles | None = None) -> tuple[NormListed, ...]:
    """Return every version of every norm, by id and by the day it begins."""
    files = files or firm_files()
    return tuple(sorted(_listed(on, files), key=lambda each: (
        each.norm.id, each.own, each.norm.from_date, each.file)))


def _listed(on: date, files: FirmFiles) -> Iterator[NormListed]:
    sources = norm_files(files)
    held = read_norms(sources, on)
    top = "" if files.folder is None else f"{files.folder.as_posix()}/"
    versions = [(source, norm) for source in sources for norm in read_norms([source]).values()]
    # Of two that say the same the later one holds.
    last = {norm.id: at for at, (_, norm) in enumerate(versions) if norm == held.get(norm.id)}
    for at, (source, norm) in enumerate(versions):
        yield NormListed(norm, source.file.removeprefix(top), is_own(source),
                         last.get(norm.id) == at)
