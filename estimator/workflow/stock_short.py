"""What must be ordered for all accepted jobs and the shelf, and the next cuts made together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from sqlalchemy import Connection

from catalogue.items import Offer, holding_on
from catalogue.loading import currency_of, load_offers
from catalogue.money import round_half_up
from catalogue.stock.shortages import Shortage, less, shortages
from catalogue.stock_shelf import shelf_rules
from estimator.buying.cutting.model import Bar, OnHand
from estimator.buying.joint_cutting import JobCut, JointCut, joint_cuts
from estimator.buying.joint_shares import not_bought
from estimator.papers.contract_cuts import CutJson
from estimator.papers.stock_short import Seller, ShortList
from estimator.workflow.database import at_work
from estimator.workflow.job_states import states
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.joint_sheets import CUTS_AHEAD_DAYS, out_for_others
from estimator.workflow.stick_cuts import STICKS, given_to, still_to_cut
from estimator.workflow.stock_shelves import site_of
from estimator.workflow.stock_shown import Holding, holding
from estimator.workflow.stock_told import ItemKept, items_kept

USABLE = ("store", "van", "counter")


def short(
    database: str | None, today: date, until: date, cuts_ahead_days: int = CUTS_AHEAD_DAYS,
    advance: Callable[[int, int], None] = lambda done, of: None,
) -> ShortList:
    """Return what must be ordered, what comes late, and the next cuts made together."""
    with at_work(database) as work:
        held, currency = holding(work, today), currency_of(work)
        sellers = _sellers(work, held, today)
        cut_until = today + timedelta(cuts_ahead_days)
        cuts = _cuts(work, held, (today, cut_until), advance)
        found = shortages_here(work, held, _leads(sellers), (today, until), cuts)
        late = tuple(each for each in held.shared.promises
                     if each.late and each.claim.needed_on <= until)
        named = {each.item for each in found} | {each.claim.item for each in late} | {
            code for each in cuts for code in each.alone}
        kept = items_kept(work, named)
    return ShortList(
        today, until, currency, found, late, cuts, cut_until,
        {code: item.name for code, item in kept.items()},
        {code: item.unit for code, item in kept.items()}, sellers)


def short_now(work: Connection, today: date, until: date) -> tuple[Shortage, ...]:
    """Return what must be ordered from today until a day, for jobs and shelf."""
    held = holding(work, today)
    cuts = _cuts(work, held, (today, today + timedelta(CUTS_AHEAD_DAYS)), lambda done, of: None)
    return shortages_here(work, held, _leads(_sellers(work, held, today)), (today, until), cuts)


def shortages_here(
    work: Connection, held: Holding, leads: Mapping[str, int], days: tuple[date, date],
    cuts: Iterable[JointCut] = (),
) -> tuple[Shortage, ...]:
    """Return what must be ordered from today until a day, with the rules of the shelf.

    Sticks that need not be bought since jobs cut together are left out, save of an item whose shelf
    is filled up in lots of its own: there a stick more or less is a matter of the lot.
    """
    rules = shelf_rules(work)
    found = shortages(held.shared, leads, rules, *days)
    sticks = items_kept(work, {code for each in cuts for code in each.alone})
    saved = {key: Decimal(count) for each in cuts for key, count in not_bought(each).items()
             if sticks[key[0]].stick_mm is not None and key[0] not in rules}
    cut_down = less((each for each in found if each.item not in rules), saved)
    return tuple(sorted((*cut_down, *(each for each in found if each.item in rules)),
                        key=lambda s: (s.order_by, s.item, s.needed_on, s.jobs)))


def _sellers(work: Connection, held: Holding, today: date) -> dict[str, Seller]:
    """Return who brings each item soonest, of all that may be short."""
    return {item: _soonest(offers) for item, offers in _offers(
        work, today, currency_of(work), _may_be_short(work, held)).items()}


def _leads(sellers: Mapping[str, Seller]) -> dict[str, int]:
    return {item: seller.lead_days for item, seller in sellers.items()}


def _may_be_short(work: Connection, held: Holding) -> set[str]:
    return {each.item for each in held.shared.short} | set(shelf_rules(work))


def _offers(
    work: Connection, today: date, currency: str, items: Iterable[str]
) -> dict[str, list[Offer]]:
    """Return today's offers of items; one that nobody sells is not in it."""
    found = {item: [offer for offer in holding_on(load_offers(work, today, item), today)
                    if offer.price.currency == currency] for item in sorted(items)}
    return {item: offers for item, offers in found.items() if offers}


