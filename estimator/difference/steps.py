"""From one revision to the other, one change after another; what each does is its share.

A change that cannot be reckoned alone (a rule that needs a norm which is not there yet, facts that
contradict each other half way) waits and is taken together with the first that lets it be. The sum
of the shares is the whole change, since each begins where the one before it ended.

Source: replacing one factor after another, as in the analysis of variances: what comes first is
valued at the old level of all that comes after it, so the order belongs to the answer. The mean
over both orders values every pair alike (for two factors it is the value of Shapley).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from catalogue.problems import ProblemsFound
from estimator.difference.change import Change
from estimator.difference.facts import fact_changes
from estimator.difference.figures import (
    norm_changes,
    practice_changes,
    rule_changes,
    setting_changes,
)
from estimator.difference.inputs import Inputs, Made, Maker, Totals, totals_of
from estimator.difference.market import (
    day_change,
    discount_change,
    item_changes,
    price_changes,
    swap_changes,
)

REST = "order and wording"
NOTHING = Totals(0, 0, 0)

Tell = Callable[[int, int], None]


@dataclass(frozen=True)
class Step:
    """What one change did, or several that could only be taken together.

    Attributes:
        share: change of cost and prices, in minor units.
    """

    changes: tuple[Change, ...]
    share: Totals


def changes_between(
    was: Inputs, now: Inputs, on_a_bill: Collection[str]
) -> tuple[Change, ...]:
    """Return every piece that differs, in the order in which they are replaced.

    The day, facts, practice values, norms, rules, settings, data sheets, prices, substitutes, the
    discount. Practice values and norms come before the rules, which may need them.

    Args:
        was, now: what the two revisions were made with.
        on_a_bill: codes of the items whose prices are taken one by one.
    """
    return tuple(chain(
        day_change(was.on, now.on),
        fact_changes(was.survey, now.survey),
        practice_changes(was.practice, now.practice, now.on),
        norm_changes(was.norms, now.norms),
        rule_changes(was.rules, now.rules),
        setting_changes(was.settings, now.settings),
        item_changes(was.items, now.items),
        price_changes(was, now, on_a_bill),
        swap_changes(was.swaps, now.swaps),
        discount_change(was.discount, now.discount),
    ))


def steps_between(
    was: Made, now: Made, maker: Maker, *, both_ways: bool = False,
    tell: Tell = lambda done, of: None,
) -> tuple[Step, ...]:
    """Return what each change did; the shares add up to the whole difference of the two estimates.

    Args:
        was, now: the two revisions, made again.
        maker: makes the estimates between; that which made the two holds their rules compiled.
        both_ways: give the mean of two shares, taken in the order of `changes_between` and in the
            opposite one, in whole minor units by the largest remainder.
        tell: called after each estimate with how many changes are done, and of how many.
    """
    lines = (*was.estimate.bill.lines, *now.estimate.bill.lines)
    changes = changes_between(was.inputs, now.inputs, {line.item.code for line in lines})
    runs = len(changes) * (2 if both_ways else 1)
    way = Way(maker, was.inputs, totals_of(was.estimate), totals_of(now.estimate),
               _rest(now.inputs))
    there = list(walk(way, changes, lambda done: tell(done, runs)))
    if not both_ways:
        return tuple(there)
    back = list(walk(way, changes[::-1], lambda done: tell(len(changes) + done, runs)))
    return mean_of(there, back)


@dataclass(frozen=True)
class Way:
    """Where a walk starts and ends, and what stands for all that has no step of its own."""

    maker: Maker
    start: Inputs
    first: Totals
    last: Totals
    rest: Change


def walk(
    way: Way, changes: Sequence[Change], tell: Callable[[int], None]
) -> Iterator[Step]:
    """Yield a step for each change, or for those that could only be taken together."""
    current, at = way.start, way.first
    waiting: tuple[Change, ...] = ()
    for done, change in enumerate(changes, start=1):
        for together in dict.fromkeys(((*waiting, change), (change,))):
            tried = _put(current, together)
            try:
                totals = way.maker.totals(tried)
            except ProblemsFound:
                continue
            yield Step(together, totals - at)
            current, at = tried, totals
            waiting = tuple(each for each in waiting if each not in together)
            break
        else:
            waiting = (*waiting, change)
        tell(done)
    left = way.last - at
    if waiting or not left.moves_nothing:
        yield Step(waiting or (way.rest,), left)


def _put(inputs: Inputs, changes: Sequence[Change]) -> Inputs:
    for change in changes:
        inputs = change.put(inputs)
    return inputs


def _rest(now: Inputs) -> Change:
    return Change(REST, "what has no step of its own", "", "", lambda inputs: now)


def mean_of(there: Sequence[Step], back: Sequence[Step]) -> tuple[Step, ...]:
    """Return the mean shares of two ways through the same changes; they add up like either way.

    What was taken together on one way stays together. A half of a minor unit that is left over
    goes to the first that has one, so that whole units add up (largest remainder).
    """
    groups = _joined([*there, *back])
    twice = [sum((step.share for step in (*there, *back) if step.changes[0] in group), NOTHING)
             for group in groups]
    whole = sum((step.share for step in there), NOTHING)
    parts = {
        name: halved([getattr(each, name) for each in twice], getattr(whole, name))
        for name in ("cost", "net", "gross")
    }
    return tuple(
        Step(tuple(group), Totals(parts["cost"][at], parts["net"][at], parts["gross"][at]))
        for at, group in enumerate(groups))


def halved(twice: Sequence[int], whole: int) -> list[int]:
    """Return the halves of whole numbers, as whole numbers that add up to a whole.

    Raises:
        ValueError: if the numbers do not add up to twice the whole.
    """
    if sum(twice) != 2 * whole:
        raise ValueError("the numbers do not add up to twice the whole")
    parts = [each // 2 for each in twice]
    left = whole - sum(parts)
    for at, each in enumerate(twice):
        if each % 2 and left:
            parts[at] += 1
            left -= 1
    return parts


def _joined(steps: Sequence[Step]) -> list[tuple[Change, ...]]:
    """Return the changes in groups: those that stand together in any step are of one group."""
    group_of: dict[Change, list[Change]] = {}
    for step in steps:
        held = list(dict.fromkeys(
            each for change in step.changes for each in group_of.get(change, [change])))
        for each in held:
            group_of[each] = held
    groups: list[tuple[Change, ...]] = []
    for held in group_of.values():
        if tuple(held) not in groups:
            groups.append(tuple(held))
    return groups


def by_cause(steps: Sequence[Step]) -> dict[str, Totals]:
    """Return the shares added up by cause, in the order of the steps."""
    found: dict[str, Totals] = {}
    for step in steps:
        cause = " and ".join(dict.fromkeys(change.cause for change in step.changes))
        found[cause] = found.get(cause, NOTHING) + step.share
    return found
