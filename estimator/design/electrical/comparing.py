"""One value beside its limit, compared before any rounding; ready to become a finding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from estimator.design.check import Amount, Check, Level
from estimator.design.limits import Figure


def margin(check: Check) -> Fraction:
    """Return how far a value keeps off its limit; below nought it is broken.

    Raises:
        TypeError: if the check compares no exact numbers.
    """
    value, limit = check.value, check.limit
    if not isinstance(value, Fraction) or not isinstance(limit, Fraction):
        raise TypeError(f"{check.code} compares no exact numbers")
    return value - limit if check.at_least else limit - value


def at_most(
    code: str, subject: str, says: str, value: Fraction, limit: Figure,
    otherwise: Level = "stop",
) -> Check:
    """Return the check that a value keeps within its limit."""
    level: Level = "fine" if value <= limit.value else otherwise
    return Check(code, level, subject, says, limit.source, limit.decides, value, limit.value,
                 limit.unit)


def at_least(
    code: str, subject: str, says: str, value: Fraction, limit: Figure,
    otherwise: Level = "stop",
) -> Check:
    """Return the check that a value reaches its limit."""
    level: Level = "fine" if value >= limit.value else otherwise
    return Check(code, level, subject, says, limit.source, limit.decides, value, limit.value,
                 limit.unit, at_least=True)


def telling(checks: Iterable[Check], *alike: Sequence[str]) -> tuple[Check, ...]:
    """Return checks without those that pass more easily than another of their kind does.

    Args:
        alike: codes of checks of one value against several limits; of those that pass only the
            one nearest to its limit is kept. What does not pass is always kept.
    """
    held = tuple(checks)
    kind = {code: codes for codes in alike for code in codes}
    nearest: dict[Sequence[str], Check] = {}
    for each in held:
        codes = kind.get(each.code)
        if codes and each.passes and (
                codes not in nearest or margin(each) < margin(nearest[codes])):
            nearest[codes] = each
    return tuple(
        each for each in held
        if each.code not in kind or not each.passes or nearest[kind[each.code]] is each)


def worst(checks: tuple[Check, ...]) -> Level:
    """Return the gravest level of some checks; fine if there are none."""
    levels = {check.level for check in checks}
    return "stop" if "stop" in levels else "caution" if "caution" in levels else "fine"


def failure(check: Check) -> str:
    """Return in words how far a check fails."""
    sign = "under" if check.at_least else "over"
    return (f"{check.says} ({check.subject}): {shown(check.value)} {check.unit} is {sign} "
            f"{shown(check.limit)} {check.unit}")


def shown(value: Amount) -> str:
    """Return a number for the reader; never for comparing."""
    if isinstance(value, str):
        return value
    text = f"{float(value):.5g}"
    return f"{float(value):.0f}" if "e+" in text else text
