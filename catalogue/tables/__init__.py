"""Every table of the program, one file per subject, all on one metadata.

Rows are read into the values that stages use, in `items` and `price_book`, and there is no class
for a row: mapping tables to classes would take a tenth of the time of a quote and give nothing.
Nor does a quote need the tables of stock, orders and what happened on jobs, which are made when
they are first asked for; whoever asks for the metadata gets all tables.
No table may be changed here without a step under `alembic/versions`.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from catalogue.tables.firm import FIRM_META
from catalogue.tables.items import BOX_PART, ITEM, ITEM_ROLE
from catalogue.tables.jobs import JOB, JOB_EVENT, KEPT_TEXT, REVISION, REVISION_BASIS
from catalogue.tables.offers import (
    CARRIAGE,
    OFFER,
    PRICE_COLUMNS,
    PRICE_LIST,
    SUPPLIER,
    SUPPLIER_ITEM,
)

if TYPE_CHECKING:
    from catalogue.tables.base import metadata
    from catalogue.tables.close_out import CLOSE_OUT_READ, CLOSE_OUT_SHEET
    from catalogue.tables.job_record import (
        CUSTOMER_PAYMENT,
        INVOICE,
        INVOICE_LINE,
        JOB_DAY,
        PLAN_LINE,
        QUOTED,
        READING,
        TIME_FILE,
        TIME_LINE,
        VARIATION,
        VARIATION_EVENT,
    )
    from catalogue.tables.orders import (
        DELIVERY,
        DELIVERY_LINE,
        PURCHASE_EVENT,
        PURCHASE_LINE,
        PURCHASE_LINE_JOB,
        PURCHASE_ORDER,
    )
    from catalogue.tables.stock import LEVEL, LOT, MOVE, PLACE, RESERVATION, SHELF_RULE, WORTH
    from catalogue.tables.stock_sheets import STOCK_SHEET, STOCK_SHEET_READ

__all__ = [
    "BOX_PART", "CARRIAGE", "CLOSE_OUT_READ", "CLOSE_OUT_SHEET", "CUSTOMER_PAYMENT", "DELIVERY",
    "DELIVERY_LINE", "FIRM_META", "INVOICE", "INVOICE_LINE", "ITEM", "ITEM_ROLE", "JOB", "JOB_DAY",
    "JOB_EVENT", "KEPT_TEXT", "LEVEL", "LOT", "MOVE", "OFFER", "PLACE", "PLAN_LINE",
    "PRICE_COLUMNS", "PRICE_LIST", "PURCHASE_EVENT", "PURCHASE_LINE", "PURCHASE_LINE_JOB",
    "PURCHASE_ORDER", "QUOTED", "READING", "RESERVATION", "REVISION", "REVISION_BASIS",
    "SHELF_RULE", "STOCK_SHEET", "STOCK_SHEET_READ", "SUPPLIER", "SUPPLIER_ITEM", "TIME_FILE",
    "TIME_LINE", "VARIATION", "VARIATION_EVENT", "WORTH", "metadata",
]

_WHEN_ASKED_FOR = ("stock", "stock_sheets", "orders", "job_record", "close_out")


def __getattr__(name: str) -> Any:
    """Return a table that is made when it is first asked for, or the metadata of all tables."""
    if name not in __all__:
        raise AttributeError(f"there is no table {name} here")
    # All of them, since a key of one names another.
    made = [import_module(f"catalogue.tables.{each}") for each in _WHEN_ASKED_FOR]
    if name == "metadata":
        return import_module("catalogue.tables.base").metadata
    return next(vars(each)[name] for each in made if name in vars(each))
