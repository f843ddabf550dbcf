"""Every table of the program, one file per subject, all on one metadata.

Rows are read into the values that stages use, in `items` and `price_book`, and there is no class
for a row: mapping tables to classes would take a tenth of the time of a quote and give nothing.
No table may be changed here without a step under `alembic/versions`.
"""

from catalogue.tables.base import metadata
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
    "BOX_PART", "CARRIAGE", "DELIVERY", "DELIVERY_LINE", "FIRM_META", "ITEM", "ITEM_ROLE", "JOB",
    "JOB_EVENT", "KEPT_TEXT", "LEVEL", "LOT", "MOVE", "OFFER", "PLACE", "PRICE_COLUMNS",
    "PRICE_LIST", "PURCHASE_EVENT", "PURCHASE_LINE", "PURCHASE_LINE_JOB", "PURCHASE_ORDER",
    "RESERVATION", "REVISION", "REVISION_BASIS", "SHELF_RULE", "STOCK_SHEET", "STOCK_SHEET_READ",
    "SUPPLIER", "SUPPLIER_ITEM", "WORTH", "metadata",
]
