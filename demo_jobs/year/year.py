"""A firm's year from a seed. The same seed and estimates give the same year."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from random import Random

from demo_jobs.year.asking import Offers, ask
from demo_jobs.year.buying import Ordering, Prices, billed, filled, ordered, taken
from demo_jobs.year.calendar import FIRST, LAST, after, by_the_end
from demo_jobs.year.houses import House, read_houses
from demo_jobs.year.names import Crew, Names, read_names
from demo_jobs.year.records import Asked, Choice, Done, Found, Offered, Paid, Revision, Year
from demo_jobs.year.truths import Truth, read_truths
from demo_jobs.year.working import Site, job_factor, work

AGREED, CHARGED = 0.9, ("hidden", "customer change", "network")
REASONS = {"missed at survey": 35, "hidden": 25, "our error": 15, "customer change": 15,
           "network": 5, "supplier": 5}
DEPOSIT, ADVANCE = 0.25, 0.35


@dataclass(frozen=True)
class Firm:
    """What a year is drawn from: houses, names, truths, and what a job is offered and bought at."""

    houses: tuple[House, ...]
    names: Names
    truths: Mapping[str, Truth]
    offers: Offers
    prices: Prices

    @classmethod
    def read(cls, offers: Offers, prices: Prices) -> Firm:
        """Return the firm of the files beside this module."""
        return cls(read_houses(), read_names(), read_truths(), offers, prices)

    def house(self, asked: Asked) -> House:
        """Return the house that somebody asked for."""
        key = asked.revisions[0].choice.house
        return next(house for house in self.houses if house.key == key)


def year(seed: int, firm: Firm) -> Year:
    """Return the year of a seed."""
    asked = ask(seed, firm.houses, firm.names, firm.truths, firm.offers)
    taken_on = sorted((each.answered_on, each.job, each) for each in asked
                      if each.answer == "accepted" and each.answered_on is not None)
    free = {crew.name: FIRST for crew in firm.names.crews}
    done = []
    for _, job, each in taken_on:
        rng = Random(f"{seed} does {job}")
        crew = _crew(firm, each, free, rng)
        done.append(_do(firm, each, crew, free, rng))
    shelf = filled([(each.begun, each.taken) for each in done if each.begun is not None],
                   firm.truths, firm.prices)
    return Year(seed, FIRST, LAST, asked, tuple(done), shelf)


def _crew(firm: Firm, asked: Asked, free: Mapping[str, date], rng: Random) -> Crew:
    """Return who is to do a job; the planted crew has most of the slow covering."""
    unlucky, slow = firm.truths["unlucky-crew"], firm.truths["slow-covering"]
    of_slow = firm.house(asked).covering == slow["covering"]
    theirs = rng.random() < (unlucky.size if of_slow else (1 - unlucky.size) * 0.9)
    names = {crew.name: crew for crew in firm.names.crews}
    if theirs:
        return names[unlucky["crew"]]
    others = sorted(name for name in names if name != unlucky["crew"])
    soonest = min(others, key=lambda name: (free[name], name))
    return names[soonest if rng.random() < 0.7 else rng.choice(others)]


def _do(firm: Firm, asked: Asked, crew: Crew, free: dict[str, date], rng: Random) -> Done:
    accepted = asked.answered_on or LAST
    planned = after(max(after(accepted, rng.randint(20, 38)), free[crew.name]), 0)
    begins = after(planned, rng.choice((0, 0, 0, 0, 1, 2)))
    quoted, house = asked.revisions[-1], firm.house(asked)
    found = _found(firm, quoted, begins, rng)
    final = found.after.choice if found is not None and found.agreed else quoted.choice
    offered = firm.offers(final)
    site = Site(house, crew, asked.estimator, begins, job_factor(rng, firm.truths["job-factor"]))
    worked, ends = work(site, offered, firm.truths, rng)
    free[crew.name] = after(ends, 1)
    begun, commissioned = by_the_end(begins), by_the_end(ends)
    of = Ordering(asked.job, house, quoted.on, accepted, begins)
    bills = tuple(each for each in billed(offered, ends, rng) if each.on <= LAST)
    return Done(
        asked=asked, crew=crew.name, factor=site.factor, planned_on=planned, begun=begun,
        commissioned=commissioned, closed=_closed(commissioned, rng),
        found=found if begun is not None else None, worked=worked,
        bought=ordered(of, offered, firm.truths, firm.prices, rng),
        taken=tuple(taken(house, offered, firm.truths, rng)) if begun is not None else (),
        billed=bills, paid=_paid(firm.offers(quoted.choice), offered, of, commissioned, rng),
        gap=commissioned is not None and rng.random() < firm.truths["close-out-gaps"].size)


def _found(firm: Firm, quoted: Revision, begins: date, rng: Random) -> Found | None:
    """Return what is found on the day of the work, if anything is."""
    there = rng.random() < firm.truths["variations"].size
    reason = rng.choices(list(REASONS), list(REASONS.values()))[0]
    agreed = rng.random() < AGREED
    if not there:
        return None
    charged = reason in CHARGED
    before = quoted.choice
    changed = Choice(before.house, before.period, before.rebate, True, charged)
    return Found(begins, reason, charged, agreed, Revision(quoted.on, changed))


def _closed(commissioned: date | None, rng: Random) -> date | None:
    days = rng.randint(12, 30)
    return None if commissioned is None else by_the_end(after(commissioned, days))


def _paid(
    quoted: Offered, final: Offered, of: Ordering, commissioned: date | None, rng: Random
) -> tuple[Paid, ...]:
    deposit, advance = round(quoted.net_minor * DEPOSIT), round(quoted.net_minor * ADVANCE)
    plan = [("deposit", after(of.accepted, rng.randint(1, 5)), deposit),
            ("advance", after(of.begins, -12), advance)]
    days = rng.randint(3, 28)
    if commissioned is not None:
        plan.append(("balance", after(commissioned, days), final.net_minor - deposit - advance))
    return tuple(Paid(what, on, minor) for what, on, minor in plan if on <= LAST)
