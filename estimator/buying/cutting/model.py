"""What is to be cut from what, and the plan that comes out."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

MILLI = 1000  # thousandths of a minor unit in one: an offcut is worth so much a metre, to the mm


@dataclass(frozen=True, slots=True)
class Piece:
    """So many pieces of one length are wanted; the label says where they go."""

    length_mm: int
    count: int = 1
    label: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar (stick, drum) on offer, as many as are wanted, at a price each."""

    length_mm: int
    price_minor: int
    code: str = ""


@dataclass(frozen=True, slots=True)
class OnHand:
    """One piece that lies in the store; using it loses its value."""

    length_mm: int
    mark: str
    value_minor: int = 0


@dataclass(frozen=True, slots=True)
class Offcuts:
    """From which length on an offcut is kept, and what a metre of it is then worth."""

    least_mm: int = 0
    value_minor_per_m: int = 0


@dataclass(frozen=True)
class Task:
    """A cut to be planned.

    Attributes:
        pieces: what is wanted. Pieces of one length may stand under several labels.
        bars: what can be bought; the longest must hold the longest piece.
        on_hand: what lies in the store.
        kerf_mm: what each saw cut takes.
        offcuts: which offcuts are kept; without a least length none is.

    Raises:
        ValueError: for a length that is not above zero, a negative price, count or kerf, a piece
            that no bar on offer holds, or offcuts worth more than the bar they come from.
    """

    pieces: tuple[Piece, ...]
    bars: tuple[Bar, ...]
    on_hand: tuple[OnHand, ...] = ()
    kerf_mm: int = 0
    offcuts: Offcuts = field(default_factory=Offcuts)

    def __post_init__(self) -> None:
        """Refuse what cannot be cut."""
        lengths = [*(piece.length_mm for piece in self.pieces),
                   *(bar.length_mm for bar in self.bars), *(h.length_mm for h in self.on_hand)]
        if any(length <= 0 for length in lengths):
            raise ValueError("a length of a cut must be above zero")
        money = [*(bar.price_minor for bar in self.bars), *(h.value_minor for h in self.on_hand)]
        if min([*money, self.kerf_mm, *(p.count for p in self.pieces)], default=0) < 0:
            raise ValueError("a price, a count or a saw cut is below zero")
        longest = max((bar.length_mm for bar in self.bars), default=0)
        if any(piece.count and piece.length_mm > longest for piece in self.pieces):
            raise ValueError(f"a piece is longer than the longest bar on offer ({longest} mm)")
        worth = self.offcuts.value_minor_per_m
        costs = [*((b.length_mm, b.price_minor) for b in self.bars),
                 *((h.length_mm, h.value_minor) for h in self.on_hand)]
        if any(worth * length > cost * MILLI for length, cost in costs):
            raise ValueError("an offcut would be worth more than the bar it is cut from")


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece as it is cut: where the saw ends, measured from the square end of the bar."""

    label: str
    length_mm: int
    ends_at_mm: int


@dataclass(frozen=True, slots=True)
class CutBar:
    """One bar with its cuts, longest piece first.

    Attributes:
        code: what the offer is called, or the mark of a piece on hand.
        bought: False for a piece on hand.
        offcut_mm: what is left behind the last saw cut.
        kept: whether the offcut is long enough to go back to the store.
    """

    code: str
    length_mm: int
    bought: bool
    cuts: tuple[Cut, ...]
    offcut_mm: int
    kept: bool


@dataclass(frozen=True)
class CutPlan:
    """A cut, what it costs and how good it is.

    Attributes:
        cost_minor: price of what is bought and value of what is used up, less the value of the
            offcuts that are kept.
        bound_minor: no cut whatever costs less; proven.
        method: how the cut was found, in words.
    """

    bars: tuple[CutBar, ...]
    spent_minor: int
    cost_minor: Fraction
    bound_minor: Fraction
    method: str
    kerf_mm: int = 0

    @property
    def gap_minor(self) -> Fraction:
        """Return what a better cut could save at the very most; 0 = this one is proven best."""
        return self.cost_minor - self.bound_minor

    @property
    def best(self) -> bool:
        """Return whether no cut can cost less."""
        return self.gap_minor == 0

    @property
    def scrap_mm(self) -> int:
        """Return the length of the offcuts that are not kept."""
        return sum(bar.offcut_mm for bar in self.bars if not bar.kept)

    @property
    def kept_mm(self) -> int:
        """Return the length of the offcuts that go back to the store."""
        return sum(bar.offcut_mm for bar in self.bars if bar.kept)

    def bought(self) -> dict[str, int]:
        """Return how many bars of each code are bought, by code."""
        counts: dict[str, int] = {}
        for bar in self.bars:
            if bar.bought:
                counts[bar.code] = counts.get(bar.code, 0) + 1
        return dict(sorted(counts.items()))
