"""Which kind of job, covering, wall, crew or estimator loses money?

Flexed first: each job is held against its own standard, with the variations agreed, so that a crew
is not charged with slow work that was reckoned as slow. Then like with like: what the covering and
the wall add is told apart from what the crew adds (`estimator.review.effects`). Work is judged by
its cost; a crew by its hours, since the prices of goods are not its doing, waiting left out.

One is named only where it is likely beyond `SURE` that it lies above the others by more than what
matters, and it lies above its own standard too. Since the effects are pulled, looking at many does
not make false alarms likely.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.outcome.few_jobs import LEAST_TO_RANK
from estimator.review.cells import (
    FACTORS,
    Factor,
    JobsAlike,
    Together,
    as_gap,
    as_share,
    by_level,
    cost_cells,
    hours_cells,
)
from estimator.review.effects import Effect, fitted
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import amount, between, count, listed, named, per_cent

SURE = 0.95
# From which share on a difference matters: common practice, no source.
COST_MATTERS, HOURS_MATTER = 0.02, 0.05
MIX_MATTERS = 0.01  # between the lowest margin and the highest
WORDS: dict[Factor, tuple[str, str]] = {
    "kind": ("kind of job", "kinds of job"), "covering": ("covering", "coverings"),
    "wall": ("wall", "walls"), "crew": ("crew", "crews"), "estimator": ("estimator", "estimators"),
}
LOSES, NO_SIGN, FEW = "above the others", "", f"under {LEAST_TO_RANK} jobs"


@dataclass(frozen=True)
class _Judged:
    """The levels of a factor, ranked ones first and from the dearest down."""

    factor: Factor
    matters: float
    of: dict[str, tuple[Together, Effect | None]]

    @property
    def ranked(self) -> list[str]:
        found = [(-each.alone, name) for name, (_, each) in self.of.items() if each and each.ranked]
        return [name for _, name in sorted(found)]

    @property
    def few(self) -> list[str]:
        return sorted(set(self.of) - set(self.ranked))

    @property
    def named(self) -> list[str]:
        """Return those of which it is said that they take more than the others."""
        return [name for name in self.ranked if _stands_out(self.of[name][1])]


def _stands_out(effect: Effect | None) -> bool:
    return effect is not None and effect.ranked and effect.over > SURE and effect.raw > 0


def margin_by(factor: Factor, cells: Sequence[JobsAlike], currency: str) -> Report:
    """Return the report on what each level of a factor earned, and whether it stands out."""
    judged = _judged(factor, cells)
    one, _ = WORDS[factor]
    measure = "hours" if factor == "crew" else "cost"
    return Report(
        name=f"margin-by-{factor}", question=f"Which {one} loses money?",
        answer=tuple(_answer(judged, cells, measure, currency)),
        columns=_columns(factor, one, measure), rows=tuple(_rows(judged)), currency=currency,
        jobs=sum(cell.jobs for cell in cells),
        chart=Chart("bars with interval", factor, ("more_alone_share",), "low_share", "high_share")
        if len(judged.ranked) > 1 else None,
        cautions=tuple(_cautions(judged)))


def _judged(factor: Factor, cells: Sequence[JobsAlike]) -> _Judged:
    hours = factor == "crew"
    matters = HOURS_MATTER if hours else COST_MATTERS
    gaps = hours_cells(cells) if hours else cost_cells(cells)
    effects = fitted(gaps, FACTORS, as_gap(matters)).of[factor] if gaps else {}
    return _Judged(factor, matters, {
        name: (together, effects.get(name)) for name, together in by_level(cells, factor).items()})


def _columns(factor: Factor, one: str, measure: str) -> tuple[ReportColumn, ...]:
    return (
        ReportColumn(factor, one.capitalize()),
        ReportColumn("jobs", "Jobs", "count", total=True),
        ReportColumn("net_minor", "Sold for", "money", total=True),
        ReportColumn("standard_minor", "Reckoned cost", "money", total=True),
        ReportColumn("actual_minor", "Actual cost", "money", total=True),
        ReportColumn("margin_minor", "Margin", "money", total=True),
        ReportColumn("margin_share", "Margin, %", "share"),
        ReportColumn("reckoned_share", "Reckoned, %", "share"),
        ReportColumn("losses", "Sold at a loss", "count", total=True),
        ReportColumn("over_standard_share", f"{measure.capitalize()} over own standard", "share"),
        ReportColumn("more_alone_share", "More than the others, like with like", "share"),
        ReportColumn("low_share", "at least", "share"),
        ReportColumn("high_share", "at most", "share"),
        ReportColumn("chance_share", "Chance that it matters", "share"),
        ReportColumn("says", "Says"),
    )


def _rows(judged: _Judged) -> Iterator[tuple[Cell, ...]]:
    for name in (*judged.ranked, *judged.few):
        together, effect = judged.of[name]
        yield (
            named(name), together.jobs, together.net_minor, together.standard_minor,
            together.actual_minor, together.margin_minor, together.margin, together.reckoned,
            together.losses, *_measured(effect), _says(judged, name))


def _measured(effect: Effect | None) -> tuple[Cell, ...]:
    if effect is None:
        return (None,) * 5
    raw = as_share(effect.raw)
    if not effect.error:
        return raw, None, None, None, None
    low, high = effect.interval()
    return raw, as_share(effect.alone), as_share(low), as_share(high), effect.over


def _says(judged: _Judged, name: str) -> str:
    if name in judged.few:
        return FEW
    return LOSES if name in judged.named else NO_SIGN


def _answer(judged: _Judged, cells: Sequence[JobsAlike], measure: str, currency: str
            ) -> Iterator[str]:
    whole = Together.of(cells)
    if not whole.jobs:
        yield "No job was finished in the period."
        return
    yield (f"{count(whole.jobs, 'job')} made {amount(whole.margin_minor, currency)} on "
           f"{amount(whole.net_minor, currency)}: {per_cent(whole.margin)}, and "
           f"{per_cent(whole.reckoned)} was reckoned with.")
    one, many = WORDS[judged.factor]
    if len(judged.of) < 2:
        yield f"All are of one {one}: there is nothing to hold side by side."
        return
    for name in judged.named:
        yield _stands_out_words(judged, name, measure)
    if not judged.named:
        yield (f"No {one} stands out: {count(len(judged.ranked), one, many)} with "
               f"{LEAST_TO_RANK} jobs or more {'was' if len(judged.ranked) == 1 else 'were'} "
               f"looked at.")
    else:
        yield f"{count(len(judged.ranked), one, many)} were looked at."
    yield from _mix_words(judged, measure)


def _stands_out_words(judged: _Judged, name: str, measure: str) -> str:
    effect = judged.of[name][1]
    assert effect is not None  # it is named
    low, high = (as_share(each) for each in effect.interval())
    takes = "takes more hours" if measure == "hours" else "costs more"
    return (f"{named(name)} {takes} than the others, like with like: by "
            f"{per_cent(as_share(effect.alone))} (likely {between(low, high)}; "
            f"{count(effect.jobs, 'job')}); above its own standard by "
            f"{per_cent(as_share(effect.raw))}.")


def _mix_words(judged: _Judged, measure: str) -> Iterator[str]:
    """Say where what looks worst as it stands is no fault of what looks so."""
    ranked = judged.ranked
    if len(ranked) < 2:
        return
    lowest = min(ranked, key=lambda name: (_margin(judged, name), name))
    if max(_margin(judged, name) for name in ranked) - _margin(judged, lowest) >= MIX_MATTERS:
        yield from _no_fault(judged, lowest, f"{named(lowest)} has the lowest margin, "
                             f"{per_cent(_margin(judged, lowest))}", measure)
    worst = min(ranked, key=lambda name: (-_raw(judged, name), name))
    least = min(_raw(judged, name) for name in ranked)
    if worst != lowest and _raw(judged, worst) - least >= MIX_MATTERS:
        yield from _no_fault(
            judged, worst, f"{named(worst)} lies furthest above its own standard, "
            f"{per_cent(as_share(_raw(judged, worst)))}", measure)


def _no_fault(judged: _Judged, name: str, looks: str, measure: str) -> Iterator[str]:
    effect = judged.of[name][1]
    if name in judged.named or effect is None or not effect.error:
        return
    low, high = (as_share(each) for each in effect.interval())
    yield (f"Mix: {looks}, but held like with like its {measure} "
           f"{'differ' if measure == 'hours' else 'differs'} from the others' by "
           f"{per_cent(as_share(effect.alone))} (likely {between(low, high)}): that is no sign "
           "against it. It had other jobs than the rest.")


def _raw(judged: _Judged, name: str) -> float:
    effect = judged.of[name][1]
    return effect.raw if effect else 0.0


def _margin(judged: _Judged, name: str) -> float:
    margin = judged.of[name][0].margin
    return 1.0 if margin is None else margin


def _cautions(judged: _Judged) -> Iterator[str]:
    one, _ = WORDS[judged.factor]
    yield (f"{'An' if one[0] in 'aeiou' else 'A'} {one} is named only where the chance that it "
           f"lies above the others by more than {per_cent(judged.matters)} is over "
           f"{per_cent(SURE)}, and it lies above its own standard too.")
    if judged.few:
        yield (f"Not ranked, since they have fewer than {LEAST_TO_RANK} jobs: "
               f"{listed(judged.few)}.")
    if judged.factor in ("crew", "estimator"):
        yield "Do not pay or punish by this: it says where to look, and what it looked at is few."
