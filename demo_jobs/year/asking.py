"""Who asks for a quote, what he is offered, and what he says to it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta
from random import Random

from demo_jobs.year.calendar import FIRST, LAST, after, by_the_end, period_on, workday
from demo_jobs.year.houses import House
from demo_jobs.year.names import Names
from demo_jobs.year.records import Asked, Choice, Offered, Revision
from demo_jobs.year.truths import Truth

QUOTES = 400
LAST_QUOTE_DAYS = 3  # no quote goes out on the last days
ASKED_AGAIN = 0.12  # share of quotes that come back for a lower price
LEAST_CHANCE, MOST_CHANCE = 0.05, 0.95
Offers = Callable[[Choice], Offered]


def ask(
    seed: int, houses: Sequence[House], names: Names, truths: Mapping[str, Truth], offers: Offers,
) -> tuple[Asked, ...]:
    """Return the enquiries of a year, the first first."""
    rng = Random(f"{seed} days")
    span = (LAST - FIRST).days - LAST_QUOTE_DAYS
    days = sorted(workday(FIRST + timedelta(rng.randint(0, span))) for _ in range(QUOTES))
    return tuple(
        _one(f"Y-{number:03d}", day, Random(f"{seed} asks {number}"), houses, names, truths, offers)
        for number, day in enumerate(days, 1))


def _one(
    job: str, day: date, rng: Random, houses: Sequence[House], names: Names,
    truths: Mapping[str, Truth], offers: Offers,
) -> Asked:
    house = rng.choices(houses, [each.weight for each in houses])[0]
    town = names.town(rng)
    revisions = _revisions(day, house, rng, truths)
    margin = offers(revisions[-1].choice).margin
    answer, answered = _answer(revisions[-1].on, margin, rng, truths)
    return Asked(
        job=job, title=_title(house), customer=names.customer(rng),
        address=names.address(rng, town), area=town.area,
        estimator=rng.choice(names.estimators), surveyor=rng.choice(names.surveyors),
        lead_source=_lead(rng, truths["lead-source"]), revisions=revisions,
        contacted=_contacted(revisions[-1].on, answered, rng),
        chance_percent=rng.choice((20, 30, 40, 50)), answer=answer, answered_on=answered)


def _title(house: House) -> str:
    panels = f"{house.panels} panels" if house.panels else ""
    storage = f"{house.modules * 5} kWh of storage" if house.modules else ""
    return " and ".join(part for part in (panels, storage) if part)


def _revisions(
    day: date, house: House, rng: Random, truths: Mapping[str, Truth]
) -> tuple[Revision, ...]:
    first, lower = house.rebates
    again = rng.random() < ASKED_AGAIN
    rebate = first if again or rng.random() < 0.5 else lower
    made = (Revision(day, Choice(house.key, period_on(day), rebate)),)
    then = after(day, rng.randint(5, 14))
    if not again or then > LAST:
        return made
    return (*made, Revision(then, Choice(house.key, period_on(then), lower)))


def _lead(rng: Random, truth: Truth) -> str:
    shares = {str(truth["source"]): truth.size, **{
        str(name): float(share) for name, share in truth["others"]}}
    return rng.choices(list(shares), list(shares.values()))[0]


def win_chance(margin: float, truth: Truth) -> float:
    """Return how likely a quote of this margin is taken."""
    chance = truth["chance"] - truth.size * (margin - truth["chance_at_margin"])
    return float(min(MOST_CHANCE, max(LEAST_CHANCE, chance)))


def _answer(
    sent: date, margin: float, rng: Random, truths: Mapping[str, Truth]
) -> tuple[str, date | None]:
    taken = rng.random() < win_chance(margin, truths["win-rate"])
    silent = rng.random() < truths["silent-quotes"].size
    day = by_the_end(after(sent, 2 + min(28, int(rng.expovariate(1 / 9)))))
    if day is None or (silent and not taken):
        return "", None
    return ("accepted" if taken else "declined"), day


def _contacted(sent: date, answered: date | None, rng: Random) -> tuple[date, ...]:
    until = answered or LAST
    days: list[date] = []
    day = after(sent, rng.randint(5, 9))
    while day < until and len(days) < 3:  # nobody calls more than three times
        days.append(day)
        day = after(day, rng.randint(8, 15))
    return tuple(days)
