"""What goes into the van for one job or two, in which order, and whether the van carries it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalogue.price_book import PriceBook
from estimator.papers.contract import EstimateJson
from estimator.papers.digits import plain
from estimator.van.loading import (
    GRAMS,
    Carried,
    Goods,
    VanHolds,
    carried,
    loading_order,
    van_holds_all,
)
from estimator.van.pick_sheet import PickNeed
from estimator.van.sheet_model import LoadRow, Shared, VanLoad
from estimator.workflow.pick_needs import goods_of, minutes_of


@dataclass(frozen=True)
class Driven:
    """A job that is driven to, and what is picked for it."""

    estimate: EstimateJson
    needs: Sequence[PickNeed]


def van_load(driven: Sequence[Driven], prices: PriceBook, van: VanHolds) -> VanLoad:
    """Return the load of a van; the jobs are driven to in their order."""
    goods = [each for stop, job in enumerate(driven, 1)
             for each in goods_of(job.estimate, job.needs, prices, stop)]
    loads = carried(goods, {job.estimate.job.id: minutes_of(job.estimate) for job in driven})
    longest = max((each for each in goods if each.longest_mm),
                  key=lambda each: (each.longest_mm or 0, each.item), default=None)
    # A job of several days by itself has the van to itself; the hours bind only two that share it.
    hours = van if len(driven) > 1 else VanHolds(
        van.name, van.payload_kg, van.longest_mm, sum(each.minutes for each in loads))
    return VanLoad(
        van=van.name, jobs=tuple(job.estimate.job.id for job in driven),
        mass_kg=_kg(sum(each.grams for each in loads)),
        unknown=sum(1 for each in goods if each.each_kg is None), payload_kg=van.payload_kg,
        longest_mm=van.longest_mm,
        longest=f"{longest.longest_mm} mm, {longest.name}" if longest else "",
        shared=tuple(_measures(loads, van)), fits=van_holds_all(loads, hours),
        loads=tuple(_row(each, where) for each, where in loading_order(goods)))


def _kg(grams: int) -> Decimal:
    return Decimal(grams) / GRAMS


def _measures(loads: Sequence[Carried], van: VanHolds) -> Iterator[Shared]:
    payload = int(van.payload_kg * GRAMS)
    yield Shared(
        measure="mass", holds=f"carries {plain(van.payload_kg)} kg",
        takes=tuple(f"{each.job} {plain(_kg(each.grams))} kg" for each in loads),
        enough=sum(each.grams for each in loads) <= payload)
    yield Shared(
        measure="longest piece", holds=f"takes {van.longest_mm} mm",
        takes=tuple(f"{each.job} {each.longest_mm} mm" for each in loads),
        enough=all(each.longest_mm <= van.longest_mm for each in loads))
    if len(loads) > 1:
        yield Shared(
            measure="hours on site", holds=f"has a day of {van.minutes} min",
            takes=tuple(f"{each.job} {each.minutes} min" for each in loads),
            enough=sum(each.minutes for each in loads) <= van.minutes)


def _row(each: Goods, where: str) -> LoadRow:
    return LoadRow(
        job=each.job, item=each.item, name=each.name, count=each.count, unit=each.unit,
        each_kg=each.each_kg, longest_mm=each.longest_mm, where=where, lift=each.lift)
