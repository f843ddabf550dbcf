"""What the service itself may bar: its phases, and a neighbour on the same service."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from estimator.design.check import Check, Unanswered
from estimator.design.network.connection import PHASES, known
from estimator.design.network.phases import THREE

LOOPED = "supply.looped"
_SUBJECT = "supply"


def service_told(env: Mapping[str, Any]) -> Iterator[Check | Unanswered]:
    """Yield what phases and service tell; while a fact is unknown, the question for it.

    Args:
        env: the facts of the job; a fact that is only assumed is not known.
    """
    yield from _phases_told(known(env, "kit.converter.phases"), known(env, PHASES))
    looped = known(env, LOOPED)
    shared = Check(
        "network-looped", "caution", _SUBJECT,
        "the service is looped with a neighbour's: the network may have to part it first, which "
        "takes weeks", "common practice, no source", "network operator")
    if looped is None:
        yield Unanswered("network-looped", (LOOPED,), "Is the service looped?", shared)
    elif looped:
        yield shared


def _phases_told(converter: int | None, supply: int | None) -> Iterator[Check | Unanswered]:
    if converter is None:
        return  # the question which converter is to be fitted comes first
    choice = Check(
        "network-phase-choice", "caution", _SUBJECT,
        "single-phase converter on a three-phase supply: choose the phase with its load, and mind "
        "the balance", "common practice, no source", "designer")
    if converter != THREE:
        if supply is None:
            yield Unanswered(choice.code, (PHASES,), "One or three phases?", choice)
        elif supply > converter:
            yield choice
        return
    bad = replace(
        choice, code="network-phases", level="stop", source="the converter's data sheet",
        says="a three-phase converter cannot be joined to a single-phase supply")
    if supply is None:
        yield Unanswered(bad.code, (PHASES,), "One or three phases?", bad)
    elif supply < converter:
        yield bad
