"""What was read, held against what was expected; strings that are alike against each other too."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from estimator.closing.due import Due
from estimator.closing.expected import BAD, StringAmps, StringVolts, Verdict
from estimator.closing.measured import exactly

Key = tuple[str, str]  # code and subject


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody says of a reading: its value, or why there is none."""

    value: str = ""
    not_tested: str = ""


def judged(due: Sequence[Due], said: Mapping[Key, Said]) -> dict[Key, Verdict]:
    """Return a verdict on everything that was said; a reading that is not due is left out.

    A string that is more than the allowed share below the greatest of those that are alike is not
    as expected, whatever else holds for it.
    """
    around: dict[str, dict[str, str]] = defaultdict(dict)
    for (code, subject), what in said.items():
        around[subject][code] = what.value
    found: dict[Key, Verdict] = {}
    for each in due:
        if each.key in said:
            value = said[each.key].value
            found[each.key] = (each.expected.verdict(value, around[each.subject]) if value
                               else "not tested")
    for key in _below_their_kin(due, said, around):
        found[key] = BAD
    return found


def _below_their_kin(
    due: Sequence[Due], said: Mapping[Key, Said], around: Mapping[str, Mapping[str, str]]
) -> list[Key]:
    kin: dict[Key, list[Due]] = defaultdict(list)
    for each in due:
        if each.kin and each.key in said and exactly(said[each.key].value):
            kin[each.code, each.kin].append(each)
    below: list[Key] = []
    for alike in kin.values():
        share, levels = _share_of(alike[0]), _levels(alike, said, around)
        if share is not None and levels:
            greatest = max(levels.values())
            below += [key for key, level in levels.items() if level * (1 + share) < greatest]
    return below


def _share_of(due: Due) -> Fraction | None:
    expected = due.expected
    return expected.alike if isinstance(expected, StringVolts | StringAmps) else None


def _levels(
    alike: Sequence[Due], said: Mapping[Key, Said], around: Mapping[str, Mapping[str, str]]
) -> dict[Key, Fraction]:
    """Return each reading over what is expected, so that the sky of each is allowed for.

    Where that is not known for all of them, volts are compared as they were read, and currents not.
    """
    read = {each.key: exactly(said[each.key].value) or Fraction(0) for each in alike}
    wanted = {each.key: each.expected.expected(around[each.subject]) for each in alike
              if isinstance(each.expected, StringVolts | StringAmps)}
    if all(wanted.values()):
        return {key: value / (wanted[key] or 1) for key, value in read.items()}
    return {} if isinstance(alike[0].expected, StringAmps) else read
