"""The way to the network: inform after the work, or ask first; its papers, waits and fees.

Not more than 16 A a phase in all: the network is told within 28 days after commissioning (ENA
Engineering Recommendation G98). More: the network agrees before anything is connected (G99), an
export limit is kept by a limiter (G100). Every number stands in the practice pack with its source;
the fast routes are from memory and say so.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal, NamedTuple

from catalogue.money import Money
from estimator.design.check import limit_in
from estimator.design.network.calendar import Due, days_after, working_days_after
from estimator.design.network.connection import CAP, PREMISES, Connection
from estimator.design.network.papers import (
    Paper,
    application_papers,
    closing_papers,
    fast_papers,
    notice,
    several_papers,
)
from estimator.design.network.phases import per_phase_a
from estimator.practice.pack import Practice

RouteName = Literal[
    "inform after", "ask first", "ask first, with export limit", "ask first, several premises",
]
WORKING_WEEK = 5


class Limiter(NamedTuple):
    """What a limiter must do when it acts or loses its signal."""

    document: str
    usual_s: Decimal | None
    most_s: Decimal
    covers_import: bool
    source: str

    def passes(self, measured_s: Decimal) -> bool:
        """Return whether a measured fall-back time is in order."""
        return measured_s <= self.most_s


class NetworkRoute(NamedTuple):
    """The route with all that follows from it, ready to become findings, tasks and fees.

    Attributes:
        per_phase_a: the most on each phase of what is known [A], exact.
        open_facts: missing facts that may still decide; the route is the slow one until then.
        answer_days: working days to the network's answer; 0 where no answer is waited for.
        most_weeks: longest usual wait [weeks]; 0 where no answer is waited for.
        fee_role: role of the fee in the catalogue; `fee_least` and `fee_most` are the network's.
        norms: labour norms of the papers and of the limiter's proof.
        fast: fast routes that might serve, from memory: verify the form.
        limiter: what a limiter must do, where one is due or may be.
        limiter_open: whether nobody knows yet if one is due.
    """

    name: RouteName
    per_phase_a: tuple[Fraction, ...]
    open_facts: tuple[str, ...]
    papers: tuple[Paper, ...]
    answer_days: int
    most_weeks: int
    fee_role: str
    fee_least: Money
    fee_most: Money
    norms: tuple[str, ...]
    fast: tuple[str, ...]
    limiter: Limiter | None
    limiter_open: bool

    @property
    def before_work(self) -> bool:
        """Return whether the network must agree before the work is booked."""
        return self.name != "inform after"

    @property
    def heaviest_a(self) -> Fraction:
        """Return the sum on the heaviest phase [A]."""
        return max(self.per_phase_a)

    @property
    def answer_weeks(self) -> int:
        """Return the weeks to the network's answer, begun ones counted whole."""
        return -(-self.answer_days // WORKING_WEEK)

    def answer_by(self, applied: date, practice: Practice) -> Due | None:
        """Return the day by which the network should answer; None where nothing is asked."""
        return working_days_after(applied, self.answer_days, practice) if self.before_work else None

    def agreed_by(self, applied: date, practice: Practice) -> Due | None:
        """Return the day by which it usually agrees at the latest; None where nothing is asked."""
        answer = self.answer_by(applied, practice)
        return answer and max(answer, days_after(applied, 7 * self.most_weeks))


def network_route(connection: Connection, practice: Practice, on: date) -> NetworkRoute:
    """Return the route of a connection designed on a day.

    While a fact is missing that decides, the route is the slow one.

    Raises:
        ProblemsFound: P020 if the pack has none of the values on that day.
    """
    open_facts = _open_facts(connection, practice, on)
    name = _name(connection, open_facts, practice, on)
    asks = name != "inform after"
    fee = "application" if asks else "notice"
    several = name == "ask first, several premises"
    sure = not open_facts and not connection.sum_misses
    fast = fast_routes(connection, practice, on) if asks and sure and not several else ()
    limiter_open = asks and connection.export_limit_w is None
    limiter = limiter_of(practice, on) if limiter_open or connection.export_limit_w else None
    return NetworkRoute(
        name=name, open_facts=open_facts,
        per_phase_a=per_phase_a(connection.all_devices, connection.phases,
                                practice.number("network_volts", on)),
        papers=_papers(name, bool(fast), practice, on),
        answer_days=int(practice.number("network_answer_days", on)) if asks else 0,
        most_weeks=int(practice.number("network_application_most_weeks", on)) if asks else 0,
        fee_role=f"network {fee}",
        fee_least=_fee(practice, "application_fee_least" if asks else "notice_fee", on),
        fee_most=_fee(practice, "application_fee_most" if asks else "notice_fee", on),
        norms=(*(("office-approval",) if asks else ()), *(("limit-test",) if limiter else ())),
        fast=fast, limiter=limiter, limiter_open=limiter_open,
    )


def fast_routes(connection: Connection, practice: Practice, on: date) -> tuple[str, ...]:
    """Return the fast routes that might serve, from memory: verify with the current form."""
    volts = practice.number("network_volts", on)
    devices = connection.all_devices
    each = [device.amps(volts, connection.phases) for device in devices]
    heaviest = connection.worst_a(volts)
    found = []
    cap_w = connection.export_limit_w
    if (cap_w and len(devices) <= practice.number("network_fast_devices", on)
            and max(each, default=0) <= practice.number("network_fast_device_a", on)
            and Fraction(cap_w) / (Fraction(volts) * connection.phases)
            <= practice.number("network_fast_export_a", on)):
        found.append("SGI-1")
    found += [f"SGI-{at}" for at, most in ((2, "two"), (3, "three"))
              if heaviest <= practice.number(f"network_fast_{most}_a", on)]
    return tuple(found)


def limiter_of(practice: Practice, on: date) -> Limiter:
    """Return what a limiter designed on a day must do."""
    most = practice.needed("network_limiter_most_s", on)
    usual = practice.at("network_limiter_usual_s", on)
    return Limiter(
        str(practice.needed("network_limit_document", on).value),
        limit_in(usual) if usual else None, limit_in(most),
        practice.needed("network_limit_import", on).value is True, most.source)


def _over(connection: Connection, practice: Practice, on: date) -> bool:
    """Return whether what is known is too much for the small route, whatever is still unknown."""
    least = connection.least_a(practice.number("network_volts", on))
    return least > practice.number("notify_limit_a", on)


def _open_facts(connection: Connection, practice: Practice, on: date) -> tuple[str, ...]:
    """Return the missing facts that decide; none where the known ones already ask first."""
    if connection.export_limit_w or connection.other_premises or _over(connection, practice, on):
        return ()
    missing = list(connection.sum_misses)
    if connection.other_premises is None:
        missing.append(PREMISES)
    # Only what is there already can have a limit from before; a new small one is not asked about.
    if connection.existing_w and connection.export_limit_w is None:
        missing.append(CAP)
    return tuple(missing)


def _name(
    connection: Connection, open_facts: tuple[str, ...], practice: Practice, on: date
) -> RouteName:
    """Return the route; where facts are open, the one that their worst answers lead to."""
    if connection.export_limit_w:
        return "ask first, with export limit"
    if set(open_facts) - {PREMISES} or _over(connection, practice, on):
        return "ask first"
    several = connection.other_premises or PREMISES in open_facts
    return "ask first, several premises" if several else "inform after"


def _papers(name: RouteName, fast: bool, practice: Practice, on: date) -> tuple[Paper, ...]:
    if name == "inform after":
        first: tuple[Paper, ...] = (notice(practice, on),)
    elif name == "ask first, several premises":
        first = several_papers(practice, on)
    else:
        first = application_papers(practice, on)
    quick = fast_papers(practice, on) if fast else ()
    return (*first, *quick, *closing_papers(practice, on))


def _fee(practice: Practice, what: str, on: date) -> Money:
    value = practice.needed(f"network_{what}", on)
    return Money.of(limit_in(value), value.unit)
