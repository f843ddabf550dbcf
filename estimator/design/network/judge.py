"""Judges how a job may be joined to the network, and gives the route to the rules.

The fee, the office's hours and the limiter follow the route. While a fact is missing that decides,
the job is priced on the slow route, and the fact is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.network.connection import CAP, Connection, connection_of
from estimator.design.network.route import NetworkRoute, network_route
from estimator.design.network.service import service_told
from estimator.design.network.told import OPERATOR, SUBJECT, limiter_unlisted, network_told
from estimator.design.network.worked import network_worked
from estimator.design.sheet import Unknown

LIMIT = "notify_limit_a"


def judge_network(case: Case) -> Outcome:
    """Return the route of a job with a converter, what it tells, and the facts for the rules.

    Facts: `network.route`, `network.per_phase_a`, `network.over_limit`, `network.limiter`,
    `network.answer_weeks`, `network.most_weeks`.

    Raises:
        ProblemsFound: P020 if the pack has a limit for the notice but not the rest of the values.
    """
    if not _joins(case):
        return Outcome()
    connection, env = connection_of(case.sheet.job), case.sheet.job
    service = tuple(service_told(env))
    if case.practice.at(LIMIT, case.on) is None:
        return _without_rules(connection, case, service)
    route = network_route(connection, case.practice, case.on)
    day = case.survey.job.supply_date
    planned = day and max(day, case.on)
    told = (*network_told(connection, route, case.practice, case.on, planned), *service)
    return Outcome(
        told=tuple(_named(each, env) for each in told), facts=_facts(connection, route, case),
        because=_because(route, case), assumed=_assumed(connection, route, case),
        worked=network_worked(connection, route, case.practice, case.on, planned))


def _joins(case: Case) -> bool:
    parts = case.sheet.parts
    if "converter" in parts:
        return True
    return bool(parts & {"panels", "storage"}) and case.kit.items.get("converter") is not None


def _facts(connection: Connection, route: NetworkRoute, case: Case) -> dict[str, Any]:
    missing = _unknown(connection.sum_misses, case.sheet.job)
    heaviest: Any = route.heaviest_a if missing is None else missing
    # What is known may be too much already, whatever else there is.
    over: Any = _surely_over(connection, case) or heaviest > case.practice.number(LIMIT, case.on)
    return {
        "network.route": route.name, "network.per_phase_a": heaviest, "network.over_limit": over,
        "network.limiter": route.limiter is not None, "network.answer_weeks": route.answer_weeks,
        "network.most_weeks": route.most_weeks,
    }


def _surely_over(connection: Connection, case: Case) -> bool:
    least = connection.least_a(case.practice.number("network_volts", case.on))
    return least > case.practice.number(LIMIT, case.on)


def _assumed(connection: Connection, route: NetworkRoute, case: Case) -> frozenset[str]:
    """Return the facts that rest on an assumed fact, or on the worst answer to an open one."""
    found: set[str] = set()
    if connection.sum_misses:
        found.add("network.per_phase_a")
        if not _surely_over(connection, case):
            found.add("network.over_limit")
    if route.open_facts:
        found |= {"network.route", "network.answer_weeks", "network.most_weeks"}
    if route.limiter_open:
        found.add("network.limiter")
    return frozenset(found)


def _unknown(paths: tuple[str, ...], env: Mapping[str, Any]) -> Unknown | None:
    """Return the unknown of facts that have no value, not even an assumed one; None if all have."""
    found = [value for path in paths if isinstance(value := env.get(path), Unknown)]
    return Unknown(*(fact for value in found for fact in value.facts)) if found else None


def _named(each: Check | Unanswered, env: Mapping[str, Any]) -> Check | Unanswered:
    """Return a question that asks for the surveyed facts on which a data-sheet value hangs."""
    if isinstance(each, Check):
        return each
    facts: dict[str, None] = {}
    for path in each.facts:
        value = env.get(path)
        facts |= dict.fromkeys(sorted(value.facts) if isinstance(value, Unknown) else (path,))
    return replace(each, facts=tuple(facts))


def _because(route: NetworkRoute, case: Case) -> dict[str, str]:
    limit = case.practice.needed(LIMIT, case.on)
    if route.open_facts:
        way = f"the slow route until known: {', '.join(route.open_facts)}"
    else:
        way = f"held against {limit.value} {limit.unit} a phase ({limit.source})"
    limiter = f"taken as due until known: {CAP}" if route.limiter_open else \
        "due where the network has set an export limit"
    sums = "alternating current ratings added up for each phase, no diversity"
    return {
        "network.route": way, "network.answer_weeks": way, "network.most_weeks": way,
        "network.limiter": limiter, "network.per_phase_a": sums, "network.over_limit": sums,
    }


def _without_rules(
    connection: Connection, case: Case, service: tuple[Check | Unanswered, ...]
) -> Outcome:
    """Return the outcome where the pack is silent: ask the operator, priced as if it must agree."""
    ask = Check(
        "network-rules", "caution", SUBJECT,
        f"the practice pack has no rules for joining the network on {case.on}: ask the operator "
        "what it wants before and after the work",
        f"the practice pack: no '{LIMIT}' on {case.on}", OPERATOR)
    facts = {"network.route": "ask first", "network.over_limit": True,
             "network.limiter": connection.export_limit_w != 0}
    because = dict.fromkeys(facts, "the slow route: the practice pack has no rules for the network")
    return Outcome(
        told=(ask, *limiter_unlisted(connection), *service), facts=facts, because=because,
        assumed=frozenset(facts))
