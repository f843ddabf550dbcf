"""Who writes into the stock's books, and when."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Posted:
    """Who writes moves or reservations, and when."""

    by: str
    at: datetime
