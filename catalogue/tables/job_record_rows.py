"""Rows of what happens on jobs after their quotes, as typed objects; see `rows`."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from sqlalchemy.orm import Mapped

from catalogue import tables
from catalogue.tables.rows import Base


class QuotedRow(Base):
    """What a revision is about, as jobs are held side by side."""

    __table__ = tables.QUOTED

    job_id: Mapped[str]
    number: Mapped[int]
    kind_of_job: Mapped[str]
    covering: Mapped[str]
    wall: Mapped[str]
    estimator: Mapped[str]
    surveyor: Mapped[str]
    lead_source: Mapped[str]
    area: Mapped[str]
    storeys: Mapped[int | None]
    panels: Mapped[int]
    modules: Mapped[int]
    hours: Mapped[Decimal]
    direct_minor: Mapped[int]
    cost_minor: Mapped[int]
    valid_until: Mapped[date]


class PlanLineRow(Base):
    """What a line of a revision was reckoned to cost."""

    __table__ = tables.PLAN_LINE

    job_id: Mapped[str]
    number: Mapped[int]
    line: Mapped[int]
    kind: Mapped[str]
    head: Mapped[str]
    code: Mapped[str]
    task_group: Mapped[str]
    supplier: Mapped[str]
    quantity: Mapped[Decimal]
    amount_minor: Mapped[int]


class JobDayRow(Base):
    """What happened to a job, and on which day."""

    __table__ = tables.JOB_DAY

    id: Mapped[int]
    job_id: Mapped[str]
    what: Mapped[str]
    on_date: Mapped[date]
    crew: Mapped[str]
    chance_percent: Mapped[int | None]
    at: Mapped[datetime]
    by: Mapped[str]
    why: Mapped[str]


class VariationRow(Base):
    """Something found on a job that changes it."""

    __table__ = tables.VARIATION

    job_id: Mapped[str]
    number: Mapped[int]
    found: Mapped[str]
    photo: Mapped[str]
    reason: Mapped[str]
    changes: Mapped[str]
    before_revision: Mapped[int]
    after_revision: Mapped[int]
    chargeable: Mapped[bool]
    cost_minor: Mapped[int]
    price_minor: Mapped[int]
    at: Mapped[datetime]
    by: Mapped[str]


class VariationEventRow(Base):
    """What the customer said of a variation."""

    __table__ = tables.VARIATION_EVENT

    id: Mapped[int]
    job_id: Mapped[str]
    number: Mapped[int]
    event: Mapped[str]
    on_date: Mapped[date]
    writing: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]


class TimeFileRow(Base):
    """One file of hours that was read."""

    __table__ = tables.TIME_FILE

    id: Mapped[int]
    file_name: Mapped[str]
    digest: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]


class TimeLineRow(Base):
    """What somebody worked at one thing."""

    __table__ = tables.TIME_LINE

    id: Mapped[int]
    file_id: Mapped[int | None]
    row: Mapped[int]
    job_id: Mapped[str]
    person: Mapped[str]
    crew: Mapped[str]
    on_date: Mapped[date]
    begun: Mapped[str]
    ended: Mapped[str]
    minutes: Mapped[int]
    task_group: Mapped[str]
    task: Mapped[str]
    cause: Mapped[str]
    rate_minor: Mapped[int]
    amount_minor: Mapped[int]
    overhead_minor: Mapped[int]
    takes_back: Mapped[int | None]
    at: Mapped[datetime]
    by: Mapped[str]


class InvoiceRow(Base):
    """One invoice or credit note."""

    __table__ = tables.INVOICE

    id: Mapped[int]
    kind: Mapped[str]
    supplier: Mapped[str]
    number: Mapped[str]
    on_date: Mapped[date]
    due_on: Mapped[date | None]
    currency: Mapped[str]
    net_minor: Mapped[int]
    tax_minor: Mapped[int]
    file_name: Mapped[str]
    digest: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]


class InvoiceLineRow(Base):
    """One line of it."""

    __table__ = tables.INVOICE_LINE

    invoice_id: Mapped[int]
    line: Mapped[int]
    kind: Mapped[str]
    head: Mapped[str]
    job_id: Mapped[str | None]
    order_number: Mapped[int | None]
    order_line: Mapped[int | None]
    item_code: Mapped[str | None]
    name: Mapped[str]
    quantity: Mapped[Decimal]
    net_minor: Mapped[int]
    cost_minor: Mapped[int]


class CustomerPaymentRow(Base):
    """What the customer paid."""

    __table__ = tables.CUSTOMER_PAYMENT

    id: Mapped[int]
    job_id: Mapped[str]
    what: Mapped[str]
    on_date: Mapped[date]
    amount_minor: Mapped[int]
    at: Mapped[datetime]
    by: Mapped[str]


class ReadingRow(Base):
    """One reading or tick of a job's close-out."""

    __table__ = tables.READING

    id: Mapped[int]
    job_id: Mapped[str]
    code: Mapped[str]
    subject: Mapped[str]
    value: Mapped[str]
    unit: Mapped[str]
    not_tested: Mapped[str]
    verdict: Mapped[str]
    accepted_because: Mapped[str]
    instrument: Mapped[str]
    calibrated_on: Mapped[date | None]
    conditions: Mapped[str]
    remark: Mapped[str]
    on_date: Mapped[date]
    at: Mapped[datetime]
    by: Mapped[str]


class CloseOutSheetRow(Base):
    """A sheet for the close-out that was written."""

    __table__ = tables.CLOSE_OUT_SHEET

    id: Mapped[int]
    job_id: Mapped[str]
    number: Mapped[int]
    revision: Mapped[int]
    sheet_json: Mapped[str]
    digest: Mapped[str]
    issued_at: Mapped[datetime]


class CloseOutReadRow(Base):
    """Such a sheet that came back and was read."""

    __table__ = tables.CLOSE_OUT_READ

    id: Mapped[int]
    sheet_id: Mapped[int]
    marks_json: Mapped[str]
    digest: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]
