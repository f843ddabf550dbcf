"""What a typed-in value must be, and in plain words what is wrong with one that is not.

A field of a model says what is asked: yes or no, a whole number, a number, one word of a few, a
text, a date. `misfit` compares a value as read from a file with that. Nothing is converted: a
number in quotes is a mistake that is told, not a number.
"""

from __future__ import annotations

import enum
import re
import types
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import annotated_types

from catalogue.problems import suggestion
from catalogue.validation import shown

Kind = Literal["yes or no", "whole number", "number", "word", "text", "date"]
UNKNOWN_KEY, WRONG_KIND, WRONG_WORD, OUT_OF_RANGE, WRONG_SHAPE, MISSING = 1, 2, 3, 4, 5, 6

_KINDS: dict[type, Kind] = {
    bool: "yes or no", int: "whole number", Decimal: "number", str: "text", date: "date",
}
# Characters that move a terminal's cursor, turn the direction of reading, or stand in no file of a
# spreadsheet; line breaks and tabs are none of them.
_HIDING = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufffe\uffff]")
_YES = ("yes", "y", "true", "t")
_NO = ("no", "n", "false", "f", "none")


@dataclass(frozen=True, slots=True)
class Asked:
    """What a field asks for.

    Attributes:
        kind: yes or no, whole number, number, word, text or date.
        unit: unit of a number ("m", "A"), or "".
        words: the vocabulary of a word.
        least, most: the range of a number; `above`, `below`: the same, the bound left out.
        decimals: most decimal places of a number, or None.
        pattern: regular expression that a text must match, or "".
        is_list: whether a list of such values is asked for.
        short_forms: short forms of the trade, in small letters -> the word they stand for.
        with_words: whether the value may stand in a table beside the words of the survey.
    """

    kind: Kind
    unit: str = ""
    words: tuple[str, ...] = ()
    least: Decimal | None = None
    most: Decimal | None = None
    above: Decimal | None = None
    below: Decimal | None = None
    decimals: int | None = None
    pattern: str = ""
    is_list: bool = False
    short_forms: Mapping[str, str] = field(default_factory=dict)
    with_words: bool = False

    def __str__(self) -> str:
        """Return it in words: "number in m, 0 to 1000"."""
        if self.kind == "word":
            words = ", ".join(f'"{word}"' for word in self.words)
            return f"{'some' if self.is_list else 'one'} of: {words}"
        if self.is_list:
            return f"list of {self.kind}s"
        unit = f" in {self.unit}" if self.unit else ""
        limits = self.limits()
        return f"{self.kind}{unit}" + (f", {limits}" if limits else "")

    def limits(self) -> str:
        """Return the range in words, or ""."""
        low = self.least if self.least is not None else self.above
        high = self.most if self.most is not None else self.below
        first = "above " if self.above is not None else "" if high is not None else "at least "
        last = "below " if self.below is not None else ""
        if low is None:
            return f"{last or 'at most '}{high}" if high is not None else ""
        return f"{first}{low}" + (f" to {last}{high}" if high is not None else "")


Misfit = tuple[int, str, str]


def asked_for(annotation: Any, metadata: Iterable[Any] = (), unit: str = "") -> Asked:
    """Return what a field of this annotation asks for.

    Args:
        annotation: a type of a model's field; `| None` and `Annotated` are looked through.
        metadata: limits beside the annotation, as pydantic keeps them.
        unit: unit of the number.

    Raises:
        KeyError: for a type that no person types in.
    """
    origin = get_origin(annotation)
    if origin is Annotated:
        inner, *beside = get_args(annotation)
        return asked_for(inner, (*beside, *metadata), unit)
    if origin in (Union, types.UnionType):
        inner = next(arg for arg in get_args(annotation) if arg is not type(None))
        return asked_for(inner, metadata, unit)
    if origin is tuple:
        return replace(asked_for(get_args(annotation)[0]), is_list=True)
    if origin is Literal:
        return Asked("word", words=get_args(annotation))
    if isinstance(annotation, type) and issubclass(annotation, enum.StrEnum):
        return Asked("word", words=tuple(str(word) for word in annotation))
    asked = Asked(_KINDS[annotation], unit)
    for limit in _flat(metadata):
        asked = _limited(asked, limit)
    return asked


