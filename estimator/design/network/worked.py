"""The connection worked out: the sum per phase, the wait, the papers and their days."""

from __future__ import annotations

from datetime import date

from estimator.design.check import Sum, Worked, shown
from estimator.design.network.calendar import Due
from estimator.design.network.connection import Connection
from estimator.design.network.papers import Paper
from estimator.design.network.route import NetworkRoute
from estimator.design.network.told import SUBJECT
from estimator.practice.pack import Practice


def network_worked(
    connection: Connection, route: NetworkRoute, practice: Practice, on: date,
    planned: date | None,
) -> tuple[Worked, ...]:
    """Return how the route was reached, and what is sent to whom by when.

    Args:
        on: the day of the design; the network is taken to be asked then.
        planned: the day on which the system is to be handed over, if there is one yet.
    """
    return (
        _sum_worked(connection, route, practice, on),
        *((_wait_worked(route, practice, on),) if route.before_work else ()),
        _papers_worked(route, practice, on, planned),
    )


def _sum_worked(
    connection: Connection, route: NetworkRoute, practice: Practice, on: date
) -> Worked:
    limit, volts = practice.needed("notify_limit_a", on), practice.number("network_volts", on)
    sums = [Sum(device.name, device.amps(volts, connection.phases), "A on each phase it feeds")
            for device in connection.all_devices]
    sums.append(Sum("heaviest phase", route.heaviest_a, "A"))
    worst = f", at worst until known: {', '.join(route.open_facts)}" if route.open_facts else ""
    return Worked(
        "network-per-phase", SUBJECT, f"the route to the network: {route.name}{worst}",
        "alternating current ratings added up for each phase, no diversity; a single-phase device "
        "whose phase nobody knows counts on each", limit.source, tuple(sums))


def _wait_worked(route: NetworkRoute, practice: Practice, on: date) -> Worked:
    answer = practice.needed("network_answer_days", on)
    due = route.answer_by(on, practice)
    sums = [Sum("answer due after", route.answer_days, answer.unit)]
    if due is not None:
        sums.append(Sum(f"asked on {on}, answered by", _day(due)))
    sums.append(Sum("agreement at the latest after", route.most_weeks, "weeks"))
    if route.fast:
        fast = practice.needed("network_fast_answer_days", on)
        sums.append(Sum(f"on a fast route ({', '.join(route.fast)}; from memory, verify the form)",
                        shown(practice.number("network_fast_answer_days", on)), fast.unit))
    sums += [Sum("network's fee, least", str(route.fee_least)),
             Sum("network's fee, most", str(route.fee_most))]
    return Worked("network-wait", SUBJECT, "the work is not booked before the network has agreed",
                  "working days, without the public holidays the pack states", answer.source,
                  tuple(sums))


def _papers_worked(
    route: NetworkRoute, practice: Practice, on: date, planned: date | None
) -> Worked:
    sums = tuple(
        Sum(f"{paper.name}, to {paper.goes_to}", _when(paper, practice, planned))
        for paper in route.papers)
    sources = dict.fromkeys(paper.source for paper in route.papers)
    return Worked("network-papers", SUBJECT, "papers of the connection, to whom and when",
                  "counted from the day of commissioning, which is day nought", "; ".join(sources),
                  sums)


def _when(paper: Paper, practice: Practice, planned: date | None) -> str:
    """Return when a paper is due, in words; with the day where commissioning is planned."""
    verify = " (from memory: verify the form)" if paper.verify else ""
    if paper.days is None or paper.when == "before work":
        return f"{paper.when}{verify}"
    days = "working days" if paper.working else "days"
    text = f"within {paper.days} {days} after commissioning"
    due = paper.due(planned, practice) if planned else None
    return f"{text}: by {_day(due)} if on {planned}{verify}" if due else f"{text}{verify}"


def _day(due: Due) -> str:
    years = ", ".join(str(year) for year in due.unlisted)
    return f"{due.day} (public holidays of {years} not stated)" if years else str(due.day)
