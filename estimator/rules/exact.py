"""Exact arithmetic for formulas: whole numbers, decimals, and fractions where a division needs one.

Decimals are reckoned with more digits than any formula needs, and a result that would still have
to be rounded is reckoned as a fraction instead. Nothing is ever rounded here; only `ceil`, `floor`
and `//` lead back to whole numbers. An unknown operand makes the result unknown.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from decimal import (
    Context,
    Decimal,
    DecimalException,
    DivisionByZero,
    Inexact,
    InvalidOperation,
    Overflow,
    Underflow,
)
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from estimator.design.sheet import Unknown

if TYPE_CHECKING:
    from estimator.rules.model import Formula

# Numbers with more places than this before or after the point are no lengths, counts or prices.
LARGEST_EXPONENT = 400
_CONTEXT = Context(
    prec=60, Emax=LARGEST_EXPONENT, Emin=-LARGEST_EXPONENT, clamp=0,
    traps=[DivisionByZero, Inexact, InvalidOperation, Overflow, Underflow],
)
_add, _subtract = _CONTEXT.add, _CONTEXT.subtract
_multiply, _divide = _CONTEXT.multiply, _CONTEXT.divide


class FormulaFailed(Exception):  # noqa: N818  (a failure of the user's formula, as ProblemsFound)
    """A formula has no answer with the values of this job (division by zero and the like).

    Attributes:
        says: what went wrong, in words.
        at: where in the text of the formula, from 0; None if it cannot be told.
        formula: the formula that failed, once it is known.
    """

    def __init__(self, says: str, at: int | None = None) -> None:
        self.says = says
        self.at = at
        self.formula: Formula | None = None
        super().__init__(says)


def as_fraction(number: object) -> Fraction:
    """Return an exact number as a fraction.

    Raises:
        FormulaFailed: if it is not a number, or too large or small to be one of a job.
    """
    if isinstance(number, Decimal):
        if not number.is_finite() or abs(number.adjusted()) > LARGEST_EXPONENT:
            raise FormulaFailed(f"{number} is outside the range of numbers")
        return Fraction(number)
    if isinstance(number, bool) or not isinstance(number, int | Fraction):
        raise FormulaFailed(f"{number!r} is not a number")
    return Fraction(number)


def tidy(value: Fraction) -> int | Decimal | Fraction:
    """Return the same number as a whole number or a decimal, where one holds it exactly."""
    if value.denominator == 1:
        return value.numerator
    rest, places = value.denominator, 0
    for prime in (2, 5):
        times = 0
        while rest % prime == 0:
            rest //= prime
            times += 1
        places = max(places, times)
    if rest != 1 or places > LARGEST_EXPONENT:
        return value
    scaled = value.numerator * 10**places // value.denominator
    return Decimal(scaled).scaleb(-places, Context(prec=max(len(str(scaled)), places) + 5))


def _by_fractions(fraction: Callable[[Any, Any], Any], a: object, b: object) -> Any:
    if isinstance(a, Unknown):
        return a.join(b)
    if isinstance(b, Unknown):
        return b
    return tidy(fraction(as_fraction(a), as_fraction(b)))


def add(a: Any, b: Any) -> Any:
    """Return a + b, exactly."""
    try:
        return _add(a, b)
    except (TypeError, DecimalException):
        return _by_fractions(operator.add, a, b)


def subtract(a: Any, b: Any) -> Any:
    """Return a - b, exactly."""
    try:
        return _subtract(a, b)
    except (TypeError, DecimalException):
        return _by_fractions(operator.sub, a, b)


def multiply(a: Any, b: Any) -> Any:
    """Return a * b, exactly."""
    try:
        return _multiply(a, b)
    except (TypeError, DecimalException):
        return _by_fractions(operator.mul, a, b)


def divide(a: Any, b: Any) -> Any:
    """Return a / b, exactly: 7 / 2 is 3.5, 1 / 3 is the fraction.

    Raises:
        FormulaFailed: if b is a known zero.
    """
    try:
        return _divide(a, b)
    except (TypeError, DecimalException):
        _refuse_zero(b)
        return _by_fractions(operator.truediv, a, b)


def floor_divide(a: Any, b: Any) -> Any:
    """Return the largest whole number that is not above a / b: 7 // 2 is 3, -7 // 2 is -4.

    Raises:
        FormulaFailed: if b is a known zero.
    """
    _refuse_zero(b)
    return _by_fractions(operator.floordiv, a, b)


def _refuse_zero(divisor: object) -> None:
    if not isinstance(divisor, Unknown) and divisor == 0:
        raise FormulaFailed("division by zero")


def negative(a: Any) -> Any:
    """Return -a, exactly."""
    return subtract(0, a) if isinstance(a, Decimal) else -a


def ceiling(a: Any) -> Any:
    """Return the smallest whole number that is not below a."""
    if type(a) is int or isinstance(a, Unknown):
        return a
    return math.ceil(as_fraction(a))


def floor(a: Any) -> Any:
    """Return the largest whole number that is not above a."""
    if type(a) is int or isinstance(a, Unknown):
        return a
    return math.floor(as_fraction(a))


def absolute(a: Any) -> Any:
    """Return a without its sign."""
    if isinstance(a, Unknown):
        return a
    return negative(a) if a < 0 else a


def largest_of(*numbers: Any) -> Any:
    """Return the largest; unknown if any is."""
    missing = _joined(numbers)
    return max(numbers) if missing is None else missing


def smallest_of(*numbers: Any) -> Any:
    """Return the smallest; unknown if any is."""
    missing = _joined(numbers)
    return min(numbers) if missing is None else missing


def _joined(values: tuple[Any, ...]) -> Unknown | None:
    missing: Unknown | None = None
    for value in values:
        if value.__class__ is Unknown:
            missing = value if missing is None else missing.join(value)
    return missing
