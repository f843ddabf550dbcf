"""Checks and compiles the comparisons of a formula: ==, !=, order, `in`, and vocabularies."""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from catalogue.problems import suggestion
from estimator.rules import logic
from estimator.rules.logic import Part, Run
from estimator.rules.wording import NUMERIC, compare_mend, said

if TYPE_CHECKING:
    from estimator.rules.expression import Expression

_ORDER: dict[type, Callable[[Any, Any], Any]] = {
    ast.Lt: operator.lt, ast.LtE: operator.le, ast.Gt: operator.gt, ast.GtE: operator.ge,
}


def comparison(found: Expression, node: ast.Compare) -> Part | None:
    """Compile a comparison; a chain (0 < x < 5) holds if every link does."""
    nodes = [node.left, *node.comparators]
    parts = [found.part(each) for each in nodes]
    runs: list[Part] = []
    for i, sign in enumerate(node.ops):
        left, right = parts[i], parts[i + 1]
        if left is None or right is None:
            continue
        run = _compare(found, sign, nodes[i], left, nodes[i + 1], right)
        if run is not None:
            runs.append(Part(run, "flag"))
    if len(runs) < len(node.ops):
        return None
    return runs[0] if len(runs) == 1 else Part(logic.all_of(runs), "flag")


def _compare(
    found: Expression, sign: ast.cmpop, first: ast.expr, left: Part, second: ast.expr, right: Part
) -> Run | None:
    if isinstance(sign, ast.In | ast.NotIn):
        return _member(found, first, left, second, right, isinstance(sign, ast.In))
    if isinstance(sign, ast.Is | ast.IsNot):
        found.fault(first, "R103", "a formula may not hold `is`", "compare with == or !=")
        return None
    equality = isinstance(sign, ast.Eq | ast.NotEq)
    allowed = ("flag", "text") if equality else ()
    numeric = left.type in NUMERIC and right.type in NUMERIC
    if not numeric and (left.type != right.type or left.type not in allowed):
        found.fault(second, "R106", f"{said((left.type,))} and {said((right.type,))} cannot "
                   "be compared like this", compare_mend(left, right))
        return None
    if left.type == "text" and not _words_meet(found, first, left, second, right):
        return None
    if isinstance(sign, ast.Eq):
        return logic.equal(left, right)
    return logic.binary(_ORDER.get(type(sign), operator.ne), left, right)


def _member(
    found: Expression, first: ast.expr, left: Part, second: ast.expr, right: Part, wanted: bool
) -> Run | None:
    pairs = {("text", "texts"), ("whole", "numbers"), ("number", "numbers")}
    if (left.type, right.type) not in pairs:
        mend = "a list of one has a comma: ('wall',)" if right.type == "text" else ""
        found.fault(second, "R106", "behind `in` stands a list of text or numbers, and before "
                   "it one of that kind", mend)
        return None
    if left.type == "text" and not _words_meet(found, first, left, second, right):
        return None
    return logic.member(left, right, wanted)


def _words_meet(
    found: Expression, first: ast.expr, left: Part, second: ast.expr, right: Part
) -> bool:
    """Note every written word that the other side can never be."""
    for part, node, other, name in (
        (left, first, right, second), (right, second, left, first)
    ):
        if not part.literal or not other.words or other.literal:
            continue
        entries = node.elts if isinstance(node, ast.Tuple | ast.List) else [node]
        wrong = [(each, word) for each, word in zip(entries, part.words, strict=True)
                 if word not in other.words]
        for each, word in wrong:
            what = f"'{other.path}'" if other.path else f"'{ast.unparse(name)}'"
            found.fault(each, "R107", f"{what} is never '{word}'",
                       suggestion(word, other.words)
                       or "it is one of: " + ", ".join(other.words))
        if wrong:
            return False
    return True
