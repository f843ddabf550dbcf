"""Which load goes in which van: payload, longest piece and hours of the day hold.

The best split is searched exactly: loads are tried in turn in each van that still holds them, and a
branch is left when even the best of all that is still open cannot beat what was found. That is the
generalised assignment problem; a house firm's day has a dozen loads at most, and the search stops
with a word (`Split.proven`) after so many steps.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MOST_STEPS = 2_000_000


@dataclass(frozen=True, slots=True)
class Choice:
    """What a load takes in one van, and what it is worth to drive it there."""

    takes: Mapping[str, int]
    worth: int


@dataclass(frozen=True, slots=True)
class Load:
    """A load by name, with its choice for each van that can take it at all (by van)."""

    name: str
    choices: Mapping[str, Choice]


@dataclass(frozen=True)
class Split:
    """Which van takes which load.

    Attributes:
        van_of: load -> van; a load that is left out is not in it.
        worth: sum over the loads taken.
        proven: whether no split is worth more; False where the search was cut short.
    """

    van_of: Mapping[str, str]
    worth: int
    proven: bool


def best_split(
    loads: Sequence[Load], vans: Mapping[str, Mapping[str, int]], all_must_go: bool = False,
    most_steps: int = MOST_STEPS,
) -> Split | None:
    """Return the split that is worth most; None if all must go and they do not fit.

    Args:
        loads: what is to be driven.
        vans: van -> what it holds of each measure ("kg", "minutes"); a measure that a load takes
            and the van does not name does not bind there.
        all_must_go: whether no load may be left out.
        most_steps: how far the search goes.
    """
    search = _Search(_hardest_first(loads), vans, all_must_go, most_steps)
    search.run(0, {}, 0)
    if search.best is None:
        return None
    return Split(dict(sorted(search.best.items())), search.worth, search.steps <= most_steps)


def _hardest_first(loads: Sequence[Load]) -> list[Load]:
    return sorted(loads, key=lambda load: (
        len(load.choices), -max((c.worth for c in load.choices.values()), default=0), load.name))


class _Search:
    def __init__(
        self, loads: list[Load], vans: Mapping[str, Mapping[str, int]], all_must_go: bool,
        most_steps: int,
    ) -> None:
        self.loads = loads
        self.left = {van: dict(holds) for van, holds in vans.items()}
        self.all_must_go = all_must_go
        self.most_steps = most_steps
        self.steps = 0
        self.best: dict[str, str] | None = None
        self.worth = 0
        tops = [max((c.worth for c in load.choices.values()), default=0) for load in loads]
        self.still = [sum(max(0, top) if not all_must_go else top for top in tops[i:])
                      for i in range(len(loads) + 1)]

    def run(self, at: int, taken: dict[str, str], worth: int) -> None:
        self.steps += 1
        if self.steps > self.most_steps:
            return
        if self.best is not None and worth + self.still[at] <= self.worth:
            return
        if at == len(self.loads):
            self.best, self.worth = dict(taken), worth
            return
        load = self.loads[at]
        for van, choice in sorted(load.choices.items(), key=lambda each: (-each[1].worth, each[0])):
            if not self._fits(van, choice):
                continue
            self._take(van, choice, 1)
            taken[load.name] = van
            self.run(at + 1, taken, worth + choice.worth)
            del taken[load.name]
            self._take(van, choice, -1)
        if not self.all_must_go:
            self.run(at + 1, taken, worth)

    def _fits(self, van: str, choice: Choice) -> bool:
        holds = self.left[van]
        return all(holds.get(measure, n) >= n for measure, n in choice.takes.items())

    def _take(self, van: str, choice: Choice, sign: int) -> None:
        holds = self.left[van]
        for measure, n in choice.takes.items():
            if measure in holds:
                holds[measure] -= sign * n
