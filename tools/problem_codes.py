"""Reads from the source which problem codes there are, where each is told, and in which words.

A code stands as text (`Problem("D001", place, says, mend)`), or is the letter of a reader and the
number of a kind of mistake (`tell(MISSING, path, says, mend)`, or the answer `(MISSING, says,
mend)`). What is filled in while the program runs is shown as `…`.
"""

from __future__ import annotations

import ast
import importlib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[1]
NOT_CODES = {"G100"}  # a recommendation for connections to the network
CODE = re.compile(r"[A-Z][0-9]{3}")
GAP = "…"
# Readers whose codes are a letter and a number of `catalogue.answers` or of their own.
LETTERS = {
    "A": ("catalogue/price_lists/column_map.py",),
    "S": ("estimator/survey/toml.py", "estimator/survey/agreement.py"),
    "C": ("estimator/settings_file.py",),
}
SHARED = ("catalogue/answers.py", "catalogue/table_reader.py")
# Where the words stand, counted from the code; elsewhere a place comes between.
_NEXT = ("Fault", "fault", "fault_at")
# What is wrong with one cell is told under one code by `catalogue.rows`.
_CELL = {"CellError": "L101"}
# What `catalogue.answers` finds in a cell is told under that code too.
_ALSO_OF_CELLS = ("WRONG_WORD", "OUT_OF_RANGE")
_CHECK = "problems_from"
_CHECK_SAYS = "a value that does not fit, in the words of `catalogue/validation.py`"


class Told(NamedTuple):
    """A code, the file that tells it, its words and the remedy."""

    code: str
    file: str
    says: str
    mend: str


def sources() -> list[Path]:
    """Return every Python file of the program."""
    return sorted(path for top in ("catalogue", "estimator") for path in (ROOT / top).rglob("*.py"))


def named_codes() -> dict[str, str]:
    """Return every code that the source names, also in docstrings, and one file that names it."""
    word = re.compile(rf"\b{CODE.pattern}\b")
    lint = re.compile(r"# noqa.*")  # names the codes of another tool
    return {
        code: path.relative_to(ROOT).as_posix()
        for path in sources()
        for code in word.findall(lint.sub("", path.read_text(encoding="utf-8")))
        if code not in NOT_CODES
    }


@cache
def told() -> tuple[Told, ...]:
    """Return every place of the source that tells a problem, by code and file."""
    found = {each for path in sources() for each in _File(path).told()}
    in_words = {each.code for each in found if _has_words(each)}
    return tuple(sorted(
        each for each in found if _has_words(each) or each.code not in in_words))


def _has_words(each: Told) -> bool:
    return bool(re.search(r"\w", each.says))


@dataclass
class _File:
    """One source file."""

    path: Path
    name: str = field(init=False)
    tree: ast.Module = field(init=False)
    kinds: Mapping[str, int] = field(init=False)
    helpers: Mapping[str, tuple[str, int]] = field(init=False)

    def __post_init__(self) -> None:
        self.name = self.path.relative_to(ROOT).as_posix()
        self.tree = ast.parse(self.path.read_text(encoding="utf-8"))
        letters = [file for files in LETTERS.values() for file in files]
        self.kinds = _kinds(self.name) if self.name in (*letters, *SHARED) else {}
        self.helpers = dict(_helpers(self.tree))

    def told(self) -> Iterator[Told]:
        for function in ast.walk(self.tree):
            if isinstance(function, ast.FunctionDef):
                words = _Words(function)
                for node in _own_nodes(function):
                    yield from self._of_node(node, words)

    def _of_node(self, node: ast.AST, words: _Words) -> Iterator[Told]:
        if isinstance(node, ast.Call):
            yield from self._of_call(node, words)
        elif isinstance(node, ast.Tuple) and len(node.elts) == 3:
            yield from self._of_kind(node.elts[0], node.elts[1:], words)

    def _of_call(self, node: ast.Call, words: _Words) -> Iterator[Told]:
        name = _called(node)
        if name in _CELL:
            yield Told(_CELL[name], self.name, *words.of(node.args))
        elif name in self.helpers:
            code, at = self.helpers[name]
            yield Told(code, self.name, *words.of(node.args[at:]))
        elif name == "tell" and node.args:
            yield from self._of_kind(node.args[0], node.args[2:], words)
        for at, arg in enumerate(node.args):
            if isinstance(arg, ast.Constant) and CODE.fullmatch(str(arg.value)):
                after = node.args[at + (1 if name in _NEXT else 2):]
                yield Told(str(arg.value), self.name,
                           *((_CHECK_SAYS, "") if name == _CHECK else words.of(after)))

    def _of_kind(
        self, kind: ast.expr, after: Sequence[ast.expr], words: _Words
    ) -> Iterator[Told]:
        if not isinstance(kind, ast.Name) or kind.id not in self.kinds:
            return
        if self.name == SHARED[0] and kind.id in _ALSO_OF_CELLS:
            yield Told(_CELL["CellError"], self.name, *words.of(after))
        for letter, files in LETTERS.items():
            code = f"{letter}{self.kinds[kind.id]:03}"
            if self.name in files or (self.name in SHARED and code in _text(files[0])):
                yield Told(code, self.name, *words.of(after))


