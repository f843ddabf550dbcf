"""Rows of a timesheet held against each other, the jobs, the norms and what is booked already.

Codes of the problems: Z202 a job that there is not, Z203 a job on which nobody works now, Z212 a
task that is no norm, Z213 a task of another group, Z214 a day to come, Z215 two things at once,
Z216 more hours than a day has for one person, Z217 the same row twice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from catalogue.price_lists.faults import Fault
from catalogue.problems import suggestion
from estimator.actuals.durations import DAY, HOUR, clock, in_words
from estimator.actuals.timesheet import REWORK, WITH_CAUSE, TimeRow, no_cause

# Nobody is paid for more in a day, and nobody is safe on a roof after it; common practice, no
# source. It finds slips of the pen; what the law allows is less in most countries.
MOST_A_DAY = 16 * HOUR


@dataclass(frozen=True)
class Known:
    """What the rows are held against.

    Attributes:
        jobs: id of a job -> "open", "accepted", "declined" or "closed".
        norms: id of a norm -> its task group.
        booked: what is booked already and not taken back; `number` is that of the line.
    """

    today: date
    jobs: Mapping[str, str]
    norms: Mapping[str, str]
    booked: Sequence[TimeRow] = ()


@dataclass
class Checked:
    """Sound rows with their group; refused ones by row and field; those that are booked already.

    Attributes:
        already: row and the number of the line that says the same.
    """

    sound: list[TimeRow] = field(default_factory=list)
    refused: list[tuple[int, str, Fault]] = field(default_factory=list)
    already: list[tuple[TimeRow, int]] = field(default_factory=list)


def check(
    rows: Sequence[TimeRow], known: Known, wrong_cells: Collection[int] = frozenset()
) -> Checked:
    """Return which rows may be booked.

    Args:
        rows: as read.
        wrong_cells: numbers of rows of which a cell could not be read: nothing but what else is
            wrong with them is said.
    """
    done = Checked()
    alike: list[TimeRow] = []
    for row in rows:
        faults = list(_faults(row, known))
        done.refused += [(row.number, *each) for each in faults]
        if not faults and row.number not in wrong_cells:
            alike.append(replace(row, group=row.group or known.norms[row.task]))
    fresh = _fresh(alike, known, done)
    wrong: dict[int, tuple[str, Fault]] = {}
    for number, field_, fault in [*_at_once(fresh, known), *_too_long(fresh, known)]:
        wrong.setdefault(number, (field_, fault))
    done.refused += [(number, *each) for number, each in wrong.items()]
    done.refused.sort(key=lambda each: each[0])
    done.sound = [row for row in fresh if row.number not in wrong]
    return done


def _faults(row: TimeRow, known: Known) -> Iterator[tuple[str, Fault]]:
    """Yield what is wrong with a row by itself."""
    state = known.jobs.get(row.job)
    if not row.job:
        pass  # it could not be read
    elif state is None:
        yield "job", Fault("Z202", f"there is no job '{row.job}'", suggestion(
            row.job, known.jobs) or "its id is as in: estimator jobs list")
    elif state == "closed" and row.group != REWORK:
        yield "job", Fault("Z203", f"job {row.job} is closed, and only rework is booked on it",
                           "reopen it if the work belongs to it: estimator jobs reopen "
                           f"{row.job} --name NAME")
    elif state not in ("accepted", "closed"):
        yield "job", Fault("Z203", f"job {row.job} is {state}, not accepted",
                           f"once the customer takes it: estimator jobs accept {row.job} --name "
                           "NAME; else look whether another job is meant")
    if row.on > known.today:
        yield "day", Fault("Z214", f"{row.on} is still to come, and today is {known.today}",
                           "book hours once they are worked")
    if row.task and row.task not in known.norms:
        yield "task", Fault("Z212", f"'{row.task}' is no norm", suggestion(row.task, known.norms)
                            or "leave it blank if only the group is known")
    elif row.task and row.group not in ("", *WITH_CAUSE, known.norms[row.task]):
        yield "task", Fault("Z213", f"{row.task} is {known.norms[row.task]} work, not {row.group}",
                            "put the group or the task right, or leave one of them blank")
    elif row.task and not row.group and not row.cause and known.norms[row.task] in WITH_CAUSE:
        yield "cause", no_cause(known.norms[row.task])


def _key(row: TimeRow) -> tuple[object, ...]:
    return (row.person.casefold(), row.on, row.job, row.group, row.task, row.begun, row.span,
            row.minutes)


def _fresh(rows: Sequence[TimeRow], known: Known, done: Checked) -> list[TimeRow]:
    """Return the rows that neither stand in the file before nor are booked already."""
    booked = {_key(row): row.number for row in known.booked}
    seen: dict[tuple[object, ...], int] = {}
    fresh = []
    for row in rows:
        key = _key(row)
        if key in seen:
            done.refused.append((row.number, "person", Fault(
                "Z217", f"this says the same as row {seen[key]}",
                "delete one, or add them up in one row; begun and ended tell two stretches apart")))
        elif key in booked:
            done.already.append((row, booked[key]))
        else:
            fresh.append(row)
        seen.setdefault(key, row.number)
    return fresh


@dataclass(frozen=True, slots=True)
class _Stretch:
    """From one absolute minute to another; `row` is None for what is booked already."""

    begun: int
    ended: int
    number: int
    row: TimeRow | None
    says: str


def _at_once(
    rows: Sequence[TimeRow], known: Known
) -> Iterator[tuple[int, str, Fault]]:
    """Yield rows during which the same person was at something else."""
    by_person: dict[str, list[_Stretch]] = defaultdict(list)
    for of_file, those in ((False, known.booked), (True, rows)):
        for row in those:
            if row.begun is not None:
                by_person[row.person.casefold()].append(_stretch(row, of_file))
    for stretches in by_person.values():
        stretches.sort(key=lambda each: (each.begun, each.row is not None, each.number))
        last: _Stretch | None = None
        for each in stretches:
            if last is not None and each.begun < last.ended:
                later, other = sorted(
                    (each, last), key=lambda one: (one.row is None, -one.number))
                if later.row is not None:
                    yield later.number, "begun", Fault(
                        "Z215", f"{later.row.person} was at something else then: {other.says}",
                        "put the times right, or the person")
            if last is None or each.ended > last.ended:
                last = each


def _stretch(row: TimeRow, of_file: bool) -> _Stretch:
    begun = row.on.toordinal() * DAY + (row.begun or 0)
    what = f"row {row.number}" if of_file else f"line {row.number}, booked already"
    return _Stretch(begun, begun + row.span, row.number, row if of_file else None,
                    f"{row.on} {clock(row.begun or 0)} to {clock((row.begun or 0) + row.span)} on "
                    f"{row.job} ({what})")


def _too_long(
    rows: Sequence[TimeRow], known: Known
) -> Iterator[tuple[int, str, Fault]]:
    """Yield the row with which a person's day gets too long, and those after it."""
    worked: dict[tuple[str, date], int] = defaultdict(int)
    for row in known.booked:
        worked[row.person.casefold(), row.on] += row.minutes
    for row in rows:
        key = (row.person.casefold(), row.on)
        worked[key] += row.minutes
        if worked[key] > MOST_A_DAY:
            yield row.number, "hours", Fault(
                "Z216", f"{row.person} would have {in_words(worked[key])} on {row.on}, and nobody "
                f"works more than {in_words(MOST_A_DAY)} a day",
                "look over the hours of that day, also those that are booked")
