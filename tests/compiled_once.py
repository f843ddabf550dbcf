"""Rules compiled once for all commands that the tests of a process type.

Compiling is a quarter of a quote. A rule book is frozen and follows from what is handed in alone:
equal files, facts, roles, norms, units and currency give the one there is; any other is compiled.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from catalogue.toml_source import TomlSource
from estimator.rules.load import load_rule_book
from estimator.rules.model import RuleBook

_HELD: dict[tuple[tuple[str, str], ...], list[tuple[tuple[Any, ...], RuleBook]]] = {}


def compiled_once(
    sources: Sequence[TomlSource], dictionary: Any, **hangs_on: Any
) -> RuleBook:
    """Return what `load_rule_book` returns; what it refuses, it refuses each time."""
    books = _HELD.setdefault(tuple((source.file, source.text) for source in sources), [])
    given = dictionary, hangs_on
    for same, book in books:
        if same == given:
            return book
    book = load_rule_book(sources, dictionary, **hangs_on)
    books.append((given, book))
    return book
