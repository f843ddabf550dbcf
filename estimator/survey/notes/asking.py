"""What to ask back about a note: asks.toml says which words and facts raise which question."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from catalogue.toml_source import read_toml
from estimator.survey.notes.claims import Ask, Claim
from estimator.survey.notes.facts import question_at

PARTS = ("backup", "converter", "panels", "storage")


@cache
def _asks() -> Mapping[str, Any]:
    return read_toml(Path(__file__).with_name("asks.toml")).data


def asks_of(claims: Iterable[Claim], tags: frozenset[str],
            planes: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[Ask, ...]]:
    """Return what the note asks for, and the questions that it raises or leaves open.

    Args:
        claims: what was read.
        tags: what the note speaks of.
        planes: names of the planes.
    """
    said = {f"said:{tag}" for tag in tags}
    for claim in claims:
        group, _, name = claim.path.partition(".")
        fact = f"{group.partition('[')[0]}.{name}"
        said |= {f"fact:{fact}", f"fact:{fact}={claim.value}", f"at:{claim.path}"}
    parts = _parts(said, tags, planes)
    said |= {f"part:{part}" for part in parts}
    if not parts:
        said.add("part:none")
    return parts, (*_raised(said), *_open(said, planes))


def _parts(said: set[str], tags: frozenset[str], planes: tuple[str, ...]) -> tuple[str, ...]:
    wanted = set()
    sized = {"fact:plane.azimuth_deg", "fact:plane.eaves_length_m", "fact:plane.panels"}
    if planes and said & sized:
        wanted.add("panels")
    if said & {"fact:storage.modules", "fact:storage.place"} or "storage" in tags:
        wanted.add("storage")
    if "converter" in tags and "retrofit" not in tags:
        wanted.add("converter")
    if "backup" in tags:
        wanted.add("backup")
    return tuple(part for part in PARTS if part in wanted)


def _raised(said: set[str]) -> Iterator[Ask]:
    for each in _asks()["ask"]:
        raised = not said.isdisjoint(each["any"]) and said.issuperset(each.get("all", ()))
        if raised and said.isdisjoint(each.get("unless", ())):
            yield Ask(each["ask"], photo=each.get("photo", ""), rank=each["rank"])


def _open(said: set[str], planes: tuple[str, ...]) -> Iterator[Ask]:
    """Yield the model's own question for each fact that a price hangs on and the note lacks."""
    for each in _asks()["open"]:
        if said.isdisjoint(each["any"]):
            continue
        for path in each["facts"]:
            if not path.startswith("plane."):
                if f"fact:{path}" not in said:
                    yield Ask(question_at(path), photo=each.get("photo", ""), rank=each["rank"])
                continue
            name = path.partition(".")[2]
            without = [plane for at, plane in enumerate(planes)
                       if f"at:plane[{at}].{name}" not in said]
            if without or not planes:
                of = f" ({', '.join(without)})" if len(planes) > 1 else ""
                yield Ask(question_at(path) + of, photo=each.get("photo", ""), rank=each["rank"])
