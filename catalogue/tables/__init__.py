"""Every table of the program, one file per subject, all on one metadata.

Rows hold what is stored; the values that stages use are in `items`, `offers` and `price_book`.
No table may be changed here without a step under `alembic/versions`.
"""

from catalogue.tables.base import Base
from catalogue.tables.firm import FirmMeta
from catalogue.tables.items import BoxPartRow, ItemRoleRow, ItemRow
from catalogue.tables.jobs import JobRow, RevisionRow
from catalogue.tables.offers import OfferRow, SupplierRow

__all__ = [
    "Base", "BoxPartRow", "FirmMeta", "ItemRoleRow", "ItemRow", "JobRow", "OfferRow",
    "RevisionRow", "SupplierRow",
]
