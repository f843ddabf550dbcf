"""Column types that hold exactly what they are given, or refuse it.

SQLite keeps a decimal column as a binary fraction, so money and quantities are stored as whole
numbers: minor units, and thousandths. Flags, dates and times get a type that a STRICT table of
SQLite takes; other engines get their own.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, Generic, TypeVar

from sqlalchemy import BigInteger, Boolean, Date, DateTime, Dialect, Integer, Text
from sqlalchemy.types import TypeDecorator, TypeEngine

_LARGEST = 2**63 - 1
_STEP = Decimal("0.001")
T = TypeVar("T")


class _Exact(TypeDecorator[T], Generic[T]):
    """A stored type that differs between SQLite and the other engines."""

    cache_ok = True
    on_sqlite: type[TypeEngine[Any]]
    holds: type[Any]

    @property
    def python_type(self) -> type[Any]:
        """Return the type of the values on this side of the database."""
        return self.holds

    def load_dialect_impl(self, dialect: Dialect) -> TypeEngine[Any]:
        chosen = self.on_sqlite if dialect.name == "sqlite" else self.impl
        return dialect.type_descriptor(chosen() if isinstance(chosen, type) else chosen)


class MoneyMinor(_Exact[int]):
    """Money in whole minor units (pence).

    Raises (while a statement is bound):
        TypeError: for a float, a Decimal, text or a bool.
        ValueError: for a number of more than 63 bits.
    """

    impl = BigInteger
    on_sqlite = Integer
    holds = int
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:
        """Return the whole number, refusing anything else."""
        if value is None:
            return None
        if type(value) is not int:
            raise TypeError(f"money is stored in whole minor units, not {type(value).__name__}")
        return _that_fits(value)


class Milli(_Exact[Decimal]):
    """A quantity or share, stored as thousandths (0.05 -> 50).

    Raises (while a statement is bound):
        TypeError: for a float, text or a bool.
        ValueError: for a quantity finer than a thousandth, not finite, or of more than 63 bits.
    """

    impl = BigInteger
    on_sqlite = Integer
    holds = Decimal
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:
        """Return the thousandths, refusing what they cannot hold."""
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, Decimal | int):
            raise TypeError(f"a quantity is stored from a Decimal, not {type(value).__name__}")
        amount = Decimal(value)
        if not amount.is_finite():
            raise ValueError(f"{value} is not a quantity")
        numerator, denominator = amount.as_integer_ratio()
        thousandths, rest = divmod(numerator * 1000, denominator)
        if rest:
            raise ValueError(f"{value} is finer than a thousandth and would lose its last digits")
        return _that_fits(thousandths)

    def process_result_value(self, value: int | None, dialect: Dialect) -> Decimal | None:
        """Return the quantity without needless zeros (1000 -> 1, 50 -> 0.05)."""
        return None if value is None else from_milli(value)


class Flag(_Exact[bool]):
    """Yes or no; never a number or a word."""

    impl = Boolean
    on_sqlite = Integer
    holds = bool
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> bool | int | None:
        """Return the flag as the engine stores it."""
        if value is None:
            return None
        if type(value) is not bool:
            raise TypeError(f"a flag is True or False, not {type(value).__name__}")
        return int(value) if dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:
        """Return the flag."""
        return None if value is None else bool(value)


class IsoDate(_Exact[date]):
    """A trade date; SQLite holds it as text 2026-06-30, which sorts by day."""

    impl = Date
    on_sqlite = Text
    holds = date
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> date | str | None:
        """Return the date as the engine stores it; a date with a time of day is refused."""
        if value is None:
            return None
        if type(value) is not date:
            raise TypeError(f"a date is needed, not {type(value).__name__}")
        return value.isoformat() if dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        """Return the date."""
        return date.fromisoformat(value) if isinstance(value, str) else value


class UtcTime(_Exact[datetime]):
    """A moment in UTC, to the microsecond; a time without a zone is refused."""

    impl = DateTime(timezone=True)
    on_sqlite = Text
    holds = datetime
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> datetime | str | None:
        """Return the moment as the engine stores it."""
        if value is None:
            return None
        if not isinstance(value, datetime) or value.tzinfo is None:
            raise TypeError("a moment is stored from a datetime with its time zone")
        moment = value.astimezone(UTC)
        if dialect.name != "sqlite":
            return moment
        return moment.isoformat(timespec="microseconds")

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Return the moment in UTC."""
        if value is None:
            return None
        moment = datetime.fromisoformat(value) if isinstance(value, str) else value
        return moment.astimezone(UTC)


def from_milli(thousandths: int) -> Decimal:
    """Return thousandths as a Decimal without needless zeros (1000 -> 1, 50 -> 0.05)."""
    whole, rest = divmod(thousandths, 1000)
    if rest == 0:
        return Decimal(whole)
    return (Decimal(thousandths) * _STEP).normalize()


def _that_fits(whole: int) -> int:
    if abs(whole) > _LARGEST:
        raise ValueError(f"{whole} does not fit the column")
    return whole
