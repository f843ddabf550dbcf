"""Walks the syntax tree of one formula: checks each node and builds its closure."""

from __future__ import annotations

import ast
import operator
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from catalogue.problems import suggestion
from estimator.design.sheet import Scope
from estimator.rules import calls, comparing, exact, logic
from estimator.rules.facts import FactDef, FactDictionary
from estimator.rules.faults import (
    DEEPEST,
    MOST_FAULTS,
    MOST_NODES,
    Fault,
    TooLargeError,
    too_deep,
)
from estimator.rules.logic import Part, constant
from estimator.rules.model import Span
from estimator.rules.wording import NUMERIC, said, type_mend

_SIGNS: dict[type, str] = {
    ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.FloorDiv: "//",
}
# For each sign: the operation on whole numbers, and on numbers that may have decimals.
_ARITHMETIC: dict[str, tuple[Callable[[Any, Any], Any], Callable[[Any, Any], Any]]] = {
    "+": (operator.add, exact.add),
    "-": (operator.sub, exact.subtract),
    "*": (operator.mul, exact.multiply),
}
_WORDS = {"true": True, "false": False}
_REFUSED: dict[type, tuple[str, str]] = {
    ast.Lambda: ("a lambda", ""),
    ast.ListComp: ("a comprehension", "use total, count, largest or any_of"),
    ast.SetComp: ("a comprehension", "use total, count, largest or any_of"),
    ast.DictComp: ("a comprehension", "use total, count, largest or any_of"),
    ast.GeneratorExp: ("a comprehension", "use total, count, largest or any_of"),
    ast.JoinedStr: ("a text with placeholders", "write plain text in quotes"),
    ast.NamedExpr: ("an assignment", "put that part into a computed fact ([[fact]])"),
    ast.Subscript: ("an index in brackets", "use total, count, largest or any_of"),
    ast.Starred: ("a star", ""),
}


