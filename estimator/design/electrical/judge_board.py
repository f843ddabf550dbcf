"""The board: true spare ways, the direction of its device, and the edition a design follows."""

from __future__ import annotations

from datetime import date
from typing import Any

from estimator.design.case import Case, Outcome
from estimator.design.check import Check, Unanswered
from estimator.design.electrical.demand import ways_check
from estimator.design.limits import limit_of
from estimator.design.sheet import Unknown

Told = Check | Unanswered
EDITION = "siting_wiring_edition"
DESIGNER = "designer"


def board_outcome(case: Case) -> Outcome:
    """Return the checks of the board and of the edition of the wiring rules."""
    return Outcome((*_ways(case), *_direction(case), *_edition(case)))


def _known(case: Case, path: str) -> Any:
    found = case.sheet.job.get(path, Unknown(path))
    return None if isinstance(found, Unknown) else found


def _ways(case: Case) -> list[Told]:
    """Return the spare ways against those needed, where the device is to go into the board.

    A board that is replaced, or one that stands behind a single RCD, is told elsewhere: the
    converter is not fed from its spare ways.
    """
    phases = _known(case, "kit.converter.phases")
    if phases is None or _known(case, "board.condition") == "replace" or (
            _known(case, "board.rcd_for_whole_board")):
        return []
    needed = phases * limit_of(case.practice, "device_ways_per_phase", case.on).value
    spare = _known(case, "board.spare_ways")
    check = ways_check(spare or 0, needed)
    if spare is not None and check.passes:
        return [check]
    short = Check(
        check.code, "caution", check.subject, "too few true spare ways: a sub-board ahead of the "
        "board is priced, with its device, tails and isolator", check.source, check.decides,
        check.value, check.limit, check.unit, at_least=True)
    if spare is not None:
        return [short]
    return [Unanswered(check.code, ("board.spare_ways",),
                       "How many spare ways are there really?", short)]


def _direction(case: Case) -> list[Told]:
    direction = _known(case, "board.device_direction")
    edition = case.practice.at(EDITION, case.on)
    source = "common practice, no source" if edition is None else (
        f"{edition.value}: a both-way device wherever power can flow both ways")
    if direction == "both ways":
        return [Check("device-direction", "fine", "board",
                      "the device in the board is made for power both ways", source, DESIGNER)]
    amiss = Check(
        "device-direction", "caution", "board",
        "the device in the board is a one-way one or not marked: it may not feed a source, a "
        "both-way device is in the price", source, DESIGNER)
    if direction is not None:
        return [amiss]
    return [Unanswered("device-direction", ("board.device_direction",),
                       "What in/out marks does the device carry?", amiss)]


def _edition(case: Case) -> list[Told]:
    """Return the edition that the design follows; a caution if it is withdrawn before the work."""
    now = case.practice.at(EDITION, case.on)
    if now is None:
        return []
    supply = case.survey.job.supply_date
    then = case.practice.at(EDITION, max(supply, case.on) if supply else date.max)
    if then is not None and then.value != now.value:
        when = f"before the work on {supply}" if supply else "soon, and no day of work is set"
        return [Check(
            "wiring-edition", "caution", "wiring",
            f"{now.value} is withdrawn {when}: design, test and certify by {then.value}",
            then.source, DESIGNER)]
    return [Check("wiring-edition", "fine", "wiring", f"designed by {now.value}", now.source,
                  DESIGNER)]