def _soonest(offers: Sequence[Offer]) -> Seller:
    first = min(offers, key=lambda each: (each.lead_days, each.unit_price_minor, each.supplier))
    return Seller(first.supplier, first.lead_days)


def _cuts(
    work: Connection, held: Holding, days: tuple[date, date], advance: Callable[[int, int], None]
) -> tuple[JointCut, ...]:
    """Return the cuts of jobs that need their bars by a day and have not got them, together."""
    today, cut_until = days
    wanted = sorted({(each.needed_on, each.job) for each in held.claims
                     if each.needed_on <= cut_until})
    open_for = {(each.job, each.item) for each in held.claims}
    stands = states(work)
    quoted = [(job, cut) for job in dict.fromkeys(job for _, job in wanted)
              for cut in _still_to_cut(work, held, job, stands[job].revision or 1)
              if any((job, bar.code) in open_for for bar in cut.bars)]
    lengths = {bar.code: bar.length_mm for _, cut in quoted for bar in cut.bars}
    items, currency = items_kept(work, lengths), currency_of(work)
    offers = _offers(work, today, currency, lengths)
    bars = {code: _bar(items[code], lengths[code], offers[code]) for code in sorted(offers)}
    there = _pieces_there(held, items)
    for end in out_for_others(work):
        there.setdefault(end.item, []).append(OnHand(end.length_mm, end.lot))
    return joint_cuts([_job_cut(job, cut) for job, cut in quoted
                       if all(bar.code in bars for bar in cut.bars)], bars, there,
                      advance=advance)


def _still_to_cut(work: Connection, held: Holding, job: str, revision: int) -> Iterator[CutJson]:
    """Yield the cuts of a job; of rails what it was not given yet."""
    estimate = kept_estimate(work, job, revision)
    given = given_to(work, held.stock, estimate, site_of(job))
    for cut in estimate.cuts:
        yield cut if cut.kind != STICKS else cut.model_copy(
            update={"bars": still_to_cut(cut, given)})


def _job_cut(job: str, cut: CutJson) -> JobCut:
    counts: dict[str, int] = {}
    for bar in cut.bars:
        counts[bar.code] = counts.get(bar.code, 0) + 1
    return JobCut(job, cut.kerf_mm, tuple(
        (piece.length_mm, piece.label) for bar in cut.bars for piece in bar.pieces), counts)


def _bar(item: ItemKept, length_mm: int, offers: Sequence[Offer]) -> Bar:
    """Return a bar as it is on offer at the cheapest unit price."""
    unit = min(offer.unit_price_minor for offer in offers)
    each = unit * Fraction(length_mm, 1000) if item.unit == "m" else unit
    return Bar(length_mm, round_half_up(each), item.code)


def _pieces_there(held: Holding, items: Mapping[str, ItemKept]) -> dict[str, list[OnHand]]:
    """Return the lengths of bars that lie there and are told apart: by the metre, or as ends."""
    found: dict[str, list[OnHand]] = {}
    for (code, place, lot), quantity in sorted(held.stock.levels.items()):
        length = held.lots.get(lot, ("", None))[0] == "length"
        usable = held.stock.kinds[place] in USABLE
        apart = lot in held.stock.ends or (code in items and items[code].unit == "m" and length)
        if code in items and apart and usable:
            found.setdefault(code, []).append(
                OnHand(held.stock.ends.get(lot) or int(quantity * 1000), lot))
    return found
