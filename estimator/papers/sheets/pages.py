"""A page of a sheet as cells: what stands in them, and which are to be written on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.papers.digits import plain

KEY = "Row"  # the last column of a page that is written on: which row of the sheet it is
IDENTITY = "Sheet"  # the hidden page that says which sheet it is
ALL = "all"
YES = "yes"


@dataclass(frozen=True, slots=True)
class Box:
    """A cell to be written on.

    Attributes:
        kind: "number" also takes the words; "word" takes nothing else; "lengths" takes a number or
            a list of them as text; "reading" what an instrument shows, such as 492.3 or >200, or
            one of the words; "day" a date.
        words: what may be chosen.
    """

    kind: Literal["number", "text", "word", "lengths", "reading", "day"] = "text"
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sum:
    """A formula; {r} stands for its row, {COLUMN} for the letter of a column."""

    text: str


Content = str | int | Decimal | Box | Sum | None


@dataclass(frozen=True, slots=True)
class Heading:
    """A column: its heading and its width in characters."""

    title: str
    width: float


@dataclass(frozen=True, slots=True)
class Row:
    """A row: a line with a key if it is written on, or a band that heads others."""

    cells: tuple[Content, ...]
    key: str = ""
    style: Literal["row", "band"] = "row"


@dataclass(frozen=True)
class Page:
    """One page: what it is, its remarks, its columns and rows."""

    name: str
    title: str
    about: str
    notes: tuple[str, ...]
    columns: tuple[Heading, ...]
    rows: tuple[Row, ...]
    written_on: bool = False

    @property
    def headings(self) -> tuple[Heading, ...]:
        """Return the columns, with that of the keys if it is written on."""
        return (*self.columns, Heading(KEY, 7)) if self.written_on else self.columns

    @property
    def header_row(self) -> int:
        """Return the row of the headings, from 1."""
        return 3 + len(self.notes) + 1

    def column(self, title: str) -> int:
        """Return the number of a column, from 1."""
        return [each.title for each in self.headings].index(title) + 1

    def cells(self, row: Row) -> tuple[Content, ...]:
        """Return what stands in a row, with its key."""
        filled = (*row.cells, *[None] * (len(self.columns) - len(row.cells)))
        return (*filled, row.key or None) if self.written_on else filled

    def head(self) -> tuple[str, ...]:
        """Return the lines above the headings."""
        return (self.title, self.about, *self.notes)

    def formula(self, total: Sum, row: int) -> str:
        """Return a formula as it stands in a row, from 1."""
        text = total.text.replace("{r}", str(row))
        for number, each in enumerate(self.headings):
            text = text.replace("{" + each.title + "}", letter(number))
        return text


def letter(number: int) -> str:
    """Return the letters of a column counted from 0."""
    first, last = divmod(number, 26)
    return (chr(ord("A") + first - 1) if first else "") + chr(ord("A") + last)


def shown(content: Content) -> str:
    """Return what a locked cell shows, as text; "" for nothing."""
    if isinstance(content, Decimal):
        return plain(content)
    return "" if content is None or isinstance(content, Box | Sum) else str(content)


def keyed(page: Page) -> Iterator[Row]:
    """Yield the rows that are written on."""
    return (row for row in page.rows if row.key)


def band(text: str, columns: Sequence[Heading]) -> Row:
    """Return a row that heads others."""
    return Row((text, *[None] * (len(columns) - 1)), style="band")
