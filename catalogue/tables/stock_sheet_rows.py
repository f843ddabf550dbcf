"""Rows of the sheets for the van as typed objects; see `rows`."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Mapped

from catalogue import tables
from catalogue.tables.rows import Base


class StockSheetRow(Base):
    """A sheet that was written for a job, to be picked by or to come back."""

    __table__ = tables.STOCK_SHEET

    id: Mapped[int]
    job_id: Mapped[str]
    number: Mapped[int]
    revision: Mapped[int]
    kind: Mapped[str]
    sheet_json: Mapped[str]
    digest: Mapped[str]
    issued_at: Mapped[datetime]


class StockSheetReadRow(Base):
    """A sheet that came back filled in, and was read."""

    __table__ = tables.STOCK_SHEET_READ

    sheet_id: Mapped[int]
    marks_json: Mapped[str]
    digest: Mapped[str]
    at: Mapped[datetime]
    by: Mapped[str]
