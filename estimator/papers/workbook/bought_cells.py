"""The cells of a line of the bill that say what is bought: packs, left over, prices.

One offer has its pack and price in cells of their own. A mix of offers stands as one text, with the
sums written out in the formulas, so that a pack price that is changed there calculates again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from estimator.papers.contract_parts import BuyJson, LineJson, OfferJson
from estimator.papers.digits import plain
from estimator.papers.exact_json import rounded
from estimator.papers.packs import mix
from estimator.papers.workbook.pen import Cell, Formula, Kind, Pence

UNIT_PLACES = 4


@dataclass(frozen=True)
class BoughtCells:
    """The cells of one row; `cost` is the formula of what whole packs bought for the job cost."""

    left_over: Cell = None
    packs: Cell = None
    pack: Cell = None
    supplier: str = ""
    pack_price: Cell = None
    unit_cost: Cell = None
    cost: str = ""
    kinds: Mapping[int, Kind] = field(default_factory=dict)


def bought_cells(line: LineJson, r: int) -> BoughtCells:
    """Return the cells of a line in row r; a revision without buys is read by its one offer."""
    if line.offer is None:
        return BoughtCells(packs=line.packs or None)
    return _of_mix(line, r) if len(line.buys) > 1 else _of_one(line, line.offer, r)


def _of_one(line: LineJson, offer: OfferJson, r: int) -> BoughtCells:
    cuts = sum(buy.cuts for buy in line.buys)
    kinds: dict[int, Kind] = {}
    price: Cell = Pence(offer.price)
    if offer.per is not None:
        exact = Fraction(offer.price) * Fraction(offer.pack) / Fraction(offer.per) / 100
        price = Formula(f"={_major(offer.price)}*J{r}/{plain(offer.per)}",
                        rounded(exact, UNIT_PLACES))
        kinds[11] = "unit money"
    whole_pence = offer.per is None and not cuts
    more = f"+{cuts}*{_major(offer.cut_charge or 0)}" if cuts else ""
    return BoughtCells(
        left_over=None if line.left_over is None
        else Formula(f"=ROUND(I{r}*J{r}-A{r}-G{r},6)", line.left_over),
        packs=_packs(line, r), pack=offer.pack, supplier=offer.supplier, pack_price=price,
        unit_cost=None if line.unit_cost_ten_thousandths is None
        else Formula(f"=L{r}/J{r}", Decimal(line.unit_cost_ten_thousandths).scaleb(-4)),
        cost=f"=I{r}*L{r}" if whole_pence else f"=ROUND(I{r}*L{r}{more},2)", kinds=kinds,
    )


def _packs(line: LineJson, r: int) -> Cell:
    """Return the whole packs; the inner rounding takes the dust of binary fractions away.

    A least quantity, or runs that do not share a length, ask for more packs than the total does.
    """
    if line.left_over is not None and line.left_over >= line.pack:
        return line.packs
    return Formula(f"=ROUNDUP(ROUND((A{r}+G{r})/J{r},9),0)", Decimal(line.packs))


def _of_mix(line: LineJson, r: int) -> BoughtCells:
    units = "+".join(f"{buy.packs}*{plain(buy.pack)}" for buy in line.buys)
    goods = "+".join(_goods(buy) for buy in line.buys)
    unit_cost = line.unit_cost_ten_thousandths
    return BoughtCells(
        left_over=Formula(f"=ROUND({units}-A{r}-G{r},6)", line.left_over or Decimal(0)),
        packs=mix(line), supplier=" + ".join(dict.fromkeys(buy.supplier for buy in line.buys)),
        unit_cost=None if unit_cost is None
        else Formula(f"=({goods})/({units})", Decimal(unit_cost).scaleb(-4)),
        cost="=" + "+".join(f"ROUND({_goods(buy)}{_cuts(buy)},2)" for buy in line.buys),
        kinds={8: "wrap"},
    )


def _goods(buy: BuyJson) -> str:
    if buy.per is None:
        return f"{buy.packs}*{_major(buy.price)}"
    return f"{buy.packs}*{plain(buy.pack)}*{_major(buy.price)}/{plain(buy.per)}"


def _cuts(buy: BuyJson) -> str:
    return f"+{buy.cuts}*{_major(buy.cut_charge or 0)}" if buy.cuts else ""


def _major(minor: int) -> str:
    return plain(Decimal(minor).scaleb(-2))
