"""Substitutes asked for on a job: which item is to stand in for which, and what refuses it.

There is no override. An item that is not as good in every hard field is another design: the
survey's wishes or the rules must ask for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING

from catalogue.items import Item
from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound, suggestion

if TYPE_CHECKING:  # the judging loads with the first swap: most quotes have none
    from catalogue.substitutes import FieldVerdict


@dataclass(frozen=True, slots=True)
class Swap:
    """An item code that is to stand in for another; why, and who says so."""

    original: str
    substitute: str
    why: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class StandIn:
    """A swap that was carried out, with both items; kept with the estimate."""

    original: Item
    substitute: Item
    why: str
    by: str


def place_of(swap: Swap) -> Place:
    """Return the place that a message about a swap names."""
    return Place(f"substitute {swap.original}={swap.substitute}")


def sound_swaps(swaps: Sequence[Swap], prices: PriceBook) -> Mapping[str, str]:
    """Return original -> substitute.

    Raises:
        ProblemsFound: every swap of an item that is not in the catalogue (E301), that nobody
            offers on the day (E302), or that cannot be followed beside the others (E303).
    """
    problems = [problem for swap in swaps for problem in _unsound(swap, swaps, prices)]
    if problems:
        raise ProblemsFound(dict.fromkeys(problems))
    return {swap.original: swap.substitute for swap in swaps}


def _unsound(swap: Swap, swaps: Sequence[Swap], prices: PriceBook) -> Iterator[Problem]:
    where, known = place_of(swap), prices.items
    for code in (swap.original, swap.substitute):
        if code not in known:
            yield Problem("E301", where, f"there is no item '{code}'",
                          suggestion(code, known) or "see: estimator catalogue find WORDS")
    if swap.substitute in known and prices.offer(swap.substitute) is None:
        yield Problem("E302", where, f"nobody offers {swap.substitute} on {prices.on}",
                      "enter its price, or take another item")
    if swap.original == swap.substitute:
        yield Problem("E303", where, "an item cannot stand in for itself", "name another item")
    elif sum(other.original == swap.original for other in swaps) > 1:
        yield Problem("E303", where, f"{swap.original} is to be replaced more than once",
                      "name one substitute for it")
    elif any(other.original == swap.substitute for other in swaps):
        yield Problem("E303", where, f"{swap.substitute} is to be replaced itself",
                      "name the item that is to be bought in the end")


@dataclass(frozen=True)
class Choosing:
    """What the design chooses with while items stand in for others.

    Attributes:
        swaps: code of the original -> code of the substitute.
        prices: a book for choices only; money is reckoned with the true one.
        on_offer: the true book without the originals, where what is chosen is weighed by its price.
    """

    swaps: Mapping[str, str]
    prices: PriceBook
    on_offer: PriceBook

    @classmethod
    def of(
        cls, swaps: Mapping[str, str], roles: Mapping[str, Set[str]], prices: PriceBook
    ) -> Choosing:
        """Return it for a job: each substitute is chosen wherever its original would have been.

        It stands at the original's price, and neither the original is to be had nor anything else
        that may stand in for it, unless the job uses that already.

        Args:
            swaps: sound, and not refused.
            roles: item code -> the roles in which the job uses it.
            prices: the price book of the day.
        """
        from catalogue.substitutes import judge, may_stand_in

        others = {
            item.code
            for original in map(prices.items.__getitem__, swaps)
            for role in roles[original.code]
            for item in prices.with_role(original.family, role)
            if item.code not in roles and item.code not in swaps.values()
            and may_stand_in(judge(original, item, role))
        }
        return cls(swaps, prices.standing_in(swaps, others), prices.standing_in({}, set(swaps)))


def refusals(
    swaps: Iterable[Swap], roles: Mapping[str, Set[str]], prices: PriceBook
) -> Iterator[Problem]:
    """Yield a problem for each swap that is not of this job or fails a hard field.

    Args:
        swaps: what is asked for; sound.
        roles: item code -> the roles in which the job uses it.
        prices: the price book of the day.
    """
    from catalogue.substitutes import judge

    for swap in swaps:
        original, substitute = prices.items[swap.original], prices.items[swap.substitute]
        if not roles.get(swap.original):
            yield Problem("E304", place_of(swap), f"nothing on this job is {swap.original}",
                          suggestion(swap.original, roles) or "see the codes: estimator jobs show "
                          "JOB --json")
            continue
        failing: dict[FieldVerdict, None] = {}
        for role in sorted(roles[swap.original]):
            verdicts = judge(original, substitute, role)
            failing.update(dict.fromkeys(each for each in verdicts if not each.passes))
        if failing:
            yield Problem(
                "E305", place_of(swap),
                f"{swap.substitute} is not as good as {swap.original} as "
                f"{' and '.join(sorted(roles[swap.original]))}: " + "; ".join(
                    f"{each.field}: {each.says} ({each.why})" for each in failing),
                "an item that is not as good is another design: change what the survey asks for, "
                f"or take one that may stand in: estimator catalogue substitutes {swap.original}")


def refused_partner(
    swaps: Iterable[Swap], converter: Item | None, storage: Item | None
) -> Iterator[Problem]:
    """Yield a problem where the job's converter, as swapped, does not permit its storage."""
    if converter is None or storage is None:
        return
    allowed: tuple[str, ...] = getattr(converter.spec, "storage_allowed", ())
    for swap in swaps:
        if swap.substitute in (converter.code, storage.code) and storage.code not in allowed:
            yield Problem(
                "E306", place_of(swap),
                f"the list of converter {converter.code} does not name storage {storage.code}",
                f"storage on the list: {', '.join(allowed) or 'none'}")
