"""What changed between two kept revisions of a job: each is made again, then told apart by cause.

A revision is made again from the texts kept beside it, with the prices as they were known when it
was made. Where none were kept (it is older than that), or this program cannot use them any more,
those of the other revision are taken, else today's. Whatever a revision costs otherwise when it is
made again is a share of its own and never hidden.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from itertools import groupby
from pathlib import PurePosixPath

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.item_text import items_from
from catalogue.items import Item
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import REVISION
from catalogue.toml_source import parse_toml
from estimator.buying.swaps import Swap
from estimator.difference.change import Change
from estimator.difference.inputs import Inputs, Made, Maker, Totals, totals_of
from estimator.difference.steps import NOTHING, Step, steps_between
from estimator.estimate import Estimate
from estimator.labour.norms import Norm, read_norms
from estimator.papers.contract import EstimateJson
from estimator.practice.pack import Pack, Practice, practice_from
from estimator.price import Discount
from estimator.rules.entries import Entry, Notes, read_entries
from estimator.settings import Settings
from estimator.survey.model import Survey
from estimator.survey.toml import survey_from
from estimator.workflow.basis import read_basis
from estimator.workflow.firm import FirmFiles, database_of, firm_files
from estimator.workflow.jobs import stored_estimate
from estimator.workflow.made_with import (
    ITEMS,
    NORMS,
    PRACTICE,
    RULES,
    SETTINGS,
    kept_sources,
    kept_texts,
)

_NAMED = 5  # items that a step names
NOT_KEPT, MADE_AGAIN = "not kept", "catalogue and program"

Tell = Callable[[int, int], None]


@dataclass(frozen=True)
class DiffRequest:
    """Which two revisions of which job."""

    job: str
    was: int
    now: int
    database: str | None = None
    both_ways: bool = False


@dataclass(frozen=True)
class Difference:
    """Two revisions as they were kept, and every step from one to the other.

    Attributes:
        steps: the first and the last may be what making a revision again changes; the shares add
            up to the change of cost and prices, to the minor unit.
        notes: what was not kept, in sentences.
    """

    was: EstimateJson
    now: EstimateJson
    steps: tuple[Step, ...]
    both_ways: bool
    notes: tuple[str, ...]


def kept_totals(kept: EstimateJson) -> Totals:
    """Return cost and prices of an estimate as it was kept."""
    return Totals(kept.cost.total, kept.price.net, kept.price.gross)
@dataclass(frozen=True)
class _Figures:
    """What a firm reckons with, apart from prices; items only where data sheets were kept."""

    settings: Settings
    practice: Practice
    norms: Mapping[str, Norm]
    rules: tuple[Entry, ...]
    items: tuple[Item, ...] = ()


@dataclass(frozen=True)
class _Revision:
    """A kept revision, with what is found of what it was made with; `figures` None if nothing."""

    kept: EstimateJson
    survey: Survey
    prices: PriceBook
    figures: _Figures | None
    note: str

    def inputs(self, figures: _Figures) -> Inputs:
        discount, prices = self.kept.price.discount, self.prices
        return Inputs(
            survey=self.survey, on=self.kept.on, practice=figures.practice, norms=figures.norms,
            rules=figures.rules, settings=figures.settings,
            items={**prices.items, **{item.code: item for item in figures.items}},
            offers=prices.offers, currency=prices.currency, carriage=prices.carriage,
            swaps=tuple(Swap(each.original, each.substitute, each.why, each.by)
                        for each in self.kept.swaps),
            discount=None if discount is None else Discount(
                Money(discount.amount, self.kept.currency), discount.reason, discount.name),
        )


def difference(request: DiffRequest, tell: Tell = lambda done, of: None) -> Difference:
    """Return what made cost and price of a job change from one revision to another.

    Args:
        request: which revisions; the second may be the older one.
        tell: called with how many changes are done, and of how many.

    Raises:
        ProblemsFound: J001 or J002 for a job or revision that is not kept; H201 if both are the
            same; H202 if they are in different currencies; else whatever keeps a revision from
            being made again.
    """
    files = firm_files()
    place = database_of(request.database, files)
    kept = [stored_estimate(place, request.job, number) for number in (request.was, request.now)]
    _refuse(request, *kept)
    engine = db.open_database(place)
    try:
        with db.session(engine, write=False) as work:
            was, now = (_revision(work, each) for each in kept)
    finally:
        engine.dispose()
    maker = Maker()
    (first, first_own), (last, last_own) = (
        _made_again(maker, was, now, files), _made_again(maker, now, was, files))
    steps = (
        *_again(was, first.estimate, own=first_own, before=True),
        *steps_between(first, last, maker, both_ways=request.both_ways, tell=tell),
        *_again(now, last.estimate, own=last_own, before=False),
    )
    notes = tuple(_notes((was, first_own), (now, last_own)))
    return Difference(was.kept, now.kept, steps, request.both_ways, notes)


def _refuse(request: DiffRequest, was: EstimateJson, now: EstimateJson) -> None:
    where = Place(f"job {request.job}")
    if request.was == request.now:
        raise ProblemsFound([Problem(
            "H201", where, f"revision {request.was} is compared with itself",
            "name two revisions, the older one first")])
    if was.currency != now.currency:
        raise ProblemsFound([Problem(
            "H202", where, f"revision {was.revision} is in {was.currency} and revision "
            f"{now.revision} in {now.currency}", "compare revisions of one currency")])


def _revision(work: Connection, kept: EstimateJson) -> _Revision:
    row = work.execute(
        select(REVISION.c.survey_text, REVISION.c.made_at)
        .where(REVISION.c.job_id == kept.job.id, REVISION.c.number == kept.revision)).one()
    survey = survey_from(parse_toml(row.survey_text, f"the survey of revision {kept.revision}"))
    prices = db.load_price_book(work, kept.on, row.made_at)
    texts = kept_texts(work, kept.job.id, kept.revision)
    if not texts:
        return _Revision(kept, survey, prices, None, "was kept without the rules, norms, practice "
                         "values and settings that it was made with")
    try:
        return _Revision(kept, survey, prices, _figures(texts, kept.on), "")
    except (ProblemsFound, ValueError, KeyError) as error:
        return _Revision(kept, survey, prices, None, _unreadable(error))


def _unreadable(error: Exception) -> str:
    why = error.problems[0].says if isinstance(error, ProblemsFound) else "they are of another form"
    return f"was made with rules and figures that this program cannot use any more ({why})"


def _figures(texts: Mapping[str, str], on: date) -> _Figures:
    return _Figures(
        Settings.model_validate_json(texts[SETTINGS]), _practice(texts[PRACTICE]),
        _norms(texts[NORMS], on), _rules(texts[RULES]), items_from(texts[ITEMS]))


# The two revisions mostly share these texts: read once, they need no comparing and no compiling.
@lru_cache(maxsize=2)
def _rules(text: str) -> tuple[Entry, ...]:
    notes = Notes()
    entries = read_entries(kept_sources(text), notes)
    if notes.problems:
        raise ProblemsFound(notes.in_order())
    return tuple(entries)


@lru_cache(maxsize=2)
def _practice(text: str) -> Practice:
    packs = groupby(kept_sources(text), key=lambda source: PurePosixPath(source.file).parent)
    return practice_from(Pack(tuple(sources)) for _, sources in packs)


@lru_cache(maxsize=2)
def _norms(text: str, on: date) -> Mapping[str, Norm]:
    return read_norms(kept_sources(text), on)


def _made_again(
    maker: Maker, one: _Revision, other: _Revision, files: FirmFiles
) -> tuple[Made, bool]:
    """Make a revision again: of its own texts, else of the other's, else of today's.

    Returns:
        the revision, and whether it was made of its own.
    """
    troubles: list[ProblemsFound] = []
    for figures in _candidates(one, other, files):
        inputs = one.inputs(figures)
        try:
            return Made(inputs, maker.estimate(inputs)), figures is one.figures
        except ProblemsFound as found:
            troubles.append(found)
    raise troubles[0]


def _candidates(one: _Revision, other: _Revision, files: FirmFiles) -> Iterator[_Figures]:
    for each in (one, other):
        if each.figures is not None:
            yield each.figures
    basis, read = read_basis(files, one.prices, one.kept.on)
    rules = read_entries(read.rules, Notes())
    yield _Figures(basis.settings, basis.practice, basis.norms, tuple(rules))


def _notes(*made: tuple[_Revision, bool]) -> Iterator[str]:
    for revision, own in made:
        if not own:
            why = revision.note or _unreadable(ValueError())
            yield (f"revision {revision.kept.revision} {why}: those of the other revision, or else "
                   f"of today, are taken, and what that moves is told as '{NOT_KEPT}'")


def _again(
    revision: _Revision, made: Estimate, *, own: bool, before: bool
) -> Iterator[Step]:
    """Yield what making a revision again changes, if anything."""
    share = totals_of(made) - kept_totals(revision.kept)
    if share.moves_nothing:
        return
    words = ("as kept", "made again")
    was, now = words if before else words[::-1]
    change = Change(
        MADE_AGAIN if own else NOT_KEPT,
        f"revision {revision.kept.revision}: {_where_it_differs(revision.kept, made)}",
        was, now, lambda inputs: inputs)
    yield Step((change,), share if before else NOTHING - share)


def _where_it_differs(kept: EstimateJson, again: Estimate) -> str:
    """Name the items of the bill and the cost heads that are not as they were kept."""
    old = {line.item: line.cost + line.waste_cost for line in kept.lines if not line.option}
    new = {line.item.code: line.cost.minor + line.waste_cost.minor
           for line in again.bill.lines if not line.option}
    items = [code for code in sorted({*old, *new}) if old.get(code, 0) != new.get(code, 0)]
    heads = [name for name in ("labour", "contingency", "warranty", "overhead")
             if getattr(kept.cost, name) != getattr(again.cost, name).minor]
    named = [*heads, *items]
    more = f" and {len(named) - _NAMED} more" if len(named) > _NAMED else ""
    return (", ".join(named[:_NAMED]) or "the price alone") + more
