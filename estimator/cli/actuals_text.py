"""What `estimator actuals` prints of hours, payments and sums."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from catalogue.money import Money
from estimator.actuals.durations import in_words
from estimator.cli.catalogue_text import problem_data
from estimator.papers.terminal import clean, shortened, table

if TYPE_CHECKING:
    from catalogue.problems import Problem
    from estimator.actuals.timesheet import TimeRow
    from estimator.workflow.actual_costs import ActualCosts, BookedHours
    from estimator.workflow.hours import HoursImport
    from estimator.workflow.hours_back import TakenBack
    from estimator.workflow.payments import Paid
    from estimator.workflow.price_columns import Chosen

_WORDS = 34
NAMED = 20  # most rows and problems that the terminal names one by one
_ORIGINS = {"by hand": "Entered by hand", "given": "Columns as given",
            "the file itself": "The file names its own fields",
            "guessed": "Columns guessed from the header: look whether they are right"}


def hours_data(done: HoursImport) -> dict[str, Any]:
    """Return what a timesheet books as data; money is in minor units."""
    return {
        "columns": done.columns.columns.to_toml(), "columns_from": done.columns.origin,
        "currency": done.currency, "written": done.written,
        "read_in_already": None if done.before is None else {
            "at": done.before[0], "by": done.before[1]},
        "rows": [_row_data(row) | {"rate_minor": rate, "amount_minor": amount,
                                   "overhead_minor": overhead}
                 for row, (rate, amount, overhead) in zip(done.rows, done.amounts, strict=True)],
        "minutes": done.minutes, "amount_minor": done.sums[0].minor,
        "overhead_minor": done.sums[1].minor,
        "booked_already": [{"row": row.number, "line": line} for row, line in done.already],
        "refused": done.refused_rows, "problems": [problem_data(each) for each in done.refused],
        "cautions": [problem_data(each) for each in done.cautions], "skipped": done.skipped,
    }


def _row_data(row: TimeRow) -> dict[str, Any]:
    begun, ended = row.times
    return {"row": row.number, "person": row.person, "crew": row.crew, "on": row.on,
            "job": row.job, "task_group": row.group, "task": row.task, "minutes": row.minutes,
            "begun": begun, "ended": ended, "cause": row.cause}


def hours_text(done: HoursImport) -> str:
    """Return what a timesheet books: columns, refused rows, hours by job and group, sums."""
    if done.before is not None:
        at, by = done.before
        return clean(f"This file was read in already on {at.date()}"
                     f"{f' by {by}' if by else ''}; nothing of it is booked twice.\n"
                     "To go through it once more: --again")
    lines = [*columns_lines(done.columns), *problem_lines(done.cautions),
             *problem_lines(done.refused)]
    sums: dict[tuple[str, str], list[int]] = {}
    for row, (_, amount, _) in zip(done.rows, done.amounts, strict=True):
        there = sums.setdefault((row.job, row.group), [0, 0])
        there[0] += row.minutes
        there[1] += amount
    lines += table(
        [(job, group, in_words(minutes), str(Money(amount, done.currency)))
         for (job, group), (minutes, amount) in sorted(sums.items())], "llrr",
        ("job", "task group", "hours", "cost"))
    cost, overhead = done.sums
    lines.append(
        f"{so_many(len(done.rows), 'row')} with {in_words(done.minutes)}: {cost}, and {overhead} "
        f"of overhead; {len(done.already)} booked already, {done.refused_rows} refused"
        + "".join(f", {many} {what}" for what, many in done.skipped.items()))
    lines.append("Booked." if done.written else "Nothing is booked yet.")
    return clean("\n".join(lines))


def columns_lines(chosen: Chosen) -> Iterator[str]:
    """Yield how the columns of a table are read."""
    yield _ORIGINS[chosen.origin]
    if chosen.origin not in ("the file itself", "by hand"):
        yield from (f"  {line}" for line in chosen.columns.to_toml().splitlines() if line)


def problem_lines(problems: tuple[Problem, ...]) -> Iterator[str]:
    """Yield the first problems, and how many there are beyond."""
    yield from (str(each) for each in problems[:NAMED])
    if len(problems) > NAMED:
        yield f"... and {len(problems) - NAMED} more; --json has all of them"


def so_many(number: int, what: str) -> str:
    """Return a number of things ("1 row", "2 rows")."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def taken_back_text(done: TakenBack) -> str:
    """Return which line takes back which."""
    return clean(f"line {done.by_line} takes back line {done.line}: {in_words(done.minutes)} of "
                 f"{done.person} on {done.on} for {done.job}")


