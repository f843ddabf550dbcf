"""Several surveys of one house made into one: of each fact the best known claim wins.

A better kind of evidence wins over a poorer one; of two claims known equally well the later wins.
Nothing is lost in silence: where two claims differ, the merge says which it took and which not.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from estimator.survey.fact import Evidence, Fact
from estimator.survey.group import Group
from estimator.survey.model import Header, Survey

_GRADES = {grade: at for at, grade in enumerate(Evidence)}  # best first


@dataclass(frozen=True, slots=True)
class Claim:
    """What one source says of a fact."""

    source: str
    value: Any
    evidence: str
    words: str
    place: str


@dataclass(frozen=True, slots=True)
class Taken:
    """A fact of which more than one source spoke, or that a source added.

    Attributes:
        fact: path in the merged survey ("plane[0].covering").
        taken: the claim that stands.
        left: the claims that do not.
        differs: whether a claim that was left says something else.
    """

    fact: str
    taken: Claim
    left: tuple[Claim, ...]
    differs: bool


@dataclass(frozen=True)
class Merged:
    """One survey, and what was decided between its sources."""

    survey: Survey
    taken: tuple[Taken, ...]


def merge_surveys(sources: Sequence[tuple[str, Survey]]) -> Merged:
    """Return one survey of several.

    Planes and legs are the same where their names are, small letters and blanks aside; others are
    added in the order of the sources. Parts and remarks are gathered; what else the head of the
    survey says is taken from the last source that says it.

    Args:
        sources: name and survey of each, in the order in which they were made.

    Raises:
        ValueError: without any source.
    """
    if not sources:
        raise ValueError("nothing to merge")
    taken: list[Taken] = []
    made: dict[str, Any] = {"job": _header([survey.job for _, survey in sources])}
    for name in Survey.model_fields:
        if name == "job":
            continue
        if name in ("planes", "legs"):
            made[name] = tuple(_repeated(name, sources, taken))
        else:
            groups = [(source, getattr(survey, name)) for source, survey in sources]
            made[name] = _group(name, groups, taken)
    return Merged(Survey(**made), tuple(taken))


def _header(headers: Sequence[Header]) -> Header:
    said: dict[str, Any] = {}
    for header in headers:
        for name in header.model_fields_set:
            value = getattr(header, name)
            if value in ("", None, ()):
                continue
            if name in ("parts", "remarks", "private_remarks"):
                value = tuple(dict.fromkeys((*said.get(name, ()), *value)))
            said[name] = value
    # The evidence of the head goes with each fact already.
    return Header(**{**said, "evidence": Evidence.ASSUMED})


def _repeated(
    name: str, sources: Sequence[tuple[str, Survey]], taken: list[Taken]
) -> Iterator[Group]:
    found: dict[str, list[tuple[str, Group]]] = {}
    for source, survey in sources:
        for at, each in enumerate(getattr(survey, name)):
            key = "".join(each.name.lower().split()) or f"{source}\n{at}"
            found.setdefault(key, []).append((source, each))
    scope = {"planes": "plane", "legs": "leg"}[name]
    for number, groups in enumerate(found.values()):
        yield _group(f"{scope}[{number}]", groups, taken)


def _group(path: str, groups: Sequence[tuple[str, Group]], taken: list[Taken]) -> Group:
    model = type(groups[-1][1])
    made: dict[str, Any] = {}
    for name in model.model_fields:
        values = [(source, getattr(group, name)) for source, group in groups]
        if isinstance(values[0][1], Fact):
            made[name] = _fact(f"{path}.{name}", values, taken)
        else:  # a name, or the things on a plane or a wall: the last that says any
            made[name] = next((value for _, value in reversed(values) if value), values[-1][1])
    return model(**made)


def _fact(
    path: str, values: Sequence[tuple[str, Fact[Any]]], taken: list[Taken]
) -> Fact[Any]:
    known = [(source, fact) for source, fact in values if fact.known]
    if not known:
        return values[-1][1]
    best = min(range(len(known)), key=lambda at: (_GRADES[known[at][1].evidence], -at))
    claims = [_claim(source, fact) for source, fact in known]
    left = tuple(claim for at, claim in enumerate(claims) if at != best)
    if left:
        differs = any(claim.value != claims[best].value for claim in left)
        taken.append(Taken(path, claims[best], left, differs))
    return known[best][1]


def _claim(source: str, fact: Fact[Any]) -> Claim:
    return Claim(source, fact.value, str(fact.evidence), fact.words, fact.place)
