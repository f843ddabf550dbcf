"""Which strings the panels of all planes make on one converter's trackers.

Planes that face alike are a face: they may share a tracker and even a string. Planes that do not
face alike must not, since the worst lit panel holds back its string; so each face has trackers of
its own (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, product

from estimator.design.electrical.layouts import Layout, Load, layouts
from estimator.design.limits import Number

FULL_TURN_DEG = 360


@dataclass(frozen=True, slots=True)
class PlanePanels:
    """The panels of one plane.

    Attributes:
        azimuth_deg, pitch_deg: how it faces; None where nobody has noted it.
        strings: as surveyed; None leaves them to the design. 0 = its panels are wired into the
            strings of a plane that faces alike.
    """

    name: str
    panels: int
    azimuth_deg: Number | None = None
    pitch_deg: Number | None = None
    strings: int | None = None


Face = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class FacePlan:
    """How the panels of one face are strung.

    Attributes:
        face: its planes, by number.
        layout: what each of its trackers carries.
        strings: for each plane of the face, the panels of each string that begins on it.
        crosses: whether a string runs over from one plane to another.
    """

    face: Face
    layout: Layout
    strings: tuple[tuple[int, ...], ...]
    crosses: bool


Plan = tuple[FacePlan, ...]


def faces(
    planes: Sequence[PlanePanels], alike_deg: Number, unknown_alike: bool = False
) -> tuple[Face, ...]:
    """Return the planes grouped by the way they face.

    Args:
        alike_deg: most difference of direction, and of pitch, that still counts as alike.
        unknown_alike: whether an angle that nobody has noted is taken to be alike.
    """
    found: list[list[int]] = []
    for i, plane in enumerate(planes):
        home = next(
            (face for face in found
             if all(_alike(planes[j], plane, alike_deg, unknown_alike) for j in face)), None)
        if home is None:
            found.append([i])
        else:
            home.append(i)
    return tuple(tuple(face) for face in found)


def _alike(a: PlanePanels, b: PlanePanels, within: Number, unknown_alike: bool) -> bool:
    turn, tilt = _apart(a.azimuth_deg, b.azimuth_deg), _apart(a.pitch_deg, b.pitch_deg)
    if turn is not None:
        turn = min(turn % FULL_TURN_DEG, FULL_TURN_DEG - turn % FULL_TURN_DEG)
    return all(unknown_alike if each is None else each <= within for each in (turn, tilt))


def _apart(a: Number | None, b: Number | None) -> Fraction | None:
    return None if a is None or b is None else abs(Fraction(a) - Fraction(b))


def plans(
    planes: Sequence[PlanePanels], grouped: Sequence[Face], trackers: int,
    loads: Mapping[Load, int], as_surveyed: bool,
) -> tuple[Plan, ...]:
    """Return every lawful way to string the planes, the best first.

    Best is: without cautions, no string across planes, fewer strings, even lengths.

    Args:
        grouped: the faces; every plane has panels.
        loads: what a tracker may lawfully carry, with the number of cautions on it.
        as_surveyed: whether the strings must be as many as surveyed, where they are surveyed.
    """
    spare = trackers - len(grouped) + 1
    options = [_face_plans(planes, face, spare, loads, as_surveyed) for face in grouped]
    fitting = (
        plan for plan in product(*options) if sum(len(each.layout) for each in plan) <= trackers)
    return tuple(sorted(fitting, key=lambda plan: _order(plan, loads)))


def _face_plans(
    planes: Sequence[PlanePanels], face: Face, trackers: int, loads: Mapping[Load, int],
    as_surveyed: bool,
) -> list[FacePlan]:
    if trackers < 1:
        return []
    panels = [planes[i].panels for i in face]
    counts = [planes[i].strings if as_surveyed else None for i in face]
    found = []
    for layout in layouts(sum(panels), trackers, sorted(loads, reverse=True)):
        lengths = tuple(load.panels for load in layout for _ in range(load.strings))
        own = _own_strings(lengths, panels, counts)
        strings = own or _shared_strings(lengths, panels, counts)
        if strings is not None:
            found.append(FacePlan(face, layout, strings, own is None))
    return found


def _own_strings(
    lengths: tuple[int, ...], panels: Sequence[int], counts: Sequence[int | None]
) -> tuple[tuple[int, ...], ...] | None:
    """Return the strings plane by plane where each can keep to one plane, else None."""
    if not lengths:
        sound = not any(panels) and not any(counts)
        return tuple(() for _ in panels) if sound else None
    first, rest = lengths[0], lengths[1:]
    for i, (room, count) in enumerate(zip(panels, counts, strict=True)):
        if first > room or count == 0:
            continue
        left = [*panels[:i], room - first, *panels[i + 1:]]
        fewer = [*counts[:i], count if count is None else count - 1, *counts[i + 1:]]
        found = _own_strings(rest, left, fewer)
        if found is not None:
            return (*found[:i], (first, *found[i]), *found[i + 1:])
    return None


def _shared_strings(
    lengths: tuple[int, ...], panels: Sequence[int], counts: Sequence[int | None]
) -> tuple[tuple[int, ...], ...] | None:
    """Return the strings by the plane on which each begins, laid from plane to plane; else None.

    Where every count is surveyed the strings begin where the survey says.
    """
    if len(panels) == 1:
        return None
    if None not in counts:
        return _by_counts(lengths, [count or 0 for count in counts])
    ends = list(accumulate(panels))
    begin: list[list[int]] = [[] for _ in panels]
    for start, length in zip(accumulate((0, *lengths)), lengths, strict=False):
        begin[next(i for i, end in enumerate(ends) if start < end)].append(length)
    sound = all(count in (None, len(each)) for count, each in zip(counts, begin, strict=True))
    return tuple(tuple(each) for each in begin) if sound else None


def _by_counts(
    lengths: tuple[int, ...], counts: Sequence[int]
) -> tuple[tuple[int, ...], ...] | None:
    if sum(counts) != len(lengths):
        return None
    starts = accumulate((0, *counts))
    return tuple(lengths[at:at + count] for at, count in zip(starts, counts, strict=False))


def _order(
    plan: Plan, loads: Mapping[Load, int]
) -> tuple[int, bool, int, int, tuple[tuple[int, int], ...]]:
    carried = [load for each in plan for load in each.layout]
    return (
        sum(loads[load] for load in carried),
        any(each.crosses for each in plan),
        sum(load.strings for load in carried),
        sum(each.layout[0].panels - each.layout[-1].panels for each in plan),
        tuple((-load.panels, load.strings) for load in carried),
    )


def even_strings(panels: int, strings: int) -> tuple[int, ...]:
    """Return the panels of each string where they are spread as evenly as can be: 13 on 2 = 7, 6.

    Strings that would be left without a panel are none.
    """
    if strings == 0:
        return ()
    each, over = divmod(panels, strings)
    return tuple(n for n in (each + 1,) * over + (each,) * (strings - over) if n)


def in_words(plan: Plan, planes: Sequence[PlanePanels]) -> str:
    """Return a plan in short: "south: 8 + 8; east: 2 x 6", the latter two in parallel."""
    return "; ".join(
        f"{' and '.join(planes[i].name for i in each.face)}: {' + '.join(map(str, each.layout))}"
        for each in plan
    )