def paid_data(done: Paid) -> dict[str, Any]:
    """Return a payment as data; money is in minor units."""
    return {"job": done.job, "what": done.what, "on": done.on,
            "amount_minor": done.amount.minor, "in_all_minor": done.in_all.minor,
            "currency": done.amount.currency}


def paid_text(done: Paid) -> str:
    """Return what was booked and what was paid in all."""
    return clean(f"{done.job}: {done.amount} booked as {done.what} on {done.on}; "
                 f"{done.in_all} paid in all")


def costs_data(found: ActualCosts) -> dict[str, Any]:
    """Return what was booked on jobs as data; money is in minor units."""
    return {
        "sums": [{"job": each.job, "kind": each.kind, "head": each.head,
                  "task_group": each.group, "minutes": each.minutes,
                  "amount_minor": each.amount.minor, "currency": each.amount.currency}
                 for each in found.sums],
        "hours": [_in_minor(each, "amount") for each in found.hours],
        "bills": [_in_minor(each, "net", "cost") for each in found.bills],
        "paid": [{"job": job, "amount_minor": amount.minor, "currency": amount.currency}
                 for job, amount in found.paid],
    }


def _in_minor(each: Any, *amounts: str) -> dict[str, Any]:
    """Return a value as data, with these amounts in minor units."""
    data = asdict(each)
    for name in amounts:
        data[f"{name}_minor"] = data.pop(name)["minor"]
    return data


def costs_text(found: ActualCosts, with_lines: bool) -> str:
    """Return what was booked on jobs: sums by head, payments and, if asked, each line of hours."""
    if not found.sums and not found.paid:
        return "Nothing is booked."
    lines: list[str] = []
    paid = dict(found.paid)
    for job in dict.fromkeys([*(each.job for each in found.sums), *paid]):
        lines.append(f"Job {job}")
        sums = [each for each in found.sums if each.job == job]
        rows = [(each.kind, each.head if each.kind != each.head else "", each.group,
                 in_words(each.minutes) if each.minutes else "", str(each.amount))
                for each in sums]
        if sums:
            rows.append(("cost so far", "", "", "", str(found.total(job))))
        if job in paid:
            rows.append(("paid by the customer", "", "", "", str(paid[job])))
        lines += table(rows, "lllrr", ("", "head", "group", "hours", "amount"))
        if with_lines:
            lines += _hours_lines([each for each in found.hours if each.job == job])
            lines += table(
                [(f"{each.supplier} {each.number}", str(each.on), each.kind, each.head,
                  shortened(each.name, _WORDS), str(each.net), str(each.cost))
                 for each in found.bills if each.job == job],
                "lllllrr", ("bill", "day", "kind", "head", "", "net", "cost"))
    return clean("\n".join(lines))


def _hours_lines(hours: list[BookedHours]) -> list[str]:
    def about(each: BookedHours) -> str:
        if each.takes_back is not None:
            return f"takes back {each.takes_back}: {each.cause}"
        back = "" if each.taken_back is None else f"taken back by {each.taken_back}"
        return "; ".join(part for part in (each.cause, back) if part)

    return table(
        [(str(each.line), str(each.on), each.person, each.group, each.task,
          in_words(each.minutes), str(each.amount), about(each)) for each in hours],
        "rllllrrl", ("line", "day", "person", "group", "task", "hours", "cost", ""))