def _flat(metadata: Iterable[Any]) -> Iterable[Any]:
    """Yield the limits of an annotation; a field of a model holds its own in a list."""
    for each in metadata:
        yield from getattr(each, "metadata", (each,))


def _limited(asked: Asked, limit: Any) -> Asked:
    match limit:
        case annotated_types.Ge(ge=bound):
            return replace(asked, least=Decimal(str(bound)))
        case annotated_types.Le(le=bound):
            return replace(asked, most=Decimal(str(bound)))
        case annotated_types.Gt(gt=bound):
            return replace(asked, above=Decimal(str(bound)))
        case annotated_types.Lt(lt=bound):
            return replace(asked, below=Decimal(str(bound)))
    decimals = getattr(limit, "decimal_places", None)
    return replace(
        asked,
        decimals=asked.decimals if decimals is None else decimals,
        pattern=getattr(limit, "pattern", None) or asked.pattern,
    )


def misfit(value: Any, asked: Asked) -> Misfit | None:
    """Return what is wrong with one value: (kind of mistake, words, remedy); None if it fits."""
    if asked.kind == "yes or no":
        return None if isinstance(value, bool) else _not_yes_or_no(value)
    if asked.kind == "word":
        return _word(value, asked)
    if asked.kind == "date":
        return None if _is_date(value) else _not_a_date(value)
    if asked.kind == "text":
        return _text(value, asked)
    return _number(value, asked)


def _is_date(value: Any) -> bool:
    return isinstance(value, date) and not isinstance(value, datetime)


def _not_a_date(value: Any) -> Misfit:
    says = f"{shown(value)} is not a date"
    if isinstance(value, datetime):
        return WRONG_KIND, says, f"leave the time out: {value.date()}"
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", value):
        return WRONG_KIND, f"{shown(value)} is text, and a date is needed", "leave the quotes out"
    return WRONG_KIND, says, "write year-month-day without quotes, such as 2026-03-31"


def _not_yes_or_no(value: Any) -> Misfit:
    says = f"{shown(value)} is {_kind_of(value)}, and yes or no is needed"
    if isinstance(value, str):
        word = value.strip().lower()
        if word in _YES or word in _NO:
            return WRONG_KIND, says, f"write {'true' if word in _YES else 'false'} without quotes"
    return WRONG_KIND, says, "write true for yes, false for no"


def _kind_of(value: Any) -> str:
    match value:
        case bool():
            return "a yes or no"
        case str():
            return "text"
        case int() | Decimal():
            return "a number"
        case date():
            return "a date"
    return "no single value"


def _word(value: Any, asked: Asked) -> Misfit | None:
    if not isinstance(value, str):
        return (WRONG_KIND, f"{shown(value)} is {_kind_of(value)}, and a word is needed",
                _nearest("", asked))
    if value in asked.words:
        return None
    return WRONG_WORD, f"{shown(value)} is not a word known here", _nearest(value, asked)


def _nearest(word: str, asked: Asked) -> str:
    """Return the word or words that were probably meant, else all of them."""
    words, low = asked.words, word.strip().lower()
    meant_by = asked.short_forms.get(low)
    same = [known for known in words if known.lower() == low or known == meant_by]
    part = [known for known in words if low and low in known.lower().split()]
    meant = same or part
    if meant:
        return "did you mean " + " or ".join(f"'{known}'" for known in meant) + "?"
    return suggestion(word, words) or "choose one of: " + ", ".join(sorted(words))


def _text(value: Any, asked: Asked) -> Misfit | None:
    if not isinstance(value, str):
        plain = isinstance(value, int | Decimal | date) and not isinstance(value, bool)
        mend = f'put it in quotes: "{value}"' if plain else "write it in quotes"
        return WRONG_KIND, f"{shown(value)} is {_kind_of(value)}, and text is needed", mend
    if _HIDING.search(value):
        return (OUT_OF_RANGE, f"{shown(value)} holds a character that cannot be seen",
                "type the text again without it")
    if asked.pattern and not re.fullmatch(asked.pattern, value):
        return OUT_OF_RANGE, f"{shown(value)} is not written as it should be", ""
    return None


