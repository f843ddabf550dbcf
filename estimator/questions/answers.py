"""Plausible answers to each question with their chances, as data that a firm can replace."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path
from typing import Any

from catalogue.problems import Problem, ProblemsFound, suggestion
from catalogue.toml_source import TomlSource, read_toml
from estimator.rules.facts import FactDef

STANDARD_ANSWERS = Path(__file__).with_name("answers.toml")
_KEYS = ("fact", "values", "shares", "minutes", "photo")
_TOP = ("answer", "source", "from")


@dataclass(frozen=True, slots=True)
class Answers:
    """What may be answered to one question.

    Attributes:
        fact: path without a number ("plane.covering").
        values: the answers, of the fact's own type.
        shares: chance of each; they add up to 1.
        minutes: time it takes to ask and to note the answer.
        photo: the photograph that answers it, or "".
        source: where the shares come from.
    """

    fact: str
    values: tuple[Any, ...]
    shares: tuple[Fraction, ...]
    minutes: Decimal
    photo: str
    source: str


def standard_answers(
    facts: Mapping[str, FactDef], own: Iterable[Path] = ()
) -> Mapping[str, Answers]:
    """Read the answers that come with the program, then a firm's own files over them.

    Raises:
        ProblemsFound: as `read_answers`, and T001 to T004 for a file that is not readable TOML.
    """
    sources = [read_toml(STANDARD_ANSWERS, STANDARD_ANSWERS.name), *(read_toml(p) for p in own)]
    return read_answers(sources, facts)


def read_answers(
    sources: Sequence[TomlSource], facts: Mapping[str, FactDef]
) -> Mapping[str, Answers]:
    """Return the answers by fact, a later source over an earlier one.

    Args:
        sources: files with `[[answer]]` tables.
        facts: the dictionary of facts; only a surveyed fact is asked.

    Raises:
        ProblemsFound: every mistake at once. Q001 an unknown key; Q002 a value missing or of the
            wrong kind; Q003 no such fact of the survey; Q004 an answer that the fact cannot have;
            Q005 shares that are not one for each answer, or do not add up to 1.
    """
    held: dict[str, Answers] = {}
    problems: list[Problem] = []
    for source in sources:
        reader = _Reader(source, facts)
        held.update((each.fact, each) for each in reader.read())
        problems += reader.problems
    if problems:
        raise ProblemsFound(problems)
    return held


class _Reader:
    """Reads one file, gathering its problems."""

    def __init__(self, source: TomlSource, facts: Mapping[str, FactDef]) -> None:
        self.source = source
        self.facts = {path: fact for path, fact in facts.items() if fact.origin == "survey"}
        self.problems: list[Problem] = []

    def read(self) -> Iterator[Answers]:
        for key in self.source.data:
            if key not in _TOP:
                self.refuse("Q001", (key,), f"'{key}' is not known in a file of answers",
                            suggestion(key, _TOP))
        tables = self.source.data.get("answer", [])
        if not isinstance(tables, list) or not all(isinstance(each, dict) for each in tables):
            self.refuse("Q002", ("answer",), "answers are written as tables",
                        "head each with [[answer]]")
            return
        for at, table in enumerate(tables):
            before = len(self.problems)
            made = self.answers(at, table)
            if made is not None and len(self.problems) == before:
                yield made

    def answers(self, at: int, table: Mapping[str, Any]) -> Answers | None:
        for key in table:
            if key not in _KEYS:
                self.refuse("Q001", ("answer", at, key), f"'{key}' is not known in an answer",
                            suggestion(key, _KEYS))
        fact = table.get("fact")
        if not isinstance(fact, str) or fact not in self.facts:
            self.refuse("Q003", ("answer", at, "fact"), f"{fact!r} is no fact of the survey",
                        suggestion(str(fact), self.facts)
                        or "`estimator facts` lists the facts of the survey")
            return None
        values = tuple(self.value(at, n, text, self.facts[fact])
                       for n, text in enumerate(self.texts(at, table, "values")))
        shares = tuple(self.share(at, n, text)
                       for n, text in enumerate(self.texts(at, table, "shares")))
        if len(shares) != len(values) or not values or sum(shares) != 1:
            self.refuse("Q005", ("answer", at, "shares"),
                        f"{len(values)} answers and shares that add up to {float(sum(shares)):g}",
                        "give one share for each answer; together they are 1")
        minutes = self.share(at, 0, table.get("minutes", "1"), "minutes")
        source = self.source.data.get("source", "")
        return Answers(fact, values, shares, Decimal(str(float(minutes))),
                       str(table.get("photo", "")), str(source))

    def texts(self, at: int, table: Mapping[str, Any], key: str) -> list[str]:
        found = table.get(key)
        if isinstance(found, list) and all(isinstance(each, str) for each in found):
            return found
        self.refuse("Q002", ("answer", at, key), f"'{key}' is {found!r}",
                    f'write a list of words in quotes: {key} = ["...", "..."]')
        return []

    def value(self, at: int, number: int, text: str, fact: FactDef) -> Any:
        found = typed(text, fact)
        if found is None:
            self.refuse("Q004", ("answer", at, "values"),
                        f"answer {number + 1}, '{text}', is none that {fact.path} can have",
                        (fact.values and suggestion(text, fact.values)) or f"write a {fact.type}"
                        + (f": {', '.join(fact.values)}" if fact.values else ""))
        return found

    def share(self, at: int, number: int, text: Any, key: str = "shares") -> Fraction:
        try:
            found = Decimal(str(text))
        except InvalidOperation:
            found = Decimal("NaN")
        if found.is_finite() and found > 0:
            return Fraction(found)
        self.refuse("Q002", ("answer", at, key), f"number {number + 1} of '{key}' is {text!r}",
                    'write a number above 0 in quotes: "0.5"')
        return Fraction(0)

    def refuse(self, code: str, path: tuple[str | int, ...], says: str, mend: str) -> None:
        self.problems.append(Problem(code, self.source.place(path), says, mend))


def typed(text: str, fact: FactDef) -> Any:
    """Return an answer as the type of its fact; None if the fact cannot have it."""
    if fact.type == "flag":
        return {"true": True, "false": False}.get(text)
    if fact.type == "text":
        return text if not fact.values or text in fact.values else None
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    if not number.is_finite():
        return None
    if fact.type == "whole":
        return int(number) if number == int(number) else None
    return number
