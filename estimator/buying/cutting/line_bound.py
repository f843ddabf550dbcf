"""What lines of several pieces must cost at the least, wherever they are joined."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from estimator.buying.cutting.bound import cost_of_length
from estimator.buying.cutting.room import Kind
from estimator.buying.cutting.splits import Line, fewest


def lines_at_least(
    lines: Sequence[Line], kinds: Sequence[Kind], kerf: int, joiner: int, other: int = 0
) -> Fraction:
    """Return the least cost of bars and joiners, by length alone.

    Bars must hold the length of all lines with a saw cut for each piece. Fewer pieces need longer
    bars: a line of fewer pieces than the second longest bar allows has pieces longer than that, and
    a longest bar gives one of those at most where two do not fit on it. So every number of longest
    bars is tried, with the fewest pieces that it allows.

    Args:
        lines: the lines.
        kinds: bars on offer and on hand.
        kerf: saw cut in millimetres.
        joiner: price of a joiner, in thousandths of a minor unit as all costs here.
        other: room that other pieces take, saw cuts counted.
    """
    if not any(line.count for line in lines) and not other:
        return Fraction(0)
    length = sum(line.length_mm * line.count for line in lines) + other
    whole = sum(line.count for line in lines)
    longest, second = _two_longest(kinds, kerf)
    bars = [kind for kind in kinds if kind.room - kerf == longest]
    rest = [kind for kind in kinds if kind.room - kerf != longest]
    if not rest or 2 * (second + 1 + kerf) <= longest + kerf or any(k.supply for k in bars):
        pieces = sum(fewest(line, longest) * line.count for line in lines)
        return cost_of_length(kinds, length + kerf * pieces) + Fraction(joiner * (pieces - whole))
    best: Fraction | None = None
    fewer = fewest_pieces(lines, longest, second)
    for n in range(-(-(length + kerf * fewer[0]) // (longest + kerf)) + 1):
        pieces = fewer[min(n, len(fewer) - 1)]
        need = length + kerf * pieces - n * bars[0].room
        cost = n * bars[0].cost + cost_of_length(rest, max(0, need)) + joiner * (pieces - whole)
        best = Fraction(cost) if best is None or cost < best else best
    return best or Fraction(0)


def _two_longest(kinds: Sequence[Kind], kerf: int) -> tuple[int, int]:
    lengths = sorted({kind.room - kerf for kind in kinds}, reverse=True)
    return lengths[0], lengths[1] if len(lengths) > 1 else lengths[0]


def fewest_pieces(lines: Sequence[Line], longest: int, second: int) -> list[int]:
    """Return the fewest pieces with at most 0, 1, 2 ... pieces longer than the second bar."""
    total, savings = 0, list[Fraction]()
    for line in lines:
        counts = [-(-max(0, line.length_mm - n * longest) // second) + n
                  for n in range(fewest(line, longest) + 1)]
        total += counts[0] * line.count
        # No saving from n long pieces is more than its share of the best that one of them gives.
        best = max(Fraction(counts[0] - c, n) for n, c in enumerate(counts) if n)
        steps = fewest(line, longest) * line.count
        savings += [best] * steps
    savings.sort(reverse=True)
    floor = sum(fewest(line, longest) * line.count for line in lines)
    return [max(floor, -int(-(total - sum(savings[:n])) // 1)) for n in range(len(savings) + 1)]
