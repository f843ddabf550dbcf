"""docs/practice.md: every practice value and table with its source, standing and dates."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.practice.pack import Practice
from estimator.practice.reading import PracticeValue
from estimator.practice.tables import PracticeTable
from tools.markdown import code, page, table
from tools.standard_book import packs

HEADS = (
    "Name", "Value", "Unit", "Meaning", "From", "To", "Standing", "Source", "Who decides")


def practice_page() -> str:
    """Return the page."""
    return page(
        "Practice values",
        "Limits, factors and rates that the rules and checks read as `practice.NAME`, and printed "
        "tables. They are check values: the standard itself, the maker's manual, the local code "
        "and the competent licensed person decide. A firm's own folder `practice` replaces a value "
        "or a table by its name.",
        [section for country, pack in packs().items() for section in _sections(country, pack)])


def _sections(country: str, pack: Practice) -> Iterator[str]:
    values = [each for dated in pack.values.values() for each in dated]
    tables = [each for dated in pack.tables.values() for each in dated]
    stated: list[PracticeValue | PracticeTable] = [*values, *tables]
    for file in sorted({each.where.file for each in stated}):
        yield f"## {country}: `estimator/{file}`"
        own = [value for value in values if value.where.file == file]
        if own:
            yield table(HEADS, map(_row, own))
        for each in tables:
            if each.where.file == file:
                yield from _table(each)


def _row(value: PracticeValue) -> tuple[str, ...]:
    shown = str(value.value).lower() if isinstance(value.value, bool) else str(value.value)
    return (
        code(value.name), shown, value.unit, value.meaning, str(value.from_date),
        str(value.to_date or ""), value.standing, value.source, value.decides)


def _table(each: PracticeTable) -> Iterator[str]:
    until = f" to {each.to_date}" if each.to_date else ""
    unit = f", in {each.unit}" if each.unit else ""
    decides = f" Who decides: {each.decides}." if each.decides else ""
    yield (
        f"### Table {code(each.name)}\n\n{each.meaning}{unit}. From {each.from_date}{until}; "
        f"{each.standing}: {each.source}.{decides}")
    rows = (["" if cell is None else str(cell) for cell in row] for row in each.rows)
    yield table(each.columns, rows)
