"""Which quotes are out, how old are they, and whom is it worth to ring?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from catalogue.money import round_half_up
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, count

AGES = (7, 14, 30, 60)  # days; common practice, no source
SOON = 7  # days in which a quote is about to run out
MOST_CALLS = 30


@dataclass(frozen=True, slots=True)
class Out:
    """An open quote that was sent.

    Attributes:
        sent: the day on which it went out last.
        contacted: the day on which somebody last spoke with the customer, or None.
        chance: that it is taken, from 0 to 1.
    """

    job: str
    title: str
    net_minor: int
    sent: date
    valid_until: date
    contacted: date | None
    chance: Decimal

    @property
    def worth_minor(self) -> int:
        """Return price times chance, rounded."""
        return round_half_up(Fraction(self.net_minor) * Fraction(self.chance))

    def age(self, on: date) -> int:
        """Return for how many days it is out."""
        return (on - self.sent).days

    def left(self, on: date) -> int:
        """Return for how many days it still holds; below zero it has run out."""
        return (self.valid_until - on).days


def aged_quotes(quotes: Sequence[Out], on: date, currency: str) -> Report:
    """Return the report on open quotes by their age."""
    rows = tuple(_bucket(quotes, on, low, high) for low, high in zip(
        (0, *(age + 1 for age in AGES)), (*AGES, None), strict=True))
    return Report(
        name="aged-quotes", question="How old are the quotes that are out?",
        answer=tuple(_aged_words(quotes, on, currency)),
        columns=(
            ReportColumn("age", "Days since sent"),
            ReportColumn("quotes", "Quotes", "count", total=True),
            ReportColumn("net_minor", "Quoted", "money", total=True),
            ReportColumn("worth_minor", "Times its chance", "money", total=True),
            ReportColumn("binding", "Still hold", "count", total=True),
            ReportColumn("ran_out", "Ran out", "count", total=True),
            ReportColumn("silent", "Never spoken with", "count", total=True)),
        rows=rows, currency=currency, jobs=len(quotes),
        chart=Chart("bars", "age", ("worth_minor",)) if quotes else None,
        cautions=("A chance is what somebody said of this customer, or else the firm's usual one; "
                  "price times chance is a mean over many quotes, never what one brings.",))


def _bucket(quotes: Sequence[Out], on: date, low: int, high: int | None) -> tuple[Cell, ...]:
    found = [each for each in quotes
             if low <= max(0, each.age(on)) and (high is None or each.age(on) <= high)]
    holding = sum(each.left(on) >= 0 for each in found)
    return (f"{low} to {high}" if high is not None else f"{low} and more", len(found),
            sum(each.net_minor for each in found), sum(each.worth_minor for each in found), holding,
            len(found) - holding, sum(each.contacted is None for each in found))


def _aged_words(quotes: Sequence[Out], on: date, currency: str) -> Iterator[str]:
    if not quotes:
        yield f"No quote that was sent is open on {on}."
        return
    worth = sum(each.worth_minor for each in quotes)
    yield (f"{count(len(quotes), 'quote')} {'is' if len(quotes) == 1 else 'are'} out on {on} for "
           f"{amount(sum(each.net_minor for each in quotes), currency)}; times the chance of each "
           f"that is {amount(worth, currency)}.")
    soon = [each for each in quotes if 0 <= each.left(on) <= SOON]
    out = sum(each.left(on) < 0 for each in quotes)
    yield (f"{count(len(soon), 'quote')} {'runs' if len(soon) == 1 else 'run'} out within "
           f"{SOON} days, {amount(sum(each.worth_minor for each in soon), currency)} times their "
           f"chance; {out} {'has' if out == 1 else 'have'} run out already and would be priced "
           "anew.")


def call_list(quotes: Sequence[Out], on: date, currency: str) -> Report:
    """Return the report on whom to ring: those that hold and are worth most come first."""
    calls = sorted(quotes, key=lambda each: (each.left(on) < 0, -each.worth_minor, each.job))
    return Report(
        name="call-list", question="Whom is it worth to ring?",
        answer=_call_words(calls, on, currency),
        columns=(
            ReportColumn("job", "Job"), ReportColumn("title", "Title"),
            ReportColumn("net_minor", "Quoted", "money"),
            ReportColumn("chance_share", "Chance", "share"),
            ReportColumn("worth_minor", "Times its chance", "money"),
            ReportColumn("age_days", "Days out", "count"),
            ReportColumn("left_days", "Days left", "count"),
            ReportColumn("silent_days", "Days since spoken with", "count")),
        rows=tuple(
            (each.job, each.title, each.net_minor, each.chance, each.worth_minor, each.age(on),
             each.left(on), None if each.contacted is None else (on - each.contacted).days)
            for each in calls[:MOST_CALLS]),
        currency=currency, jobs=len(quotes),
        cautions=(f"The first {MOST_CALLS} are listed.",) if len(calls) > MOST_CALLS else ())


def _call_words(calls: Sequence[Out], on: date, currency: str) -> tuple[str, ...]:
    if not calls:
        return ("There is nobody to ring.",)
    first = calls[0]
    left = first.left(on)
    holds = f"holds for {count(left, 'day')} more" if left >= 0 else "has run out"
    return (f"First {first.job}: {amount(first.net_minor, currency)}, and it {holds}.",)
