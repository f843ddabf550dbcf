"""Cuts a note into words, numbers and signs, each with its place, and into sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

# A decade ("1990s"), a number, a word (with an apostrophe inside), a run of ? or !, any other sign.
_PIECE = (r"(?P<decade>(?:1[5-9]|20)[0-9]0s\b|\b[0-9]0s\b)"
          r"|(?P<number>[0-9]{1,12}(?:\.[0-9]{1,6})?(?![0-9]))"
          r"|(?P<word>[^\W\d_]+(?:['’][^\W\d_]+)*)"
          r"|(?P<query>\?+)|(?P<bang>!+)|(?P<long>[0-9]+)|(?P<sign>[^\s])")
_ENDS = (".", ";")
_PUNCTUATION = frozenset(".,;:!()[]…")


@dataclass(frozen=True, slots=True)
class Token:
    """One word, number or sign of a note.

    Attributes:
        text: as written.
        kind: "decade", "number", "word", "query", "bang", "long" (digits that are no number) or
            "sign".
        line, column: where it begins, from 1.
        start, end: its place in the whole text, counted in characters from 0.
        glued: it follows the one before it without a space.
    """

    text: str
    kind: str
    line: int
    column: int
    start: int
    end: int
    glued: bool

    @property
    def low(self) -> str:
        """Return the text in small letters, with one kind of apostrophe and of times sign."""
        return self.text.lower().replace("’", "'").replace("×", "x")

    @property
    def is_punctuation(self) -> bool:
        """Return whether it only parts words, so that it need not be accounted for."""
        return self.kind == "bang" or self.text in _PUNCTUATION


def tokens(text: str) -> Iterator[Token]:
    """Yield the tokens of a text; every character that is no space belongs to one."""
    first = 0
    for number, line in enumerate(text.splitlines(keepends=True), start=1):
        end = -1
        for found in re.finditer(_PIECE, line):
            at = found.start()
            yield Token(found.group(), found.lastgroup or "sign", number, at + 1, first + at,
                        first + found.end(), at == end)
            end = found.end()
        first += len(line)


def sentences(text: str, short: frozenset[str]) -> Iterator[list[Token]]:
    """Yield the sentences of a note: a line's end, a semicolon or a stop ends one.

    Args:
        text: the note.
        short: words in small letters after which a stop does not end the sentence ("approx").
    """
    sentence: list[Token] = []
    found = [*tokens(text)]
    for at, token in enumerate(found):
        if sentence and token.line != sentence[-1].line:
            yield sentence
            sentence = []
        sentence.append(token)
        after = found[at + 1] if at + 1 < len(found) else None
        if token.text in _ENDS and not (token.text == "." and _goes_on(sentence, after, short)):
            yield sentence
            sentence = []
    if sentence:
        yield sentence


def _goes_on(sentence: list[Token], after: Token | None, short: frozenset[str]) -> bool:
    """Return whether a stop stands inside a sentence: "approx. 12m", "e.g."."""
    if after is not None and after.glued:
        return True
    return len(sentence) > 1 and sentence[-2].low in short
