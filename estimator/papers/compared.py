"""Two estimates side by side: which lines came, went or changed, findings and hours."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from estimator.papers.contract import EstimateJson
from estimator.papers.contract_parts import FindingJson, LineJson


@dataclass(frozen=True)
class LineChanged:
    """A line of the bill that is not the same in both; None where it is not there.

    Options are no part of the price and stand apart by `option`.
    """

    item: str
    option: bool
    was: LineJson | None
    now: LineJson | None

    @property
    def cost(self) -> int:
        """Return the change of cost with waste, in minor units."""
        return _cost(self.now) - _cost(self.was)


def _cost(line: LineJson | None) -> int:
    return 0 if line is None else line.cost + line.waste_cost


@dataclass(frozen=True)
class HoursChanged:
    """Mean person-hours of one group of tasks in both."""

    group: str
    was: Decimal
    now: Decimal


def lines_changed(was: EstimateJson, now: EstimateJson) -> tuple[LineChanged, ...]:
    """Return the lines that differ in what is bought, for how much or from whom, by item."""
    old, new = _by_item(was.lines), _by_item(now.lines)
    return tuple(
        LineChanged(*key, old.get(key), new.get(key)) for key in sorted({*old, *new})
        if _bought(old.get(key)) != _bought(new.get(key)))


def _by_item(lines: Iterable[LineJson]) -> dict[tuple[str, bool], LineJson]:
    return {(line.item, line.option): line for line in lines}


def _bought(line: LineJson | None) -> tuple[object, ...] | None:
    return None if line is None else (
        line.buy, line.packs, line.pack, line.cost, line.waste_cost,
        line.offer and line.offer.supplier)


def findings_changed(
    was: EstimateJson, now: EstimateJson
) -> tuple[tuple[FindingJson, ...], tuple[FindingJson, ...]]:
    """Return stops and cautions that only the first has, and those that only the second has."""
    old, new = ({_told(each): each for each in made.findings if each.level != "fine"}
                for made in (was, now))
    return (tuple(each for key, each in old.items() if key not in new),
            tuple(each for key, each in new.items() if key not in old))


def _told(each: FindingJson) -> tuple[str, ...]:
    return each.code, each.level, each.subject, each.let_pass_by


def hours_changed(was: EstimateJson, now: EstimateJson) -> Iterator[HoursChanged]:
    """Yield each group of tasks whose mean hours differ."""
    old = {each.group: each.hours for each in was.hours.by_group}
    new = {each.group: each.hours for each in now.hours.by_group}
    for group in dict.fromkeys((*old, *new)):
        before, after = old.get(group, Decimal(0)), new.get(group, Decimal(0))
        if before != after:
            yield HoursChanged(group, before, after)
