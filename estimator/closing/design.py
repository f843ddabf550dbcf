"""What was designed, as far as the readings at the end of a job are held against it.

Words for a job (`circumstances`) that an entry may name under `when`: "panels", "storage",
"converter", "backup", "storage without backup", "vehicle and storage", "roof" (panels on a roof),
"electrode" (TT, or one is fitted), "metering" (a clamp or a data meter), "metering and storage",
"metering and panels", "several phases", "export limit", "alarm", "sealing", "cut" (roof or outside
wall), "frost", "told after" and "asked first" (the network).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

CIRCUMSTANCES = frozenset((
    "panels", "storage", "converter", "backup", "storage without backup", "vehicle and storage",
    "roof", "electrode", "metering", "metering and storage", "metering and panels",
    "several phases", "export limit", "alarm", "sealing", "cut", "frost", "told after",
    "asked first",
))


@dataclass(frozen=True, slots=True)
class StringOf:
    """One string.

    Attributes:
        panels: in series; None where the design does not say.
        faces: the planes it lies on: strings are alike if panels and faces are the same.
    """

    name: str
    panels: int | None
    faces: str


@dataclass(frozen=True, slots=True)
class PanelData:
    """A panel's data sheet at standard test conditions; `voc_pct_per_k` is below 0."""

    voc_v: Decimal
    isc_a: Decimal
    voc_pct_per_k: Decimal | None = None


@dataclass(frozen=True, slots=True)
class CircuitOf:
    """A circuit; R1 + R2 at 20 degrees and the rise of voltage in it, where worked out."""

    name: str
    r1r2_ohm: Decimal | None = None
    rise_v: Decimal | None = None


@dataclass(frozen=True)
class Design:
    """What the accepted revision says of the job.

    Attributes:
        panel: None where its data sheet is not known, or says nothing of a string: `no_panel` is
            then what stands in the place of what is expected.
        earthing: "TN-C-S", "TN-S", "TT", or "" where nobody knows.
        figures: numbers by name, such as "storage.modules"; one that is unknown is left out.
    """

    circumstances: frozenset[str] = frozenset()
    strings: tuple[StringOf, ...] = ()
    circuits: tuple[CircuitOf, ...] = ()
    panel: PanelData | None = None
    no_panel: str = ""
    phases: int = 1
    earthing: str = ""
    figures: Mapping[str, Decimal] = field(default_factory=dict)

    def holds(self, when: tuple[str, ...]) -> bool:
        """Return whether any of the words holds, or there are none."""
        return not when or not self.circumstances.isdisjoint(when)
