"""Did margin change because jobs changed, or because their margins did?

The change of the margin between two periods, parted for one thing that is told of jobs at a time:
mix is what came of other jobs, own what came of other margins on the same jobs.

    mix = sum of (share now - share then) x (margin now + margin then) / 2
    own = sum of (margin now - margin then) x (share now + share then) / 2

They add up to the change exactly. Shares are of what was sold. Where a kind of job is in one period
only, its margin is taken for both, so that all of it is mix.

Source: E. M. Kitagawa, "Components of a difference between two rates", Journal of the American
Statistical Association 50 (1955), 1168-1194.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.review.cells import FACTORS, Factor, JobsAlike, Together, by_level
from estimator.review.margin import WORDS
from estimator.review.report import Cell, Report, ReportColumn
from estimator.review.wording import count, named, per_cent

NEARLY = Fraction(1, 2)  # of the change: from there on it is called mix


@dataclass(frozen=True, slots=True)
class Change:
    """The change of a margin as a share of what was sold, and its two parts."""

    mix: Fraction
    own: Fraction

    @property
    def whole(self) -> Fraction:
        """Return the change."""
        return self.mix + self.own


def parted(then: Mapping[str, Together], now: Mapping[str, Together]) -> Change | None:
    """Return what made the margin change; None where nothing was sold in one of the periods."""
    sold = [sum(each.net_minor for each in side.values()) for side in (then, now)]
    if not all(sold):
        return None
    mix = own = Fraction(0)
    for name in sorted({*then, *now}):
        sides = [side.get(name) for side in (then, now)]
        shares = [Fraction(each.net_minor, whole) if each else Fraction(0)
                  for each, whole in zip(sides, sold, strict=True)]
        margins = [_margin(each) for each in sides]
        before = margins[1] if margins[0] is None else margins[0]
        after = margins[0] if margins[1] is None else margins[1]
        if before is None or after is None:  # nothing was sold of it: only its cost counts
            own += sum((sign * Fraction(each.margin_minor, whole) for sign, each, whole in zip(
                (-1, 1), sides, sold, strict=True) if each), Fraction(0))
            continue
        mix += (shares[1] - shares[0]) * (before + after) / 2
        own += (after - before) * (shares[0] + shares[1]) / 2
        own += sum((sign * Fraction(each.margin_minor, whole) for sign, each, whole in zip(
            (-1, 1), sides, sold, strict=True) if each and not each.net_minor), Fraction(0))
    return Change(mix, own)


def _margin(each: Together | None) -> Fraction | None:
    return Fraction(each.margin_minor, each.net_minor) if each and each.net_minor else None


def mix(then: Sequence[JobsAlike], now: Sequence[JobsAlike], currency: str) -> Report:
    """Return the report on why the margin changed between two periods."""
    found = {factor: parted(by_level(then, factor), by_level(now, factor)) for factor in FACTORS}
    before, after = Together.of(then), Together.of(now)
    return Report(
        name="mix", question="Did margin change because jobs changed?",
        answer=_answer(found, before, after, then, now),
        columns=(ReportColumn("by", "By"),
                 ReportColumn("then_share", "Margin then", "share"),
                 ReportColumn("now_share", "Margin now", "share"),
                 ReportColumn("change_share", "Change", "share"),
                 ReportColumn("mix_share", "Other jobs", "share"),
                 ReportColumn("own_share", "Other margins on the same jobs", "share")),
        rows=tuple(_row(factor, change, before, after) for factor, change in found.items()
                   if change is not None),
        currency=currency, jobs=before.jobs + after.jobs,
        cautions=("Each row is a way of its own to part the same change: never add the rows.",))


def _row(factor: Factor, change: Change, before: Together, after: Together) -> tuple[Cell, ...]:
    return (WORDS[factor][0], before.margin, after.margin, change.whole, change.mix, change.own)


def _answer(found: Mapping[Factor, Change | None], before: Together, after: Together,
            then: Sequence[JobsAlike], now: Sequence[JobsAlike]) -> tuple[str, ...]:
    told = {factor: change for factor, change in found.items() if change is not None}
    if not told:
        return ("In one of the periods nothing was sold: there is no change to part.",)
    change = next(iter(told.values())).whole
    way = "rose" if change >= 0 else "fell"
    said = [f"The margin {way} from {per_cent(before.margin)} ({count(before.jobs, 'job')}) to "
            f"{per_cent(after.margin)} ({count(after.jobs, 'job')})."]
    shifted = {factor: each for factor, each in told.items()
               if change and each.mix / change >= NEARLY}
    for factor, each in shifted.items():
        said.append(f"Held apart by {WORDS[factor][0]}, {points(each.mix)} of "
                    f"{points(change)} points is mix: {_moved(factor, then, now)}.")
    if not shifted:
        said.append("Most of that is not mix: the same jobs had other margins.")
    return tuple(said)


def points(change: Fraction) -> str:
    """Return a change of margin in points to one place."""
    return per_cent(float(change)).removesuffix(" %")


def _moved(factor: Factor, then: Sequence[JobsAlike], now: Sequence[JobsAlike]) -> str:
    """Return which level gained most of what was sold, and which lost most."""
    sides = [by_level(side, factor) for side in (then, now)]
    wholes = [sum(each.net_minor for each in side.values()) for side in sides]
    shares = {name: [Fraction(side[name].net_minor, whole) if name in side else Fraction(0)
                     for side, whole in zip(sides, wholes, strict=True)]
              for name in sorted({*sides[0], *sides[1]})}
    moved = sorted(shares, key=lambda name: (shares[name][1] - shares[name][0], name))
    return " and ".join(
        f"{named(name)} went from {per_cent(float(shares[name][0]))} to "
        f"{per_cent(float(shares[name][1]))} of what was sold" for name in (moved[-1], moved[0]))
