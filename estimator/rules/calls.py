"""Checks and compiles the functions of formulas.

    ceil(x)  floor(x)              the next whole number up or down
    max(a, b, ...)  min(a, b, ...) the largest or smallest
    abs(x)                         without its sign
    known(path)                    whether the fact is known (not merely assumed)
    total(x)  total(x, condition)  the sum of x over all planes or legs (for which it holds)
    largest(x)  largest(x, cond.)  the largest x; 0 where there is none
    count(condition)               for how many planes or legs it holds
    any_of(condition)              whether it holds for at least one
"""

from __future__ import annotations

import ast
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from catalogue.problems import suggestion
from estimator.design.sheet import SCOPES, Scope
from estimator.rules import exact, logic
from estimator.rules.logic import Part
from estimator.rules.model import Span
from estimator.rules.wording import NUMERIC

if TYPE_CHECKING:
    from estimator.rules.expression import Expression

_ONE_NUMBER: dict[str, Callable[[Any], Any]] = {
    "ceil": exact.ceiling, "floor": exact.floor, "abs": exact.absolute,
}
_MANY_NUMBERS: dict[str, Callable[..., Any]] = {
    "max": exact.largest_of, "min": exact.smallest_of,
}
# For each function over a scope: how many values it takes at least and at most.
_OVER_SCOPE = {"total": (1, 2), "largest": (1, 2), "count": (1, 1), "any_of": (1, 1)}
FUNCTIONS = (*_ONE_NUMBER, *_MANY_NUMBERS, "known", *_OVER_SCOPE)


def call(found: Expression, node: ast.Call) -> Part | None:
    """Compile a call of one of the named functions."""
    name = node.func.id if isinstance(node.func, ast.Name) else ""
    if name not in FUNCTIONS:
        written = ast.unparse(node.func)[:40]
        found.fault(node, "R108", f"'{written}' is not a function of formulas",
                    suggestion(written, FUNCTIONS))
        return None
    if node.keywords:
        found.fault(node.keywords[0].value, "R108", f"'{name}' takes no named values",
                    f"write {name}(...) with the values alone")
        return None
    for arg in node.args:
        if isinstance(arg, ast.Starred):
            found.fault(arg, "R103", "a formula may not hold a star")
            return None
    if name in _OVER_SCOPE:
        return _over_scope(found, node, name)
    if name == "known":
        return _known(found, node)
    return _numbers(found, node, name)


def _numbers(found: Expression, node: ast.Call, name: str) -> Part | None:
    single = name in _ONE_NUMBER
    if not node.args or (single and len(node.args) > 1) or (not single and len(node.args) < 2):
        wanted = "one number" if single else "two or more numbers"
        found.fault(node, "R108", f"'{name}' takes {wanted}, not {len(node.args)}")
        return None
    parts = [found.typed(arg, NUMERIC, f"what '{name}' takes") for arg in node.args]
    sound = [part for part in parts if part is not None]
    if len(sound) < len(parts):
        return None
    if single:
        act, run = _ONE_NUMBER[name], sound[0].run
        kind = sound[0].type if name == "abs" else "whole"
        return Part(lambda env: act(run(env)), kind)
    kind = "whole" if all(part.type == "whole" for part in sound) else "number"
    act = _MANY_NUMBERS[name]
    if len(sound) == 2:
        return Part(logic.binary(act, *sound), kind)
    runs = tuple(part.run for part in sound)
    return Part(lambda env: act(*(run(env) for run in runs)), kind)


def _known(found: Expression, node: ast.Call) -> Part | None:
    if len(node.args) != 1 or not isinstance(node.args[0], ast.Name | ast.Attribute):
        found.fault(node, "R108", "'known' takes the name of one fact",
                    "such as known(storage.wall)")
        return None
    part = found.part(node.args[0])
    if part is None:
        return None
    if not part.path:
        found.fault(node.args[0], "R108", "'known' takes the name of one fact")
        return None
    run = logic.is_known(part.path)
    if found.inside:
        found.inside_open.pop()
    else:
        found.spans.pop()
        found.spans.append(
            Span(found.at(node), found.at(node, end=True), (part.path,), run, False, ())
        )
    return Part(run, "flag")


def _over_scope(found: Expression, node: ast.Call, name: str) -> Part | None:
    least, most = _OVER_SCOPE[name]
    if not least <= len(node.args) <= most:
        wanted = "one value" if most == 1 else "a value, and a condition if wanted"
        found.fault(node, "R108", f"'{name}' takes {wanted}, not {len(node.args)} values")
        return None
    scope = _scope(found, node, name)
    if not scope:
        return None
    found.inside, found.inside_paths, found.inside_open = scope, [], []
    amount_first = name in ("total", "largest")
    amount = found.typed(node.args[0], NUMERIC if amount_first else ("flag",),
                         f"the {'value' if amount_first else 'condition'} of '{name}'")
    condition = None
    if len(node.args) == 2:
        condition = found.typed(node.args[1], ("flag",), f"the condition of '{name}'")
    found.inside, paths = "", tuple(found.inside_paths)
    if amount is None or (len(node.args) == 2 and condition is None):
        return None
    part = _aggregate(name, f"@{scope}", amount, condition)
    opened = tuple(dict.fromkeys(found.inside_open))
    found.spans.append(Span(found.at(node), found.at(node, end=True),
                            tuple(dict.fromkeys(paths)), part.run, True, opened))
    return part


def _scope(found: Expression, node: ast.Call, name: str) -> Scope:
    """Return the one scope whose facts a call names; note a fault if it is not one."""
    if found.inside:
        found.fault(node, "R108", f"'{name}' stands inside another function of its kind",
                    "put one of them into a computed fact ([[fact]])")
        return ""
    roots = {
        each.id for arg in node.args for each in ast.walk(arg) if isinstance(each, ast.Name)
    }
    scopes = [scope for scope in SCOPES if scope in roots]
    if len(scopes) == 1:
        return scopes[0]
    if scopes:
        found.fault(node, "R105", f"'{name}' names facts of more than one kind: "
                    + " and ".join(f"{scope}.*" for scope in scopes),
                    "one call goes over planes or over legs, not both")
    else:
        found.fault(node, "R105", f"'{name}' names no fact of a plane or leg",
                    "it goes over planes or legs: name a fact plane.* or leg.* in it")
    return ""


def _aggregate(name: str, key: str, part: Part, condition: Part | None) -> Part:
    test = None if condition is None else condition.run
    if name == "total":
        return Part(logic.sum_over(key, part.run, test), part.type)
    if name == "largest":
        return Part(logic.largest_over(key, part.run, test), part.type)
    if name == "count":
        return Part(logic.count_over(key, part.run), "whole")
    return Part(logic.any_over(key, part.run), "flag")
