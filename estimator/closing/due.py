"""The readings that are due on a job, each with what it is held against."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from estimator.closing.clocks import days_in_words
from estimator.closing.design import CircuitOf, Design, StringOf
from estimator.closing.entries import NO, YES, Entry
from estimator.closing.expected import (
    ByDay,
    Equal,
    Expected,
    Like,
    Noted,
    OneOf,
    StringAmps,
    StringVolts,
    Within,
)
from estimator.closing.limits import Limits
from estimator.closing.physics import insulation_test
from estimator.design.limits import shown

JOB = "job"
_TABLE = "closeout_insulation"


@dataclass(frozen=True, slots=True)
class Due:
    """A reading that is due.

    Attributes:
        subject: the string, circuit or phase, or "job".
        kin: readings of one code whose subjects have the same word here are alike; "" = none is.
    """

    entry: Entry
    subject: str
    expected: Expected
    kin: str = ""

    @property
    def code(self) -> str:
        """Return the code of what is read."""
        return self.entry.code

    @property
    def key(self) -> tuple[str, str]:
        """Return code and subject."""
        return self.entry.code, self.subject

    @property
    def words(self) -> tuple[str, ...]:
        """Return the words that may be written: all that may, but for a number."""
        return (YES, NO) if self.entry.box == "yes" else self.entry.words


@dataclass(frozen=True)
class DueFrom:
    """What due readings follow from.

    Attributes:
        last_days: of a paper with a day, by code, the last day; left out while it is not known.
    """

    entries: Sequence[Entry]
    design: Design
    limits: Limits
    last_days: Mapping[str, date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Of:
    """What one reading is of."""

    name: str
    string: StringOf | None = None
    circuit: CircuitOf | None = None


def due_readings(given: DueFrom) -> tuple[Due, ...]:
    """Return every reading that is due, in the order of the entries, each for every subject."""
    wanted = [each for each in given.entries
              if each.in_force(given.limits.on) and given.design.holds(each.when)]
    return tuple(
        Due(entry, of.name, _expected(entry, of, given), _kin(entry, of))
        for entry in wanted for of in _subjects(entry, given.design))


def _subjects(entry: Entry, design: Design) -> list[_Of]:
    match entry.of:
        case "string":
            return [_Of(each.name, string=each) for each in design.strings]
        case "circuit":
            return [_Of(each.name, circuit=each) for each in design.circuits]
        case "phase":
            circuit = design.circuits[0] if design.circuits else None
            names = [f"L{n}" for n in range(1, design.phases + 1)] if design.phases > 1 else [JOB]
            return [_Of(name, circuit=circuit) for name in names]
        case _:
            return [_Of(JOB)]


def _kin(entry: Entry, of: _Of) -> str:
    if of.string is None or of.string.panels is None:
        return ""
    if entry.expect == "string volts":
        return f"{of.string.panels}"
    return f"{of.string.panels} {of.string.faces}" if entry.expect == "string current" else ""


# -- what it is held against -----------------------------------------------------------------------

_Rule = Callable[[Entry, _Of, DueFrom], Expected]


def _expected(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    if entry.box == "yes":
        return OneOf((YES,))
    return RULES[entry.expect](entry, of, given)


def _numbers(entry: Entry, given: DueFrom) -> list[Fraction | None]:
    return [given.limits.number(name) for name in entry.limits]


def _noted(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    return Noted()


def _word(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    return OneOf(entry.words[:1])


def _not_the_last(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    return OneOf(entry.words[:-1])


def _at_least(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    least = _numbers(entry, given)[0]
    return Noted() if least is None else Within(entry.unit, least=least)


def _at_most(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    """Return the first limit; a second is that of the rules, which may ask for less."""
    most, *rules = _numbers(entry, given)
    told = "".join(f"the rules: at most {shown(each)} {entry.unit}" for each in rules if each)
    return Noted() if most is None else Within(entry.unit, most=most, tolerance=told)


def _between(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    least, most = _numbers(entry, given)
    rise = of.circuit.rise_v if of.circuit is not None and entry.figure == "rise_v" else None
    told = "" if rise is None else f"{shown(Fraction(rise))} V above idle by the plan"
    return Noted(told) if least is None or most is None else Within(entry.unit, least, most, told)


def _equal(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    figure = given.design.figures.get(entry.figure)
    return Noted() if figure is None else Equal(figure, entry.unit)


def _like(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    share = _numbers(entry, given)[0]
    return Noted() if share is None else Like(entry.figure, share)


def _string_volts(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    share, alike = _numbers(entry, given)
    panel, panels = given.design.panel, of.string.panels if of.string else None
    if share is None or panel is None or panels is None:
        return Noted(given.design.no_panel)
    return StringVolts(panels, panel, share, alike)


def _string_current(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    share, alike, least = _numbers(entry, given)
    panel = given.design.panel
    if share is None or least is None or panel is None:
        return Noted(given.design.no_panel)
    return StringAmps(panel, share, least, alike)


def _array_insulation(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    factor, table = given.limits.number(entry.limits[0]), given.limits.table(_TABLE)
    panel, panels = given.design.panel, of.string.panels if of.string else None
    if factor is None or table is None or panel is None or panels is None:
        return Noted(given.design.no_panel)
    test = insulation_test(panels * Fraction(panel.voc_v) * factor, table)
    if test is None:
        return Noted()
    return Within(entry.unit, least=test.least_megohm, at=f" at {shown(test.test_v)} V")


def _external_loop(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    combined, separate = _numbers(entry, given)
    most = {"TN-C-S": combined, "TN-S": separate}.get(given.design.earthing)
    if most is None:
        return Noted("see the electrode" if given.design.earthing == "TT" else "")
    return Within(entry.unit, most=most, tolerance=given.design.earthing)


def _continuity(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    ohm = of.circuit.r1r2_ohm if of.circuit else None
    return Noted() if ohm is None else Noted(
        f"{shown(Fraction(ohm), 2)} Ω at 20 °C by the plan", "joints add to it")


def _by_day(entry: Entry, of: _Of, given: DueFrom) -> Expected:
    return ByDay(days_in_words(entry, given.limits), given.last_days.get(entry.code))


RULES: Mapping[str, _Rule] = {
    "": _noted, "word": _word, "not the last word": _not_the_last, "at least": _at_least,
    "at most": _at_most, "between": _between, "equal": _equal, "like": _like,
    "string volts": _string_volts, "string current": _string_current,
    "array insulation": _array_insulation, "external loop": _external_loop,
    "continuity": _continuity, "by": _by_day,
}
