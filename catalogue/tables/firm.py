"""What the database knows about itself."""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Text
from sqlalchemy.orm import Mapped, mapped_column

from catalogue.tables.base import STRICT, Base


class FirmMeta(Base):
    """A named remark about the database: which starter catalogue was loaded, which currency."""

    __tablename__ = "firm_meta"
    __table_args__ = (CheckConstraint("name <> ''", name="name_given"), STRICT)

    name: Mapped[str] = mapped_column(Text, primary_key=True)
    value: Mapped[str] = mapped_column(Text)
