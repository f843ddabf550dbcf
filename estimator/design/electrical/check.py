"""One value beside its limit, compared before any rounding; ready to become a finding."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.design.electrical.figures import Figure

Level = Literal["fine", "caution", "stop"]


@dataclass(frozen=True, slots=True)
class Check:
    """A value compared with its limit.

    Attributes:
        code: name of the check, the same for every job.
        subject: what is checked ("converter circuit, leg 2").
        says: what is compared, in words.
        at_least: whether the value must reach the limit rather than keep within it.
        decides: who must decide.
        level: fine; caution for an aim that is missed; stop for a limit that is broken.
    """

    code: str
    subject: str
    says: str
    value: Fraction
    limit: Fraction
    unit: str
    source: str
    decides: str
    level: Level
    at_least: bool = False

    @property
    def margin(self) -> Fraction:
        """Return how far the value keeps off its limit; below nought it is broken."""
        return self.value - self.limit if self.at_least else self.limit - self.value


def at_most(
    code: str, subject: str, says: str, value: Fraction, limit: Figure,
    otherwise: Level = "stop",
) -> Check:
    """Return the check that a value keeps within its limit."""
    level: Level = "fine" if value <= limit.value else otherwise
    return Check(code, subject, says, value, limit.value, limit.unit, limit.source,
                 limit.decides, level)


def at_least(
    code: str, subject: str, says: str, value: Fraction, limit: Figure,
    otherwise: Level = "stop",
) -> Check:
    """Return the check that a value reaches its limit."""
    level: Level = "fine" if value >= limit.value else otherwise
    return Check(code, subject, says, value, limit.value, limit.unit, limit.source,
                 limit.decides, level, at_least=True)


def worst(checks: tuple[Check, ...]) -> Level:
    """Return the gravest level of some checks; fine if there are none."""
    levels = {check.level for check in checks}
    return "stop" if "stop" in levels else "caution" if "caution" in levels else "fine"


def failure(check: Check) -> str:
    """Return in words how far a check fails."""
    sign = "under" if check.at_least else "over"
    return (f"{check.says} ({check.subject}): {shown(check.value)} {check.unit} is {sign} "
            f"{shown(check.limit)} {check.unit}")


def shown(value: Fraction) -> str:
    """Return a number for the reader; never for comparing."""
    text = f"{float(value):.5g}"
    return f"{float(value):.0f}" if "e+" in text else text
