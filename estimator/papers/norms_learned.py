"""What finished jobs say of the norms, for the terminal and as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from math import exp
from typing import Any

from estimator.learning.learned import Learned
from estimator.learning.proposals import NormFound, Points
from estimator.learning.ratios import Ratio
from estimator.outcome.few_jobs import LEAST_TO_RANK
from estimator.papers.digits import plain
from estimator.papers.exact_json import whole_or_text
from estimator.papers.norm_words import how_many, interval, times
from estimator.papers.terminal import clean, shortened, table, wrapped

_NAME = 34  # columns
_PLACES = 4
_KINDS = {"proposed": "PROPOSED: the jobs speak for other minutes",
          "within chance": "LEFT AS THEY ARE: the interval holds 1, or nothing is left of it when "
          "rounded",
          "too few jobs": f"LEFT OUT: fewer than {LEAST_TO_RANK} jobs"}


def learned_text(told: Learned) -> str:
    """Return what the jobs say for the terminal."""
    blocks = [_head(told)]
    for verdict, heading in _KINDS.items():
        those = [each for each in told.found if each.verdict == verdict]
        if those:
            blocks.append([heading, *_norms(those)])
    if told.apart:
        blocks.append(_apart(told))
    if told.crews:
        blocks.append(_crews(told))
    return clean("\n\n".join("\n".join(block) for block in blocks)) + "\n"


def _head(told: Learned) -> list[str]:
    if not told.jobs:
        return wrapped(f"Nothing to learn from: of {how_many(told.closed)} that were closed none "
                       "has both its plan and its hours.", "")
    days = f", closed {told.first} to {told.last}," if told.first and told.last else ""
    left = told.closed - told.jobs
    without = f" {how_many(left)} without plan or hours left out." if left else ""
    return wrapped(
        f"NORMS against {how_many(told.jobs)}{days} and the norms of {told.on}.{without} A ratio "
        "is actual over reckoned hours: as measured, then pulled towards the other tasks, the more "
        "the fewer jobs it has, with the interval of 95 %. Waiting and work done again are not in "
        "it.",
        "")


def _norms(found: Iterable[NormFound]) -> list[str]:
    rows = [
        (each.norm.id, shortened(each.norm.name, _NAME), str(each.jobs),
         "task" if each.known_by == "task" else each.nest or each.norm.group,
         times(each.ratio.measured), times(each.ratio.likely), interval(each.ratio),
         _minutes(each.was), _minutes(each.new) if each.new else "")
        for each in found]
    return table(rows, "llrlrrlll", ("norm", "", "jobs", "by", "measured", "likely", "between",
                                     "minutes", "new"))


def _minutes(points: Points) -> str:
    return "/".join(plain(each) for each in points)


def _apart(told: Learned) -> list[str]:
    rows = [(each.nest, each.unit.unit, str(each.ratio.jobs), times(each.ratio.likely),
             interval(each.ratio), times(each.unit.usual.likely)) for each in told.apart]
    return ["APART FROM THE REST: in no norm that is common to all; a norm of its own, chosen by a "
            "rule, tells them apart",
            *table(rows, "llrrlr", ("on", "task or group", "jobs", "likely", "between", "usually"))]


def _crews(told: Learned) -> list[str]:
    rows = [(crew, str(mean.jobs), times(exp(mean.mean)), times(exp(mean.shrunk)), interval(mean),
             "" if mean.ranked else "too few jobs to say")
            for crew, mean in sorted(told.crews.items())]
    return [*wrapped("CREWS: hours over what all crews took for the same tasks on the same "
                     "coverings and walls. In no norm; a crew that alone did one of them is not "
                     "told from it.", ""),
            *table(rows, "lrrrll", ("crew", "jobs", "measured", "likely", "between", ""))]


def learned_data(told: Learned) -> dict[str, Any]:
    """Return the same as plain data; minutes are exact, ratios numbers of four places."""
    return {
        "on": told.on.isoformat(), "closed": told.closed, "jobs": told.jobs,
        "first": told.first and told.first.isoformat(),
        "last": told.last and told.last.isoformat(),
        "norms": [{
            "id": each.norm.id, "name": each.norm.name, "group": each.norm.group,
            "verdict": each.verdict, "by": each.known_by, "on": each.nest, **_ratio(each.ratio),
            "jobs": each.jobs, "minutes": _points(each.was),
            "new": _points(each.new) if each.new else None} for each in told.found],
        "apart": [{"on": each.nest, "unit": each.unit.unit, **_ratio(each.ratio),
                   "usually": round(each.unit.usual.likely, _PLACES)} for each in told.apart],
        "crews": [{
            "crew": crew, "jobs": mean.jobs, "measured": round(exp(mean.mean), _PLACES),
            "likely": round(exp(mean.shrunk), _PLACES),
            **dict(zip(("low", "high"), (round(exp(end), _PLACES) for end in mean.interval()),
                       strict=True)), "enough": mean.ranked}
            for crew, mean in sorted(told.crews.items())],
    }


def _ratio(ratio: Ratio) -> dict[str, Any]:
    low, high = ratio.interval()
    return {"jobs": ratio.jobs, "measured": round(ratio.measured, _PLACES),
            "likely": round(ratio.likely, _PLACES), "low": round(low, _PLACES),
            "high": round(high, _PLACES), "weight": round(ratio.weight, _PLACES)}


def _points(points: Points) -> list[Any]:
    return [whole_or_text(each) for each in points]
