"""Do the norms hold: hours worked against hours reckoned, by task group?

Each group of tasks is held against its own standard, job by job, and what stands in its way is
told apart from who does it: roof work by covering and crew, storage and electrical work by wall and
crew, the rest by crew. All effects of a group are fitted together (`estimator.review.effects`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from estimator.outcome.few_jobs import LEAST_TO_RANK
from estimator.review.cells import MILLIONTHS, as_gap, as_share
from estimator.review.effects import Cell as Alike
from estimator.review.effects import Effect, fitted
from estimator.review.margin import HOURS_MATTER, LOSES, SURE
from estimator.review.report import Cell, Chart, Report, ReportColumn
from estimator.review.wording import between, count, listed, named, per_cent

# What may stand in the way of a group of tasks, beside who does it.
BY = {"roof": "covering", "storage": "wall", "electrical": "wall"}
ALL = "all jobs"


@dataclass(frozen=True, slots=True)
class Timed:
    """Jobs alike in covering, wall and crew: hours of one group of tasks; see `JobsAlike`."""

    task_group: str
    covering: str
    wall: str
    crew: str
    jobs: int
    planned_milli: int
    worked_milli: int
    gap: int
    gap_squares: int

    def level(self, factor: str) -> str:
        """Return its covering, wall or crew."""
        value: str = getattr(self, factor)
        return value


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the table: a group of tasks on a covering or wall, by a crew, or altogether."""

    task_group: str
    factor: str
    name: str
    jobs: int
    planned_milli: int
    worked_milli: int
    effect: Effect | None = None

    @property
    def ratio(self) -> float:
        return self.worked_milli / self.planned_milli - 1

    @property
    def stands_out(self) -> bool:
        each = self.effect
        return each is not None and each.ranked and each.over > SURE and each.raw > 0

    @property
    def says(self) -> str:
        if self.jobs < LEAST_TO_RANK:
            return f"under {LEAST_TO_RANK} jobs"
        return LOSES if self.stands_out else ""


def norms(cells: Sequence[Timed], currency: str, jobs: int) -> Report:
    """Return the report on hours worked against hours reckoned.

    Args:
        cells: by task group.
        currency: of the review; no money is in this report.
        jobs: how many finished jobs were looked at.
    """
    lines = [line for group in sorted({cell.task_group for cell in cells})
             for line in _group([cell for cell in cells if cell.task_group == group])]
    return Report(
        name="norms", question="Do the norms hold, by task group?",
        answer=tuple(_answer(lines)), columns=_COLUMNS,
        rows=tuple(_row(line) for line in lines), currency=currency, jobs=jobs,
        chart=Chart("bars with interval", "what", ("more_alone_share",), "low_share", "high_share")
        if any(line.effect for line in lines) else None,
        cautions=(
            f"Named only where the chance of more than {per_cent(HOURS_MATTER)} above the others "
            f"is over {per_cent(SURE)}, and it lies above its own standard too.",
            "Rework and waiting are not in these hours. A norm changes only when a person says "
            "so."))


_COLUMNS = (
    ReportColumn("what", "What"),
    ReportColumn("jobs", "Jobs", "count"),
    ReportColumn("planned_hours", "Reckoned", "hours"),
    ReportColumn("worked_hours", "Worked", "hours"),
    ReportColumn("over_share", "Over", "share"),
    ReportColumn("more_alone_share", "More than the others, like with like", "share"),
    ReportColumn("low_share", "at least", "share"),
    ReportColumn("high_share", "at most", "share"),
    ReportColumn("chance_share", "Chance that it matters", "share"),
    ReportColumn("says", "Says"),
)


def _group(cells: Sequence[Timed]) -> Iterator[_Line]:
    group = cells[0].task_group
    yield _line(group, "", ALL, cells)
    factors = [*([BY[group]] if group in BY else []), "crew"]
    effects = fitted(
        [Alike(tuple(cell.level(factor) for factor in factors), cell.jobs,
               cell.gap / MILLIONTHS, cell.gap_squares / MILLIONTHS**2) for cell in cells],
        factors, as_gap(HOURS_MATTER)).of
    for factor in factors:
        if len(effects[factor]) < 2:
            continue
        lines = [
            replace(_line(group, factor, name, [
                cell for cell in cells if cell.level(factor) == name]), effect=effect)
            for name, effect in effects[factor].items()]
        yield from sorted((line for line in lines if line.jobs >= LEAST_TO_RANK),
                          key=lambda line: (-_alone(line), line.name))
        yield from sorted((line for line in lines if line.jobs < LEAST_TO_RANK),
                          key=lambda line: line.name)


def _alone(line: _Line) -> float:
    return line.effect.alone if line.effect else 0.0


def _line(group: str, factor: str, name: str, cells: Sequence[Timed]) -> _Line:
    return _Line(group, factor, name, *(
        sum(getattr(cell, what) for cell in cells)
        for what in ("jobs", "planned_milli", "worked_milli")))


def _row(line: _Line) -> tuple[Cell, ...]:
    effect = line.effect
    measured: tuple[Cell, ...] = (None,) * 4
    if effect is not None and effect.error:
        low, high = effect.interval()
        measured = (as_share(effect.alone), as_share(low), as_share(high), effect.over)
    what = f"crew {named(line.name)}" if line.factor == "crew" else named(line.name)
    return (f"{line.task_group}, {what}", line.jobs, line.planned_milli / 1000,
            line.worked_milli / 1000, line.ratio, *measured, line.says)


def _answer(lines: Sequence[_Line]) -> Iterator[str]:
    groups = [line for line in lines if not line.factor]
    if not groups:
        yield "No finished job of the period has hours reckoned and worked."
        return
    planned = sum(line.planned_milli for line in groups)
    worked = sum(line.worked_milli for line in groups)
    yield (f"{worked / 1000:,.1f} h were worked for {planned / 1000:,.1f} h reckoned, "
           f"{per_cent(worked / planned - 1)} over. By task group: " + ", ".join(
               f"{line.task_group} {per_cent(line.ratio)}" for line in groups) + ".")
    out = [line for line in lines if line.stands_out]
    for line in out:
        yield _stands_out_words(line)
    looked_at = [line for line in lines if line.effect and line.jobs >= LEAST_TO_RANK]
    yield (f"{count(len(looked_at), 'pair')} of task group and covering, wall or crew with "
           f"{LEAST_TO_RANK} jobs or more were looked at; {len(out) or 'none'} "
           f"stand{'s' if len(out) == 1 else ''} out.")
    few = sorted({named(line.name) for line in lines if line.jobs < LEAST_TO_RANK and line.factor})
    if few:
        yield f"Not ranked anywhere where they have fewer than {LEAST_TO_RANK} jobs: {listed(few)}."


def _stands_out_words(line: _Line) -> str:
    effect = line.effect
    assert effect is not None  # it stands out
    low, high = (as_share(each) for each in effect.interval())
    return (f"{line.task_group.capitalize()} work, {line.factor} {named(line.name)}: "
            f"{per_cent(as_share(effect.alone))} more than the others, like with like (likely "
            f"{between(low, high)}; {count(effect.jobs, 'job')}); {per_cent(line.ratio)} over its "
            "own standard.")
