"""The talk of `estimator survey fill`: one question after the other, each answer saved at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from estimator.questions.worth import Worth
    from estimator.workflow.filling import OpenQuestion

HELP, SKIP, NOBODY_KNOWS, STOP = "?", "", "x", "q"
KEYS = "(? help, Enter skips, x nobody knows, q stops)"


@dataclass(frozen=True)
class Desk:
    """Where questions are shown and answers typed; `typed` gives None when nobody types any more.
    """

    say: Callable[[str], None]
    typed: Callable[[str], str | None]


def fill_survey(
    path: Path, evidence: str, questions: Callable[[], Sequence[Worth]], desk: Desk
) -> int:
    """Ask until nothing is open, all is passed over, or the person stops; return the answers.

    Args:
        path: the survey file, changed after each answer.
        evidence: how the answers are known.
        questions: what is open now, what is worth most first; called again when all has been put,
            since an answer may open questions of its own.
        desk: where it is shown and typed.
    """
    passed: set[str] = set()
    answered = 0
    while True:
        put = [each for each in questions() if each.fact not in passed]
        if not put:
            break
        for number, worth in enumerate(put, start=1):
            passed.add(worth.fact)
            done = _ask(path, evidence, worth, f"{number} of {len(put)}", desk)
            if done is None:
                _farewell(path, answered, desk)
                return answered
            answered += done
    desk.say("Nothing more to ask.")
    _farewell(path, answered, desk)
    return answered


def _farewell(path: Path, answered: int, desk: Desk) -> None:
    desk.say(f"{answered} answer{'s' if answered != 1 else ''} written into {path}. "
             "Begin again whenever you like.")


def _ask(path: Path, evidence: str, worth: Worth, place: str, desk: Desk) -> int | None:
    """Put one question; return 1 if it was answered, 0 if passed over, None to stop."""
    from catalogue.cells import CellError
    from estimator.workflow.filling import open_question, read_answer, save_answer, vocabulary

    question = open_question(worth)
    if question is None:
        return 0
    desk.say(f"\n{place}. {question.asks}{f' ({question.on})' if question.on else ''}")
    desk.say(f"    {vocabulary(question.asked)}")
    while True:
        typed = desk.typed(f"    answer {KEYS}:")
        if typed is None or typed.strip().lower() == STOP:
            return None
        if typed.strip().lower() in (SKIP, NOBODY_KNOWS):
            return 0
        if typed.strip() == HELP:
            _help(question, desk)
            continue
        try:
            value = read_answer(typed, question)
        except CellError as wrong:
            desk.say(f"    {wrong.says}. {wrong.mend}".rstrip())
            continue
        save_answer(path, question.fact, value, evidence)
        return 1


def _help(question: OpenQuestion, desk: Desk) -> None:
    worth = question.worth
    desk.say(f"    {question.fact}: {question.meaning}.")
    if worth.spread.minor:
        desk.say(f"    The price lies between {worth.low} and {worth.high}, as it is answered.")
    if worth.photo:
        desk.say(f"    One photograph answers it: {worth.photo}.")