class _Words:
    """Turns the texts of one function into patterns."""

    def __init__(self, function: ast.FunctionDef) -> None:
        self.given = {
            target.id: node.value
            for node in ast.walk(function) if isinstance(node, ast.Assign)
            for target in node.targets if isinstance(target, ast.Name)
        }

    def of(self, args: Sequence[ast.expr]) -> tuple[str, str]:
        """Return words and remedy from the arguments that hold them."""
        says = self.pattern(args[0]) if args else GAP
        return says, self.pattern(args[1]) if len(args) > 1 else ""

    def pattern(self, node: ast.expr, deep: int = 0) -> str:
        match node:
            case ast.Constant(value=str(text)):
                return text
            case ast.JoinedStr():
                return "".join(
                    str(part.value) if isinstance(part, ast.Constant) else GAP
                    for part in node.values)
            case ast.BinOp(op=ast.Add()):
                return self.pattern(node.left, deep) + self.pattern(node.right, deep)
            case ast.IfExp():
                return _either(self.pattern(node.body, deep), self.pattern(node.orelse, deep))
            case ast.BoolOp(op=ast.Or()):
                return _either(*(self.pattern(each, deep) for each in node.values))
            case ast.Call() if _called(node) == "suggestion":
                return f"did you mean '{GAP}'?"
            case ast.Name() if node.id in self.given and deep < 3:
                return self.pattern(self.given[node.id], deep + 1)
        return GAP


def _either(*patterns: str) -> str:
    return " / ".join(dict.fromkeys(each for each in patterns if each)) or GAP


def _helpers(tree: ast.Module) -> Iterator[tuple[str, tuple[str, int]]]:
    """Yield the functions that are given the words of one code, and where they stand."""
    for function in ast.walk(tree):
        if not isinstance(function, ast.FunctionDef):
            continue
        takes = [each.arg for each in function.args.args]
        if "says" in takes and "code" not in takes:
            for node in _own_nodes(function):
                if isinstance(node, ast.Constant) and CODE.fullmatch(str(node.value)):
                    yield function.name, (str(node.value), takes.index("says"))


def _own_nodes(function: ast.FunctionDef) -> Iterator[ast.AST]:
    """Yield the nodes of a function, without those of functions inside it."""
    waiting: list[ast.AST] = list(ast.iter_child_nodes(function))
    while waiting:
        node = waiting.pop()
        yield node
        if not isinstance(node, ast.FunctionDef):
            waiting.extend(ast.iter_child_nodes(node))


def _called(node: ast.Call) -> str:
    if isinstance(node.func, ast.Attribute):
        return node.func.attr
    return node.func.id if isinstance(node.func, ast.Name) else ""


def _kinds(file: str) -> dict[str, int]:
    """Return the numbers that a module has names for, its own and those it imports."""
    module = importlib.import_module(file.removesuffix(".py").replace("/", "."))
    return {name: n for name, n in vars(module).items() if name.isupper() and isinstance(n, int)}


def _text(file: str) -> str:
    return (ROOT / file).read_text(encoding="utf-8")
