"""A kept revision made again from the texts kept beside it, with the prices as they were known.

Where none were kept (it is older than that), or this program cannot use them any more, those of
another revision are taken, else today's. A revision that came of a variation was priced with what
was known when the revision that it changes was made.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from itertools import groupby
from pathlib import PurePosixPath

from sqlalchemy import Connection, select

from catalogue import db
from catalogue.item_text import items_from
from catalogue.items import Item
from catalogue.money import Money
from catalogue.price_book import PriceBook
from catalogue.problems import ProblemsFound
from catalogue.tables import REVISION, VARIATION
from catalogue.toml_source import parse_toml
from estimator.buying.swaps import Swap
from estimator.difference.inputs import Inputs, Made, Maker
from estimator.labour.norms import Norm, read_norms
from estimator.papers.contract import EstimateJson
from estimator.practice.pack import Pack, Practice, practice_from
from estimator.price import Discount
from estimator.rules.entries import Entry, Notes, read_entries
from estimator.settings import Settings
from estimator.survey.model import Survey
from estimator.survey.toml import survey_from
from estimator.workflow.basis import read_basis
from estimator.workflow.firm import FirmFiles
from estimator.workflow.made_with import (
    ITEMS,
    NORMS,
    PRACTICE,
    RULES,
    SETTINGS,
    kept_sources,
    kept_texts,
)


@dataclass(frozen=True)
class Figures:
    """What a firm reckons with, apart from prices; items only where data sheets were kept."""

    settings: Settings
    practice: Practice
    norms: Mapping[str, Norm]
    rules: tuple[Entry, ...]
    items: tuple[Item, ...] = ()


@dataclass(frozen=True)
class KeptRevision:
    """A kept revision, with what is found of what it was made with.

    Attributes:
        prices: as they were known when it was made.
        figures: None if nothing was kept that this program can use; `note` says why.
        survey_text, texts: what it was made from, as it was kept.
    """

    kept: EstimateJson
    survey: Survey
    prices: PriceBook
    figures: Figures | None
    note: str
    survey_text: str
    texts: Mapping[str, str]

    def inputs(self, figures: Figures) -> Inputs:
        """Return what it was made with, with the figures of this revision or of another."""
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


def kept_revision(work: Connection, kept: EstimateJson) -> KeptRevision:
    """Return a revision with what it was made with, as far as that was kept."""
    job, number = kept.job.id, kept.revision
    text = work.execute(select(REVISION.c.survey_text).where(
        REVISION.c.job_id == job, REVISION.c.number == number)).scalar_one()
    survey = survey_from(parse_toml(text, f"the survey of revision {number}"))
    prices = db.load_price_book(work, kept.on, _known_at(work, job, number))
    texts = kept_texts(work, job, number)
    figures, note = None, ("was kept without the rules, norms, practice values and settings that "
                           "it was made with")
    if texts:
        try:
            figures, note = _figures(texts, kept.on), ""
        except (ProblemsFound, ValueError, KeyError) as error:
            note = unreadable(error)
    return KeptRevision(kept, survey, prices, figures, note, text, texts)


def _known_at(work: Connection, job: str, number: int) -> datetime:
    """Return when the prices were known: those of a variation are the prices of what it changes."""
    v = VARIATION.c
    before: int | None = number
    while before is not None:
        number = before
        before = work.scalar(select(v.before_revision).where(
            v.job_id == job, v.after_revision == number).limit(1))
    known_at: datetime = work.execute(select(REVISION.c.made_at).where(
        REVISION.c.job_id == job, REVISION.c.number == number)).scalar_one()
    return known_at


def unreadable(error: Exception) -> str:
    """Say why what a revision was made with cannot be used any more."""
    why = error.problems[0].says if isinstance(error, ProblemsFound) else "they are of another form"
    return f"was made with rules and figures that this program cannot use any more ({why})"


def _figures(texts: Mapping[str, str], on: date) -> Figures:
    return Figures(
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


def made_again(
    maker: Maker, one: KeptRevision, other: KeptRevision, files: FirmFiles
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


def _candidates(one: KeptRevision, other: KeptRevision, files: FirmFiles) -> Iterator[Figures]:
    for each in (one, other):
        if each.figures is not None:
            yield each.figures
    basis, read = read_basis(files, one.prices, one.kept.on)
    rules = read_entries(read.rules, Notes())
    yield Figures(basis.settings, basis.practice, basis.norms, tuple(rules))


