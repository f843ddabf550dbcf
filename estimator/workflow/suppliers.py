"""Who is a supplier, and what is told of one that is none."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import Connection, select

from catalogue.problems import Place, Problem, ProblemsFound, suggestion
from catalogue.tables import SUPPLIER


def unknown_supplier(name: str, sellers: Iterable[str], or_else: str = "") -> ProblemsFound:
    """Return what is told of a supplier that is not known, and what else may be done."""
    mends = (suggestion(name, sellers), or_else)
    return ProblemsFound([Problem("A212", Place("--supplier"), f"'{name}' is no known supplier",
                                  " or else ".join(mend for mend in mends if mend))])


def known_supplier(work: Connection, supplier: str) -> None:
    """Refuse a supplier that is not known.

    Raises:
        ProblemsFound: A212.
    """
    sellers = set(work.scalars(select(SUPPLIER.c.name)))
    if supplier not in sellers:
        raise unknown_supplier(supplier, sellers)
