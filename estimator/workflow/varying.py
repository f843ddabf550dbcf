"""A variation: what was found on the job, priced by the same rules and kept as the next revision.

The survey of the accepted revision is taken with the facts as they are now; prices, rules, norms,
practice values, settings, substitutes, discount and the stops let pass are those that the accepted
revision was made with. Nothing is agreed by it: that is `estimator.workflow.agreeing`.

Codes of the problems, beside those of `variation_facts`: Z101 no name, Z104 a job that is not
accepted, Z117 nobody says what was found, Z118 a variation that is open says the same, Z119 the job
was changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, func, insert, select

from catalogue.item_text import item_text
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import VARIATION, VARIATION_EVENT
from catalogue.toml_source import parse_toml
from estimator import VERSION
from estimator.difference.inputs import Made, Maker
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.outcome.variation import PriceOfVariation, Variation, price_of_variation
from estimator.papers.contract import EstimateJson
from estimator.price import Discount
from estimator.survey.toml import survey_from
from estimator.verdict import LetPass
from estimator.workflow.basis import read_basis
from estimator.workflow.database import at_work
from estimator.workflow.firm import FirmFiles, database_of, firm_files
from estimator.workflow.job_states import JobState, held_job
from estimator.workflow.jobs import Making, keep_revision, kept_estimate, revision_number
from estimator.workflow.made_with import ITEMS, PROGRAM, items_of, texts_made_with
from estimator.workflow.recording import write_quoted
from estimator.workflow.remaking import KeptRevision, kept_revision, made_again
from estimator.workflow.survey_edit import with_answers
from estimator.workflow.variation_facts import FoundFact, read_changes


@dataclass(frozen=True)
class VariationAsked:
    """What was found on a job.

    Attributes:
        changes: FACT=VALUE, as typed.
        found, photo: in words, and where the photo lies.
        reason: one of `estimator.outcome.variation.REASONS`.
        chargeable: the customer pays for it.
    """

    job: str
    changes: tuple[str, ...]
    found: str
    reason: str
    by: str
    photo: str = ""
    chargeable: bool = True


@dataclass(frozen=True)
class Varied:
    """A variation as it was kept, with the revisions before it and with it."""

    variation: Variation
    was: EstimateJson
    now: EstimateJson
    notes: tuple[str, ...]

    @property
    def stopped(self) -> bool:
        """Return whether a finding bars a firm price with what was found."""
        return any(each.level == "stop" and not each.let_pass_by for each in self.now.findings)


@dataclass(frozen=True)
class _Priced:
    """The job made again without the variation and with it."""

    text: str
    changes: tuple[str, ...]
    estimate: Estimate
    price: PriceOfVariation
    texts: Mapping[str, str]
    notes: tuple[str, ...]


def vary(database: str | None, asked: VariationAsked, at: datetime) -> Varied:
    """Price what was found and keep it as a variation of the accepted revision, not agreed yet.

    Raises:
        ProblemsFound: J001 for a job that is not there; Z101, Z104, Z111 to Z118, all at once;
            else whatever keeps the job from being made again with these facts. Nothing is kept.
    """
    files = firm_files()
    place = database_of(database, files)
    with at_work(place) as work:
        before = _stands(work, asked)
        revision = kept_revision(work, before.kept)
        same = _same(work, asked.job, before.kept.revision)
    found, problems = read_changes(
        asked.changes, revision.survey, asked.found.strip(), asked.photo.strip(), asked.reason)
    problems = [*_amiss(asked, before.state), *problems, *same(found)]
    if problems:
        raise ProblemsFound(problems)
    priced = _priced(asked, before.number, revision, found, files)
    with at_work(place, write=True) as work:
        varied = _kept(work, asked, before, priced, at)
        work.commit()
    return varied


@dataclass(frozen=True)
class _Before:
    """How a job stands before a variation, the revision that counts, and the variation's number."""

    state: JobState
    kept: EstimateJson
    number: int


def _stands(work: Connection, asked: VariationAsked) -> _Before:
    newest, state = revision_number(work, asked.job), held_job(work, asked.job)
    number = work.scalar(
        select(func.max(VARIATION.c.number)).where(VARIATION.c.job_id == asked.job))
    kept = kept_estimate(work, asked.job, state.revision or newest)
    return _Before(state, kept, 1 + (number or 0))


def _amiss(asked: VariationAsked, stands: JobState) -> Iterator[Problem]:
    where = Place(f"job {asked.job}")
    if not asked.by.strip():
        yield Problem("Z101", where, "nobody has put a name to it", "say who says so: --name")
    if stands.state != "accepted":
        mend = ("quote it again with the facts as they are now: estimator quote SURVEY"
                if stands.state == "open" else
                f"if that no longer holds: estimator jobs reopen {asked.job} --name NAME")
        yield Problem("Z104", where, f"the job is {stands.state}, and only one that is accepted is "
                      "varied", mend)
    if not asked.found.strip():
        yield Problem("Z117", where, "nobody says what was found", "say it in words: --found")


def _same(
    work: Connection, job: str, revision: int
) -> Callable[[list[FoundFact]], list[Problem]]:
    """Return what tells which open variation of a revision says the same as what was found."""
    v, e = VARIATION.c, VARIATION_EVENT.c
    answered = select(e.id).where(e.job_id == v.job_id, e.number == v.number)
    there = {row.changes: row.number for row in work.execute(
        select(v.changes, v.number)
        .where(v.job_id == job, v.before_revision == revision, ~answered.exists())
        .order_by(v.number))}

    def tell(found: list[FoundFact]) -> list[Problem]:
        number = there.get("\n".join(map(str, found)))
        return [] if number is None else [Problem(
            "Z118", Place(f"job {job}"), f"variation {number}, which is open, says the same",
            f"estimator jobs agree {job} {number}, or refuse it first")]

    return tell


