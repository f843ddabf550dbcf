"""What the electrical tests share: the packs on a day, a panel and a converter."""

from __future__ import annotations

from typing import Any, cast

from catalogue.specs import CableSpec, ConverterSpec, PanelSpec
from estimator.design.electrical.figures import Figures
from estimator.practice.pack import country_folder, read_practice
from tests.factories import ON, spec_of

GB = Figures(read_practice([country_folder("gb")]), ON)
US = Figures(read_practice([country_folder("us")]), ON)


def panel(**fields: Any) -> PanelSpec:
    """Return the invented panel of the factories with some fields changed."""
    return cast(PanelSpec, spec_of("panel", **fields))


def converter(**fields: Any) -> ConverterSpec:
    """Return the invented converter of the factories with some fields changed."""
    return cast(ConverterSpec, spec_of("converter", **fields))


def cable(**fields: Any) -> CableSpec:
    """Return a cable as a catalogue states it."""
    return cast(CableSpec, spec_of("cable", **fields))
