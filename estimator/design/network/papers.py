"""The papers of a connection: what is sent to whom, and by when."""

from __future__ import annotations

from datetime import date
from typing import Literal, NamedTuple

from estimator.design.check import limit_in
from estimator.design.network.calendar import Due, days_after, working_days_after
from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue

When = Literal["before work", "after commissioning"]
NETWORK, SCHEME, BUILDING = "network operator", "installer scheme", "building control"


class Paper(NamedTuple):
    """One paper of a connection.

    Attributes:
        days: days after commissioning by which it is due; None where no number is stated.
        working: whether they are working days.
        verify: whether name or content is from memory, to be looked up on the current form.
    """

    name: str
    goes_to: str
    when: When
    source: str
    days: int | None = None
    working: bool = False
    verify: bool = False

    def due(self, commissioned: date, practice: Practice) -> Due | None:
        """Return the day by which it is due; None before work or without a stated number."""
        if self.days is None or self.when == "before work":
            return None
        if self.working:
            return working_days_after(commissioned, self.days, practice)
        return days_after(commissioned, self.days)


def notice(practice: Practice, on: date) -> Paper:
    """Return the notice that follows a fit-and-inform connection."""
    form, days = practice.needed("network_notice_form", on), _days(practice, "notice", on)
    return Paper(str(form.value), NETWORK, "after commissioning", days.source,
                 int(limit_in(days)), verify=_from_memory(form))


def several_papers(practice: Practice, on: date) -> tuple[Paper, ...]:
    """Return the papers where others near by are connected in the same weeks."""
    form, near = practice.needed("network_notice_form", on), practice.needed("network_near_m", on)
    asked = Paper(f"{form.value}, for several premises", NETWORK, "before work", near.source,
                  verify=True)
    return asked, notice(practice, on)


def application_papers(practice: Practice, on: date) -> tuple[Paper, ...]:
    """Return what is sent where the network is asked first, and after its answer."""
    asked = practice.needed("network_application_form", on)
    tested = practice.needed("network_test_form", on)
    after = practice.needed("network_commissioning_form", on)
    return (
        Paper(str(asked.value), NETWORK, "before work", asked.source, verify=_from_memory(asked)),
        Paper(f"{tested.value}, for equipment without a type test", NETWORK, "before work",
              tested.source, verify=_from_memory(tested)),
        Paper(str(after.value), NETWORK, "after commissioning", after.source,
              verify=_from_memory(after)),
    )


def fast_papers(practice: Practice, on: date) -> tuple[Paper, ...]:
    """Return the papers of the fast routes."""
    form = practice.needed("network_fast_document", on)
    return (Paper(str(form.value), NETWORK, "before work", form.source, verify=True),)


def closing_papers(practice: Practice, on: date) -> tuple[Paper, ...]:
    """Return the papers that run from the same commissioning day whatever the route."""
    scheme, building = _days(practice, "scheme", on), _days(practice, "building", on)
    return (
        Paper("scheme certificate", SCHEME, "after commissioning", scheme.source,
              int(limit_in(scheme)), working=True),
        Paper("self-certification", BUILDING, "after commissioning", building.source,
              int(limit_in(building))),
    )


def _days(practice: Practice, what: str, on: date) -> PracticeValue:
    return practice.needed(f"network_{what}_days", on)


def _from_memory(value: PracticeValue) -> bool:
    return value.standing == "from memory"
