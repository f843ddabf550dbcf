"""Three-valued logic of formulas, as closures over an environment (path -> value).

Yes, no and unknown follow the strong tables of S. C. Kleene, Introduction to Metamathematics, 1952,
section 64: an answer that does not hang on the unknown fact is known. A part that cannot be
reckoned (a division by zero) behind an unknown guard leaves the answer with the guard.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from decimal import DecimalException
from typing import Any

from estimator.design.sheet import Environment, Unknown
from estimator.rules.exact import FormulaFailed, add

Run = Callable[[Environment], Any]


class Part:
    """A compiled piece of a formula: how to run it and what the checker knows about it.

    Attributes:
        run: environment -> value.
        type: whole, number, flag, text, texts, or "numbers" for a list of numbers after `in`.
        words: every word a text can be, if that is known.
        path: the path, if the piece is nothing but a fact.
        literal: whether the piece is a constant; then `value` is it.
    """

    __slots__ = ("literal", "path", "run", "type", "value", "words")

    def __init__(
        self, run: Run, type_: str, *, words: tuple[str, ...] = (), path: str = "",
        literal: bool = False, value: Any = None,
    ) -> None:
        self.run = run
        self.type = type_
        self.words = words
        self.path = path
        self.literal = literal
        self.value = value


def constant(value: Any, type_: str, words: tuple[str, ...] = ()) -> Part:
    """Return a piece that is always the same value."""
    return Part(lambda _env: value, type_, words=words, literal=True, value=value)


def binary(act: Callable[[Any, Any], Any], left: Part, right: Part) -> Run:
    """Return a closure for a two-sided operation; facts and constants are read without a call."""
    if left.path:
        path = left.path
        if right.literal:
            value = right.value
            return lambda env: act(env[path], value)
        if right.path:
            other = right.path
            return lambda env: act(env[path], env[other])
        run = right.run
        return lambda env: act(env[path], run(env))
    first = left.run
    if right.literal:
        value = right.value
        return lambda env: act(first(env), value)
    if right.path:
        other = right.path
        return lambda env: act(first(env), env[other])
    second = right.run
    return lambda env: act(first(env), second(env))


def equal(left: Part, right: Part) -> Run:
    """Return a closure for ==, the commonest test of all."""
    if left.path and right.literal:
        path, value = left.path, right.value
        return lambda env: env[path] == value
    return binary(operator.eq, left, right)


def placed(run: Run, at: int) -> Run:
    """Return the closure with failures told apart by their place in the formula."""

    def with_place(env: Environment) -> Any:
        try:
            return run(env)
        except FormulaFailed as failure:
            if failure.at is None:
                failure.at = at
            raise

    return with_place


def negation(part: Part) -> Run:
    """Return a closure for `not`."""
    run = part.run

    def opposite(env: Environment) -> Any:
        value = run(env)
        return value if value.__class__ is Unknown else not value

    return opposite


def all_of(parts: Sequence[Part]) -> Run:
    """Return a closure for `and`: no if any part is no, else unknown if any is, else yes."""
    return _chain([part.run for part in parts], decides=False)


def one_of(parts: Sequence[Part]) -> Run:
    """Return a closure for `or`: yes if any part is yes, else unknown if any is, else no."""
    return _chain([part.run for part in parts], decides=True)


def _chain(runs: list[Run], decides: bool) -> Run:
    rest = tuple(runs[1:])
    first = runs[0]
    if len(rest) == 1:
        second = rest[0]

        def pair(env: Environment) -> Any:
            value = first(env)
            if value is decides:
                return decides
            if value.__class__ is Unknown:
                return _after_unknown(value, rest, env, decides)
            return second(env)

        return pair

    def chain(env: Environment) -> Any:
        value = first(env)
        for n, run in enumerate(rest):
            if value is decides:
                return decides
            if value.__class__ is Unknown:
                return _after_unknown(value, rest[n:], env, decides)
            value = run(env)
        return value

    return chain


def _after_unknown(
    missing: Unknown, rest: Sequence[Run], env: Environment, decides: bool
) -> Any:
    """Return what the parts after an unknown one make of the chain."""
    for run in rest:
        try:
            value = run(env)
        except (FormulaFailed, DecimalException):
            return missing
        if value is decides:
            return decides
        if isinstance(value, Unknown):
            missing = missing.join(value)
    return missing


def choice(condition: Part, then: Part, otherwise: Part) -> Run:
    """Return a closure for `a if c else b`; c unknown matters only if a and b differ."""
    test, yes, no = condition.run, then.run, otherwise.run

    def choose(env: Environment) -> Any:
        value = test(env)
        if value is True:
            return yes(env)
        if value is False:
            return no(env)
        try:
            first, second = yes(env), no(env)
        except (FormulaFailed, DecimalException):
            return value
        if first.__class__ is Unknown or second.__class__ is Unknown:
            return value
        return first if first == second else value

    return choose


def member(part: Part, group: Part, wanted: bool) -> Run:
    """Return a closure for `in` (or `not in`, if wanted is false)."""
    if group.literal and part.path:
        path, words = part.path, group.value

        def among(env: Environment) -> Any:
            value = env[path]
            return value if value.__class__ is Unknown else (value in words) is wanted

        return among
    run, many = part.run, group.run

    def inside(env: Environment) -> Any:
        value, values = run(env), many(env)
        if value.__class__ is Unknown:
            return value.join(values)
        return values if values.__class__ is Unknown else (value in values) is wanted

    return inside


def is_known(path: str) -> Run:
    """Return a closure for `known(path)`: the survey or a data sheet gives it; not assumed."""

    def known(env: Environment) -> bool:
        return env[path].__class__ is not Unknown and path not in env.get("@assumed", ())

    return known


def sum_over(key: str, amount: Run, condition: Run | None) -> Run:
    """Return a closure for `total(AMOUNT, CONDITION)` over the environments of a scope."""

    def total(env: Environment) -> Any:
        result: Any = 0
        for each in env[key]:
            holds = True if condition is None else condition(each)
            if holds is False:
                continue
            value = amount(each)
            if holds is not True and (value.__class__ is Unknown or value != 0):
                value = holds
            result = result + value if type(result) is type(value) is int else add(result, value)
        return result

    return total


def count_over(key: str, condition: Run) -> Run:
    """Return a closure for `count(CONDITION)` over the environments of a scope."""

    def count(env: Environment) -> Any:
        found: Any = 0
        for each in env[key]:
            holds = condition(each)
            if holds is not False:
                found = found + (1 if holds is True else holds)
        return found

    return count


def largest_over(key: str, amount: Run, condition: Run | None) -> Run:
    """Return a closure for `largest(AMOUNT, CONDITION)`; 0 where there is nothing."""

    def largest(env: Environment) -> Any:
        sure: list[Any] = []
        open_: list[tuple[Any, Any]] = []
        for each in env[key]:
            holds = True if condition is None else condition(each)
            if holds is False:
                continue
            value = amount(each)
            if holds is True and value.__class__ is not Unknown:
                sure.append(value)
            else:
                open_.append((holds, value))
        best = max(sure, default=None)
        if best is None and all(value == 0 for _, value in open_ if _known(value)):
            open_ = [(holds, value) for holds, value in open_ if not _known(value)]
        missing: Unknown | None = None
        for holds, value in open_:
            if best is not None and _known(value) and value <= best:
                continue
            reason = value if holds is True else holds
            missing = reason if missing is None else missing.join(reason)
        if missing is not None:
            return missing
        return 0 if best is None else best

    return largest


def _known(value: Any) -> bool:
    return value.__class__ is not Unknown


def any_over(key: str, condition: Run) -> Run:
    """Return a closure for `any_of(CONDITION)` over the environments of a scope."""

    def some(env: Environment) -> Any:
        missing: Any = False
        for each in env[key]:
            holds = condition(each)
            if holds is True:
                return True
            if holds is not False:
                missing = holds if missing is False else missing.join(holds)
        return missing

    return some