def _number(value: Any, asked: Asked) -> Misfit | None:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        says = f"{shown(value)} is {_kind_of(value)}, and a {asked.kind} is needed"
        return WRONG_KIND, says, _as_number(value, asked)
    if asked.kind == "whole number" and not isinstance(value, int):
        whole = value == int(value)
        mend = f"write {int(value)}" if whole else "write a whole number"
        return WRONG_KIND, f"{shown(value)} is not written as a whole number", mend
    return _in_range(Decimal(value), asked)


def _in_range(value: Decimal, asked: Asked) -> Misfit | None:
    """Compare with the limits; say found, limit, difference and direction."""
    unit = f" {asked.unit}" if asked.unit else ""
    mend = f"give a {asked}"
    low = asked.least if asked.least is not None else asked.above
    high = asked.most if asked.most is not None else asked.below
    found = f"{shown(value)}{unit}"
    if asked.below == 1 and 1 <= value <= 100:
        return OUT_OF_RANGE, f"{found} is not below 1, and a share is", _as_share(value)
    if asked.most == 1 and 1 < value <= 100:
        return OUT_OF_RANGE, f"{found} is above 1, and no share is", _as_share(value)
    if low is not None and (value < low or (value == low and asked.above is not None)):
        by = "is not above" if value == low else f"is {low - value:f}{unit} below"
        return OUT_OF_RANGE, f"{found} {by} the least, {low}{unit}", mend
    if high is not None and (value > high or (value == high and asked.below is not None)):
        by = "is not below" if value == high else f"is {value - high:f}{unit} above"
        if asked.unit == "m" and value / 1000 <= high:
            mend += f"; {shown(value)} mm would be {_plain(value / 1000)}"
        return OUT_OF_RANGE, f"{found} {by} the most, {high}{unit}", mend
    places = value.as_tuple().exponent
    if asked.decimals is not None and isinstance(places, int) and -places > asked.decimals:
        return OUT_OF_RANGE, f"{found} has more than {asked.decimals} decimal places", (
            f"give at most {asked.decimals} digits after the point")
    return None


# How many of the unit asked for one of the unit written is.
_IN_UNITS: dict[str, dict[str, Decimal]] = {
    "m": {"mm": Decimal("0.001"), "cm": Decimal("0.01"), "m": Decimal(1), "km": Decimal(1000),
          '"': Decimal("0.0254"), "in": Decimal("0.0254"), "ft": Decimal("0.3048")},
    "mm": {"mm": Decimal(1), "cm": Decimal(10), "m": Decimal(1000), '"': Decimal("25.4"),
           "in": Decimal("25.4")},
    "km": {"m": Decimal("0.001"), "km": Decimal(1)},
    "W": {"w": Decimal(1), "kw": Decimal(1000)},
    "min": {"min": Decimal(1), "mins": Decimal(1), "h": Decimal(60)},
}


def _as_number(value: Any, asked: Asked) -> str:
    """Return how the number that a text seems to hold is written."""
    plain = f"write a {asked}, without quotes"
    if not isinstance(value, str):
        return plain
    if value.strip().lower() in _NO:
        return "write 0 if there is none"
    found = re.fullmatch(r"\s*[£€$]?\s*(-?\d{1,9}(?:[.,]\d{1,9})?)\s*(\D{0,12}?)\s*", value)
    if found is None:
        return plain
    number, unit = Decimal(found.group(1).replace(",", ".")), found.group(2).lower().rstrip(".")
    if unit == "%" and asked.below == 1:
        return _as_share(number)
    if unit and asked.with_words:
        return f'write {number:f}, or {{ value = {number:f}, words = "{value.strip()}" }}'
    if not unit or unit == asked.unit.lower():
        return f"write {number:f} without quotes" + (f"; the unit is {asked.unit}" if unit else "")
    factor = _IN_UNITS.get(asked.unit, {}).get(unit)
    if factor is None:
        return plain
    return f"the unit is {asked.unit}: write {_plain(number * factor)} without quotes"


def _as_share(percent: Decimal) -> str:
    return f"{_plain(percent)} % is written {_plain(percent / 100)}"


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
