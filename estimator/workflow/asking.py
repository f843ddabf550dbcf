"""What to ask first about a surveyed house, and what would break its quote."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TypeVar

from catalogue import db
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import as_text
from estimator.estimate import Basis
from estimator.papers.asking import call_list_csv, tornado_svg
from estimator.questions.answers import Answers, standard_answers
from estimator.questions.breaking import Broken, break_quote
from estimator.questions.worth import Worth, worth_asking
from estimator.survey.model import Survey
from estimator.survey.toml import read_survey
from estimator.workflow.basis import basis_of
from estimator.workflow.files import write_all
from estimator.workflow.firm import FirmFiles, database_of, firm_files

Tell = Callable[[int, int], None]
Found = TypeVar("Found")


@dataclass(frozen=True)
class AskRequest:
    """Which survey, on which day, with which database; `out` is a file to write, or None."""

    survey: Path
    on: date
    database: str | None = None
    out: Path | None = None


def what_to_ask(request: AskRequest, tell: Tell) -> tuple[Worth, ...]:
    """Return what is worth asking, first things first, and write the call list if asked.

    Raises:
        ProblemsFound: for mistakes in survey, settings, rules or answers; nothing is written then.
    """
    return _found(request, ".csv", worth_asking, call_list_csv, tell)


def what_breaks(request: AskRequest, tell: Tell) -> Broken:
    """Return what each change of a known fact does to the margin, and draw it if asked.

    Raises:
        ProblemsFound: for mistakes in survey, settings, rules or answers; nothing is written then.
    """
    return _found(request, ".svg", break_quote, tornado_svg, tell)


def _found(
    request: AskRequest, ending: str,
    work: Callable[[Survey, Basis, Mapping[str, Answers], Tell], Found],
    written: Callable[[Found], str], tell: Tell,
) -> Found:
    """Return what the work finds about the survey, and write it if a file is named."""
    _refuse_ending(request.out, ending)
    survey = read_survey(request.survey)
    basis, answers = _given(request)
    found = work(survey, basis, answers, tell)
    if request.out is not None:
        write_all({request.out: written(found).encode()})
    return found


def _given(request: AskRequest) -> tuple[Basis, dict[str, Answers]]:
    files = firm_files(request.survey)
    engine = db.open_database(database_of(request.database, files))
    try:
        with db.session(engine, write=False) as work:
            prices = db.load_price_book(work, request.on)
    finally:
        engine.dispose()
    basis = basis_of(files, prices, request.on)
    return basis, dict(standard_answers(basis.rules.facts, _own(files)))


def _own(files: FirmFiles) -> list[Path]:
    return [path for folder in files.own("answers") for path in sorted(folder.glob("*.toml"))]


def _refuse_ending(out: Path | None, ending: str) -> None:
    if out is not None and out.suffix.lower() != ending:
        raise ProblemsFound([Problem(
            "F007", Place(as_text(out)), f"what is written ends in {ending}",
            f"name it {as_text(out.with_suffix(ending))}")])
