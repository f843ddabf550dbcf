"""What one statement of a note says, before it is known which roof plane it speaks of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from estimator.survey.notes.claims import Value
from estimator.survey.notes.parsing import Part, Statement
from estimator.survey.notes.vocabulary import Entry

# How many metres, millimetres ... one of a unit is. An inch is 25.4 mm, a foot 0.3048 m (exact,
# international yard and pound agreement of 1959).
_METRES = {
    "mm": Decimal("0.001"), "cm": Decimal("0.01"), "m": Decimal(1), "km": Decimal(1000),
    "in": Decimal("0.0254"), "ft": Decimal("0.3048"),
}
_WORDS_OF_UNITS = {
    "mtrs": "m", "metres": "m", "metre": "m", "inch": "in", "inches": "in", '"': "in", "”": "in",
    "feet": "ft", "foot": "ft", "'": "ft", "mm²": "mm2", "sq mm": "mm2", "sqmm": "mm2",
    "m²": "m2", "sq m": "m2", "sqm": "m2", "amp": "A", "amps": "A", "a": "A",
}


@dataclass(frozen=True)
class Say:
    """A fact and its value; `planes` names the roof planes where the statement does."""

    path: str
    value: Value
    grade: str = ""
    planes: tuple[str, ...] | None = None


@dataclass
class Meant:
    """What a statement says, asks and speaks of.

    Attributes:
        says: facts with their values.
        asks: questions it raises.
        planes: roof planes it names ("S", "flat"), for what stands near it.
        gear: equipment it names: "storage", "converter".
        bonds: services whose bond is too thin or missing.
        private: its words concern no customer's paper.
        lost: it could not be joined to a fact, so its words are not understood.
    """

    says: list[Say] = field(default_factory=list)
    asks: list[str] = field(default_factory=list)
    planes: tuple[str, ...] = ()
    gear: tuple[str, ...] = ()
    bonds: tuple[str, ...] = ()
    private: bool = False
    lost: bool = False

    def say(self, path: str, value: Value, grade: str = "",
            planes: tuple[str, ...] | None = None) -> None:
        """Add a fact."""
        self.says.append(Say(path, value, grade, planes))

    def ask(self, question: str) -> None:
        """Add a question, once."""
        if question and question not in self.asks:
            self.asks.append(question)


@dataclass(frozen=True)
class Context:
    """What stands round a statement.

    Attributes:
        statements: all of the sentence.
        tags: what the sentence speaks of.
        note: what the whole note speaks of.
    """

    statements: Sequence[Statement]
    tags: frozenset[str]
    note: frozenset[str]

    def gear(self, here: Statement) -> tuple[str, ...]:
        """Return the equipment a statement goes with: the last named before it, else the next."""
        named = [each for each in self.statements if each.rule == "gear"]
        before = [each for each in named if each.first < here.first]
        nearest = before[-1:] or named[:1]
        return gear_of(nearest[0], self) if nearest else ()

    def speaks_of_storage(self) -> bool | None:
        """Return whether "module" means storage here; None if it may mean a panel."""
        for tags in (self.tags, self.note):
            storage = bool(tags & {"storage", "converter", "KWH", "STACK", "PLACE"})
            panels = bool(tags & {"panels", "roof", "PITCH", "COVERING"})
            if storage != panels:
                return storage
            if storage:
                return None
        return None


def gear_of(statement: Statement, context: Context) -> tuple[str, ...]:
    """Return the equipment that a gear statement names."""
    found = []
    if statement.of("CONV"):
        found.append("converter")
    if statement.of("BATTERY", "KWH", "STACK") or (
            statement.of("MOD") and (statement.of("CONV") or context.speaks_of_storage())):
        found.append("storage")
    return tuple(found)


def unit_of(text: str) -> str:
    """Return the unit that a word for one stands for."""
    return _WORDS_OF_UNITS.get(text.lower(), text.lower())


def readings(number: Decimal, unit: str, entry: Entry) -> list[Decimal]:
    """Return what a number may be in the unit of the fact: one for each plausible unit.

    Args:
        number: as written.
        unit: as written, or "" for a bare number, which may have any unit the entry allows.
        entry: the measure: unit of the fact and plausible range, which binds bare numbers only.
    """
    if unit:
        value = converted(number, unit, entry.unit)
        return [] if value is None else [value]
    found = []
    for each in entry.bare or (entry.unit,):
        value = converted(number, each, entry.unit)
        whole = number == number.to_integral_value()
        # Nobody on a site writes feet or millimetres with a decimal point (common practice).
        fits = whole or each not in ("ft", "mm")
        if value is not None and fits and Decimal(entry.least) <= value <= Decimal(entry.most):
            found.append(value)
    return found


def converted(number: Decimal, unit: str, into: str) -> Decimal | None:
    """Return a number in another unit; None if the units do not measure the same.

    A cable of "16 mm" is one of 16 mm² (common practice, no source).
    """
    if unit == into or (unit == "mm" and into == "mm2"):
        return number
    if unit not in _METRES or into not in _METRES:
        return None
    return number * _METRES[unit] / _METRES[into]


def unit_written(parts: Sequence[Part]) -> str:
    """Return the unit among the parts, or ""."""
    for part in parts:
        if part.kind in ("LENGTH", "SQUARE", "AMP"):
            return unit_of(part.text)
        if part.kind in ("INCH", "FOOT"):
            return "in" if part.kind == "INCH" else "ft"
    return ""


def metres(parts: Sequence[Part]) -> Decimal:
    """Return a length with its unit written, in metres; 8 ft 6 in is the sum of both."""
    total = Decimal(0)
    numbers = [each for each in parts if each.kind == "NUM"]
    units = [each for each in parts if each.kind in ("LENGTH", "FOOT", "INCH")]
    for at, number in enumerate(numbers):
        unit = unit_written(units[at:at + 1]) or ("in" if at else "m")
        total += number.number * _METRES[unit]
    return total


def is_range(statement: Statement) -> bool:
    """Return whether a number of the statement is a range, or can be read in two ways."""
    return any(part.term.upper is not None for part in statement.parts)
