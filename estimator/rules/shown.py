"""Formulas and facts as a reader sees them: numbers for names, and where each fact comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal, DecimalException
from fractions import Fraction
from typing import Any, NamedTuple

from catalogue.money import round_half_up
from estimator.design.sheet import Environment, FactSheet, Unknown
from estimator.rules.complete import full_path, plain_path
from estimator.rules.exact import FormulaFailed
from estimator.rules.model import Formula, RuleBook
from estimator.rules.results import FactUsed


def plain(value: Any) -> str:
    """Return a value as text: 0.450 -> 0.45, true, unknown -> ?, text as it is.

    A fraction that no decimal holds is shown to six places; nothing is reckoned with that.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Decimal):
        text = format(value, "f")
        return text.rstrip("0").rstrip(".") if "." in text else text
    if isinstance(value, Fraction):
        millionths = round_half_up(value * 10**6)
        return plain(Decimal(millionths).scaleb(-6))
    if isinstance(value, Unknown):
        return "?"
    if isinstance(value, tuple):
        return ", ".join(plain(each) for each in value)
    return str(value)


def quoted(value: Any) -> str:
    """Return a value as a formula writes it: text in quotes, short fractions in brackets."""
    if isinstance(value, str):
        return f'"{value}"' if "'" in value else f"'{value}'"
    if isinstance(value, tuple):
        return f"({', '.join(quoted(each) for each in value)})"
    if isinstance(value, Fraction) and value.denominator <= 1000:
        return f"({value})"
    if isinstance(value, int | Decimal | Fraction) and not isinstance(value, bool) and value < 0:
        return f"({plain(value)})"
    return plain(value)


def numbers(formula: Formula, env: Environment) -> str:
    """Return the formula with the value of each fact in place of its name.

    A sum over planes or legs is replaced as a whole; one without an answer stays as written.
    """
    pieces: list[str] = []
    at = 0
    for span in formula.spans:
        try:
            value = quoted(span.run(env))
        except (FormulaFailed, DecimalException):
            value = formula.text[span.start : span.end]
        pieces += [formula.text[at : span.start], value]
        at = span.end
    return " ".join("".join([*pieces, formula.text[at:]]).split())


class Compared(NamedTuple):
    """The value and limit that a check compared, in words."""

    value: str = ""
    limit: str = ""
    unit: str = ""


def compared(formula: Formula, env: Environment, book: RuleBook) -> Compared:
    """Return what the telling comparison of a condition compared.

    That is the first one with a practice value, or else the last one of numbers; nothing where
    it only asks whether there is any at all.
    """
    found = [each.sides for each in formula.conjuncts or (formula,) if each.sides is not None]
    if not found:
        return Compared()
    first, second = next(
        (sides for sides in found
         if any(path.startswith("practice.") for side in sides for path in side.paths)),
        found[-1],
    )
    if not first.paths or (first.paths[0].startswith("practice.") and second.paths):
        first, second = second, first
    shown = _told(first.run(env), second.run(env))
    if shown[1] == "0":  # "more than none" is no limit that tells a reader anything
        return Compared()
    units = [book.facts[path].unit for side in (first, second) for path in side.paths]
    return Compared(*shown, next((unit for unit in units if unit), ""))


def _told(value: Any, limit: Any) -> tuple[str, str]:
    """Return the value to two places and its limit, or both whole if rounding makes them the same.

    Nothing is reckoned with the rounded figures: the comparison was made before.
    """
    shown, bound = _rounded(value, 2), _rounded(limit, 3)
    return (plain(value), plain(limit)) if shown == bound else (shown, bound)


def _rounded(value: Any, places: int) -> str:
    if isinstance(value, Decimal | Fraction):
        return plain(Decimal(round_half_up(value * 10**places)).scaleb(-places))
    return plain(value)


class FactReader:
    """Tells of every fact a formula reads: value, unit, evidence, source and place."""

    def __init__(self, book: RuleBook, sheet: FactSheet) -> None:
        self.book = book
        self.sheet = sheet
        self.values = book.formulas
        self.environments: dict[str, Environment] = {"": sheet.job}
        for scope, envs in sheet.scopes.items():
            self.environments.update((f"{scope}[{i}]", env) for i, env in enumerate(envs))
        self._used: dict[tuple[str, str], FactUsed] = {}

    def read(self, formulas: Iterable[Formula], key: str) -> tuple[FactUsed, ...]:
        """Return each fact read in a place, followed by those it is computed from."""
        found: dict[tuple[str, str], None] = {}
        for formula in formulas:
            self._visit(formula, key, found)
        return tuple(self._fact(path, at) for path, at in found)

    def of_path(self, full: str) -> FactUsed:
        """Return the fact of a full path (plane[0].covering); it need not be in the dictionary."""
        key = full.split("].", maxsplit=1)[0] + "]" if "[" in full else ""
        return self._fact(plain_path(full), key)

    def _visit(self, formula: Formula, key: str, found: dict[tuple[str, str], None]) -> None:
        for span in formula.spans:
            for path in span.paths:
                for at in self._places(path, key, span.across):
                    if (path, at) in found:
                        continue
                    found[path, at] = None
                    if path in self.values:
                        self._visit(self.values[path], at, found)

    def _places(self, path: str, key: str, across: bool) -> Iterator[str]:
        scope = self.book.facts[path].scope
        if not scope:
            yield ""
        elif not across and key.startswith(scope):
            yield key
        else:
            yield from (f"{scope}[{i}]" for i in range(len(self.sheet.scopes[scope])))

    def _fact(self, path: str, key: str) -> FactUsed:
        used = self._used.get((path, key))
        if used is None:
            used = self._used[path, key] = self._new(path, key)
        return used

    def _new(self, path: str, key: str) -> FactUsed:
        fact = self.book.facts.get(path)
        full = full_path(path, key)
        value = self.environments.get(key, {}).get(path, Unknown(full))
        known = not isinstance(value, Unknown)
        detail = self.sheet.details.get(full)
        origin = detail.origin if detail else (fact.origin if fact else "survey")
        evidence = detail.evidence if detail else ""
        return FactUsed(
            full, value if known else None, fact.unit if fact else "", origin,
            evidence if known else evidence or "unknown", detail.source if detail else "",
            detail.place if detail else "", detail.words if detail else "",
        )
