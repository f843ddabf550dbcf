"""The short forms of the trade, as data: vocabulary.toml, and a firm's own file before it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from catalogue.problems import Problem, ProblemsFound
from catalogue.toml_source import TomlSource, read_toml
from estimator.survey.notes.claims import Value
from estimator.survey.notes.facts import known_path
from estimator.survey.notes.tokens import Token, tokens

OWN = Path(__file__).with_name("vocabulary.toml")
_CLASS_OF = {"fact": "FACT", "measure": "MEASURE", "count": "COUNT", "remark": "REMARK"}
_KEYS = frozenset({
    "words", "class", "value", "says", "no", "ask", "grade", "with", "else_ask", "tags", "path",
    "unit", "bare", "least", "most", "exact", "glued",
})


@dataclass(frozen=True)
class Entry:
    """What a phrase of the vocabulary means; see the head of vocabulary.toml."""

    kind: str
    value: str = ""
    says: Mapping[str, Value] = field(default_factory=dict)
    no: Mapping[str, Value] | None = None
    ask: str = ""
    grade: str = ""
    only_with: tuple[str, ...] = ()
    else_ask: str = ""
    tags: tuple[str, ...] = ()
    path: str = ""
    unit: str = ""
    bare: tuple[str, ...] = ()
    least: str = "0"
    most: str = "1000000"
    exact: str = ""
    glued: bool = False


class Vocabulary:
    """Phrases by their words; the longest that fits is taken."""

    def __init__(self) -> None:
        self._phrases: dict[tuple[str, ...], list[Entry]] = {}
        self._longest = 1

    @property
    def stops(self) -> frozenset[str]:
        """Return the single words after which a full stop does not end a sentence."""
        return frozenset(
            words[0] for words, entries in self._phrases.items()
            if len(words) == 1 and words[0].isalpha()
            and any(each.kind == "HEDGE" for each in entries))

    def add(self, entries: Sequence[tuple[str, Entry]]) -> None:
        """Add phrases; of those with the same words and class the first added stays."""
        for phrase, entry in entries:
            words = tuple(token.low for token in tokens(phrase))
            there = self._phrases.setdefault(words, [])
            if all((each.kind, each.exact) != (entry.kind, entry.exact) for each in there):
                there.append(entry)
            self._longest = max(self._longest, len(words))

    def at(self, sentence: Sequence[Token], start: int) -> tuple[int, list[Entry]]:
        """Return how many tokens from `start` make a phrase, and what it may mean; 0 if none."""
        room = min(self._longest, len(sentence) - start)
        words = tuple(token.low for token in sentence[start:start + room])
        for length in range(room, 0, -1):
            found = self._fitting(words[:length], sentence[start:start + length])
            if found:
                return length, found
        return 0, []

    def _fitting(self, words: tuple[str, ...], written: Sequence[Token]) -> list[Entry]:
        there = self._phrases.get(words)
        if there is None and words[-1].endswith("s") and len(words[-1]) > 3:
            there = self._phrases.get((*words[:-1], words[-1][:-1]))
        as_written = "".join(token.text for token in written)
        return [each for each in there or ()
                if (not each.exact or each.exact == as_written)
                and (not each.glued or written[0].glued or written[0].text == "A")]


def load_vocabulary(firm: Path | None = None) -> Vocabulary:
    """Return the vocabulary, a firm's own words before the standard ones.

    Raises:
        ProblemsFound: T001 to T004 for a file that is not readable TOML, G002 for an entry that
            does not fit.
    """
    vocabulary = Vocabulary()
    for path in (firm, OWN):
        if path is not None:
            vocabulary.add(_entries(read_toml(path)))
    return vocabulary


def _entries(source: TomlSource) -> list[tuple[str, Entry]]:
    found: list[tuple[str, Entry]] = []
    problems: list[Problem] = []
    for table, listed in source.data.items():
        if table not in (*_CLASS_OF, "word") or not isinstance(listed, list):
            problems.append(Problem("G002", source.place((table,)),
                                    f"'{table}' is no table of a vocabulary",
                                    "use [[fact]], [[measure]], [[count]], [[word]], [[remark]]"))
            continue
        for at, each in enumerate(listed):
            wrong = _misfit(table, each)
            if wrong:
                problems.append(Problem("G002", source.place((table, at)), wrong,
                                        "the head of the standard vocabulary says what may stand "
                                        "in an entry"))
            else:
                found += _phrases(table, each)
    if problems:
        raise ProblemsFound(problems)
    return found


def _misfit(table: str, each: Any) -> str:
    """Return what is wrong with an entry, or ""."""
    if not isinstance(each, Mapping):
        return "an entry is a table of its own"
    unknown = sorted(set(each) - _KEYS)
    if unknown:
        return f"'{unknown[0]}' is not known here"
    words = each.get("words")
    if not isinstance(words, list) or not words or not all(
            isinstance(word, str) and word.strip() for word in words):
        return "words is missing, or is not a list of texts"
    if table == "word" and not isinstance(each.get("class"), str):
        return "class is missing"
    for path in (*each.get("says", ()), *each.get("no", ()), each.get("path", "")):
        if path and not known_path(path):
            return f"the survey has no fact '{path}'"
    return "path is missing" if table == "measure" and not each.get("path") else ""


def _phrases(table: str, each: Mapping[str, Any]) -> list[tuple[str, Entry]]:
    entry = {
        "kind": _CLASS_OF.get(table) or each["class"], "value": each.get("value", ""),
        "says": each.get("says", {}), "no": each.get("no"), "ask": each.get("ask", ""),
        "grade": each.get("grade", ""), "only_with": tuple(each.get("with", ())),
        "else_ask": each.get("else_ask", ""), "tags": tuple(each.get("tags", ())),
        "path": each.get("path", ""), "unit": each.get("unit", ""),
        "bare": tuple(each.get("bare", ())), "least": str(each.get("least", "0")),
        "most": str(each.get("most", "1000000")), "glued": bool(each.get("glued", False)),
    }
    return [(word, Entry(**entry, exact=word if each.get("exact") else ""))
            for word in each["words"]]
