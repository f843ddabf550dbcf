"""A settings file to start from: every key with meaning, unit and default, made from the model."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from catalogue.table_reader import asked_of
from estimator.settings import BuildUp, Buying, Firm, Labour, Pricing, Van

_INTRODUCTION = """\
# The firm's settings. Lines with a # and a space in front are remarks. A # directly before a key
# switches it off: then its default counts. Every default is an INVENTED figure of a worked
# example. Replace each one that says REPLACE before a quote leaves the house.
#
# A share is part of 1: 15 % is written 0.15. Amounts are in the firm's currency, to the penny.
"""
_BUILD_UP = """\
# Instead of giving the two rates above, they can be worked out from what a fitter costs in a
# year. Take away the # before each line and REPLACE every figure; all are invented.
#   hours on jobs = (paid - holiday - sickness and training) x utilisation, rounded down
#   cost_per_hour = (wage x paid hours + tax + pension + van + tools) / hours on jobs
#   overhead_per_hour = overhead / (fitters x hours on jobs)
# With these figures: (2028 - 218 - 62) x 0.72 = 1258 h, 43.98 and 23.85 per hour.
"""
_EXAMPLE = {
    "wage_per_hour": "20.00", "paid_hours": "2028", "employer_tax": "5567.00",
    "pension": "1200.00", "van": "6600.00", "tools": "1400.00", "holiday_hours": "218",
    "sick_training_hours": "62", "utilisation": "0.72", "overhead": "120000.00", "fitters": "4",
}


def settings_template() -> str:
    """Return the text of a settings file in which only the firm's name is switched on."""
    lines = [*_INTRODUCTION.splitlines(), ""]
    sections = (("firm", Firm), ("labour", Labour), ("pricing", Pricing), ("buying", Buying),
                ("van", Van))
    for name, model in sections:
        lines += [f"[{name}]", *_keys(model), ""]
        if name == "labour":
            lines += [*_BUILD_UP.splitlines(), "#[labour.build_up]", *_examples(), ""]
    return "\n".join(lines)


def _keys(model: type[BaseModel]) -> Iterator[str]:
    for name, field in model.model_fields.items():
        asked = asked_of(model, name)
        kind = "true or false" if asked.kind == "yes or no" else str(asked)
        yield from _remark(f"{field.description}; {kind}. REPLACE")
        off = "" if name == "name" else "#"
        yield f"{off}{name} = {_as_toml(field.default)}"


def _examples() -> Iterator[str]:
    for name, field in BuildUp.model_fields.items():
        yield from _remark(f"{field.description}; {asked_of(BuildUp, name)}")
        yield f"#{name} = {_EXAMPLE[name]}"


def _remark(text: str) -> list[str]:
    return textwrap.wrap(text[:1].upper() + text[1:], 96, initial_indent="# ",
                         subsequent_indent="#   ", break_on_hyphens=False)


def _as_toml(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int() | Decimal():
            return str(value)
    return f'"{value}"'
