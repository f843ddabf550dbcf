"""Book the hours of a timesheet: a dry run first, then all of it in one transaction.

Codes of the problems: Z219 rows are refused and all are to be booked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, insert, select

from catalogue import db
from catalogue.entering import user
from catalogue.money import Money
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.tables import JOB, TIME_FILE, TIME_LINE
from estimator.actuals.durations import clock_of
from estimator.actuals.time_checks import Checked, Known, check
from estimator.actuals.time_money import amount_of
from estimator.actuals.timesheet import HOURS, NO_DAY, HowRead, TimeReader, TimeRow
from estimator.settings import Settings
from estimator.workflow.basis import firm_norms
from estimator.workflow.files import digest_of
from estimator.workflow.firm import database_of, firm_files, firm_settings
from estimator.workflow.job_states import states
from estimator.workflow.price_columns import Chosen, Layout, choose_columns

Advance = Callable[[int, int], None]
_AT_ONCE = 2_000  # rows of one statement
_READ, _CHECKED = 40, 60  # of a hundred parts of the work


@dataclass(frozen=True)
class HoursWanted:
    """What the user wants of a timesheet.

    Attributes:
        today: hours after it are not worked yet.
        layout: how the file is laid out.
        decimal_hours: whether 7.30 is 7.3 hours for certain.
        write: whether anything is to be booked.
        skip_refused: whether the sound rows are booked though others are refused.
        again: whether a file that was read in before is gone through once more.
    """

    file: Path
    today: date
    layout: Layout = field(default_factory=Layout)
    decimal_hours: bool = False
    write: bool = False
    skip_refused: bool = False
    again: bool = False


@dataclass(frozen=True)
class HoursImport:
    """What a timesheet books, or has booked.

    Attributes:
        rows: the sound rows; `amounts` are cost and overhead of each, in minor units.
        already: rows that are booked already, with the line that says the same.
        refused: what is wrong with others, in the order of the file.
        skipped: rows that hold no hours, by reason.
        before: when and by whom the same file was read in; nothing else is said then.
    """

    columns: Chosen
    currency: str
    rows: tuple[TimeRow, ...] = ()
    amounts: tuple[tuple[int, int, int], ...] = ()
    already: tuple[tuple[TimeRow, int], ...] = ()
    refused: tuple[Problem, ...] = ()
    refused_rows: int = 0
    skipped: dict[str, int] = field(default_factory=dict)
    cautions: tuple[Problem, ...] = ()
    before: tuple[datetime, str] | None = None
    written: bool = False

    @property
    def minutes(self) -> int:
        """Return the minutes of the sound rows."""
        return sum(row.minutes for row in self.rows)

    @property
    def sums(self) -> tuple[Money, Money]:
        """Return cost and overhead of the sound rows."""
        return (Money(sum(amount for _, amount, _ in self.amounts), self.currency),
                Money(sum(overhead for _, _, overhead in self.amounts), self.currency))


def import_hours(
    database: str | None, wanted: HoursWanted, advance: Advance = lambda done, of: None
) -> HoursImport:
    """Read a timesheet and, if asked, book what is sound.

    Raises:
        ProblemsFound: Z219 with all refused rows, if all rows are to be booked; as the reading of
            the file, its column map and the firm's settings and norms.
    """
    files = firm_files()
    settings = firm_settings(files)
    norms = {norm.id: norm.group for norm in firm_norms(files).values()}
    currency = settings.firm.currency
    columns = choose_columns(wanted.layout, wanted.file, None, currency, HOURS)
    read = _Read(wanted, columns)
    digest = digest_of(wanted.file)
    advance(_READ, 100)
    engine = db.open_database(database_of(database, files))
    try:
        with db.session(engine, write=wanted.write) as work:
            if wanted.write:
                hold_jobs(work, {row.job for row in read.rows})
            before = work.execute(select(TIME_FILE).where(TIME_FILE.c.digest == digest)).first()
            if before is not None and not wanted.again:
                return HoursImport(columns, currency, before=(before.at, before.by))
            known = Known(wanted.today, job_states(work), norms, booked(work, read.rows))
            done = _done(read, check(read.rows, known, read.wrong_cells), settings, columns)
            advance(_CHECKED, 100)
            if wanted.write and done.refused and not wanted.skip_refused:
                raise ProblemsFound([*done.refused, Problem(
                    "Z219", Place(wanted.file.as_posix()), f"{done.refused_rows} rows are refused, "
                    "and none is booked", "put them right, or book the others: --skip-refused")])
            if wanted.write and done.rows:
                _write(work, wanted, done, (digest, None if before is None else before.id),
                       lambda now, of: advance(_CHECKED + now * (100 - _CHECKED) // of, 100))
                work.commit()
                done = replace(done, written=True)
    finally:
        engine.dispose()
    return done


class _Read:
    """The rows of a timesheet, and what is wrong with them."""

    def __init__(self, wanted: HoursWanted, columns: Chosen) -> None:
        from catalogue.price_lists.field_rows import read_field_rows

        self.table = read_field_rows(wanted.file, columns.columns, HOURS)
        reader = TimeReader(HowRead(columns.columns, wanted.decimal_hours))
        self.rows: list[TimeRow] = []
        self.wrong_cells: set[int] = set()
        for row in self.table.rows:
            self.rows.append(reader.read(row))
            for where, fault in reader.faults:
                self.table.refuse(row.number, where, fault)
            if reader.faults or row.flawed:
                self.wrong_cells.add(row.number)


def hold_jobs(work: Connection, jobs: Iterable[str]) -> None:
    """Keep other desks from booking on these jobs until this one is done."""
    work.execute(select(JOB.c.id).where(JOB.c.id.in_(sorted(set(jobs))))
                 .order_by(JOB.c.id).with_for_update())


def job_states(work: Connection) -> dict[str, str]:
    """Return every job with how it stands: open, accepted, declined or closed."""
    answered = states(work)
    return {job: answered[job].state if job in answered else "open"
            for job in work.scalars(select(JOB.c.id))}


def booked(work: Connection, rows: Sequence[TimeRow]) -> list[TimeRow]:
    """Return what is booked on the days round those of rows and not taken back."""
    days = [row.on for row in rows if row.on != NO_DAY]
    if not days:
        return []
    a_day = timedelta(days=1)
    line, back = TIME_LINE.c, TIME_LINE.alias("back").c
    taken = select(back.takes_back).where(back.takes_back.is_not(None))
    found = work.execute(
        select(TIME_LINE).where(
            line.on_date.between(min(days) - a_day, max(days) + a_day),
            line.takes_back.is_(None), line.id.not_in(taken))
        .order_by(line.id))
    return [_as_row(row) for row in found]


def _as_row(line: Any) -> TimeRow:
    begun, span = None, 0
    if line.begun:
        first, last = clock_of(line.begun), clock_of(line.ended)
        assert isinstance(first, int)
        assert isinstance(last, int)
        begun, span = first, (last - first) % (24 * 60)
    return TimeRow(line.id, line.person, line.crew, line.on_date, line.job_id, line.task_group,
                   line.task, line.minutes, begun, span, line.cause, line.rate_minor)


def _done(read: _Read, checked: Checked, settings: Settings, columns: Chosen) -> HoursImport:
    table = read.table
    for number, where, fault in checked.refused:
        table.refuse(number, where, fault)
    rates = hourly_rates(settings)
    return HoursImport(
        columns, settings.firm.currency, tuple(checked.sound),
        tuple(_amounts(row.rate_minor, row.minutes, rates) for row in checked.sound),
        tuple(checked.already), tuple(table.all_told()), table.refused_rows(),
        dict(sorted(table.skipped.items())), (*table.table.cautions, *table.hidden_columns()))


def hourly_rates(settings: Settings) -> tuple[int, int]:
    """Return cost and overhead of an hour in minor units."""
    currency = settings.firm.currency
    return (Money.of(settings.labour.cost_per_hour, currency).minor,
            Money.of(settings.labour.overhead_per_hour, currency).minor)


def _amounts(own: int | None, minutes: int, rates: tuple[int, int]) -> tuple[int, int, int]:
    """Return rate, cost and overhead of a line in minor units."""
    rate = rates[0] if own is None else own
    return rate, amount_of(rate, minutes), amount_of(rates[1], minutes)


def _write(
    work: Connection, wanted: HoursWanted, done: HoursImport, file: tuple[str, int | None],
    advance: Advance,
) -> None:
    """Write the lines of a timesheet; the caller commits."""
    by, at = user(), datetime.now(UTC).replace(microsecond=0)
    digest, key = file
    if key is None:
        added = work.execute(insert(TIME_FILE).values(
            file_name=wanted.file.name, digest=digest, at=at, by=by)).inserted_primary_key
        assert added is not None
        key = int(added[0])
    lines = _lines(done, key, by, at)
    written = 0
    while some := list(islice(lines, _AT_ONCE)):
        work.execute(insert(TIME_LINE), some)
        written += len(some)
        advance(written, len(done.rows))


def _lines(done: HoursImport, key: int, by: str, at: datetime) -> Iterator[dict[str, Any]]:
    for row, (rate, amount, overhead) in zip(done.rows, done.amounts, strict=True):
        begun, ended = row.times
        yield {
            "file_id": key, "row": row.number, "job_id": row.job, "person": row.person,
            "crew": row.crew, "on_date": row.on, "begun": begun, "ended": ended,
            "minutes": row.minutes, "task_group": row.group, "task": row.task,
            "cause": row.cause, "rate_minor": rate, "amount_minor": amount,
            "overhead_minor": overhead, "takes_back": None, "at": at, "by": by}
