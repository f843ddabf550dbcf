"""Quoted jobs and the revisions of their estimates. A revision is written once."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Integer, Text, event
from sqlalchemy.orm import Mapped, mapped_column

from catalogue.tables.base import STRICT, Base
from catalogue.tables.columns import IsoDate, MoneyMinor, UtcTime


class JobRow(Base):
    """One job, by the id its survey gives."""

    __tablename__ = "job"
    __table_args__ = (CheckConstraint("id <> ''", name="id_given"), STRICT)

    id: Mapped[str] = mapped_column(Text, primary_key=True)
    title: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(UtcTime)


class RevisionRow(Base):
    """One estimate of a job as it was made, with the survey it was made from.

    Attributes:
        number: 1, 2, 3 ... within the job.
        inputs_digest: digest of survey, prices, rules and settings; the same inputs give it again.
        kind: kind of the quote ("firm", "budget").
        net_minor: selling price before tax, in minor units.
    """

    __tablename__ = "revision"
    __table_args__ = (
        CheckConstraint("number >= 1", name="number_from_one"),
        CheckConstraint("length(currency) = 3", name="currency_of_three_letters"),
        STRICT,
    )

    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), primary_key=True)
    number: Mapped[int] = mapped_column(Integer, primary_key=True, autoincrement=False)
    on_date: Mapped[date] = mapped_column(IsoDate)
    survey_text: Mapped[str] = mapped_column(Text)
    estimate_json: Mapped[str] = mapped_column(Text)
    inputs_digest: Mapped[str] = mapped_column(Text)
    made_at: Mapped[datetime] = mapped_column(UtcTime)
    kind: Mapped[str] = mapped_column(Text)
    net_minor: Mapped[int] = mapped_column(MoneyMinor)
    currency: Mapped[str] = mapped_column(Text)


@event.listens_for(RevisionRow, "before_update")
@event.listens_for(RevisionRow, "before_delete")
def _written_once(mapper: Any, connection: Any, row: RevisionRow) -> None:
    raise ValueError(f"revision {row.number} of job {row.job_id} is written once; add a new one")
