"""Finds statements in a sentence: at each word the longest that the grammar knows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedInput
from lark.parsers.lalr_interactive_parser import InteractiveParser

from estimator.survey.notes.vocabulary import Entry

_UNITS = frozenset({"DEG", "LENGTH", "AMP", "KW", "KWH", "SQUARE", "YEARS", "BAR", "INCH", "FOOT",
                    "X", "COUNT", "PANEL", "MOD", "BATTERY", "STOREY", "PHASED"})
_LONGEST = 40  # terms of a statement; nobody writes a longer one
_JOINS = frozenset({"SLASH", "X", "DASH", "?"})


@dataclass(frozen=True)
class Term:
    """A word, phrase or number of a sentence, with what it may be.

    Attributes:
        entries: what the vocabulary says of it; empty for numbers and words not known.
        kinds: the classes of the grammar it may be, the likeliest first; ("?",) if none.
        number: its value, if it is a number; for a range the lower end.
        upper: the upper end of a range, or None.
        unclear: a number that can be read in two ways ("8,2").
        first, last: its first token and the one after its last, in the sentence.
        clause: which part of the sentence between commas it stands in.
        glued: it follows the one before it without a space.
        text: as written, with single spaces.
    """

    entries: tuple[Entry, ...]
    kinds: tuple[str, ...]
    number: Decimal | None
    upper: Decimal | None
    unclear: bool
    first: int
    last: int
    clause: int
    glued: bool
    text: str = ""

    def entry(self, kind: str) -> Entry:
        """Return what the vocabulary says of it as a word of this class."""
        return next((each for each in self.entries if each.kind == kind), Entry(kind))


@dataclass(frozen=True)
class Part:
    """A term as the grammar took it: of one class."""

    kind: str
    term: Term

    @property
    def entry(self) -> Entry:
        """Return what the vocabulary says of it."""
        return self.term.entry(self.kind)

    @property
    def text(self) -> str:
        """Return it as written."""
        return self.term.text

    @property
    def number(self) -> Decimal:
        """Return its number; only of a NUM, YEAR or DECADE."""
        assert self.term.number is not None
        return self.term.number


@dataclass(frozen=True)
class Statement:
    """Terms that stand together.

    Attributes:
        rule: the rule of the grammar ("measure").
        parts: its terms, in order.
        groups: for each part the inner rules it stands in ("where", "dirs", "pair").
        first, last: its first term and the one after its last.
    """

    rule: str
    parts: tuple[Part, ...]
    groups: tuple[tuple[str, ...], ...]
    first: int
    last: int

    def of(self, *kinds: str) -> list[Part]:
        """Return the parts of these classes."""
        return [each for each in self.parts if each.kind in kinds]

    def within(self, group: str) -> list[Part]:
        """Return the parts inside an inner rule."""
        return [each for each, groups in zip(self.parts, self.groups, strict=True)
                if group in groups]


@cache
def _grammar() -> Lark:
    text = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer="basic", start="start")


@cache
def _opening() -> frozenset[str]:
    """Return the classes with which a statement may begin."""
    return frozenset(_grammar().parse_interactive("").accepts())  # type: ignore[no-untyped-call]


def statements(terms: Sequence[Term]) -> Iterator[Statement]:
    """Yield the statements of a sentence, none overlapping; terms in none are left over."""
    at = 0
    while at < len(terms):
        found = _longest(terms, at)
        if found is None:
            at += 1
            continue
        yield found
        at = found.last


def _longest(terms: Sequence[Term], start: int) -> Statement | None:
    if not _opening().intersection(terms[start].kinds) or _hangs_on_before(terms, start):
        return None
    clause = terms[start].clause  # no statement goes on behind a comma
    room = min(len(terms), start + _LONGEST)
    end = next((at for at in range(start, room) if terms[at].clause != clause), room)
    best = _farthest(_grammar().parse_interactive(""), terms, start, end)
    return None if best is None else _statement(best[1], terms, start, best[0])


def _farthest(parser: InteractiveParser, terms: Sequence[Term],
              at: int, end: int) -> tuple[int, Tree[Token]] | None:
    """Return where the longest statement from here ends, and its tree; None if there is none."""
    best: tuple[int, Tree[Token]] | None = None
    if at >= end:
        return None
    for kind in terms[at].kinds:
        after = _fed(parser, kind, at)
        if after is None:
            continue
        found = _farthest(after, terms, at + 1, end)
        if found is None and not _hangs_on_after(terms, at):
            whole = _ended(after)
            found = None if whole is None else (at + 1, whole)
        if found is not None and (best is None or found[0] > best[0]):
            best = found
    return best


def _fed(parser: InteractiveParser, kind: str, at: int) -> InteractiveParser | None:
    """Return the parser behind a term of a class, or None where the grammar has no room for it."""
    trial: InteractiveParser = parser.copy()  # type: ignore[no-untyped-call]
    try:
        trial.feed_token(Token(kind, str(at)))
    except (UnexpectedInput, KeyError):
        return None
    return trial


def _ended(parser: InteractiveParser) -> Tree[Token] | None:
    trial: InteractiveParser = parser.copy()  # type: ignore[no-untyped-call]
    try:
        whole = trial.feed_eof()  # type: ignore[no-untyped-call]
    except UnexpectedInput:
        return None
    return whole if isinstance(whole, Tree) else None


def _hangs_on_before(terms: Sequence[Term], start: int) -> bool:
    """Return whether a number goes with what stands glued before it: "3/4 spare", "-3"."""
    if terms[start].number is None or not terms[start].glued or start == 0:
        return False
    return bool(_JOINS.intersection(terms[start - 1].kinds)) and "NUM" in terms[start].kinds


def _hangs_on_after(terms: Sequence[Term], at: int) -> bool:
    """Return whether a number goes with what follows, so that no statement may end on it."""
    if "NUM" not in terms[at].kinds or at + 1 >= len(terms):
        return False
    after = terms[at + 1]
    if after.clause != terms[at].clause:
        return False
    return after.glued or bool(_UNITS.intersection(after.kinds))


def _statement(tree: Tree[Token], terms: Sequence[Term], first: int, last: int) -> Statement:
    (inner,) = tree.children
    assert isinstance(inner, Tree)
    parts: list[Part] = []
    groups: list[tuple[str, ...]] = []

    def gather(node: Tree[Token], within: tuple[str, ...]) -> None:
        for child in node.children:
            if isinstance(child, Tree):
                gather(child, (*within, str(child.data)))
            else:
                parts.append(Part(child.type, terms[int(child)]))
                groups.append(within)

    gather(inner, ())
    return Statement(str(inner.data), tuple(parts), tuple(groups), first, last)
