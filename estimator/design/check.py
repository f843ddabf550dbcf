"""What a check of the design tells: an outcome ready to become a finding, or a question.

The rules stand above the design, so the design cannot make a `Finding` itself: `Check` has the
same fields under the same names.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

Level = Literal["fine", "caution", "stop"]
Amount = int | Decimal | Fraction | float | str
SEVERITY: dict[str, int] = {"stop": 0, "caution": 1, "fine": 2}


@dataclass(frozen=True, slots=True)
class Check:
    """A check and its outcome, compared before any rounding.

    Attributes:
        code: name of the check, the same for every job.
        level: fine; caution for an aim that is missed or what a person must look at; stop for a
            limit that is broken.
        subject: what is checked ("converter circuit, leg 2").
        says: the outcome in words.
        decides: who must decide, whatever the outcome.
        value, limit: exact numbers, or words; "" where the check compares nothing.
        at_least: whether the value must reach the limit rather than keep within it.
        signed: whether whoever decides must put a name to the sum before work starts.
    """

    code: str
    level: Level
    subject: str
    says: str
    source: str
    decides: str
    value: Amount = ""
    limit: Amount = ""
    unit: str = ""
    at_least: bool = False
    signed: bool = False

    @property
    def passes(self) -> bool:
        """Return whether nothing speaks against it."""
        return self.level == "fine"


@dataclass(frozen=True, slots=True)
class Unanswered:
    """A check that lacks a fact: never a pass.

    Attributes:
        facts: paths of the facts that are missing ("storage.place", "leg[1].length_m").
        asks: the question in words.
        worst: the outcome if the answer turns out badly; priced meanwhile.
    """

    code: str
    facts: tuple[str, ...]
    asks: str
    worst: Check


@dataclass(frozen=True, slots=True)
class Sum:
    """One figure of a worked answer, as it is to be shown."""

    name: str
    value: Amount
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Worked:
    """An answer of the design with the way it was reached, kept beside the estimate.

    Attributes:
        code: name of the answer, the same for every job ("circuit-cable").
        subject: what it is about ("converter circuit", the name of a plane).
        says: the answer in words, with the reason.
        method: how it was reached ("by coefficient").
        sums: figures on the way and at the end.
    """

    code: str
    subject: str
    says: str
    method: str
    source: str
    sums: tuple[Sum, ...] = ()


@dataclass(frozen=True, slots=True)
class Report:
    """All outcomes of a set of checks, worst first, and all that could not be answered."""

    checked: tuple[Check, ...]
    unanswered: tuple[Unanswered, ...]


def report_of(told: list[Check | Unanswered]) -> Report:
    """Return outcomes worst first (in the order of the checks among equals), and questions."""
    checked = sorted((each for each in told if isinstance(each, Check)),
                     key=lambda each: SEVERITY[each.level])
    return Report(tuple(checked), tuple(e for e in told if isinstance(e, Unanswered)))


def words_of(practice: Practice, name: str, on: date) -> tuple[str, ...]:
    """Return the words of a list that the pack holds as "a, b, c"; none if it has no such list."""
    value = practice.at(name, on)
    if value is None:
        return ()
    return tuple(word.strip() for word in str(value.value).split(",") if word.strip())


def limit_in(value: PracticeValue) -> Decimal:
    """Return the number of a practice value.

    Raises:
        TypeError: if the value is no number; the pack that comes with the program is tested.
    """
    if not isinstance(value.value, Decimal):
        raise TypeError(f"{value.name} is no number ({value.where})")
    return value.value


def shown(number: Fraction | Decimal | float, places: int = 2) -> str:
    """Return a number for the reader, rounded; never used to compare."""
    text = f"{float(number):.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
