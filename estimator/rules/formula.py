"""Compiles a formula: a small, checked subset of Python expressions over facts.

A formula names facts by path and is checked against the dictionary of facts before it ever runs:
names, scopes, types and vocabularies. What is not in the list of allowed forms is refused, and so
is anything too long, too deep or too large. Every mistake of a formula is reported at once, each
with its column.
"""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from typing import NamedTuple, cast

from catalogue.problems import Place, Problem, ProblemsFound
from estimator.design.sheet import Scope
from estimator.rules.expression import Expression
from estimator.rules.facts import FactDictionary, FactType
from estimator.rules.faults import (
    DEEPEST,
    MOST_CHARACTERS,
    MOST_DIGITS,
    Fault,
    TooLargeError,
    too_deep,
)
from estimator.rules.logic import Part
from estimator.rules.model import Formula, Span
from estimator.rules.wording import said

_STRINGS = re.compile(r"'[^']*'|\"[^\"]*\"")
_NUMBER = re.compile(r"(?<![\w.])\d[\w.]*")
_PLAIN_NUMBER = re.compile(rf"\d{{1,{MOST_DIGITS}}}(\.\d{{1,{MOST_DIGITS}}})?")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_FOREIGN_SIGN = re.compile(r"&&|\|\||===|<>|!(?!=)|[#`{;]")
_FOREIGN = {
    "&&": "write `and`", "||": "write `or`", "===": "write `==`", "<>": "write `!=`",
    "!": "write `not`, or `!=` for unequal", "#": "a formula holds no remarks",
    "`": "text stands in single quotes",
    "{": "a formula holds no braces", ";": "a formula is one expression",
}


class Compiled(NamedTuple):
    """A formula, or why there is none."""

    formula: Formula | None
    faults: tuple[Fault, ...]


def compile_formula(
    text: str, dictionary: FactDictionary, where: Place, scope: Scope = "",
    expect: FactType | None = None,
) -> Formula:
    """Compile and check a formula.

    Args:
        text: the formula as written.
        dictionary: every fact it may name.
        where: where it stands; `column` is that of its first character (1 if not given).
        scope: "plane" or "leg" if it runs once for each of them.
        expect: the type it must yield; a whole number also serves as a number.

    Raises:
        ProblemsFound: with every mistake (codes R101 to R109), each with its column.
    """
    formula, faults = try_formula(text, dictionary, scope, expect)
    if formula is None:
        raise ProblemsFound(fault_problem(fault, where, text) for fault in faults)
    return formula


def fault_problem(fault: Fault, start: Place, text: str) -> Problem:
    """Return a fault as a problem; `start` is the place of the formula's first character."""
    before = text[: fault.at]
    line = start.line
    column = (start.column or 1) + fault.at
    if "\n" in before:
        line = None if line is None else line + before.count("\n")
        column = fault.at - before.rindex("\n")
    return Problem(fault.code, replace(start, line=line, column=column), fault.says, fault.mend)


def try_formula(
    text: str, dictionary: FactDictionary, scope: Scope = "", expect: FactType | None = None
) -> Compiled:
    """Compile a formula, or return its faults in order of column; see `compile_formula`."""
    faults = _read_faults(text)
    if faults:
        return Compiled(None, tuple(faults))
    flat = text.replace("\r", " ").replace("\n", " ").replace("\t", " ")
    indent = len(flat) - len(flat.lstrip())
    tree = _parsed(flat.strip(), indent)
    if isinstance(tree, Fault):
        return Compiled(None, (tree,))
    found = Expression(flat, indent, dictionary, scope)
    try:
        part = found.part(tree)
    except TooLargeError as large:
        return Compiled(None, (large.fault,))
    if part is not None:
        _expect(found, part, expect, indent)
    if part is None or found.faults:
        return Compiled(None, tuple(sorted(set(found.faults))))
    return Compiled(_formula(text, tree, part, found), ())


def _read_faults(text: str) -> list[Fault]:
    """Return what can be seen to be wrong before the text is parsed."""
    if len(text) > MOST_CHARACTERS:
        return [Fault(MOST_CHARACTERS, "R101",
                      f"the formula has {len(text)} characters; at most {MOST_CHARACTERS} are "
                      "allowed", "put a part of it into a computed fact ([[fact]])")]
    if not text.strip():
        return [Fault(0, "R101", "the formula is empty", "write an expression, such as true")]
    bad = _CONTROL.search(text)
    if bad:
        return [Fault(bad.start(), "R101", f"the formula holds the control character "
                      f"{bad.group()!r}", "type the formula again")]
    if "\\" in text:
        return [Fault(text.index("\\"), "R102", "'\\' is not part of a formula",
                      "a formula holds no backslash")]
    bare = _STRINGS.sub(lambda found: " " * len(found.group()), text)
    return _foreign_faults(bare) or _number_faults(bare) or _nesting_faults(bare)


