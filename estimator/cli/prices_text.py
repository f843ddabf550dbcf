"""What the price commands print: tables for people, plain data for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from catalogue.cell_text import in_text
from catalogue.items import Offer
from catalogue.money import Money, round_half_up
from catalogue.price_lists.changes import Move, Price, PriceChanges
from catalogue.tables.columns import from_milli
from estimator.cli.catalogue_text import problem_data, span
from estimator.papers.terminal import clean, table
from estimator.papers.words import percent

if TYPE_CHECKING:
    from estimator.workflow.offers import OfferShown
    from estimator.workflow.price_ends import Ended
    from estimator.workflow.price_history import Compared, History, ListRead
    from estimator.workflow.price_links import Linked
    from estimator.workflow.prices import PriceImport

NAMED = 20  # most rows that the terminal names one by one
_SIDE_BY_SIDE = 200  # most offers that the terminal shows side by side
_MILLION = 1_000_000


def import_data(done: PriceImport) -> dict[str, Any]:
    """Return what a price list changes as data; a change is a share in parts of a million."""
    changes, before = done.changes, done.before
    data: dict[str, Any] = {
        "supplier": done.supplier, "form": done.read.form, "currency": done.read.currency,
        "columns": done.columns.columns.to_toml(), "columns_from": done.columns.origin,
        "written": done.written, "skipped": done.read.skipped,
        "read_in_already": None if before is None else {
            "at": before.at, "by": before.by, "from_date": before.day, "unknown": before.unknown},
        "refused": done.refused_rows, "problems": [problem_data(each) for each in done.refused],
        "cautions": [problem_data(each) for each in done.cautions],
    }
    return data if changes is None else data | _changes_data(changes)


def _changes_data(changes: PriceChanges) -> dict[str, Any]:
    return {
        "from_date": changes.day, "new": len(changes.new), "changed": len(changes.changed),
        "dearer": changes.dearer, "cheaper": changes.cheaper, "unchanged": changes.unchanged,
        "past": changes.past, "unknown": len(changes.unknown),
        "no_longer_listed": len(changes.missing), "to_come": changes.to_come,
        "moves": [_move_data(move) for move in changes.moves],
    }


def _move_data(move: Move) -> dict[str, Any]:
    now = move.now
    return {
        "item": now.item, "supplier_code": now.supplier_code, "pack": from_milli(now.pack_milli),
        "least": from_milli(now.least_milli), "before": _price_data(move.before),
        "now": _price_data(now), "change_ppm": move.change_ppm,
    }


def _price_data(price: Price) -> dict[str, Any]:
    return {"price_minor": price.price_minor, "from_date": price.from_day,
            "per": from_milli(price.per_milli or price.pack_milli)}


def import_text(done: PriceImport) -> str:
    """Return what a price list changes: the columns, refused rows, changes of price, counts."""
    return clean("\n".join(_import_lines(done)))


def _import_lines(done: PriceImport) -> Iterator[str]:
    yield from _columns_lines(done)
    yield from map(str, done.cautions)
    yield from _first(map(str, done.refused), len(done.refused), "refused: and {} more mistakes; "
                      "--refused FILE.csv has all")
    changes, before = done.changes, done.before
    if before is not None:
        yield (f"This file was read in already on {before.at:%Y-%m-%d} by {before.by}, for prices "
               f"from {before.day}.")
    if changes is None:
        yield "Nothing was changed."
        if before is not None and before.unknown:
            yield (f"The item of {_so_many(before.unknown, 'row')} was not known then; after "
                   "estimator prices link read the file --again.")
        return
    yield from _moves_lines(changes)
    yield from _counts_lines(done, changes)


def _columns_lines(done: PriceImport) -> Iterator[str]:
    chosen = done.columns
    if chosen.origin == "the file itself":
        return
    yield {"given": "Columns as given",
           "kept": f"Columns as kept for {done.supplier}",
           "guessed": "Columns guessed from the header: look whether they are right"}[chosen.origin]
    yield from (f"  {line}" for line in chosen.columns.to_toml().splitlines() if line)


def _moves_lines(changes: PriceChanges) -> Iterator[str]:
    if changes.moves:
        yield "Largest changes of price"
        yield from table(
            [(move.now.item, move.now.supplier_code, *(
                _price_text(price, changes.currency) for price in (move.before, move.now)),
              _change(None if move.change_ppm is None else Fraction(move.change_ppm, _MILLION)))
             for move in changes.moves[:NAMED]], "llrrr",
            ("item", "part number", "before", "now", "change"))


def _price_text(price: Price, currency: str) -> str:
    per = "" if price.per_milli is None else f" for {from_milli(price.per_milli):f}"
    return f"{Money(price.price_minor, currency)}{per}"


def _counts_lines(done: PriceImport, changes: PriceChanges) -> Iterator[str]:
    yield (f"{done.supplier}, prices from {changes.day}: {len(changes.new)} new, "
           f"{len(changes.changed)} changed ({changes.dearer} dearer, {changes.cheaper} cheaper), "
           f"{changes.unchanged} unchanged, {len(changes.unknown)} unknown item, "
           f"{done.refused_rows} refused")
    if changes.past:
        yield f"{_so_many(changes.past, 'row')} of prices that had ended by then"
    if changes.to_come:
        yield (f"{_so_many(changes.to_come, 'listed price')} will be followed by one that was "
               "entered earlier and begins later")
    if changes.missing:
        yield f"{_so_many(len(changes.missing), 'price')} no longer listed"
    if done.columns.origin == "guessed" and not done.written:
        yield (f"--write takes the columns over as guessed and keeps them for {done.supplier}; "
               "--columns says them otherwise")


def _so_many(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _first(lines: Iterator[str], total: int, more: str) -> Iterator[str]:
    """Yield the first lines, and how many there are beyond."""
    for number, line in enumerate(lines):
        if number == NAMED:
            yield more.format(total - NAMED)
            return
        yield line


def _change(share: Fraction | None) -> str:
    if share is None:
        return ""
    return f"{'+' if share > 0 else ''}{percent(share)}"


def unit_price(minor: Fraction, currency: str) -> str:
    """Return the price of one unit in major units, with up to four places ("£0.0345")."""
    rounded = Decimal(round_half_up(minor * 100)).scaleb(-4)
    text = f"{rounded:,.4f}"
    short = text[:-2] if text.endswith("00") else text.rstrip("0")
    return f"{Money(0, currency)}".removesuffix("0.00") + short


def linked_text(linked: Linked) -> str:
    """Return how many part numbers were linked."""
    return (f"{linked.new} newly linked, {linked.changed} linked to another item than before, "
            f"{linked.unchanged} as before, {linked.blank} left blank")


def history_data(shown: History) -> dict[str, Any]:
    """Return all offers of an item as data."""
    return {"code": shown.code, "name": shown.name, "unit": shown.unit, "on": shown.on,
            "offers": [asdict(offer) | {"unit_price_minor": offer.unit_price_minor}
                       for offer in shown.offers]}


def history_text(shown: History) -> str:
    """Return all offers of an item, newest first."""
    lines = [f"{shown.code}  {shown.name}",
             f"Offers as of {shown.on}" if shown.offers else "No offer was ever entered."]
    lines += table(
        [(o.state, o.supplier, _pack(o.pack, shown.unit, o.least), _offer_price(o),
          unit_price(o.unit_price_minor, o.price.currency), _change(o.change),
          span(o.from_date, o.to_date), _entered(o)) for o in shown.offers],
        "lllrrrll", ("", "supplier", "pack", "price", f"for one {shown.unit}", "change", "holds",
                     "entered") if shown.offers else ())
    return clean("\n".join(lines))


def _pack(pack: Decimal, unit: str, least: Decimal) -> str:
    return f"{in_text(pack)} {unit}" + (f", from {in_text(least)} on" if least else "")


def _offer_price(offer: Offer | OfferShown) -> str:
    return str(offer.price) + ("" if offer.per is None else f" for {in_text(offer.per)}")


def _entered(offer: OfferShown) -> str:
    by = f" by {offer.entered_by}" if offer.entered_by else ""
    until = f", withdrawn {offer.withdrawn_at:%Y-%m-%d}" if offer.withdrawn_at else ""
    return f"{offer.entered_at:%Y-%m-%d}{by}, {offer.entered_from}{until}"


def compared_data(lines: Sequence[Compared]) -> list[dict[str, Any]]:
    """Return prices side by side as data."""
    return [{
        "item": each.code, "name": each.name, "unit": each.unit, "rank": each.rank,
        "offer": _offer_data(each.offer), "then": _offer_data(each.then), "change": each.change,
    } for each in lines]


def _offer_data(offer: Offer | None) -> dict[str, Any] | None:
    return None if offer is None else asdict(offer) | {
        "unit_price_minor": offer.unit_price_minor}


def compared_text(lines: Sequence[Compared], on: Any, to: Any) -> str:
    """Return prices side by side, a line for each offer."""
    if not lines:
        return f"No price holds on {on}."
    rows = []
    for each in lines:
        offer = each.offer or each.then
        assert offer is not None
        days = [_for_one(each.offer)] if to is None else [
            _for_one(each.offer), _for_one(each.then), _change(each.change)]
        rows.append((each.code, each.name[:40], offer.supplier,
                     _pack(offer.pack, each.unit, offer.least), _offer_price(offer), *days,
                     "" if each.rank is None else str(each.rank)))
    shown = rows[:_SIDE_BY_SIDE]
    headings = ("item", "name", "supplier", "pack", "price",
                *(["for one unit"] if to is None else [str(on), str(to), "change"]), "rank")
    text = table(shown, "llllr" + ("r" if to is None else "rrr") + "r", headings)
    if len(rows) > len(shown):
        text.append(f"and {len(rows) - len(shown)} more; --json has all")
    return clean("\n".join(text))


def _for_one(offer: Offer | None) -> str:
    return "" if offer is None else unit_price(offer.unit_price_minor, offer.price.currency)


def ended_data(done: Ended) -> dict[str, Any]:
    """Return the prices that are ended as data."""
    return asdict(done)


def ended_text(done: Ended) -> str:
    """Return the prices that are ended."""
    lines = table(
        [(each.item, f"{in_text(each.pack)}", str(each.price), f"from {each.from_date}",
          "never begins" if each.last_day is None else f"last day {each.last_day}")
         for each in done.endings[:NAMED]], "lrrll",
        ("item", "pack", "price", "holds", "") if done.endings else ())
    if len(done.endings) > NAMED:
        lines.append(f"and {len(done.endings) - NAMED} more; --json has all")
    lines.append(f"{_so_many(len(done.endings), 'price')} of {done.supplier} end before "
                 f"{done.from_date}")
    return clean("\n".join(lines))


def lists_data(lists: Sequence[ListRead]) -> list[dict[str, Any]]:
    """Return the price lists that were read in as data."""
    return [asdict(each) for each in lists]


def lists_text(lists: Sequence[ListRead]) -> str:
    """Return the price lists that were read in, newest first."""
    if not lists:
        return "No price list was read in yet."
    return clean("\n".join(table(
        [(str(each.number), each.supplier, str(each.from_date), each.file,
          *map(str, (each.new, each.changed, each.unchanged, each.unknown, each.refused)),
          f"{each.imported_at:%Y-%m-%d} {each.imported_by}") for each in lists], "rlllrrrrrl",
        ("", "supplier", "from", "file", "new", "changed", "unchanged", "unknown", "refused",
         "read in"))))