class Expression:
    """One formula while it is compiled; gathers faults and the facts it reads."""

    def __init__(
        self, text: str, indent: int, dictionary: FactDictionary, scope: Scope
    ) -> None:
        self.text = text
        self.indent = indent
        self.facts = dictionary
        self.scope = scope
        self.inside: Scope = ""
        self.inside_paths: list[str] = []
        self.inside_open: list[str] = []
        self.faults: list[Fault] = []
        self.spans: list[Span] = []
        self._plain = text.isascii()
        self._depth = 0
        self._nodes = 0
        self.parts: dict[ast.expr, Part] = {}

    # -- places and faults -------------------------------------------------------------------

    def at(self, node: ast.expr, end: bool = False) -> int:
        """Return where a node starts (or ends), in characters from the start of the text."""
        offset = (node.end_col_offset or 0) if end else node.col_offset
        if not self._plain:
            offset = len(self.text[self.indent:].encode()[:offset].decode())
        return self.indent + offset

    def fault_at(self, at: int, code: str, says: str, mend: str = "") -> None:
        """Note a mistake; after ten, a reader has enough to mend."""
        if len(self.faults) < MOST_FAULTS:
            self.faults.append(Fault(at, code, says, mend))

    def fault(self, node: ast.expr, code: str, says: str, mend: str = "") -> None:
        """Note a mistake of a node."""
        self.fault_at(self.at(node), code, says, mend)

    def conjuncts(self, tree: ast.BoolOp) -> Iterator[ast.expr]:
        """Yield what stands between the outer `and`s."""
        for node in tree.values:
            if isinstance(node, ast.BoolOp) and isinstance(node.op, ast.And):
                yield from self.conjuncts(node)
            else:
                yield node

    # -- nodes -------------------------------------------------------------------------------

    def part(self, node: ast.expr) -> Part | None:
        """Compile a node; None if it (or something in it) is wrong and has been noted."""
        self._nodes += 1
        self._depth += 1
        if self._depth > DEEPEST:
            raise TooLargeError(too_deep(self.at(node)))
        if self._nodes > MOST_NODES:
            raise TooLargeError(Fault(
                self.at(node), "R101", f"the formula has more than {MOST_NODES} parts",
                "put a part of it into a computed fact ([[fact]])"))
        part = self._built(node)
        self._depth -= 1
        return part

    def _built(self, node: ast.expr) -> Part | None:
        build = _BUILDERS.get(type(node))
        if build is None:
            what, mend = _REFUSED.get(type(node), (f"this form ({type(node).__name__})", ""))
            self.fault(node, "R103", f"a formula may not hold {what}", mend)
            return None
        part = build(self, node)
        if part is not None:
            self.parts[node] = part
        return part

    def typed(self, node: ast.expr, types: tuple[str, ...], role: str) -> Part | None:
        """Compile a node that must be of one of some types."""
        part = self.part(node)
        if part is None or part.type in types:
            return part
        self.fault(node, "R106", f"{role} must be {said(types)}, not {said((part.type,))}",
                   type_mend(part, types))
        return None

    def _constant(self, node: ast.Constant) -> Part | None:
        value = node.value
        if isinstance(value, bool):
            self.fault(node, "R103", f"'{value}' is not a word of formulas",
                       f"write {str(value).lower()}")
        elif isinstance(value, int):
            return constant(value, "whole")
        elif isinstance(value, float):
            start, end = self.at(node), self.at(node, end=True)
            return constant(Decimal(self.text[start:end]), "number")
        elif isinstance(value, str):
            return constant(value, "text", (value,))
        else:
            self.fault(node, "R103", f"'{ast.unparse(node)}' is not a value of formulas",
                       "write a number, true, false or text in single quotes")
        return None

    def _group(self, node: ast.Tuple | ast.List) -> Part | None:
        """Compile a list of text, or of numbers behind `in`."""
        values: list[Any] = []
        for each in node.elts:
            part = self.typed(each, ("text", *NUMERIC), "an entry of a list")
            if part is None:
                return None
            if not part.literal:
                self.fault(each, "R103", "a list holds only text or numbers written out",
                           "compare with each fact by == and join them with `or`")
                return None
            values.append(part.value)
        if len({isinstance(value, str) for value in values}) != 1:
            self.fault(node, "R106", "a list holds one or more texts, or one or more numbers")
            return None
        if isinstance(values[0], str):
            return constant(tuple(values), "texts", tuple(values))
        return constant(tuple(values), "numbers")

    def _name(self, node: ast.expr) -> Part | None:
        path = dotted(node)
        if path in _WORDS:
            return constant(_WORDS[path], "flag")
        fact = self._known_fact(node, path)
        if fact is None:
            return None
        if self.inside:
            self.inside_paths.append(fact.path)
            self.inside_open.append(fact.path)
        else:
            self.spans.append(Span(self.at(node), self.at(node, end=True), (fact.path,),
                                   operator.itemgetter(fact.path), False, (fact.path,)))
        return Part(operator.itemgetter(fact.path), fact.type, words=fact.values, path=fact.path)

    def _known_fact(self, node: ast.expr, path: str) -> FactDef | None:
        """Return the fact of a path if it exists and may be named here."""
        if not path:
            self.fault(node, "R103", "a dot stands only inside the name of a fact", "")
            return None
        fact = self.facts.get(path)
        if fact is None:
            self._unknown_name(node, path)
            return None
        if not fact.scope or fact.scope in (self.inside, self.scope if not self.inside else ""):
            return fact
        self.fault(
            node, "R105", f"'{path}' is a fact of each {fact.scope}, and this formula runs once "
            f"for {f'each {self.scope}' if self.scope else 'the job'}",
            f"use it inside total(...), count(...), largest(...) or any_of(...), or give the "
            f"rule each = \"{fact.scope}\"",
        )
        return None

    def _unknown_name(self, node: ast.expr, path: str) -> None:
        if path in calls.FUNCTIONS:
            self.fault(node, "R108", f"the function '{path}' needs its values in brackets",
                       f"write {path}(...)")
        elif path in ("True", "False", "None", "yes", "no"):
            self.fault(node, "R104", f"'{path}' is not a fact", "yes and no are true and false")
        else:
            mend = suggestion(path, self.facts) if len(self.faults) < MOST_FAULTS else ""
            self.fault(node, "R104", f"'{path}' is not a fact",
                       mend or "`estimator facts` lists every fact")

    def _both(self, node: ast.BoolOp) -> Part | None:
        parts = [self.typed(each, ("flag",), "what `and` and `or` join") for each in node.values]
        sound = [part for part in parts if part is not None]
        if len(sound) < len(parts):
            return None
        build = logic.all_of if isinstance(node.op, ast.And) else logic.one_of
        return Part(build(sound), "flag")

    def _unary(self, node: ast.UnaryOp) -> Part | None:
        if isinstance(node.op, ast.Not):
            part = self.typed(node.operand, ("flag",), "what follows `not`")
            return part and Part(logic.negation(part), "flag")
        if not isinstance(node.op, ast.USub):
            self.fault(node, "R103", "only a minus sign may stand before a value")
            return None
        part = self.typed(node.operand, NUMERIC, "what follows a minus sign")
        if part is None:
            return None
        if part.literal:
            return constant(exact.negative(part.value), part.type)
        run = part.run
        return Part(lambda env: exact.negative(run(env)), part.type)

    def _arithmetic(self, node: ast.BinOp) -> Part | None:
        sign = _SIGNS.get(type(node.op))
        if sign is None:
            self.fault(node, "R103", "a formula reckons only with + - * / and //",
                       "multiply a value by itself for a power")
            return None
        left = self.typed(node.left, NUMERIC, f"the left side of '{sign}'")
        right = self.typed(node.right, NUMERIC, f"the right side of '{sign}'")
        if left is None or right is None:
            return None
        if sign not in _ARITHMETIC:
            return self._division(node, sign, left, right)
        quick, slow = _ARITHMETIC[sign]
        whole = left.type == right.type == "whole"
        return Part(logic.binary(quick if whole else slow, left, right),
                    "whole" if whole else "number")

    def _division(self, node: ast.BinOp, sign: str, left: Part, right: Part) -> Part | None:
        if right.literal and right.value == 0:
            self.fault(node.right, "R106", "division by zero")
            return None
        act = exact.divide if sign == "/" else exact.floor_divide
        run = logic.placed(logic.binary(act, left, right), self.at(node))
        return Part(run, "number" if sign == "/" else "whole")

    def _conditional(self, node: ast.IfExp) -> Part | None:
        then = self.part(node.body)
        test = self.typed(node.test, ("flag",), "what follows `if`")
        otherwise = self.part(node.orelse)
        if then is None or test is None or otherwise is None:
            return None
        kind = then.type
        if then.type != otherwise.type:
            if not {then.type, otherwise.type} <= set(NUMERIC):
                self.fault(node.orelse, "R106", "both answers of an `if` must be alike, not "
                           f"{said((then.type,))} and {said((otherwise.type,))}")
                return None
            kind = "number"
        words = tuple(dict.fromkeys(then.words + otherwise.words))
        return Part(logic.choice(test, then, otherwise), kind,
                    words=words if then.words and otherwise.words else ())


def dotted(node: ast.expr) -> str:
    """Return `storage.modules` for such a chain of names, or "" for anything else."""
    names: list[str] = []
    while isinstance(node, ast.Attribute):
        names.append(node.attr)
        node = node.value
    if not isinstance(node, ast.Name):
        return ""
    return ".".join([node.id, *reversed(names)])


_BUILDERS: dict[type, Callable[[Expression, Any], Part | None]] = {
    ast.Constant: Expression._constant,
    ast.Tuple: Expression._group,
    ast.List: Expression._group,
    ast.Name: Expression._name,
    ast.Attribute: Expression._name,
    ast.BoolOp: Expression._both,
    ast.UnaryOp: Expression._unary,
    ast.BinOp: Expression._arithmetic,
    ast.IfExp: Expression._conditional,
    ast.Compare: comparing.comparison,
    ast.Call: calls.call,
}
