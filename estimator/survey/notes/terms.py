"""Turns the tokens of a sentence into terms: phrases of the vocabulary, numbers, words not known.

Words that only say how sure the note is (hedges, question marks) are taken out: they may stand
anywhere, and lower the evidence of what they stand with.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.survey.notes.parsing import Term
from estimator.survey.notes.tokens import Token
from estimator.survey.notes.vocabulary import Vocabulary

_FIRST_YEAR, _LAST_YEAR = 1500, 2100
_PARTING = (",", "(", ")", ":", "[", "]")


@dataclass(frozen=True)
class Mark:
    """A hedge, a "not", an "or" and the like that no statement took up: what, where."""

    kind: str
    value: str
    at: int
    clause: int


@dataclass(frozen=True)
class Cut:
    """A sentence cut into terms, the hedges apart, and the tags of what it speaks of."""

    tokens: Sequence[Token]
    terms: tuple[Term, ...]
    hedges: tuple[Mark, ...]
    tags: frozenset[str]


def cut(sentence: Sequence[Token], vocabulary: Vocabulary) -> Cut:
    """Return the terms of a sentence."""
    terms: list[Term] = []
    hedges: list[Mark] = []
    clause, at = 0, 0
    while at < len(sentence):
        token = sentence[at]
        if token.text in _PARTING and not _in_number(sentence, at):
            clause += 1
        if token.kind == "query":
            hedges.append(Mark("query", token.text, at, clause))
            at += 1
            continue
        if token.is_punctuation and not _in_number(sentence, at):
            at += 1
            continue
        length, term = _term(sentence, at, clause, vocabulary)
        if term.kinds[0] == "HEDGE":
            hedges.append(Mark("hedge", term.entry("HEDGE").value, at, clause))
        else:
            terms.append(term)
        at += length
    terms = _with_ranges(terms, sentence)
    tags = frozenset(tag for term in terms for entry in term.entries for tag in entry.tags)
    kinds = frozenset(kind for term in terms for kind in term.kinds)
    return Cut(sentence, tuple(terms), tuple(hedges), tags | kinds)


def _in_number(sentence: Sequence[Token], at: int) -> bool:
    """Return whether a comma stands glued between two numbers: "8,2" or "1,200"."""
    return (sentence[at].text == "," and 0 < at < len(sentence) - 1
            and sentence[at].glued and sentence[at + 1].glued
            and sentence[at - 1].kind == "number" and sentence[at + 1].kind == "number")


def _term(sentence: Sequence[Token], at: int, clause: int,
          vocabulary: Vocabulary) -> tuple[int, Term]:
    token = sentence[at]
    length, entries = vocabulary.at(sentence, at)
    kinds = tuple(dict.fromkeys(each.kind for each in entries))
    number: Decimal | None = None
    if not kinds and token.kind == "number":
        number, length = Decimal(token.text), 1
        is_year = len(token.text) == 4 and _FIRST_YEAR <= number <= _LAST_YEAR
        kinds = ("YEAR", "NUM") if is_year else ("NUM",)
    elif not kinds and token.kind == "decade":
        digits = token.text[:-1]
        number, length = Decimal(digits if len(digits) == 4 else f"19{digits}"), 1
        kinds = ("DECADE",)
    length = length or 1
    return length, Term(tuple(entries), kinds or ("?",), number, None, False, at, at + length,
                        clause, token.glued, _written(sentence[at:at + length]))


def _written(words: Sequence[Token]) -> str:
    first, *rest = words
    return first.text + "".join(("" if word.glued else " ") + word.text for word in rest)


def _with_ranges(terms: list[Term], sentence: Sequence[Token]) -> list[Term]:
    """Join "30-35" into one range, "8,2" into one number that is not clear."""
    joined: list[Term] = []
    at = 0
    while at < len(terms):
        three = terms[at:at + 3]
        if len(three) == 3 and "NUM" in three[0].kinds and "NUM" in three[2].kinds:
            sign = sentence[three[1].first].text
            apart = three[0].last != three[1].first or three[1].last != three[2].first
            if not apart and (sign in ("-", "–", ",") or sentence[three[1].first].low == "to"):
                joined.append(replace(three[0], kinds=("NUM",), upper=three[2].number,
                                      unclear=sign == ",", last=three[2].last))
                at += 3
                continue
        joined.append(terms[at])
        at += 1
    return joined
