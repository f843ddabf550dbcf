"""A whole catalogue file as values: suppliers, items with their offers, box contents, carriage.

The starter catalogue, an import and one item added by hand are all read here. Every mistake is
gathered; a row with one is left out of the values and counted as refused.

Codes of the problems, beside those of `rows`: L110 unknown family or sheet, L111 the same row
twice, L114 cells of a row that contradict each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from catalogue.columns import OFFER_COLUMNS, OTHER_SHEETS, columns_of
from catalogue.items import Carriage, Item
from catalogue.money import Money
from catalogue.problems import Place, Problem, suggestion
from catalogue.rows import RawSheet, ReadRow, header_problems, read_row
from catalogue.specs import FAMILIES, HEADS

OfferKey = tuple[str, str, Decimal, Decimal, str, date | None]
BoxKey = tuple[str, str, date]
CarriageKey = tuple[str, str, str, date]


@dataclass(frozen=True, slots=True)
class SupplierEntry:
    """A supplier and the days a delivery usually takes."""

    name: str
    lead_days: int
    note: str = ""
    place: Place = field(default=Place(), compare=False)


@dataclass(frozen=True, slots=True)
class OfferEntry:
    """An offer as a file gives it; dates are None in an item's own row."""

    item: str
    supplier: str
    pack: Decimal
    price: Money
    lead_days: int | None = None
    supplier_code: str = ""
    from_date: date | None = None
    to_date: date | None = None
    per: Decimal | None = None
    least: Decimal = Decimal(0)
    cut_charge: Money | None = None
    carriage_class: str = ""
    place: Place = field(default=Place(), compare=False)

    @property
    def key(self) -> OfferKey:
        """Return what tells offers in use apart."""
        return (self.item, self.supplier, self.pack, self.least, self.price.currency,
                self.from_date)

    @property
    def series(self) -> tuple[object, ...]:
        """Return what tells offers apart that stand side by side; of a series the newest holds."""
        return self.key[:-1]

    @property
    def plain(self) -> bool:
        """Return whether an item's own row can hold it: one pack at one price."""
        return not (self.per or self.least or self.cut_charge or self.carriage_class)


@dataclass(frozen=True, slots=True)
class ItemEntry:
    """An item, without box contents, and the offer in its row."""

    item: Item
    offer: OfferEntry | None = None
    place: Place = field(default=Place(), compare=False)


@dataclass(frozen=True, slots=True)
class BoxEntry:
    """So many of one item in the box of another, between two dates."""

    box: str
    item: str
    quantity: int
    from_date: date
    to_date: date | None = None
    place: Place = field(default=Place(), compare=False)

    @property
    def key(self) -> BoxKey:
        """Return what tells box contents apart."""
        return self.box, self.item, self.from_date


@dataclass(frozen=True, slots=True)
class CarriageEntry:
    """A charge for bringing orders, as a file gives it."""

    charge: Carriage
    place: Place = field(default=Place(), compare=False)

    @property
    def supplier(self) -> str:
        """Return whose charge it is."""
        return self.charge.supplier

    @property
    def from_date(self) -> date:
        """Return the first day."""
        return self.charge.from_date

    @property
    def to_date(self) -> date | None:
        """Return the last day; None = open."""
        return self.charge.to_date

    @property
    def key(self) -> CarriageKey:
        """Return what tells charges in use apart."""
        own = self.charge
        return own.supplier, own.carriage_class, own.charge.currency, own.from_date

    @property
    def name(self) -> str:
        """Return the charge in words."""
        of_what = f" of {self.charge.carriage_class}" if self.charge.carriage_class else ""
        return f"carriage{of_what} by {self.supplier} from {self.from_date}"


@dataclass
class Listing:
    """What a file holds. `refused` counts rows with a problem; they are in none of the lists."""

    suppliers: dict[str, SupplierEntry] = field(default_factory=dict)
    items: dict[str, ItemEntry] = field(default_factory=dict)
    boxes: dict[BoxKey, BoxEntry] = field(default_factory=dict)
    offers: dict[OfferKey, OfferEntry] = field(default_factory=dict)
    carriage: dict[CarriageKey, CarriageEntry] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    refused: int = 0
    refused_codes: set[str] = field(default_factory=set)

    def refuse(self, problems: Iterable[Problem]) -> None:
        """Count one row as refused."""
        self.problems.extend(problems)
        self.refused += 1


def read_listing(sheets: Iterable[RawSheet], currency: str) -> Listing:
    """Return what the sheets hold, suppliers first; `references` checks whom they name."""
    listing = Listing()
    for sheet in sorted(sheets, key=_order):
        listing.problems.extend(sheet.problems)
        listing.refused += sheet.refused
        if sheet.name not in _ORDER:
            listing.problems.append(Problem(
                "L110", sheet.place(""), f"'{sheet.name}' is neither a family nor a known sheet",
                suggestion(sheet.name, _ORDER) or "the sheets are: " + ", ".join(_ORDER)))
            continue
        columns = OTHER_SHEETS.get(sheet.name) or columns_of(sheet.name)
        wrong = header_problems(sheet, columns)
        listing.problems.extend(wrong)
        if any(problem.code == "L104" for problem in wrong):
            listing.refused += len(sheet.rows)
            continue
        for row in sheet.rows:
            _take(listing, sheet.name, read_row(row, columns), currency)
    return listing


