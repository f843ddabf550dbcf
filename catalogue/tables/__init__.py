"""Every table of the program, one file per subject, all on one metadata.

`base` has the metadata and the names of constraints, `columns` the types that hold exactly what
they are given. `items` (with roles and box contents), `offers` (with suppliers), `jobs` (with the
revisions of their estimates) and `firm` (what the database knows about itself) are the tables.
Rows hold what is stored; the values that stages use are in `catalogue.items` and
`catalogue.price_book`, and `catalogue.loading` makes them. No query belongs here, and no table may
be changed without a step under `alembic/versions`.
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
