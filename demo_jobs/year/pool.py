"""The estimates that the year's quotes are copies of: each made once, by the one way there is."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import Engine

from catalogue import db
from catalogue.money import Money
from catalogue.toml_source import parse_toml
from demo_jobs.year.calendar import PERIODS
from demo_jobs.year.houses import Heading, House, survey_text
from demo_jobs.year.records import Choice, Offered, PlannedBuy, PlannedGoods, PlannedTask, Revision
from demo_jobs.year.truths import Truth
from estimator.estimate import Basis, Estimate, make_estimate
from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import LineJson
from estimator.price import Discount
from estimator.survey.toml import survey_from
from estimator.workflow.basis import ReadFrom, read_basis
from estimator.workflow.firm import FirmFiles
from estimator.workflow.made_with import texts_made_with

BOUGHT_IN = frozenset({"hire", "service", "fee"})
REASON, NOT_CHARGED, ALLOWED = "to fill the crews' weeks", "not charged for", "L. Fenn"
VALID_DAYS = 30
# What stands in a pooled estimate where each job has its own; none of it is in any other text.
HEADING = Heading("HEADING-ID", "HEADING-TITLE", "HEADING-CUSTOMER", "HEADING-ADDRESS",
                  "HEADING-SURVEYOR", "HEADING-ESTIMATOR", date(2025, 12, 23), date(2026, 12, 24))
# The day of supply that quotes of each period reckon with: rules and tax hang on it.
SUPPLY = (date(2026, 6, 10), date(2026, 7, 31), date(2026, 11, 30), date(2027, 2, 26))
_TEXTS = ("id", "title", "customer", "address", "surveyor", "estimator")
_FILE = "HEADING-FILE"


@dataclass(frozen=True)
class Pooled:
    """One estimate with its text, the other texts it was made with, and what the year needs."""

    made: EstimateJson
    text: str
    texts: Mapping[str, str]
    offered: Offered


@dataclass
class Pool:
    """Makes each estimate when it is first asked for, and keeps it."""

    engine: Engine
    files: FirmFiles
    houses: Mapping[str, House]
    truths: Mapping[str, Truth]
    kept: dict[Choice, Pooled] = field(default_factory=dict)
    bases: dict[int, tuple[Basis, ReadFrom]] = field(default_factory=dict)

    def offered(self, choice: Choice) -> Offered:
        """Return what the year needs of an estimate."""
        return self.pooled(choice).offered

    def pooled(self, choice: Choice) -> Pooled:
        """Return an estimate."""
        if choice not in self.kept:
            basis, read = self.basis(choice.period)
            estimate = self._estimate(choice, basis)
            made = EstimateJson.of(estimate, 1)
            self.kept[choice] = Pooled(
                made, made.dumps(), texts_made_with(estimate, basis, read, self.files),
                _offered(made))
        return self.kept[choice]

    def basis(self, period: int) -> tuple[Basis, ReadFrom]:
        """Return what is priced with in a period."""
        if period not in self.bases:
            day = PERIODS[period]
            with db.session(self.engine, write=False) as work:
                prices = db.load_price_book(work, day)
            self.bases[period] = read_basis(self.files, prices, day)
        return self.bases[period]

    def _estimate(self, choice: Choice, basis: Basis) -> Estimate:
        heading = replace(HEADING, supply_date=SUPPLY[choice.period])
        text = survey_text(self.houses[choice.house], heading, choice.changed)
        survey, off = survey_from(parse_toml(text, _FILE)), self._off(choice)
        return make_estimate(survey, basis, off)

    def _off(self, choice: Choice) -> Discount | None:
        """Return what comes off the list price; what is not charged for all comes off."""
        listed = Choice(choice.house, choice.period, Decimal(0), choice.changed)
        if choice == listed:
            return None
        made = self.pooled(listed).made
        list_net = Money(made.price.list_net, made.currency)
        if choice.charged:
            off = list_net.times(choice.rebate)
            return Discount(off, REASON, ALLOWED) if off.minor else None
        before = self.pooled(Choice(choice.house, choice.period, choice.rebate)).made.price
        return Discount(Money(list_net.minor - before.net, made.currency), NOT_CHARGED, ALLOWED)


def _offered(made: EstimateJson) -> Offered:
    lines = [_goods(line) for line in made.lines if line.buys and not line.option]
    carriage = sum(head.amount for head in made.cost.heads if head.head == "carriage")
    return Offered(
        net_minor=made.price.net, cost_minor=made.cost.total, hours=float(made.hours.mean),
        carriage_minor=carriage,
        tasks=tuple(PlannedTask(task.task, task.group, float(task.low), float(task.mean),
                                float(task.high)) for task in made.tasks),
        goods=tuple(line for line in lines if line.family not in BOUGHT_IN),
        bought_in=tuple(line for line in lines if line.family in BOUGHT_IN))


def _goods(line: LineJson) -> PlannedGoods:
    assert line.offer is not None
    offer = line.offer
    buys = tuple(
        PlannedBuy(
            buy.supplier, buy.supplier_code, buy.pack, buy.per or buy.pack, buy.least,
            buy.quantity, buy.price, (buy.cut_charge or 0) * buy.cuts, offer.lead_days,
            offer.carriage_class, offer.from_date, offer.to_date)
        for buy in line.buys)
    return PlannedGoods(
        line.item, line.name, line.unit, line.family, line.head, line.held == "stock",
        (line.buy + line.allowance).quantize(Decimal("0.001")), line.cost + line.waste_cost, buys)


@dataclass(frozen=True, slots=True)
class Copy:
    """A pooled estimate as the revision of one job."""

    survey: str
    text: str
    digest: str
    valid_until: date


def survey_file(job: str) -> str:
    """Return where the survey of a job lies in the firm's folder."""
    return f"jobs/{job}.toml"


def copied(pool: Pool, revision: Revision, number: int, heading: Heading) -> Copy:
    """Return a pooled estimate under a job's own name, as quoting it on that day would make it."""
    pooled, choice = pool.pooled(revision.choice), revision.choice
    survey = survey_text(pool.houses[choice.house], heading, choice.changed)
    until = revision.on + timedelta(VALID_DAYS)
    text = pooled.text.replace(_FILE, survey_file(heading.id))
    for name in _TEXTS:
        text = text.replace(_quoted(getattr(HEADING, name)), _quoted(getattr(heading, name)))
    text = text.replace(f'"{HEADING.surveyed_on}"', f'"{heading.surveyed_on}"')
    text = text.replace(f'"on": "{pooled.made.on}"', f'"on": "{revision.on}"', 1)
    text = text.replace(f'"valid_until": "{pooled.made.price.valid_until}"',
                        f'"valid_until": "{until}"', 1)
    alike, kept = (text.replace('"revision": 1,', f'"revision": {each},', 1)
                   for each in (0, number))
    digest = hashlib.sha256(f"{survey}\0{alike}".encode()).hexdigest()
    return Copy(survey, kept, digest, until)


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