_ORDER = ("suppliers", *FAMILIES, "boxes", "offers", "carriage")


def _order(sheet: RawSheet) -> int:
    return _ORDER.index(sheet.name) if sheet.name in _ORDER else len(_ORDER)


def _take(listing: Listing, sheet: str, read: ReadRow, currency: str) -> None:
    """Put one row where it belongs, or refuse it."""
    code = read.values.get("code", "")
    if not read.problems and sheet in FAMILIES:
        read.problems.extend(_contradictions(read))
    if not read.problems and sheet == "carriage":
        read.problems.extend(_no_least_order_of_a_class(read))
    if read.problems:
        if code:
            listing.refused_codes.add(code)
        listing.refuse(read.problems)
        return
    values, place = read.values, read.row.place("")
    if sheet == "suppliers":
        _once(listing, listing.suppliers, values["name"], SupplierEntry(**values, place=place))
    elif sheet == "boxes":
        box = BoxEntry(values["box"], values["item"], values["quantity"], values["from"],
                       values.get("to"), place)
        _once(listing, listing.boxes, box.key, box)
    elif sheet == "offers":
        offer = _offer(values, values["item"], values["currency"], read)
        _once(listing, listing.offers, offer.key, offer)
    elif sheet == "carriage":
        charge = CarriageEntry(_carriage(values), place)
        _once(listing, listing.carriage, charge.key, charge)
    else:
        own = _offer(values, code, currency, read) if "price" in values else None
        _once(listing, listing.items, code, ItemEntry(_item(sheet, values), own, place))


def _once(listing: Listing, into: dict[Any, Any], key: Any, entry: Any) -> None:
    if key in into:
        name = key if isinstance(key, str) else f"the pair of {key[0]} and {key[1]}"
        name = entry.name if isinstance(entry, CarriageEntry) else name
        listing.refuse([Problem("L111", entry.place, f"{name} is listed a second time",
                                f"the first is at {into[key].place}")])
        return
    into[key] = entry


def _contradictions(read: ReadRow) -> Iterator[Problem]:
    """Yield what the cells of an item's row say against each other."""
    values = read.values
    given = [name for name in ("supplier", "pack", "price") if name in values]
    if not values.get("sold_apart", True) and given:
        yield Problem("L114", read.row.place(given[0]),
                      f"{given[0]}: an item that is not sold apart has no price",
                      "leave supplier, pack and price blank, or write sold_apart yes")
    elif 0 < len(given) < 3:
        missing = next(n for n in ("supplier", "pack", "price") if n not in values)
        yield Problem("L114", read.row.place(missing), f"{missing}: an offer needs supplier, pack "
                      "and price", "give all three, or none if no price is known")


def _no_least_order_of_a_class(read: ReadRow) -> Iterator[Problem]:
    if "carriage_class" in read.values and "least_order" in read.values:
        yield Problem("L114", read.row.place("least_order"), "least_order: only the order itself "
                      "has one, and this row is of a class", "give it in the row without a class")


def _carriage(values: Mapping[str, Any]) -> Carriage:
    def money(name: str) -> Money | None:
        return Money.of(values[name], values["currency"]) if name in values else None

    return Carriage(
        values["supplier"], values.get("carriage_class", ""),
        Money.of(values["charge"], values["currency"]), values["from"], values.get("to"),
        money("free_from"), money("least_order"))


def _item(family: str, values: Mapping[str, Any]) -> Item:
    columns = columns_of(family)
    spec = {c.name: values[c.name] for c in columns if c.of_spec and c.name in values}
    own = {
        c.name: values[c.name] for c in columns
        if c.of_item and c.name in values and c.name not in OFFER_COLUMNS
    }
    own.setdefault("head", HEADS[family])
    return Item(family=family, spec=FAMILIES[family].model_validate(spec), **own)


def _offer(values: Mapping[str, Any], item: str, currency: str, read: ReadRow) -> OfferEntry:
    return OfferEntry(
        item=item, supplier=values["supplier"], pack=values["pack"],
        price=Money.of(values["price"], currency), lead_days=values.get("lead_days"),
        supplier_code=values.get("supplier_code", ""), from_date=values.get("from"),
        to_date=values.get("to"), per=values.get("per"), least=values.get("least", Decimal(0)),
        cut_charge=Money.of(values["cut_charge"], currency) if "cut_charge" in values else None,
        carriage_class=values.get("carriage_class", ""), place=read.row.place("supplier"),
    )
