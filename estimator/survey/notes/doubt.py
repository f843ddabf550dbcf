"""How sure a note is of what it says: hedges lower the grade, a "not" or an "or" takes it away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.survey.fact import Evidence
from estimator.survey.notes.parsing import Statement, Term
from estimator.survey.notes.saying import is_range
from estimator.survey.notes.terms import Cut, Mark

_BEST_FIRST = tuple(Evidence)
_FITTED = frozenset({"panels", "rows", "split", "shares", "bounded", "gear"})


@dataclass(frozen=True)
class Doubt:
    """What stands against a statement.

    Attributes:
        evidence: the grade that hedges leave it; None where there is none.
        bars: why nothing may be taken from it, or "".
        queried: it carries a question mark.
    """

    evidence: Evidence | None
    bars: str
    queried: bool


def doubt_of(statement: Statement, cut: Cut, loose: Sequence[Term]) -> Doubt:
    """Return the doubt about one statement.

    Args:
        statement: a statement of the sentence.
        cut: the sentence.
        loose: the terms of the sentence that no statement took up.
    """
    first, last = cut.terms[statement.first], cut.terms[statement.last - 1]
    grades: list[Evidence] = []
    queried = False
    for mark in cut.hedges:
        if mark.kind == "query":
            if first.first < mark.at < last.last or _follows(cut, last.last, mark.at):
                grades.append(Evidence.ASSUMED)
                queried = True
        elif _in_reach(mark, first, last):
            grades.append(Evidence(mark.value))
    if _beside_unknown(statement, cut):
        grades.append(Evidence.ASSUMED)
    worst = max(grades, key=_BEST_FIRST.index) if grades else None
    return Doubt(worst, _barred(statement, cut, loose), queried)


def worse(first: Evidence, second: Evidence) -> Evidence:
    """Return the weaker of two grades."""
    return max(first, second, key=_BEST_FIRST.index)


def _beside_unknown(statement: Statement, cut: Cut) -> bool:
    """Return whether a word nobody knows stands directly beside: "iso needed", "bat charger"."""
    clauses = {cut.terms[statement.first].clause, cut.terms[statement.last - 1].clause}
    beside = (*cut.terms[max(0, statement.first - 1):statement.first],
              *cut.terms[statement.last:statement.last + 1])
    return any("?" in each.kinds and each.clause in clauses for each in beside)


def _in_reach(mark: Mark, first: Term, last: Term) -> bool:
    """Return whether a hedge governs a statement: before it in its clause, or a note of proof."""
    if first.clause <= mark.clause <= last.clause and mark.at < last.last:
        return True
    return mark.value in ("measured", "photographed") and mark.clause == last.clause


def _follows(cut: Cut, end: int, mark: int) -> bool:
    """Return whether a mark stands directly behind a statement's last word."""
    between = cut.tokens[end:mark]
    return end <= mark and all(each.kind in ("query", "bang") for each in between)


def _barred(statement: Statement, cut: Cut, loose: Sequence[Term]) -> str:
    if is_range(statement):
        unclear = any(part.term.unclear for part in statement.parts)
        return "how is the number meant?" if unclear else "which of the two, measured?"
    first, last = cut.terms[statement.first], cut.terms[statement.last - 1]
    if any("ELSEWHERE" in term.kinds for term in loose):
        return "is it so at this house, today?"
    same = [term for term in loose if first.clause <= term.clause <= last.clause]
    if any("OR" in term.kinds for term in same):
        return "which of the two?"
    if statement.rule in _FITTED and any("EXIST" in term.kinds for term in same):
        return "there already, or to be fitted?"
    for term in same:
        if "NOT" in term.kinds and (term.first < first.first or _ends_clause(term, cut, last)):
            return "what is so, and what is not?"
    return ""


def _ends_clause(term: Term, cut: Cut, last: Term) -> bool:
    """Return whether a "not" stands directly behind a statement and ends the clause: "iso no"."""
    after = [each for each in cut.terms if each.first > term.first and each.clause == term.clause]
    return term.first == last.last and not after
