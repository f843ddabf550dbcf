"""Which layouts of N panels over the trackers of a converter are lawful, and why others are not.

On one tracker all strings have the same length, since they are in parallel. Trackers are alike,
so a layout is told by its loaded trackers, the largest first; spare trackers stay empty.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from catalogue.specs import ConverterSpec, PanelSpec
from estimator.design.check import Check
from estimator.design.electrical.comparing import failure
from estimator.design.electrical.figures import Figures
from estimator.design.electrical.strings import PanelVolts, current_checks, string_checks

MOST_PANELS = 60  # a home has fewer; the count of layouts grows fast beyond


@dataclass(frozen=True, slots=True, order=True)
class Load:
    """What one tracker carries: strings in parallel, each of so many panels."""

    panels: int
    strings: int

    @property
    def total(self) -> int:
        """Return the panels on the tracker."""
        return self.panels * self.strings

    def __str__(self) -> str:
        return f"{self.strings} x {self.panels}"


Layout = tuple[Load, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """A layout with the reasons that refuse it, and the cautions on it; each reason once."""

    layout: Layout
    refused: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def strings(self) -> int:
        """Return how many strings it has."""
        return sum(load.strings for load in self.layout)


def layouts(panels: int, trackers: int, strings_per_tracker: int) -> Iterator[Layout]:
    """Yield every way to lay panels out, lawful or not, each once.

    Raises:
        ValueError: for fewer panels than one, or more than a home has.
    """
    if not 0 < panels <= MOST_PANELS:
        raise ValueError(f"{panels} panels: give 1 to {MOST_PANELS}")
    loads = sorted(
        (Load(n, m) for m in range(1, strings_per_tracker + 1) for n in range(1, panels // m + 1)),
        reverse=True,
    )
    yield from _fill(panels, trackers, loads)


def _fill(panels: int, trackers: int, loads: Sequence[Load]) -> Iterator[Layout]:
    if panels == 0:
        yield ()
        return
    if trackers == 0:
        return
    for at, load in enumerate(loads):
        if load.total <= panels:
            for rest in _fill(panels - load.total, trackers - 1, loads[at:]):
                yield (load, *rest)


def judge_load(
    figures: Figures, panel: PanelSpec, converter: ConverterSpec, volts: PanelVolts, load: Load
) -> tuple[Check, ...]:
    """Return every check of what one tracker carries."""
    return (
        *string_checks(panel, converter, volts, load.panels, f"string of {load.panels}"),
        *current_checks(figures, panel, converter, load.strings,
                        f"{load.strings} in parallel on a tracker"),
    )


def judge(
    figures: Figures, panel: PanelSpec, converter: ConverterSpec, volts: PanelVolts,
    panels: int,
) -> tuple[Judged, ...]:
    """Return every layout of the panels with what refuses it.

    Lawful ones come first: without cautions before with, fewer strings before more, even lengths
    before uneven ones.

    Raises:
        ValueError: as `layouts`.
    """
    known: dict[Load, tuple[Check, ...]] = {}
    judged = []
    for layout in layouts(panels, converter.trackers, converter.strings_per_tracker):
        for load in layout:
            if load not in known:
                known[load] = judge_load(figures, panel, converter, volts, load)
        checks = [check for load in layout for check in known[load]]
        judged.append(Judged(layout, _reasons(checks, "stop"), _reasons(checks, "caution")))
    return tuple(sorted(judged, key=_order))


def lawful(judged: Sequence[Judged]) -> tuple[Layout, ...]:
    """Return the layouts that nothing refuses, the best first."""
    return tuple(each.layout for each in judged if not each.refused)


def _reasons(checks: Sequence[Check], level: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(failure(each) for each in checks if each.level == level))


def _order(each: Judged) -> tuple[bool, int, int, int, tuple[tuple[int, int], ...]]:
    unevenness = sum(a.panels - b.panels for a, b in pairwise(each.layout))
    return (bool(each.refused), len(each.cautions), each.strings, unevenness,
            tuple((-load.panels, load.strings) for load in each.layout))
