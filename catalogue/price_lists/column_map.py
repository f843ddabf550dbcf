"""How one supplier's price list is laid out, as a small TOML text that is kept for the supplier.

```toml
currency = "GBP"
decimal_mark = "."                    # or ","
date_order = "day month year"         # of dates that are text
price_per = "pack"                    # or a quantity such as "100", or "" where a column says it

[columns]                             # field -> header, or "column F"
code = "Part no"
name = "Description"
price = "Net price"
pack = "Pack qty"

[price_breaks]                        # quantity from which on -> column of that price
10 = "Price 10+"
```

An exchange file names its own fields; its map needs the currency alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import MISSING as NO_DEFAULT
from dataclasses import dataclass, field, fields
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Literal, get_type_hints

from annotated_types import Ge, Gt, Le

from catalogue.answers import MISSING, OUT_OF_RANGE, WRONG_KIND, Asked, asked_for
from catalogue.problems import ProblemsFound
from catalogue.table_reader import TableReader
from catalogue.toml_source import TomlSource, parse_toml, read_toml

FIELDS: Mapping[str, str] = {
    "code": "the supplier's part number",
    "item": "the firm's own code",
    "name": "description",
    "unit": "what the quantities count, or what the price is for (each, m, per 100, pack)",
    "pack": "how many are sold together",
    "per": "how many the price is for",
    "least": "the price holds from this quantity on",
    "price": "net price",
    "currency": "currency of the row",
    "cut_charge": "charge for a length cut to measure",
    "carriage_class": "class of carriage",
    "lead_days": "days from order to delivery",
    "from_date": "first day of the price",
    "to_date": "last day of the price",
}
NEEDED = ("code", "price")
BY_LETTER = re.compile(r"column ([A-Za-z]{1,3})")
PACK = "pack"
TWO_FIELDS, NOT_SAID = 7, 8
_TABLES = ("columns", "price_breaks", "carriage_classes")
_MENDS = {
    "currency": 'three capitals, such as "GBP"',
    "price_per": 'write "pack", a quantity such as "100", or "" where a column says it',
}
_QUANTITY = re.compile(r"[0-9]{1,9}(\.[0-9]{1,3})?")
_ESCAPES = {'"': '\\"', "\\": "\\\\"}


@dataclass(frozen=True, slots=True)
class FieldSet:
    """Which fields a kind of table has.

    Attributes:
        meanings: field -> what it holds.
        titles: field -> what its column may be called, the likelier first.
        lacks: yields in words what such a table cannot be read without and a map does not say.
        mend: what to say on the command line where the header does not tell enough; `{first}` is
            filled in with the first title.
        filled_in: two fields of every row.
    """

    meanings: Mapping[str, str]
    titles: Mapping[str, Sequence[str]]
    lacks: Callable[[ColumnMap], Iterator[str]]
    mend: str
    filled_in: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Written:
    """How a value of the map is written, beside its kind."""

    pattern: str = ""
    decimal_places: int | None = None


@dataclass(frozen=True)
class ColumnMap:
    """How a price list is laid out; what is in a file is checked by `column_map_from`.

    Attributes:
        currency: of every price; a row that says another is refused.
        columns: field of `FIELDS` -> header, or "column F". Headers are compared without regard
            to capitals and spaces.
        price_breaks: quantity in units -> column of the price that holds from it on; a blank cell
            is no such price.
        carriage_classes: word of the list -> the firm's name of the class; without it the list's
            words are the classes.
        sheet: name of the sheet; "" is the only one that holds anything.
        header_row: row of the header, counted from 1; None is the first that names all columns.
        price_per: "pack", or a quantity in units such as "100"; "" where the column `per` or
            `unit` says it, or where every pack is one unit.
        pack: units sold together where no column says it.
        codes: "text" refuses a part number that is a number in a workbook's cell, since it may
            have lost leading zeros; "numbers" takes it if it is whole.
        hidden_rows: "refuse" or "read": whoever looked the list over did not see them.
        free_items: whether a price of nought is a price.
        delimiter, encoding: of a text file; "" is found.
        price_type: of an exchange file that holds several kinds of price, such as "net_list".
        skip_words: a row whose first text begins with one of them holds no price, as with "total".
    """

    currency: Annotated[str, Written(r"[A-Z]{3}")]
    columns: Mapping[str, str] = field(default_factory=dict)
    price_breaks: Mapping[str, str] = field(default_factory=dict)
    carriage_classes: Mapping[str, str] = field(default_factory=dict)
    sheet: str = ""
    header_row: Annotated[int | None, Ge(1), Le(1000)] = None
    decimal_mark: Literal[".", ","] = "."
    date_order: Literal["year month day", "day month year", "month day year"] = "year month day"
    price_per: Annotated[str, Written(r"|pack|[0-9]{1,9}(\.[0-9]{1,3})?")] = ""
    pack: Annotated[Decimal, Gt(0), Le(1_000_000), Written(decimal_places=3)] = Decimal(1)
    codes: Literal["text", "numbers"] = "text"
    hidden_rows: Literal["refuse", "read"] = "refuse"
    free_items: bool = False
    delimiter: Literal["", ",", ";", "\t", "|"] = ""
    encoding: Literal["", "utf-8", "cp1252", "utf-16"] = ""
    price_type: str = ""
    skip_words: tuple[str, ...] = ()

    def lacks(self) -> Iterator[str]:
        """Yield in words what a table cannot be read without, and what only the firm can say."""
        for name in NEEDED:
            if name not in self.columns and not (name == "price" and self.price_breaks):
                words = FIELDS[name].removeprefix("the ")
                yield f"which column holds the {words} ({name})"
        per_said = self.price_per or "per" in self.columns or "unit" in self.columns
        if not per_said and ("pack" in self.columns or self.pack != 1):
            yield "whether a price is for one pack or for so many units (price_per)"

    def to_toml(self) -> str:
        """Return the map as TOML text; what is as if left out is left out."""
        plain, tables = [], []
        for each in fields(self):
            name, value = each.name, getattr(self, each.name)
            if name in _TABLES:
                if value:
                    tables += [f"\n[{name}]", *(
                        f"{_key(key)} = {_written(text)}" for key, text in value.items())]
            elif value != each.default:
                plain.append(f"{name} = {_written(value)}")
        return "\n".join([*plain, *tables]) + "\n"


def read_column_map(
    path: Path, shown_as: str | None = None, about: FieldSet | None = None
) -> ColumnMap:
    """Read a column map from a file; see `column_map_from`."""
    return column_map_from(read_toml(path, shown_as), about)


def parse_column_map(
    text: str, shown_as: str = "the column map", about: FieldSet | None = None
) -> ColumnMap:
    """Read a column map from text, as it is kept; see `column_map_from`."""
    return column_map_from(parse_toml(text, shown_as), about)


def column_map_from(source: TomlSource, about: FieldSet | None = None) -> ColumnMap:
    """Return the column map that a TOML file holds, of a price list if nothing else is said.

    Raises:
        ProblemsFound: with every mistake: T001 to T004 for what is not readable TOML, A001 unknown
            key, A002 wrong kind of value, A003 wrong word, A004 out of range or ill written, A005
            wrong shape, A006 missing, A007 a column given to two fields, A008 something that only
            the firm can say is not said.
    """
    fields_known = FIELDS if about is None else about.meanings
    lacks = ColumnMap.lacks if about is None else about.lacks
    reader = TableReader(source, "A")
    reader.keys(source.data, (), [each.name for each in fields(ColumnMap)],
                dict.fromkeys(fields_known, "[columns]"))
    data = _plain_fields(reader)
    for name in _TABLES:
        data[name] = _texts(reader, name)
    reader.keys(data["columns"], ("columns",), fields_known)
    _price_breaks(reader, data["price_breaks"])
    _two_fields(reader, [("columns", data["columns"]), ("price_breaks", data["price_breaks"])])
    if not reader.problems:
        read = ColumnMap(**data)
        if not read.columns:
            return read
        for lacking in lacks(read):
            reader.tell(NOT_SAID, ("columns",), f"the map does not say {lacking}",
                        "look at the price list and write it down")
    if reader.problems:
        raise ProblemsFound(reader.in_file_order())
    return read


@cache
def _asked() -> Mapping[str, Asked]:
    """Return what each key beside the tables asks for."""
    return {name: asked_for(annotation)
            for name, annotation in get_type_hints(ColumnMap, include_extras=True).items()
            if name not in _TABLES}


def _plain_fields(reader: TableReader) -> dict[str, Any]:
    """Return the keys beside the tables, as the map holds them; what does not fit is told."""
    given, read = reader.source.data, {}
    needed = {each.name for each in fields(ColumnMap)
              if each.default is each.default_factory is NO_DEFAULT}
    for name, asked in _asked().items():
        if name not in given:
            if name in needed:
                reader.tell(MISSING, (name,), "this key is missing",
                            f"give {name}: {_MENDS.get(name) or asked}")
        elif reader.value(given[name], asked, (name,), _MENDS.get(name, "")):
            value = given[name]
            read[name] = (tuple(value) if asked.is_list else
                          Decimal(value) if asked.kind == "number" else value)
    return read


def _texts(reader: TableReader, name: str) -> dict[str, str]:
    """Return a table of texts; what is none is told."""
    texts: dict[str, str] = {}
    for key, value in reader.table(reader.source.data.get(name, {}), (name,)).items():
        blank_is_sound = name == "carriage_classes"  # the ordinary class has no name
        if not isinstance(value, str) or not (value.strip() or blank_is_sound):
            reader.tell(WRONG_KIND, (name, key), "a text is needed here", f'write {key} = "..."')
        else:
            texts[key] = value
    return texts


def _price_breaks(reader: TableReader, breaks: Mapping[str, str]) -> None:
    for quantity in breaks:
        if not _QUANTITY.fullmatch(quantity) or not Decimal(quantity):
            reader.tell(OUT_OF_RANGE, ("price_breaks", quantity), "this is no quantity of units",
                        'write the least quantity, such as 10 = "Price 10+"')


def _two_fields(reader: TableReader, tables: list[tuple[str, Mapping[str, str]]]) -> None:
    seen: dict[str, str] = {}
    for table, columns in tables:
        for name, header in columns.items():
            first = seen.setdefault(plain_words(header), name)
            if first != name:
                reader.tell(TWO_FIELDS, (table, name), f"this column already holds {first}",
                            "name another column, or leave one out")


def plain_words(text: str) -> str:
    """Return a header as it is compared: small letters, single spaces, no marks at the ends."""
    return " ".join(text.casefold().split()).strip(" .:*#")


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else _written(key)


def _written(value: Any) -> str:
    """Return a value as TOML writes it."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return '"' + "".join(map(_escaped, value)) + '"'
        case tuple():
            return "[" + ", ".join(map(_written, value)) + "]"
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _escaped(sign: str) -> str:
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    return f"\\u{ord(sign):04X}" if ord(sign) < 32 or ord(sign) == 127 else sign
