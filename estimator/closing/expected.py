"""What a reading is held against: in words for the sheet, and as a verdict on what was read.

A verdict is "as expected", "not as expected", or "noted" where design, pack or conditions do not
say what is to be expected. Limits are compared unrounded.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal, Protocol

from estimator.closing.design import PanelData
from estimator.closing.measured import exactly, measured
from estimator.closing.physics import string_isc_a, string_voc_v
from estimator.design.limits import shown

Verdict = Literal["as expected", "not as expected", "noted", "not tested"]
GOOD: Verdict = "as expected"
BAD: Verdict = "not as expected"
NOTED: Verdict = "noted"
CELL, IRRADIANCE = "cell-temperature", "irradiance"
_PLACES = 3
_SIGNS = {"ohm": "Ω", "megohm": "MΩ", "degC": "°C", "W/m2": "W/m²"}


def sign_of(unit: str) -> str:
    """Return a unit as an instrument shows it."""
    return _SIGNS.get(unit, unit)


class Expected(Protocol):
    """What is expected; `around` has the other readings of the same subject by code."""

    @property
    def words(self) -> str:
        """Return what is expected, for the sheet."""

    @property
    def tolerance(self) -> str:
        """Return how far it may lie from that, for the sheet."""

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return how a reading stands to it."""


def _of(passes: bool) -> Verdict:
    return GOOD if passes else BAD


def _per_cent(share: Fraction) -> str:
    return f"{shown(share * 100)} %"


@dataclass(frozen=True, slots=True)
class Noted:
    """Nothing it could be held against is known."""

    words: str = ""
    tolerance: str = ""

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return that it is noted."""
        return NOTED


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of some words."""

    good: tuple[str, ...]
    tolerance: str = ""

    @property
    def words(self) -> str:
        """Return the words."""
        return " or ".join(self.good)

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether it is one of them."""
        return _of(value in self.good)


@dataclass(frozen=True, slots=True)
class Within:
    """A number between limits, each included; None where there is none. A word is noted."""

    unit: str
    least: Fraction | None = None
    most: Fraction | None = None
    tolerance: str = ""
    at: str = ""

    @property
    def words(self) -> str:
        """Return the limits."""
        unit = f" {sign_of(self.unit)}" if self.unit else ""
        parts = [f"{name} {shown(limit, _PLACES)}{unit}"
                 for name, limit in (("at least", self.least), ("at most", self.most))
                 if limit is not None]
        return ", ".join(parts) + self.at

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether the reading proves that it lies between them."""
        found = measured(value)
        if found is None:
            return NOTED
        return _of((self.least is None or found.at_least(self.least))
                   and (self.most is None or found.at_most(self.most)))


@dataclass(frozen=True, slots=True)
class Equal:
    """One number of the design."""

    number: Decimal
    unit: str
    tolerance: str = ""

    @property
    def words(self) -> str:
        """Return the number."""
        return f"{shown(Fraction(self.number), _PLACES)} {sign_of(self.unit)}".rstrip()

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether it is that number."""
        return _of(exactly(value) == Fraction(self.number))


@dataclass(frozen=True, slots=True)
class Like:
    """As much as another reading of the same subject, by its code."""

    other: str
    share: Fraction
    words: str = "as much as the row above"

    @property
    def tolerance(self) -> str:
        """Return how far apart they may lie."""
        return f"within {_per_cent(self.share)}"

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether they are alike; noted while the other is not known."""
        found, other = exactly(value), exactly(around.get(self.other))
        if found is None or other is None or not other:
            return NOTED
        return _of(abs(found - other) <= self.share * other)


@dataclass(frozen=True, slots=True)
class StringVolts:
    """Open-circuit voltage of a string at the cell temperature read beside it."""

    panels: int
    panel: PanelData
    share: Fraction
    alike: Fraction | None = None

    @property
    def words(self) -> str:
        """Return the voltage at 25 degrees, and its change with each degree."""
        at_stc = self.panels * Fraction(self.panel.voc_v)
        beta = self.panel.voc_pct_per_k
        if beta is None:
            return f"{shown(at_stc)} V at 25 °C of the cells"
        each = abs(at_stc * Fraction(beta) / 100)
        return (f"{shown(at_stc)} V at 25 °C of the cells, {shown(each, 2)} V less for each degree "
                f"above")

    @property
    def tolerance(self) -> str:
        """Return how far it may lie from that, and from strings that are alike."""
        return _and_alike(self.share, self.alike)

    def expected(self, around: Mapping[str, str]) -> Fraction | None:
        """Return what is expected under these conditions [V]; None where they are not known."""
        cell, beta = exactly(around.get(CELL)), self.panel.voc_pct_per_k
        if cell is None or beta is None:
            return None
        return string_voc_v(self.panels, self.panel.voc_v, beta, cell)

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether it is near what is expected."""
        return _near(value, self.expected(around), self.share)


@dataclass(frozen=True, slots=True)
class StringAmps:
    """Short-circuit current of a string under the irradiance read beside it."""

    panel: PanelData
    share: Fraction
    least_w_m2: Fraction
    alike: Fraction | None = None

    @property
    def words(self) -> str:
        """Return the current at 1000 W/m2."""
        return (f"{shown(Fraction(self.panel.isc_a), 2)} A × irradiance / 1000, from "
                f"{shown(self.least_w_m2)} W/m² on")

    @property
    def tolerance(self) -> str:
        """Return how far it may lie from that, and from strings that are alike."""
        return _and_alike(self.share, self.alike)

    def expected(self, around: Mapping[str, str]) -> Fraction | None:
        """Return what is expected under these conditions [A]; None where they do not tell."""
        light = exactly(around.get(IRRADIANCE))
        if light is None or light < self.least_w_m2:
            return None
        return string_isc_a(self.panel.isc_a, light)

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether it is near what is expected."""
        return _near(value, self.expected(around), self.share)


@dataclass(frozen=True, slots=True)
class ByDay:
    """A day no later than another; `last` is None while nobody knows it."""

    words: str
    last: date | None = None
    tolerance: str = ""

    def verdict(self, value: str, around: Mapping[str, str]) -> Verdict:
        """Return whether it is in time."""
        return NOTED if self.last is None else _of(date.fromisoformat(value) <= self.last)


def _near(value: str, expected: Fraction | None, share: Fraction) -> Verdict:
    found = exactly(value)
    if found is None or expected is None:
        return NOTED
    return _of(abs(found - expected) <= share * expected)


def _and_alike(share: Fraction, alike: Fraction | None) -> str:
    told = f"within {_per_cent(share)}"
    return told if alike is None else f"{told}; strings that are alike {_per_cent(alike)}"
