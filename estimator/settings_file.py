"""Reads a firm's settings file, every mistake at once, and says where a figure needs care."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from catalogue.problems import Problem, ProblemsFound
from catalogue.table_reader import TableReader
from catalogue.toml_source import TomlSource, read_toml
from catalogue.validation import problems_from
from estimator.settings import (
    BuildUp,
    Buying,
    Firm,
    Labour,
    Pricing,
    Settings,
    Van,
    built_cost_per_hour,
    built_overhead_per_hour,
    productive_hours,
)

RATE_TWICE, MARGINS_CROSSED, BAND_TOO_WIDE, DEPOSIT_HIGH, NOT_OWN, NO_HOURS, HALF_OFFICE = range(
    7, 14)
_SECTIONS: dict[str, type[BaseModel]] = {
    "firm": Firm, "labour": Labour, "pricing": Pricing, "buying": Buying,
    "van": Van}
_MARGINS = ("margin_target", "margin_minimum", "manager_below_target")
_WRITTEN = {
    "country": 'two small letters, such as "gb"',
    "currency": 'three capitals, such as "GBP"',
}


def read_settings(path: Path, shown_as: str | None = None) -> Settings:
    """Read a firm's settings file; what is left out keeps its default.

    Raises:
        ProblemsFound: with every mistake: T001 to T004 for a file that is not readable TOML, C001
            unknown key, C002 wrong kind of value, C004 out of range or ill written, C005 wrong
            shape, C006 missing, C007 rate given and built up differently, C008 minimum above
            target, C009 manager's band below the minimum, C012 no productive hours, C013 office
            without fitters or fitters without office.
    """
    return settings_from(read_toml(path, shown_as))


def settings_from(source: TomlSource) -> Settings:
    """Return the settings that a TOML file holds; see `read_settings`."""
    reader = TableReader(source, "C")
    reader.keys(source.data, (), _SECTIONS, _owners())
    data: dict[str, Any] = {}
    for name, model in _SECTIONS.items():
        table = reader.table(source.data.get(name, {}), (name,))
        extra = ("build_up",) if name == "labour" else ()
        reader.keys(table, (name,), (*model.model_fields, *extra), _owners())
        data[name] = reader.fields(model, table, (name,), mends=_WRITTEN)
    _build_up(reader, data["labour"])
    _margins(reader, data["pricing"])
    if reader.problems:
        raise ProblemsFound(reader.in_file_order())
    try:
        return Settings.model_validate(data)
    except ValidationError as error:
        raise ProblemsFound(problems_from(error, source, "C099", Settings)) from error


def cautions_about(
    source: TomlSource, settings: Settings, deposit_most: Decimal | None = None
) -> tuple[Problem, ...]:
    """Return what deserves a second look but stops nothing.

    Args:
        source: the file the settings were read from.
        deposit_most: largest deposit that the practice values allow, as a share.
    """
    reader = TableReader(source, "C")
    share = settings.pricing.deposit_share
    if deposit_most is not None and share > deposit_most:
        reader.tell(DEPOSIT_HIGH, ("pricing", "deposit_share"),
                    f"a deposit of {_percent(share)} is {_points(share - deposit_most)} above "
                    f"the {_percent(deposit_most)} of the consumer code",
                    "the firm's consumer code decides; quotes ask for no more than the code allows")
    unset = [f"{section}.{name} ({getattr(getattr(settings, section), name)})"
             for section in ("labour", "pricing")
             for name in _SECTIONS[section].model_fields
             if not _is_set(source.data, section, name)]
    if unset:
        reader.tell(NOT_OWN, (), "these figures are invented defaults, not the firm's own: "
                    + ", ".join(unset), "set them in the settings file")
    return tuple(
        Problem(each.code, each.where, each.says, each.mend, "caution")
        for each in reader.in_file_order())


def _owners() -> dict[str, str]:
    owners = {name: f"[{section}]" for section, model in _SECTIONS.items()
              for name in model.model_fields}
    return owners | dict.fromkeys(BuildUp.model_fields, "[labour.build_up]")


def _is_set(data: Mapping[str, Any], section: str, name: str) -> bool:
    table = data.get(section, {})
    if name in table:
        return True
    build_up = table.get("build_up", {})
    return (name == "cost_per_hour" and bool(build_up)) or (
        name == "overhead_per_hour" and "overhead" in build_up)


def _build_up(reader: TableReader, labour: dict[str, Any]) -> None:
    """Work out the hourly rates from the build-up, if there is one, and put them in place."""
    path = ("labour", "build_up")
    table = reader.source.data.get("labour", {})
    if not isinstance(table, Mapping) or "build_up" not in table:
        return
    before = len(reader.problems)
    given = reader.table(table["build_up"], path)
    if not isinstance(table["build_up"], Mapping):
        return
    reader.keys(given, path, BuildUp.model_fields, _owners())
    read = reader.fields(BuildUp, given, path)
    if ("overhead" in given) != ("fitters" in given):
        missing = "fitters" if "overhead" in given else "overhead"
        reader.tell(HALF_OFFICE, (*path, missing),
                    "overhead and fitters are given together or not at all",
                    f"give {missing} too, or take the other out")
    if len(reader.problems) > before:
        return
    build_up = BuildUp.model_validate(read)
    if productive_hours(build_up) == 0:
        reader.tell(NO_HOURS, (*path, "paid_hours"),
                    "holiday, sickness and training leave no productive hour",
                    "check the hours and the utilisation")
        return
    for name, built in (("cost_per_hour", built_cost_per_hour(build_up)),
                        ("overhead_per_hour", built_overhead_per_hour(build_up))):
        if built is not None:
            _built_rate(reader, labour, name, built)


def _built_rate(reader: TableReader, labour: dict[str, Any], name: str, built: Decimal) -> None:
    given = labour.get(name, built)
    if given != built:
        way = "more" if given > built else "less"
        reader.tell(RATE_TWICE, ("labour", name),
                    f"{given} is given, and the build-up comes to {built}: "
                    f"{abs(given - built)} {way}",
                    "take one of the two out")
    labour[name] = built


def _margins(reader: TableReader, pricing: Mapping[str, Any]) -> None:
    """Check that target, minimum and the manager's band fit together; defaults count."""
    given = reader.source.data.get("pricing", {})
    if not isinstance(given, Mapping) or any(
            name in given and name not in pricing for name in _MARGINS):
        return  # told already; a default in its place would be compared in vain
    full = Pricing.model_construct(**{**Pricing().model_dump(), **pricing})
    target, minimum = Decimal(full.margin_target), Decimal(full.margin_minimum)
    floor = target - Decimal(full.manager_below_target)
    if minimum > target:
        reader.tell(MARGINS_CROSSED, ("pricing", "margin_minimum"),
                    f"the minimum of {_percent(minimum)} is {_points(minimum - target)} above "
                    f"the target of {_percent(target)}",
                    "the minimum is at most the target")
    elif floor < minimum:
        reader.tell(BAND_TOO_WIDE, ("pricing", "manager_below_target"),
                    f"the manager's band reaches down to {_percent(floor)}, "
                    f"{_points(minimum - floor)} below the minimum of {_percent(minimum)}",
                    f"give at most {target - minimum}: below the minimum only the owner signs")


def _points(share: Decimal) -> str:
    """Return a difference of shares in percentage points."""
    points = _percent(share).removesuffix(" %")
    return f"{points} point{'s' if points != '1' else ''}"


def _percent(share: Decimal) -> str:
    text = f"{share * 100:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) + " %"