def _foreign_faults(bare: str) -> list[Fault]:
    found = _FOREIGN_SIGN.search(bare)
    if found is None:
        return []
    sign = found.group()
    return [Fault(found.start(), "R102", f"'{sign}' is not part of a formula", _FOREIGN[sign])]


def _number_faults(bare: str) -> list[Fault]:
    return [
        Fault(found.start(), "R101", f"'{found.group()[:20]}' is not a number a formula may hold",
              f"write whole numbers and decimals with up to {MOST_DIGITS} digits, such as 12.5")
        for found in _NUMBER.finditer(bare) if not _PLAIN_NUMBER.fullmatch(found.group())
    ]


def _nesting_faults(bare: str) -> list[Fault]:
    if bare.count("(") + bare.count("[") <= DEEPEST:
        return []
    depth = 0
    for at, sign in enumerate(bare):
        depth += (sign in "([") - (sign in ")]")
        if depth > DEEPEST:
            return [too_deep(at)]
    return []


def _parsed(source: str, indent: int) -> ast.expr | Fault:
    try:
        tree = ast.parse(source, mode="eval").body
    except SyntaxError as error:
        # Where the text ends too early the parser gives no offset: then the end is the place.
        at = min((error.offset or len(source)) - 1, len(source) - 1)
        return Fault(indent + at, "R102",
                     f"the formula cannot be read from '{source[at:at + 20]}' on",
                     _likely_mend(source))
    except (RecursionError, MemoryError, ValueError):
        return too_deep(indent)
    return tree


def _likely_mend(source: str) -> str:
    if re.search(r"(?<![=!<>])=(?!=)", _STRINGS.sub("", source)):
        return "compare with ==; a single = sets a value, which a formula never does"
    if source.count("'") % 2 or source.count('"') % 2:
        return "close the quotes round the text"
    if source.count("(") != source.count(")"):
        return "close every bracket that is opened"
    return "check for a missing `and`, `or`, comma or operator"


def _expect(found: Expression, part: Part, expect: FactType | None, indent: int) -> None:
    if part.type == "numbers":
        found.fault_at(indent, "R109", "a list of numbers is not an answer",
                       "lists of numbers stand only behind `in`")
        return
    if expect is None or part.type == expect or (expect, part.type) == ("number", "whole"):
        return
    mend = ""
    if (expect, part.type) == ("whole", "number"):
        mend = "a fraction becomes a count only through ceil(...) or floor(...)"
    elif expect == "flag":
        mend = "compare the value with something, such as == 'wall' or > 0"
    elif expect == "text":
        mend = "text stands in single quotes inside the formula: \"'text'\""
    found.fault_at(indent, "R109", f"the formula gives {said((part.type,))}, but "
                   f"{said((expect,))} is needed here", mend)


def _formula(text: str, tree: ast.expr, part: Part, found: Expression) -> Formula:
    spans = tuple(sorted(found.spans, key=lambda span: span.start))
    conjuncts: tuple[Formula, ...] = ()
    if isinstance(tree, ast.BoolOp) and isinstance(tree.op, ast.And):
        conjuncts = tuple(_piece(text, node, found, spans) for node in found.conjuncts(tree))
    return Formula(text, _fact_type(part), _paths(spans), part.run, spans, conjuncts, part.words,
                   _sides(text, tree, found, spans))


def _piece(text: str, node: ast.expr, found: Expression, spans: tuple[Span, ...]) -> Formula:
    """Return a node of a compiled formula as a formula of its own."""
    start, end, part = found.at(node), found.at(node, end=True), found.parts[node]
    inside = tuple(
        span._replace(start=span.start - start, end=span.end - start)
        for span in spans if start <= span.start and span.end <= end
    )
    return Formula(text[start:end], _fact_type(part), _paths(inside), part.run, inside,
                   sides=_sides(text, node, found, spans))


def _sides(
    text: str, node: ast.expr, found: Expression, spans: tuple[Span, ...]
) -> tuple[Formula, Formula] | None:
    if not isinstance(node, ast.Compare) or len(node.ops) != 1:
        return None
    if not isinstance(node.ops[0], ast.Lt | ast.LtE | ast.Gt | ast.GtE):
        return None
    return (_piece(text, node.left, found, spans),
            _piece(text, node.comparators[0], found, spans))


def _fact_type(part: Part) -> FactType:
    return cast("FactType", part.type)


def _paths(spans: tuple[Span, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(path for span in spans for path in span.paths))
