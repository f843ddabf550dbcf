"""Norms as a file in the form of `estimator.labour.norms`: proposed for review, or accepted."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from estimator.labour.norms import Norm
from estimator.learning.learned import Learned
from estimator.learning.proposals import NormFound, Points
from estimator.papers.digits import plain
from estimator.papers.norm_words import how_many, interval, known_by, times
from estimator.survey.writing import toml_value

_REVIEW = (
    "Proposed labour norms, learned from finished jobs; nothing holds yet. Look at each: change "
    "its minutes, or take the whole table out, where you know better. Hours of waiting and of work "
    "done again are not in them, nor what one crew does otherwise than the others. Then:",
)


def proposal_text(told: Learned) -> str:
    """Return proposed norms as a file to review; `estimator norms accept` reads it back."""
    lines = [*_remark(_REVIEW[0]), "#", '#   estimator norms accept FILE --name "WHO" --from DATE',
             "", "[learned]", f"on = {told.on}", f"jobs = {told.jobs}"]
    if told.first and told.last:
        lines += [f"first = {told.first}", f"last = {told.last}"]
    lines += ["", *_remark("The minutes in force when this was learned: low, likely, high. If they "
                           "are others by the day it is to hold, learn again."), "[learned.was]"]
    lines += [f"{toml_value(each.norm.id)} = {_points(each.was)}" for each in told.proposed]
    for each in told.proposed:
        lines += ["", *_remark(_why(each) + _apart(each, told)), *_table(
            each.norm, each.new or each.was, _source(each, told))]
    return "\n".join(lines) + "\n"


def accepted_text(norms: Sequence[Norm], heading: Iterable[str], starts: date) -> str:
    """Return a firm's file of norms that hold from a day on.

    Args:
        norms: in the order of the file.
        heading: sentences to stand at the top, each a remark of its own.
        starts: the day.
    """
    lines = [line for says in heading for line in _remark(says)]
    lines += ["", f"from = {starts}"]
    for norm in norms:
        lines += ["", *_table(norm, (norm.low, norm.likely, norm.high), norm.source)]
    return "\n".join(lines) + "\n"


def _why(each: NormFound) -> str:
    was, now = (" / ".join(plain(minutes) for minutes in points)
                for points in (each.was, each.new or each.was))
    return (f"{each.norm.name}: {was} becomes {now}. {how_many(each.jobs)}, "
            f"{known_by(each)}: {times(each.ratio.measured)} as measured, "
            f"{times(each.ratio.likely)} likely, {interval(each.ratio)} (95 %).")


def _apart(each: NormFound, told: Learned) -> str:
    unit = each.norm.id if each.known_by == "task" else each.norm.group
    those = [apart for apart in told.apart if apart.unit.unit == unit and apart.nest != each.nest]
    if not those:
        return ""
    by_nest = ", ".join(f"{apart.nest} {times(apart.ratio.likely)}" for apart in those)
    return f" Not counted in: {by_nest}; a norm of its own, chosen by a rule, tells that apart."


def _source(each: NormFound, told: Learned) -> str:
    days = f", closed {told.first} to {told.last}" if told.first and told.last else ""
    return f"learned from {how_many(each.jobs)}{days}; {times(each.ratio.likely)} of what it was"


def _table(norm: Norm, points: Points, source: str) -> Iterator[str]:
    yield "[[norm]]"
    values = {
        "id": norm.id, "name": norm.name, "per": norm.per,
        **dict(zip(("low", "likely", "high"), map(_number, points), strict=True)),
        "crew": norm.crew, "group": norm.group, "on_site": norm.on_site,
        **({"each_trip": True} if norm.each_trip else {}), "source": source,
        **({"note": norm.note} if norm.note else {}),
    }
    for name, value in values.items():
        yield f"{name} = {toml_value(value)}"


def _points(points: Points) -> str:
    return toml_value([_number(each) for each in points])


def _number(minutes: Decimal) -> int | Decimal:
    return int(minutes) if minutes == minutes.to_integral_value() else minutes


def _remark(says: str) -> list[str]:
    printable = "".join(sign if sign.isprintable() else " " for sign in says)
    return textwrap.wrap(printable, 96, initial_indent="# ", subsequent_indent="# ",
                         break_on_hyphens=False)
