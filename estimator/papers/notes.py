"""The report of a note: facts read, words not understood, contradictions, what to ask back.

It is for the office: it shows private remarks, so it goes to no customer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any

from catalogue.problems import Place, printable
from estimator.survey.notes.claims import Ask, Claim, Kept, NotesRead, Value


def notes_report(read: NotesRead) -> str:
    """Return the report as the terminal shows it."""
    parts = ", ".join(read.parts) or "not said"
    lines = [f"Asked for: {parts}"]
    lines += [f"plane[{at}] is {name}" for at, name in enumerate(read.planes)]
    lines += _section("Facts read", map(_claim, read.claims))
    lines += _section("Said in two ways (unknown until asked)", (
        f"{each.path}: " + " / ".join(_shown(claim.value) for claim in each.claims)
        for each in read.conflicts))
    lines += _section("Not understood", map(_kept, read.not_understood))
    lines += _section("Private, for no customer", map(_kept, read.private))
    lines += _section("Understood, no fact of the survey", map(_kept, read.remarks))
    lines += _section("Ask back, what moves the price most first", map(_ask, read.asks))
    return "\n".join(printable(line) for line in lines) + "\n"


def notes_json(read: NotesRead) -> dict[str, Any]:
    """Return the report as plain data; exact numbers as text."""
    return {
        "parts": list(read.parts), "planes": list(read.planes),
        "facts": [_claim_json(each) for each in read.claims],
        "conflicts": [{"path": each.path, "claims": [_claim_json(of) for of in each.claims]}
                      for each in read.conflicts],
        "not_understood": _kept_json(read.not_understood),
        "private": _kept_json(read.private), "remarks": _kept_json(read.remarks),
        "asks": [{"question": each.question, "words": each.words, "photo": each.photo,
                  "rank": each.rank, **_place_json(each.place)} for each in read.asks],
    }


def _section(title: str, entries: Iterable[str]) -> Iterator[str]:
    yield ""
    yield title + ":"
    empty = True
    for entry in entries:
        empty = False
        yield f"  {entry}"
    if empty:
        yield "  none"


def _claim(claim: Claim) -> str:
    words = " ".join(claim.words.split())
    return (f"{claim.path} = {_shown(claim.value)} ({claim.evidence}) "
            f"from '{words}' at {_at(claim.place)}")


def _kept(kept: Kept) -> str:
    return f"'{' '.join(kept.words.split())}' at {_at(kept.place)}: {kept.why}"


def _ask(ask: Ask) -> str:
    photo = f" [photo: {ask.photo}]" if ask.photo else ""
    return f"{' '.join(ask.question.split())}{photo}"


def _at(place: Place) -> str:
    return f"{place.line}:{place.column}"


def _shown(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _claim_json(claim: Claim) -> dict[str, Any]:
    value = f"{claim.value:f}" if isinstance(claim.value, Decimal) else claim.value
    return {"path": claim.path, "value": value, "evidence": str(claim.evidence),
            "words": claim.words, **_place_json(claim.place)}


def _kept_json(kept: Sequence[Kept]) -> list[dict[str, Any]]:
    return [{"words": each.words, "why": each.why, **_place_json(each.place)} for each in kept]


def _place_json(place: Place) -> dict[str, Any]:
    return {"file": place.file, "line": place.line, "column": place.column}
