"""The way to the network: inform after the work, or ask first; its waits, fees and limits.

Not more than 16 A a phase in all: the network is told within 28 days after commissioning (ENA
Engineering Recommendation G98). More: the network agrees before anything is connected (G99), an
export limit is kept by a limiter (G100). Every number stands in the practice pack with its source;
the fast routes are from memory and say so.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from catalogue.money import Money
from estimator.design.check import Check, Unanswered, limit_in, shown
from estimator.design.network.calendar import Due, working_days_after
from estimator.design.network.connection import Connection
from estimator.design.network.papers import (
    Paper,
    application_papers,
    closing_papers,
    fast_papers,
    notice,
)
from estimator.design.network.phases import per_phase_a
from estimator.practice.pack import Practice

RouteName = Literal[
    "inform after", "ask first", "ask first, with export limit", "ask first, several premises",
]
SUBJECT = "network"
OPERATOR = "network operator"


@dataclass(frozen=True, slots=True)
class Limiter:
    """What a limiter must do when it acts or loses its signal."""

    document: str
    usual_s: Decimal | None
    most_s: Decimal
    covers_import: bool
    source: str

    def passes(self, measured_s: Decimal) -> bool:
        """Return whether a measured fall-back time is in order."""
        return measured_s <= self.most_s


@dataclass(frozen=True, slots=True)
class NetworkRoute:
    """The route with all that follows from it, ready to become findings, tasks and fees.

    Attributes:
        per_phase_a: the most on each phase [A], exact.
        before_work: the work is not booked before the network has agreed.
        answer_days: working days to the network's answer; 0 where no answer is waited for.
        most_weeks: longest usual wait [weeks]; None where no answer is waited for.
        fee_role: role of the fee in the catalogue; `fee_least` and `fee_most` are the network's.
        norms: labour norms of the papers.
        fast: fast routes that might serve, from memory: verify the form.
    """

    name: RouteName
    per_phase_a: tuple[Fraction, ...]
    before_work: bool
    papers: tuple[Paper, ...]
    answer_days: int
    most_weeks: int | None
    fee_role: str
    fee_least: Money
    fee_most: Money
    norms: tuple[str, ...]
    fast: tuple[str, ...]
    limiter: Limiter | None
    checked: tuple[Check, ...]
    unanswered: tuple[Unanswered, ...]

    @property
    def heaviest_a(self) -> Fraction:
        """Return the sum on the heaviest phase [A]."""
        return max(self.per_phase_a)

    def answer_by(self, applied: date, practice: Practice) -> Due | None:
        """Return the day by which the network should answer; None where nothing is asked."""
        return working_days_after(applied, self.answer_days, practice) if self.before_work else None


def network_route(connection: Connection, practice: Practice, on: date) -> NetworkRoute:
    """Return the route of a connection designed on a day.

    While a fact is missing that decides, the route is the slow one and the fact is asked for.

    Raises:
        ProblemsFound: P020 if the pack has none of the values on that day.
    """
    volts = practice.number("network_volts", on)
    limit = practice.number("notify_limit_a", on)
    sums = per_phase_a(connection.all_devices, connection.phases, volts)
    open_facts = _open_facts(connection, max(sums) <= limit)
    small = max(sums) <= limit and not open_facts
    name = _name(connection, small)
    asks = name != "inform after"
    what = "application" if asks else "notice"
    fast = () if small else fast_routes(connection, practice, on)
    checked, unanswered = _told(connection, name, sums, open_facts, practice, on)
    return NetworkRoute(
        name=name, per_phase_a=sums, before_work=asks,
        papers=_papers(asks, bool(fast), practice, on),
        answer_days=int(practice.number("network_answer_days", on)) if asks else 0,
        most_weeks=int(practice.number("network_application_most_weeks", on)) if asks else None,
        fee_role=f"network {what}",
        fee_least=_fee(practice, "application_fee_least" if asks else "notice_fee", on),
        fee_most=_fee(practice, "application_fee_most" if asks else "notice_fee", on),
        norms=("office-approval",) if asks else (),
        fast=fast, limiter=limiter_of(practice, on) if connection.export_limit_w else None,
        checked=checked, unanswered=unanswered,
    )


def fast_routes(connection: Connection, practice: Practice, on: date) -> tuple[str, ...]:
    """Return the fast routes that might serve, from memory: verify with the current form."""
    volts = practice.number("network_volts", on)
    devices = connection.all_devices
    each = [device.amps(volts, connection.phases) for device in devices]
    heaviest = max(per_phase_a(devices, connection.phases, volts))
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


def _open_facts(connection: Connection, small_so_far: bool) -> tuple[str, ...]:
    """Return the missing facts that may turn a small connection into a large one."""
    if not small_so_far:
        return ()
    asked = (
        ("kit.converter.ac_w", connection.devices or None),
        ("supply.existing_generation_w", connection.existing_w),
        ("supply.other_premises", connection.other_premises),
    )
    return tuple(path for path, value in asked if value is None)


def _name(connection: Connection, small: bool) -> RouteName:
    if small:
        return "ask first, several premises" if connection.other_premises else "inform after"
    return "ask first, with export limit" if connection.export_limit_w else "ask first"


def _papers(asks: bool, fast: bool, practice: Practice, on: date) -> tuple[Paper, ...]:
    first = application_papers(practice, on) if asks else (notice(practice, on),)
    quick = fast_papers(practice, on) if fast else ()
    return (*first, *quick, *closing_papers(practice, on))


def _fee(practice: Practice, what: str, on: date) -> Money:
    value = practice.needed(f"network_{what}", on)
    return Money.of(limit_in(value), value.unit)


def _told(
    connection: Connection, name: RouteName, sums: tuple[Fraction, ...],
    open_facts: tuple[str, ...], practice: Practice, on: date,
) -> tuple[tuple[Check, ...], tuple[Unanswered, ...]]:
    limit = practice.needed("notify_limit_a", on)
    amps = (shown(max(sums)), shown(limit_in(limit)), limit.unit)
    # The finding on the route rests on what is known; the questions carry the worst case.
    route = Check(
        "network-route", "fine" if name == "inform after" else "caution", SUBJECT,
        _says(name, practice, on), limit.source, OPERATOR, *amps)
    told: list[Check] = [] if open_facts else [route]
    asked: list[Unanswered] = []
    if open_facts:
        asked.append(Unanswered("network-route", open_facts, _question(open_facts), route))
    pays = who_pays(connection, practice, on)
    (told if isinstance(pays, Check) else asked).append(pays)  # type: ignore[arg-type]
    if connection.supply_phases is None:
        asked.append(Unanswered(
            "network-phases", ("supply.phases",), "One or three phases?", route))
    if connection.export_limit_w:
        told.append(_limiter_told(limiter_of(practice, on)))
    elif connection.export_limit_w is None and name != "inform after":
        asked.append(Unanswered("network-export-limit", ("supply.network_cap_w",),
                                "Has the network set an export limit?", route))
    return tuple(told), tuple(asked)


def _says(name: RouteName, practice: Practice, on: date) -> str:
    if name == "inform after":
        days = shown(practice.number("network_notice_days", on))
        return ("all generation and storage counted, the network is told within "
                f"{days} days after commissioning")
    if name == "ask first, several premises":
        near = shown(practice.number("network_near_m", on))
        days = shown(practice.number("network_near_days", on))
        return (f"other premises within {near} m and {days} days are connected too: the network "
                "is asked before the work, do not book it yet")
    limited = " and agree the export limit" if name == "ask first, with export limit" else ""
    return ("more than may be fitted first, all generation and storage counted: the network must "
            f"agree{limited} before the work, do not book it yet")


def _question(facts: tuple[str, ...]) -> str:
    asks = {
        "kit.converter.ac_w": "Which converter is to be fitted?",
        "supply.existing_generation_w":
            "Is there any solar, storage or generator already, and how large?",
        "supply.other_premises":
            "Are others near by connected by the firm in the same weeks?",
    }
    return " ".join(asks[fact] for fact in facts)


def _limiter_told(limiter: Limiter) -> Check:
    usual = f", usually within {shown(limiter.usual_s)} s" if limiter.usual_s else ""
    return Check(
        "network-limiter", "caution", SUBJECT,
        f"the limiter is proved: back within the limit in {shown(limiter.most_s)} s at most"
        f"{usual}, safe when its signal is pulled, settings sealed or behind a password "
        f"({limiter.document})",
        limiter.source, OPERATOR, limit=shown(limiter.most_s), unit="s")


def who_pays(connection: Connection, practice: Practice, on: date) -> Check | Unanswered:
    """Return who pays for strengthening the local network.

    The network does for premises metered directly, up to the pack's supply, where each device is
    within the pack's device limit; beyond that the customer may have to.
    """
    supply = practice.needed("network_reinforce_supply_a", on)
    each = practice.needed("network_reinforce_device_a", on)
    volts = practice.number("network_volts", on)
    largest = max((device.amps(volts, connection.phases) for device in connection.all_devices),
                  default=Fraction(0))
    free = Check(
        "network-reinforcement", "fine", SUBJECT,
        "the network pays if its local lines must be strengthened", supply.source, OPERATOR,
        shown(largest), shown(limit_in(each)), each.unit)
    dear = Check(
        "network-reinforcement", "caution", SUBJECT,
        "the customer may have to pay if local lines must be strengthened: ask for the "
        "network's offer", supply.source, OPERATOR, shown(largest), shown(limit_in(each)),
        each.unit)
    if largest > limit_in(each):
        return dear
    if connection.fuse_a is None:
        return Unanswered("network-reinforcement", ("supply.fuse_a",),
                          "What does the main fuse say?", dear)
    return free if connection.fuse_a <= limit_in(supply) else dear
