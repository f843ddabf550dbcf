"""Which boxed parts serve which needs.

Among needs that could use the same boxed part the dearer is served first, and a part already
given is moved to another need's box where that lets one more be served. That is the best choice
there is: the sets of needs that boxed parts can serve together form a transversal matroid, on
which greed by weight is exact (J. Edmonds, Matroids and the greedy algorithm, Mathematical
Programming 1, 1971; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
S = TypeVar("S", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Need(Generic[K]):
    """So many pieces are needed under a key; a heavier weight is served first."""

    key: K
    pieces: int
    weight: Fraction


def share_boxes(
    needs: Sequence[Need[K]], boxed: Mapping[S, int], serves: Callable[[S, K], bool]
) -> dict[tuple[K, S], int]:
    """Return how many pieces of each boxed part go to each need.

    Args:
        needs: pieces needed; ties of weight are served in the order given.
        boxed: pieces of each part that lie in the boxes, in the order in which they are tried.
        serves: whether a part's specification really serves a need.

    Returns:
        (need, part) -> pieces, only where above zero. No need gets more than it asks, no part
        gives more than lies in the boxes, and no unused part could serve an unmet need.
    """
    flow = _Flow({need.key: [part for part in boxed if serves(part, need.key)] for need in needs},
                 dict(boxed))
    for need in sorted(needs, key=lambda n: -n.weight):
        flow.serve(need.key, need.pieces)
    return {pair: pieces for pair, pieces in flow.given.items() if pieces}


class _Flow(Generic[K, S]):
    """Pieces given so far; finds augmenting paths need -> part -> other need -> part ..."""

    def __init__(self, usable: dict[K, list[S]], free: dict[S, int]) -> None:
        self.usable = usable
        self.free = free
        self.given: dict[tuple[K, S], int] = {}

    def serve(self, key: K, wanted: int) -> None:
        while wanted > 0:
            path = self._path(key)
            if path is None:
                return
            wanted -= self._push(path, wanted)

    def _path(self, key: K) -> list[tuple[K, S]] | None:
        """Return the shortest chain of (need, part) steps that ends at a free part."""
        came: dict[S, tuple[K, S | None]] = {}
        queue: list[tuple[K, S | None]] = [(key, None)]
        for need, via in queue:
            for part in self.usable.get(need, []):
                if part in came:
                    continue
                came[part] = (need, via)
                if self.free[part] > 0:
                    return self._walk(came, part)
                queue.extend(
                    (other, part) for (other, held), n in self.given.items() if held == part and n
                )
        return None

    @staticmethod
    def _walk(came: dict[S, tuple[K, S | None]], part: S) -> list[tuple[K, S]]:
        path: list[tuple[K, S]] = []
        at: S | None = part
        while at is not None:
            need, via = came[at]
            path.append((need, at))
            at = via
        return path[::-1]

    def _push(self, path: list[tuple[K, S]], wanted: int) -> int:
        """Give pieces along a path: each later need lets go of the part before its own."""
        released = [(path[i + 1][0], path[i][1]) for i in range(len(path) - 1)]
        pieces = min([wanted, self.free[path[-1][1]], *(self.given[pair] for pair in released)])
        for pair in released:
            self.given[pair] -= pieces
        for pair in path:
            self.given[pair] = self.given.get(pair, 0) + pieces
        self.free[path[-1][1]] -= pieces
        return pieces
