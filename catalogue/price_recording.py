"""Reads the prices of one supplier that are in use, and writes what a price list changes.

A list may hold a hundred thousand prices, so rows go in and out as plain tuples of stored values:
quantities in thousandths, money in minor units. All is done in the caller's transaction, and no
price is changed: one that is put right or ended is marked withdrawn, and another is added.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, insert, literal, select, update

from catalogue.entering import Entered, put
from catalogue.price_lists.changes import Known, Price, PriceChanges, as_price
from catalogue.tables import OFFER, PRICE_COLUMNS, PRICE_LIST

Advance = Callable[[int, int], None]  # told how many of how many are done

AT_ONCE = 5_000  # rows between two reports of how far it is
_IN_USE = ("item_code", "pack", "least", "from_date", "price_minor", "per", "cut_charge_minor",
           "carriage_class", "lead_days", "supplier_code", "to_date", "currency", "id")
_SERIES = (0, 1, 2)  # where in a price its item, pack and least quantity stand
_OWN = len(_IN_USE) - 1  # values of a price that is to be added: it has no number yet
_FROM_DAY, _CODE, _CURRENCY = 3, 9, 11
_COMMON = ("supplier", "entered_at", "entered_by", "entered_from", "price_list_id")
_KEPT = tuple(name for name in (*_IN_USE[:-1], *_COMMON) if name not in (
    "to_date", "entered_at", "entered_by", "entered_from"))  # by a price that is only ended


@dataclass(frozen=True, slots=True)
class Stored:
    """What is stored of a supplier's prices.

    Attributes:
        units, links: as in `Known`; links are those that somebody has made.
        prices: those that are not withdrawn, of every currency, by their first day.
    """

    units: dict[str, str]
    links: dict[str, str]
    prices: Sequence[Price]


def stored_prices(work: Connection, supplier: str) -> Stored:
    """Return what is stored of a supplier's prices."""
    return Stored(
        dict(_plain(work, "SELECT code, CASE WHEN sold_apart THEN unit ELSE '' END FROM item")),
        dict(_plain(work, "SELECT supplier_code, item_code FROM supplier_item "
                          "WHERE supplier = {0}", supplier)),
        # Reading all and keeping the newest is quicker than asking the database for the newest.
        sorted(_prices(work, supplier), key=itemgetter(_FROM_DAY)))


def known_prices(stored: Stored, currency: str, day: date) -> Known:
    """Return what is known of a supplier's prices in one currency, as of the day of a list."""
    prices = stored.prices
    unlinked = [price for price in prices if price[_CODE] not in stored.links and price[_CODE]]
    links = {price.supplier_code: price.item for price in unlinked} | stored.links
    known = Known(stored.units, links, _torn(unlinked))
    own = prices if set(map(itemgetter(_CURRENCY), prices)) <= {currency} else [
        price for price in prices if price.currency == currency]
    begun = bisect_right(own, day.isoformat(), key=itemgetter(_FROM_DAY))
    known.held = dict(zip(map(itemgetter(*_SERIES), own), own[:begun], strict=False))
    for price in own[begun:]:
        known.later.setdefault(price.series, []).append(price)
    return known


def _torn(unlinked: Iterable[Price]) -> frozenset[str]:
    """Return the part numbers that nobody has linked and that prices give to several items."""
    told: dict[str, str] = {}
    return frozenset(price.supplier_code for price in unlinked
                     if told.setdefault(price.supplier_code, price.item) != price.item)


def _prices(work: Connection, supplier: str) -> Iterable[Price]:
    """Return the supplier's prices that are not withdrawn."""
    rows = _plain(work, f"SELECT {', '.join(_IN_USE)} FROM offer "
                        "WHERE supplier = {0} AND withdrawn_at IS NULL", supplier)
    prices = map(as_price, rows)
    return prices if work.dialect.name == "sqlite" else map(_with_days_as_text, prices)


def _with_days_as_text(price: Price) -> Price:
    return price._replace(from_day=str(price.from_day),
                          to_day=None if price.to_day is None else str(price.to_day))


def record_prices(
    work: Connection, supplier: str, changes: PriceChanges, list_id: int, entered: Entered,
    advance: Advance = lambda done, total: None,
) -> None:
    """Write the new and changed prices of a list; the caller commits.

    Args:
        work: the unit of work.
        supplier: whose list it is.
        changes: from `catalogue.price_lists.comparing`.
        list_id: the row of the list in `price_list`.
        entered: who enters them when, and from where.
        advance: told after every few thousand prices.
    """
    prices = [*changes.new, *changes.changed]
    _withdraw(work, changes.put_right, entered)
    common = {"supplier": supplier, "entered_at": entered.at, "entered_by": entered.by,
              "entered_from": entered.source, "price_list_id": list_id}
    statement = _filled(work, (
        f"INSERT INTO offer ({', '.join((*_IN_USE[:-1], *_COMMON))}) VALUES ("
        + ", ".join([*(f"{{{number}}}" for number in range(_OWN)), *(
            _as_text(work, OFFER.c[name], common[name]) for name in _COMMON)]) + ")"), _OWN)
    for start in range(0, len(prices), AT_ONCE):
        rows = [price[:_OWN] for price in prices[start:start + AT_ONCE]]
        work.exec_driver_sql(statement, rows)
        advance(min(start + AT_ONCE, len(prices)), len(prices))