# -- made again ------------------------------------------------------------------------------------


def _priced(
    asked: VariationAsked, number: int, revision: KeptRevision, found: list[FoundFact],
    files: FirmFiles,
) -> _Priced:
    """Price a variation: the job again as it was accepted, and with what was found."""
    maker, kept = Maker(), revision.kept
    text = with_answers(revision.survey_text, [each.answer for each in found])
    survey = survey_from(parse_toml(text, f"the survey of revision {kept.revision} with what was "
                                          "found"))
    again, own = made_again(maker, revision, revision, files)
    inputs = replace(again.inputs, survey=survey)
    made = _Making(Made(inputs, again.estimate), maker.basis(inputs), revision.kept)
    with_it = made.estimate(inputs.discount, None)
    price = price_of_variation(
        Money(kept.price.net, kept.currency), again.estimate.price.net, with_it.price.net,
        chargeable=asked.chargeable)
    if with_it.price.net != price.net:
        off = price.off(with_it.price.list_net)
        why = f"variation {number} is not charged ({asked.reason})" if not asked.chargeable else (
            "what was agreed before stands")
        words = "; ".join(each for each in (_reason(inputs.discount), why) if each)
        with_it = made.estimate(
            Discount(off, words, asked.by.strip()) if off.minor else None, price.net)
    texts = _texts(with_it, made.basis, revision, files, own=own)
    return _Priced(text, tuple(map(str, found)), with_it, price, texts,
                   tuple(_notes(revision, again.estimate, own=own)))


def _reason(discount: Discount | None) -> str:
    return discount.reason if discount else ""


@dataclass(frozen=True)
class _Making:
    """Makes the job with what was found; stops that were let pass stay so while they are stops."""

    made: Made
    basis: Basis
    kept: EstimateJson

    def estimate(self, discount: Discount | None, least: Money | None) -> Estimate:
        survey, swaps = self.made.inputs.survey, self.made.inputs.swaps
        first = make_estimate(survey, self.basis, discount, (), swaps, least)
        stops = {finding.code for finding in first.findings if finding.level == "stop"}
        passes = {each.code: LetPass(each.code, each.let_pass_by, each.let_pass_because)
                  for each in self.kept.findings if each.let_pass_by and each.code in stops}
        if not passes:
            return first
        return make_estimate(survey, self.basis, discount, tuple(passes.values()), swaps, least)


def _texts(
    estimate: Estimate, basis: Basis, revision: KeptRevision, files: FirmFiles, *, own: bool
) -> Mapping[str, str]:
    if own:
        items = item_text(items_of(estimate, basis))
        return {**revision.texts, ITEMS: items, PROGRAM: VERSION}
    today, read = read_basis(files, revision.prices, revision.kept.on)
    return texts_made_with(estimate, today, read, files)


def _notes(revision: KeptRevision, again: Estimate, *, own: bool) -> Iterator[str]:
    kept = revision.kept
    if not own:
        yield f"Revision {kept.revision} {revision.note}: those of today are taken instead."
    more = Money(again.cost.total.minor - kept.cost.total, kept.currency)
    if more.minor:
        yield (f"Made again today, revision {kept.revision} costs {more} more than as it was kept; "
               "that is in the change of cost, and not charged.")


# -- kept ------------------------------------------------------------------------------------------


def _kept(
    work: Connection, asked: VariationAsked, before: _Before, priced: _Priced, at: datetime
) -> Varied:
    _refuse_changed(asked.job, before, _stands(work, asked))
    now, _ = keep_revision(work, Making(priced.estimate, priced.text, lambda: priced.texts))
    found = Variation(
        asked.job, before.number, asked.found.strip(), asked.photo.strip(), asked.reason,
        priced.changes, before.kept.revision, now.revision, asked.chargeable,
        now.cost.total - before.kept.cost.total, priced.price.charge.minor, asked.by.strip())
    work.execute(insert(VARIATION).values(_row(found, at)))
    write_quoted(work, now)
    return Varied(found, before.kept, now, priced.notes)


def _refuse_changed(job: str, before: _Before, now: _Before) -> None:
    if (before.state, before.number) != (now.state, now.number):
        raise ProblemsFound([Problem(
            "Z119", Place(f"job {job}"), f"the job was changed meanwhile: it is {now.state.state} "
            f"now, and has {now.number - 1} variations",
            f"see the record, and say again what was found: estimator jobs record {job}")])


def _row(found: Variation, at: datetime) -> dict[str, Any]:
    return {
        "job_id": found.job, "number": found.number, "found": found.found, "photo": found.photo,
        "reason": found.reason, "changes": "\n".join(found.changes),
        "before_revision": found.before, "after_revision": found.after,
        "chargeable": found.chargeable, "cost_minor": found.cost_minor,
        "price_minor": found.price_minor, "at": at.astimezone(UTC).replace(microsecond=0),
        "by": found.by,
    }


def as_variation(row: Row[Any]) -> Variation:
    """Return a variation as it was kept."""
    return Variation(
        row.job_id, row.number, row.found, row.photo, row.reason, tuple(row.changes.split("\n")),
        row.before_revision, row.after_revision, row.chargeable, row.cost_minor, row.price_minor,
        row.by)
