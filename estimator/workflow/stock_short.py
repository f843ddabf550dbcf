"""What must be ordered for all accepted jobs and the shelf, and the next cuts made together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction

from sqlalchemy import Connection

from catalogue.items import Offer, holding_on
from catalogue.loading import currency_of, load_offers
from catalogue.money import round_half_up
from catalogue.stock.shortages import Shortage, shortages
from catalogue.stock_shelf import shelf_rules
from estimator.buying.cutting.model import Bar, OnHand
from estimator.buying.joint_cutting import JobCut, JointCut, joint_cuts
from estimator.papers.contract_cuts import CutJson
from estimator.papers.stock_short import Seller, ShortList
from estimator.workflow.database import at_work
from estimator.workflow.job_states import states
from estimator.workflow.jobs import kept_estimate
from estimator.workflow.stock_shown import Holding, holding
from estimator.workflow.stock_told import ItemKept, items_kept

CUTS_AHEAD_DAYS = 14
USABLE = ("store", "van", "counter")


def short(
    database: str | None, today: date, until: date, cuts_ahead_days: int = CUTS_AHEAD_DAYS,
    advance: Callable[[int, int], None] = lambda done, of: None,
) -> ShortList:
    """Return what must be ordered, what comes late, and the next cuts made together."""
    with at_work(database) as work:
        held, currency = holding(work, today), currency_of(work)
        sellers = _sellers(work, held, today)
        found = shortages_here(work, held, _leads(sellers), (today, until))
        late = tuple(each for each in held.shared.promises
                     if each.late and each.claim.needed_on <= until)
        cut_until = today + timedelta(cuts_ahead_days)
        cuts = _cuts(work, held, (today, cut_until), advance)
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
    return shortages_here(work, held, _leads(_sellers(work, held, today)), (today, until))


def shortages_here(
    work: Connection, held: Holding, leads: Mapping[str, int], days: tuple[date, date]
) -> tuple[Shortage, ...]:
    """Return what must be ordered from today until a day, with the rules of the shelf."""
    return shortages(held.shared, leads, shelf_rules(work), *days)


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
              for cut in kept_estimate(work, job, stands[job].revision or 1).cuts
              if any((job, bar.code) in open_for for bar in cut.bars)]
    lengths = {bar.code: bar.length_mm for _, cut in quoted for bar in cut.bars}
    items, currency = items_kept(work, lengths), currency_of(work)
    offers = _offers(work, today, currency, lengths)
    bars = {code: _bar(items[code], lengths[code], offers[code]) for code in sorted(offers)}
    return joint_cuts([_job_cut(job, cut) for job, cut in quoted
                       if all(bar.code in bars for bar in cut.bars)], bars,
                      _pieces_there(held, items), advance=advance)


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
    """Return the lengths of bars sold by the metre that lie there and are told apart."""
    found: dict[str, list[OnHand]] = {}
    for (code, place, lot), quantity in sorted(held.stock.levels.items()):
        length = held.lots.get(lot, ("", None))[0] == "length"
        usable = held.stock.kinds[place] in USABLE
        if code in items and items[code].unit == "m" and length and usable:
            found.setdefault(code, []).append(OnHand(int(quantity * 1000), lot))
    return found