def _as_text(work: Connection, column: Any, value: Any) -> str:
    """Return a value as SQL text that is safe to stand in a statement for the driver."""
    text = str(literal(value, column.type).compile(
        dialect=work.dialect, compile_kwargs={"literal_binds": True}))
    return text.replace("{", "{{").replace("}", "}}")


def _stored(work: Connection, column: Any, value: Any) -> Any:
    """Return a value as the column's type gives it to the engine in use."""
    return column.type.process_bind_param(value, work.dialect)


def _withdraw(work: Connection, ids: Sequence[int], entered: Entered) -> None:
    if ids:
        at = _stored(work, OFFER.c.withdrawn_at, entered.at)
        work.exec_driver_sql(
            _filled(work, "UPDATE offer SET withdrawn_at = {0} WHERE id = {1}", 2),
            [(at, each) for each in ids])


def end_prices(
    work: Connection, offers: Iterable[tuple[int, str]], end_before: date, entered: Entered
) -> None:
    """End prices the day before a day: each is withdrawn and added again with that end.

    Args:
        work: the unit of work; the caller commits.
        offers: row and first day, as text, of each; one that has not begun is only withdrawn.
        end_before: first day on which they no longer hold.
        entered: who does it when, and why.
    """
    listed = list(offers)
    _withdraw(work, [number for number, _ in listed], entered)
    kept = ", ".join(_KEPT)
    statement = _filled(
        work, f"INSERT INTO offer ({kept}, to_date, entered_at, entered_by, entered_from) "
        f"SELECT {kept}, {{0}}, {{1}}, {{2}}, {{3}} FROM offer WHERE id = {{4}}", 5)
    common = (_stored(work, OFFER.c.to_date, end_before - timedelta(days=1)),
              _stored(work, OFFER.c.entered_at, entered.at), entered.by, entered.source)
    again = [(*common, number) for number, start in listed if start < end_before.isoformat()]
    if again:
        work.exec_driver_sql(statement, again)


def record_list(
    work: Connection, supplier: str, day: date, counts: dict[str, int], file: tuple[str, str],
    entered: Entered,
) -> int:
    """Write that a price list was read in; return its number.

    One that was read before on the same day keeps its row: what it brought is added to what it
    brought then, and the other counts are those of the last reading.

    Args:
        work: the unit of work; the caller commits.
        supplier: whose list it is.
        day: first day of the list.
        counts: new, changed, unchanged, unknown and refused rows.
        file: name and SHA-256 of the file.
        entered: who enters it when.
    """
    name, digest = file
    before = read_in_already(work, supplier, digest, day)
    if before is None:
        made = work.execute(insert(PRICE_LIST).values(
            supplier=supplier, file_name=name, file_sha256=digest, from_date=day,
            imported_at=entered.at, imported_by=entered.by, **counts))
        return int(made.inserted_primary_key[0])  # type: ignore[index]
    brought = before.new + before.changed
    work.execute(update(PRICE_LIST).where(PRICE_LIST.c.id == before.id).values(
        counts | {"new": before.new + counts["new"], "changed": before.changed + counts["changed"],
                  "unchanged": max(0, counts["unchanged"] - brought)}))
    return int(before.id)


def read_in_already(work: Connection, supplier: str, digest: str, day: date) -> Any:
    """Return the row of `price_list` of the same file, supplier and day, or None."""
    listed = PRICE_LIST.c
    return work.execute(select(PRICE_LIST).where(
        listed.supplier == supplier, listed.file_sha256 == digest, listed.from_date == day,
    )).first()


def kept_columns(work: Connection, supplier: str) -> str | None:
    """Return the text of the column map that is kept for a supplier."""
    found: str | None = work.scalar(
        select(PRICE_COLUMNS.c.text).where(PRICE_COLUMNS.c.supplier == supplier))
    return found


def keep_columns(work: Connection, supplier: str, text: str, entered: Entered) -> None:
    """Keep the text of a supplier's column map, if it is another than before."""
    if kept_columns(work, supplier) != text:
        put(work, PRICE_COLUMNS, {"supplier": supplier}, {"text": text, "changed_at": entered.at})


def _plain(work: Connection, statement: str, *values: Any) -> Iterable[tuple[Any, ...]]:
    """Return rows as the driver gives them: a third of the time of the library's own rows."""
    found: Any = work.exec_driver_sql(_filled(work, statement, len(values)), values)
    rows: Iterable[tuple[Any, ...]] = found.cursor
    return rows


def _filled(work: Connection, statement: str, values: int) -> str:
    """Return a statement with the driver's own signs for values in the places {0}, {1}, ..."""
    sign = "?" if work.dialect.paramstyle == "qmark" else "%s"
    return statement.format(*[sign] * values)
