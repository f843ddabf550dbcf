"""Which layouts of N panels over the trackers of a converter are lawful.

On one tracker all strings have the same length, since they are in parallel. Trackers are alike,
so a layout is told by its loaded trackers, the largest first; spare trackers stay empty.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from catalogue.specs import ConverterSpec, PanelSpec
from estimator.design.check import Check
from estimator.design.electrical.comparing import failure, worst
from estimator.design.electrical.figures import Figures
from estimator.design.electrical.strings import PanelVolts, current_checks, string_checks


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
        return str(self.panels) if self.strings == 1 else f"{self.strings} x {self.panels}"


Layout = tuple[Load, ...]


def every_load(panels: int, strings_per_tracker: int) -> tuple[Load, ...]:
    """Return every load of at most so many panels, lawful or not, the longest strings first."""
    return tuple(sorted(
        (Load(n, m) for m in range(1, strings_per_tracker + 1) for n in range(1, panels // m + 1)),
        reverse=True,
    ))


def layouts(panels: int, trackers: int, loads: Sequence[Load]) -> Iterator[Layout]:
    """Yield every way to lay panels out over trackers with these loads, each way once.

    Args:
        loads: what a tracker may carry, the longest strings first.
    """
    if panels == 0:
        yield ()
        return
    if trackers == 0:
        return
    for at, load in enumerate(loads):
        if load.total <= panels:
            for rest in layouts(panels - load.total, trackers - 1, loads[at:]):
                yield (load, *rest)


def judge_load(
    figures: Figures, panel: PanelSpec, converter: ConverterSpec, volts: PanelVolts, load: Load,
    subject: str,
) -> tuple[Check, ...]:
    """Return every check of what one tracker carries."""
    return (
        *string_checks(panel, converter, volts, load.panels, subject),
        *current_checks(figures, panel, converter, load.strings, subject),
    )


def lawful_loads(
    figures: Figures, panel: PanelSpec, converter: ConverterSpec, volts: PanelVolts, panels: int,
) -> dict[Load, int]:
    """Return the loads of at most so many panels that no check stops, with their cautions."""
    found = {}
    for load in every_load(panels, converter.strings_per_tracker):
        checks = judge_load(figures, panel, converter, volts, load, "tracker")
        if worst(checks) != "stop":
            found[load] = sum(check.level == "caution" for check in checks)
    return found


def refusals(checks: Sequence[Check]) -> tuple[str, ...]:
    """Return in words what stops a load."""
    return tuple(dict.fromkeys(failure(each) for each in checks if each.level == "stop"))
