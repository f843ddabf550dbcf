"""What the connection tells: sum per phase, route, limiter, cap and who pays; and what is asked.

The findings rest on what is known. While a fact is missing that may turn one of them, there is no
finding but a question that carries the worst outcome.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from fractions import Fraction

from estimator.design.check import Check, Unanswered, limit_in, shown
from estimator.design.network.connection import (
    CAP,
    CONVERTER,
    FUSE,
    PHASES,
    PREMISES,
    THERE,
    Connection,
)
from estimator.design.network.phases import THREE
from estimator.design.network.route import Limiter, NetworkRoute
from estimator.practice.pack import Practice

SUBJECT = "network"
OPERATOR = "network operator"
Told = Check | Unanswered
_ASKS = {
    CONVERTER: "Which converter is to be fitted?",
    PHASES: "One or three phases?",
    THERE: "Is there any solar, storage or generator already, and how large?",
    PREMISES: "Are others near by connected by the firm in the same weeks?",
    CAP: "Has the network set an export limit?",
    FUSE: "What does the main fuse say?",
}


def network_told(
    connection: Connection, route: NetworkRoute, practice: Practice, on: date,
    planned: date | None = None,
) -> tuple[Told, ...]:
    """Return all that the connection and its route tell.

    Args:
        on: the day of the design; the network is taken to be asked then.
        planned: the day on which the system is to be handed over, if there is one yet.

    Raises:
        ProblemsFound: P020 if the pack has none of the values on that day.
    """
    return (
        _per_phase_told(connection, route, practice, on), _route_told(route, practice, on),
        *_wait_told(route, practice, on, planned), *_limiter_told(route),
        *_cap_told(connection, practice, on),
        who_pays(connection, practice, on),
    )


def _answered(check: Check, missing: tuple[str, ...]) -> Told:
    """Return a check, or the question for the facts it misses with the check as the worst case."""
    if not missing:
        return check
    return Unanswered(check.code, missing, " ".join(_ASKS[fact] for fact in missing), check)


def _per_phase_told(
    connection: Connection, route: NetworkRoute, practice: Practice, on: date
) -> Told:
    limit = practice.needed("notify_limit_a", on)
    least, most = connection.least_a(practice.number("network_volts", on)), limit_in(limit)
    missing = () if least > most else connection.sum_misses
    says = "all generation and storage on the heaviest phase, new and existing, no diversity"
    if not missing and least <= most:
        return Check("network-per-phase", "fine", SUBJECT, says, limit.source, OPERATOR, least,
                     most, limit.unit)
    # At worst there is more than anybody has counted, so that no number can be put to it.
    return _answered(Check(
        "network-per-phase", "caution", SUBJECT, f"{says}: more than may be fitted first",
        limit.source, OPERATOR, "" if missing else least, most, limit.unit), missing)


def _route_told(route: NetworkRoute, practice: Practice, on: date) -> Told:
    limit = practice.needed("notify_limit_a", on)
    answer = practice.needed("network_answer_days", on)
    check = Check(
        "network-route", "caution" if route.before_work else "fine", SUBJECT,
        _says(route, practice, on),
        f"{limit.source}; {answer.source}" if route.before_work else limit.source, OPERATOR)
    return _answered(_priced(check), route.open_facts) if route.open_facts else check


def _priced(check: Check) -> Check:
    """Return a worst case that the estimate is priced with."""
    return replace(check, says=f"{check.says}; priced so until known")


def _says(route: NetworkRoute, practice: Practice, on: date) -> str:
    if not route.before_work:
        days = shown(practice.number("network_notice_days", on))
        return (f"the network is told within {days} days after commissioning; nothing is waited "
                f"for, {_fee(route)}")
    if route.name == "ask first, several premises":
        near = shown(practice.number("network_near_m", on))
        days = shown(practice.number("network_near_days", on))
        first = (f"with other premises within {near} m and {days} days the network must agree "
                 "before the work")
    else:
        limited = " and agree the export limit" if route.name.endswith("export limit") else ""
        first = f"the network must agree{limited} before the work"
    return (f"{first}, which takes {route.answer_weeks} to {route.most_weeks} weeks: do not book "
            f"it yet; {_fee(route)}")


def _fee(route: NetworkRoute) -> str:
    least, most = route.fee_least, route.fee_most
    if not most.minor:
        return "the network charges no fee"
    span = str(most) if least == most else f"{least} to {most}"
    return f"the network's fee is {span}"


def _wait_told(
    route: NetworkRoute, practice: Practice, on: date, planned: date | None
) -> Iterator[Told]:
    """Hold the planned day against the day on which the network may still be at it."""
    agreed = route.agreed_by(on, practice)
    if agreed is None or planned is None:
        return
    answer = practice.needed("network_answer_days", on)
    late = planned < agreed.day
    says = "the handover is planned before the network may have agreed: name no day to the " \
        "customer yet" if late else "the handover is planned for when the network has agreed"
    yield _answered(Check(
        "network-wait", "caution" if late else "fine", SUBJECT, says, answer.source, OPERATOR,
        str(planned), str(agreed.day), at_least=True), route.open_facts)


def _limiter_told(route: NetworkRoute) -> Iterator[Told]:
    if route.limiter is None:
        return
    check = _limiter_check(route.limiter)
    if route.limiter_open:
        worst = replace(check, says="the network caps the export, and a limiter is due")
        yield _answered(_priced(worst), (CAP,))
    else:
        yield check


def _limiter_check(limiter: Limiter) -> Check:
    usual = f", usually within {shown(limiter.usual_s)} s" if limiter.usual_s else ""
    return Check(
        "network-limiter", "caution", SUBJECT,
        f"the export limiter is proved with a load: back within the limit in "
        f"{shown(limiter.most_s)} s at most{usual}, safe when its signal is pulled, settings "
        f"sealed or behind a password ({limiter.document})", limiter.source, OPERATOR)


def limiter_unlisted(connection: Connection) -> Iterator[Told]:
    """Yield what a limiter asks where the pack has no rules for the network."""
    if connection.export_limit_w != 0:
        check = Check("network-limiter", "caution", SUBJECT,
                      "an export limiter is set and proved as the network asks",
                      "the practice pack: no rules for the network", OPERATOR)
        yield _answered(check, (CAP,) if connection.export_limit_w is None else ())


def _cap_told(connection: Connection, practice: Practice, on: date) -> Iterator[Told]:
    """Hold all outputs together against the limit that the network has set, if it has."""
    cap_w = connection.export_limit_w
    if not cap_w:
        return
    source = practice.needed("network_limit_document", on).source
    total_w = sum((Fraction(device.ac_w) for device in connection.all_devices), Fraction(0))
    over = Check("network-cap", "caution", SUBJECT,
                 "together more than the network lets out: the limiter must hold it back",
                 source, OPERATOR, total_w, cap_w, "W")
    missing = tuple(path for path in connection.sum_misses if path != PHASES)
    if total_w > cap_w:
        yield over
    elif missing:
        yield _answered(replace(over, value=""), missing)
    else:
        yield Check("network-cap", "fine", SUBJECT,
                    "together no more than the network lets out; the limiter is set all the same",
                    source, OPERATOR, total_w, cap_w, "W")


def who_pays(connection: Connection, practice: Practice, on: date) -> Told:
    """Return who pays for strengthening the local network.

    The network does for premises metered directly, up to the pack's supply, where each device is
    within the pack's device limit; beyond that the customer may have to.
    """
    supply = practice.needed("network_reinforce_supply_a", on)
    each = practice.needed("network_reinforce_device_a", on)
    volts, most = practice.number("network_volts", on), limit_in(each)
    largest = max((device.amps(volts, connection.supply_phases or THREE)
                   for device in connection.all_devices), default=Fraction(0))
    fuse_a = connection.fuse_a
    dear = Check(
        "network-reinforcement", "caution", SUBJECT,
        "the customer may have to pay if local lines must be strengthened: ask for the "
        "network's offer", supply.source, OPERATOR, largest, most, each.unit)
    if largest > most:
        return dear
    if fuse_a is not None and fuse_a > limit_in(supply):
        return replace(dear, value=fuse_a, limit=limit_in(supply))
    missing = (*connection.sum_misses, *((FUSE,) if fuse_a is None else ()))
    if missing:
        return _answered(replace(dear, value=""), missing)
    return replace(dear, level="fine",
                   says="the network pays if its local lines must be strengthened")
