"""The typed rows say of every column what the tables say."""

from __future__ import annotations

import types
import typing

import pytest
from sqlalchemy.orm import Mapped

from catalogue import tables
from catalogue.tables import job_record_rows, order_rows, rows, stock_rows, stock_sheet_rows

# All are among its sub-classes.
assert {each.Base for each in (job_record_rows, order_rows, stock_rows, stock_sheet_rows)} == {
    rows.Base}
ROWS = rows.Base.__subclasses__()


def test_every_table_but_the_programs_own_notes_has_a_row() -> None:
    assert {row.__table__ for row in ROWS} | {tables.FIRM_META} == set(
        tables.metadata.tables.values())


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.__name__)
def test_a_row_types_its_columns_as_they_are_stored(row: type[rows.Base]) -> None:
    hints = {
        name: typing.get_args(hint)[0]
        for name, hint in typing.get_type_hints(row).items()
        if typing.get_origin(hint) is Mapped and name in row.__table__.c
    }
    assert set(hints) == set(row.__table__.c.keys())
    for name, column in row.__table__.c.items():
        kinds = typing.get_args(hints[name]) or (hints[name],)
        assert (types.NoneType in kinds) == column.nullable, name
        assert column.type.python_type in kinds, name
