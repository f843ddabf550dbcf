"""Writes what was read from a note as the text of a survey file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from estimator.survey.fact import Evidence
from estimator.survey.model import Survey
from estimator.survey.notes.claims import Claim, NotesRead
from estimator.survey.notes.facts import table_of
from estimator.survey.toml import REPEATED, group_model
from estimator.survey.writing import toml_value


def survey_toml(read: NotesRead, job: str = "NOTE", parts: Sequence[str] = ()) -> str:
    """Return a survey file that `estimator.survey.toml.read_survey` reads.

    A fact that the note says in two ways stays unknown, with the words of both. Words that were
    not understood and private remarks go among the private remarks, which no customer sees.

    Args:
        read: what was read.
        job: number of the job.
        parts: what is asked for, if the note does not say; one of both must.
    """
    wanted = ", ".join(quoted(part) for part in parts or read.parts)
    lines = ["[job]", f"id = {quoted(job)}", f'evidence = "{Evidence.SEEN}"',
             f"parts = [{wanted}]"]
    private = [f"{each.words}" for each in read.private]
    private += [f"not understood in the note: {each.words}" for each in read.not_understood]
    if private:
        lines += ["private_remarks = [", *(f"  {quoted(each)}," for each in private), "]"]
    for group in Survey.model_fields:
        if group == "job":
            continue
        if group not in REPEATED:
            facts = [*_facts(group, group, read.claims)]
            lines += ["", f"[{group}]", *facts] if facts else []
            continue
        for at, name in enumerate(read.planes if group == "planes" else ()):
            lines += ["", f"[[{group}]]", f"name = {quoted(name)}",
                      *_facts(group, f"plane[{at}]", read.claims)]
    return "\n".join(lines) + "\n"


def _facts(group: str, prefix: str, claims: Iterable[Claim]) -> Iterator[str]:
    """Yield the facts of one group in the order of the model."""
    held: dict[str, list[Claim]] = {}
    for claim in claims:
        of, _, name = claim.path.partition(".")
        if of == prefix:
            held.setdefault(name, []).append(claim)
    for name in group_model(table_of(group)).model_fields:
        if name in held:
            yield f"{name} = {_fact(held[name])}"


def _fact(claims: Sequence[Claim]) -> str:
    words = quoted("; ".join(dict.fromkeys(claim.words for claim in claims)))
    if len({claim.value for claim in claims}) > 1:
        return f'{{ value = "?", words = {words} }}'
    best = min(claims, key=lambda claim: tuple(Evidence).index(claim.evidence))
    return f'{{ value = {toml_value(best.value)}, evidence = "{best.evidence}", words = {words} }}'


def quoted(text: str) -> str:
    """Return a text as TOML writes it on one line, without characters that cannot be seen."""
    seen = " ".join(text.split())
    return toml_value("".join(sign if sign.isprintable() else "?" for sign in seen))
