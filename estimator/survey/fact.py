"""One fact of a survey: its value, how it is known, and the words and place it came from."""

from __future__ import annotations

from enum import StrEnum
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ConfigDict, Field, model_validator

T = TypeVar("T")


class Evidence(StrEnum):
    """How a fact is known, best first."""

    MEASURED = "measured"
    SEEN = "seen"
    PHOTOGRAPHED = "photographed"
    CUSTOMER_SAID = "customer said"
    ASSUMED = "assumed"
    UNKNOWN = "unknown"

    @property
    def is_weak(self) -> bool:
        """Return whether the fact should be asked again before a firm price."""
        return self in (Evidence.CUSTOMER_SAID, Evidence.ASSUMED, Evidence.UNKNOWN)


class Fact(BaseModel, Generic[T]):
    """A surveyed value with its evidence; `value` is None when the fact is unknown."""

    # Built with the survey that holds it, not on its own: that halves the time of loading.
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

    value: T | None = None
    evidence: Evidence = Evidence.UNKNOWN
    words: str = ""
    photo: str = ""
    place: str = ""

    @model_validator(mode="after")
    def _evidence_fits_value(self) -> Fact[T]:
        if (self.value is None) != (self.evidence is Evidence.UNKNOWN):
            raise ValueError(
                "a fact with evidence 'unknown' has no value, and a fact with a value says how "
                "it is known"
            )
        return self

    @property
    def known(self) -> bool:
        """Return whether there is a value."""
        return self.value is not None


def fact(meaning: str, unit: str = "", ask: str = "") -> Any:
    """Return the pydantic field of a fact: unknown unless given.

    Args:
        meaning: what the fact says, for the dictionary of facts and the form.
        unit: unit of the value ("m", "deg", "A"); empty for words, counts and yes/no.
        ask: the question as put to the surveyor or the customer when the fact is unknown.
    """
    return Field(
        default_factory=Fact,
        description=meaning,
        json_schema_extra={"unit": unit, "ask": ask},
    )
