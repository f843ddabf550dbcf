"""Gives what a note says of a roof to its planes.

A plane is named by the way it faces, or as "flat" or "ground". What is said near a plane's name is
said of that plane; what is said of the roof at large holds for each plane, unless it is a size or
a count: then one cannot know whether it is the whole or each, and it is asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.survey.notes.roofs import AZIMUTH

ONLY = "roof"  # the one plane of a note that names none
_WITHOUT_DIRECTION = ("flat", "in-roof", "ground", ONLY)
_OWN = frozenset(f"plane.{name}" for name in (
    "eaves_length_m", "slope_length_m", "pitch_deg", "azimuth_deg", "panels", "rows", "columns",
    "strings", "glazed_length_m", "trench_m", "ballast_kg", "ridge_m", "kind"))
_ALIKE = frozenset({"plane.pitch_deg", "plane.kind", "plane.azimuth_deg"})


@dataclass(frozen=True)
class Mention:
    """Planes named in a sentence: by which term, in which clause."""

    sentence: int
    clause: int
    at: int
    planes: tuple[str, ...]


def ordered(names: Iterable[str]) -> tuple[str, ...]:
    """Return names of planes in a fixed order: by compass from north, then those without."""
    def key(name: str) -> tuple[int, object]:
        if name in AZIMUTH:
            return 0, AZIMUTH[name]
        return 1, _WITHOUT_DIRECTION.index(name)
    return tuple(sorted(set(names), key=key))


def planes_of(path: str, sentence: int, clause: int, at: int, mentions: Sequence[Mention],
              all_planes: tuple[str, ...]) -> tuple[str, ...] | None:
    """Return the planes that a fact is said of; None if it cannot be told.

    Args:
        path: the fact, such as "plane.covering".
        sentence, clause, at: where it is said.
        mentions: every mention of planes in the note.
        all_planes: the planes of the note.
    """
    near = _nearest([each for each in mentions if each.sentence == sentence], clause, at)
    if near is not None:
        alike = path not in _OWN or path in _ALIKE or len(near) == 1
        return near if alike else None
    if len(all_planes) <= 1:
        return all_planes or (ONLY,)
    if path in _OWN:
        return ("ground",) if path == "plane.trench_m" and "ground" in all_planes else None
    if path == "plane.trench_surface" and "ground" in all_planes:
        return ("ground",)
    return tuple(name for name in all_planes if name != "ground")


def _nearest(mentions: Sequence[Mention], clause: int, at: int) -> tuple[str, ...] | None:
    """Return the planes named last before a place, first in its own clause."""
    own = [each for each in mentions if each.clause == clause]
    before = [each for each in own if each.at <= at] or [
        each for each in mentions if each.at <= at and not own]
    if before:
        return before[-1].planes
    if own:
        return own[0].planes
    return mentions[0].planes if len(mentions) == 1 else None
