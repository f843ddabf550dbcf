"""A fact in words: its value, and how it is known."""

from __future__ import annotations

from collections.abc import Iterable

from estimator.papers.contract_parts import FactJson


def shown(fact: FactJson) -> str:
    """Return a fact's value in words: yes, no, unknown, or the value with its unit."""
    value = fact.value
    if value is None:
        return "unknown"
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = ", ".join(value) if isinstance(value, tuple) else str(value)
    return f"{text} {fact.unit}" if fact.unit else text


def how(fact: FactJson) -> str:
    """Return how a fact is known: its evidence or its origin, and its source."""
    return ", ".join(part for part in (fact.evidence or fact.origin, fact.source) if part)


def facts_text(facts: Iterable[FactJson]) -> str:
    """Return facts in one line: path, value, and how each is known, without the source."""
    return "; ".join(
        f"{fact.path} = {shown(fact)} ({fact.evidence or fact.origin})" for fact in facts
    )
