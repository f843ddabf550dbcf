"""What was read from a note: claims, words left over, contradictions and questions."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from catalogue.problems import Place
from estimator.survey.fact import Evidence

_NOWHERE = Place()

Value = bool | int | Decimal | str


@dataclass(frozen=True, slots=True)
class Claim:
    """One fact as a note says it.

    Attributes:
        path: the fact, such as "storage.modules" or "plane[0].covering".
        value: of the type of that fact in the survey's model, within its range and vocabulary.
        evidence: how it is known; a hedge in the note lowers it.
        words: the words that say it, as written.
        place: file, line and column of the first of them.
    """

    path: str
    value: Value
    evidence: Evidence
    words: str
    place: Place


@dataclass(frozen=True, slots=True)
class Kept:
    """Words that give no fact, and why."""

    words: str
    place: Place
    why: str


@dataclass(frozen=True, slots=True)
class Conflict:
    """A fact that the note says in two ways; both claims are kept."""

    path: str
    claims: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class Ask:
    """A question to put back.

    Attributes:
        question: in words that can be put to the surveyor or the customer.
        words, place: what in the note raises it; empty for what the note does not speak of.
        photo: the photograph that would answer it, so that one answers several; or "".
        rank: what moves the price most comes first (1 before 9).
    """

    question: str
    words: str = ""
    place: Place = _NOWHERE
    photo: str = ""
    rank: int = 5


@dataclass(frozen=True, slots=True)
class NotesRead:
    """All that was read from one note.

    Attributes:
        claims: facts, in the order of their paths.
        not_understood: words that nothing here knows, or that could not be joined to a fact.
        conflicts: facts said in two ways.
        asks: questions, what moves the price most first.
        private: remarks that no customer may see.
        remarks: words that are understood, and for which the survey has no fact.
        parts: what the note asks for: "backup", "converter", "panels", "storage".
        planes: names of the roof planes, in the order of the numbers in the paths.
    """

    claims: tuple[Claim, ...]
    not_understood: tuple[Kept, ...]
    conflicts: tuple[Conflict, ...]
    asks: tuple[Ask, ...]
    private: tuple[Kept, ...]
    remarks: tuple[Kept, ...]
    parts: tuple[str, ...]
    planes: tuple[str, ...]
