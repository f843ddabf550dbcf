"""What may stand in for an item of the catalogue on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from catalogue import db
from catalogue.items import Item, Offer
from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.substitutes import Candidate, substitutes_for


@dataclass(frozen=True)
class Substitutes:
    """An item, the role to be served ("" for all of its roles), and the candidates, ranked."""

    item: Item
    role: str
    on: date
    offer: Offer | None
    candidates: tuple[Candidate, ...]


def substitutes_of(database: str | None, code: str, role: str, on: date) -> Substitutes:
    """Return every item that might stand in for another, with the verdict on each hard field.

    Raises:
        ProblemsFound: E301 if there is no such item, E308 if it does not serve the role.
    """
    engine = db.open_database(database)
    try:
        with db.session(engine, write=False) as work:
            prices = db.load_price_book(work, on)
    finally:
        engine.dispose()
    where = Place(db.shown(database))
    item = prices.items.get(code)
    if item is None:
        raise ProblemsFound([Problem(
            "E301", where, f"there is no item '{code}'",
            suggestion(code, prices.items) or "see: estimator catalogue find WORDS")])
    if role and role not in item.roles:
        raise ProblemsFound([Problem(
            "E308", where, f"{code} does not serve as '{role}'", suggestion(role, item.roles))])
    return Substitutes(
        item, role, on, prices.offer(code), substitutes_for(item, role, prices))
