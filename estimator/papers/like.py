"""A new quote beside the finished jobs most like it: for the terminal and as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from catalogue.money import Money, round_half_up
from estimator.learning.alike import Fact
from estimator.learning.like_jobs import LikeJob, LikeJobs
from estimator.learning.standing import Standing
from estimator.papers import words
from estimator.papers.terminal import clean, shortened, table, wrapped

_TITLE = 24  # columns
_PLACES = 4
_SHOWN = {"kind_of_job": "kind", "covering": "covering", "wall": "wall", "storeys": "storeys",
          "panels": "panels", "modules": "modules", "cable_m": "cable m",
          "travel_hours": "travel h", "area": "area"}


def like_text(told: LikeJobs) -> str:
    """Return the job beside the others for the terminal."""
    blocks = (_head(told), _facts(told), _outcomes(told), _sentences(told), _prices(told))
    return clean("\n\n".join("\n".join(block) for block in blocks if block)) + "\n"


def _head(told: LikeJobs) -> list[str]:
    which = "as surveyed" if told.revision is None else f"revision {told.revision}"
    title = f": {told.title}" if told.title else ""
    lines = [*wrapped(f"LIKE job {told.job}, {which}{title}", ""),
             *wrapped(f"{words.OFFICE_ONLY}. {_number(told.finished)} looked through.", "")]
    if not told.nearest:
        lines += ["None is known well enough to be held beside it." if told.finished else
                  "There is nothing to hold it against yet."]
    return lines


def _number(finished: int) -> str:
    return f"{finished} finished job{'' if finished == 1 else 's'}"


def _facts(told: LikeJobs) -> list[str]:
    if not told.nearest:
        return []
    rows = [(told.job, "", *(_shown(told.facts[name]) for name in _SHOWN))]
    rows += [(each.like.job, f"{each.like.distance:.2f}",
              *(_shown(each.facts[name]) for name in _SHOWN)) for each in told.nearest]
    return table(rows, "lr" + "lllrrrrrl", ("job", "off by", *_SHOWN.values()))


def _shown(fact: Fact) -> str:
    if fact is None or fact == "":
        return "-"
    return f"{fact:.1f}" if isinstance(fact, float) else str(fact)


def _outcomes(told: LikeJobs) -> list[str]:
    if not told.nearest:
        return []
    rows: list[Sequence[str]] = [
        (told.job, "this one", f"{told.hours:.1f}", "", "", "", "", str(told.cost), "", "", "")]
    rows += [_outcome(each) for each in told.nearest]
    return table(rows, "llrrrrrrrrr", (
        "job", "closed", "hours", "worked", "over", "rework", "waited", "cost", "came to", "over",
        "varied"))


def _outcome(each: LikeJob) -> Sequence[str]:
    varied = f"{each.variations}: {each.variation_cost}" if each.variations else ""
    return (
        each.like.job, each.closed.isoformat(), f"{each.hours:.1f}",
        f"{each.actual_hours:.1f}" if each.actual_hours else "-", _over(each.hours_over),
        f"{each.rework_hours:.1f}", f"{each.waiting_hours:.1f}", str(each.cost),
        str(each.actual) if each.actual.minor else "-", _over(each.cost_over), varied)


def _over(over: Fraction | None) -> str:
    return "-" if over is None else f"{'+' if over > 0 else ''}{words.percent(over)}"


def _sentences(told: LikeJobs) -> list[str]:
    lines = []
    if told.hours_over is not None:
        lines.append(f"The middle one of these took {_more(told.hours_over)} time than reckoned.")
    if told.cost_over is not None:
        lines.append(f"The middle one cost {_more(told.cost_over)} than reckoned, provisions left "
                     "out.")
    if told.nearest:
        lines.append("So few jobs are stories, not a rule: look at what happened on each. Plans "
                     "hold the variations that were agreed.")
    return [line for each in lines for line in wrapped(each, "")]


def _more(over: Fraction) -> str:
    return f"{words.percent(abs(over))} {'less' if over < 0 else 'more'}"


def _prices(told: LikeJobs) -> list[str]:
    return [line for each in told.standings for line in wrapped(_stands(each, told), "")]


def _stands(each: Standing, told: LikeJobs) -> str:
    price, number = _money(each.price, told), len(each.others)
    if each.middle is None:
        return f"Price for a {each.per}: {price}; no other quote of its kind to hold it against."
    warns = {"dear": " LOOK AGAIN: hardly one was as dear.",
             "cheap": " LOOK AGAIN: hardly one was as cheap."}.get(each.unusual, "")
    return (f"Price for a {each.per}: {price}; the middle of the last {number} of its kind is "
            f"{_money(each.middle, told)}, {each.cheaper} cheaper and {each.dearer} dearer.{warns}")


def _money(minor: Fraction, told: LikeJobs) -> str:
    return str(Money(round_half_up(minor), told.net.currency))


def like_data(told: LikeJobs) -> dict[str, Any]:
    """Return the same as plain data; money in minor units, an overrun as a share."""
    return {
        "job": told.job, "revision": told.revision, "currency": told.net.currency,
        "facts": dict(told.facts), "net": told.net.minor, "hours": round(told.hours, _PLACES),
        "cost": told.cost.minor, "finished": told.finished,
        "like": [{
            "job": each.like.job, "title": shortened(each.title, 200),
            "distance": round(each.like.distance, _PLACES), "facts_compared": each.like.compared,
            "closed": each.closed.isoformat(), "facts": dict(each.facts), "net": each.net.minor,
            "hours": round(each.hours, _PLACES), "hours_worked": round(each.actual_hours, _PLACES),
            "rework_hours": round(each.rework_hours, _PLACES),
            "waiting_hours": round(each.waiting_hours, _PLACES),
            "hours_over": _data(each.hours_over), "cost": each.cost.minor,
            "came_to": each.actual.minor,
            "cost_over": _data(each.cost_over), "variations": each.variations,
            "variation_cost": each.variation_cost.minor} for each in told.nearest],
        "hours_over": _data(told.hours_over), "cost_over": _data(told.cost_over),
        "prices": [{
            "per": each.per, "price": round_half_up(each.price), "others": len(each.others),
            "middle": None if each.middle is None else round_half_up(each.middle),
            "cheaper": each.cheaper, "dearer": each.dearer, "unusual": each.unusual}
            for each in told.standings],
    }


def _data(over: Fraction | None) -> float | None:
    return None if over is None else round(float(over), _PLACES)
