"""What a firm prices with on a day: its settings, rules, norms and practice, and the price book."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound
from estimator.estimate import Basis
from estimator.labour.norms import Norm, standard_norms
from estimator.practice.pack import Practice, country_folder, read_practice
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files, role_units
from estimator.rules.model import RuleBook
from estimator.settings import Settings
from estimator.workflow.firm import FirmFiles
from estimator.workflow.folder import SETTINGS

_NAMED = 5  # how many values a message names


def firm_settings(files: FirmFiles) -> Settings:
    """Return the firm's settings, or the defaults without a firm's folder."""
    from estimator.settings_file import read_settings

    if files.folder is None:
        return Settings()
    return read_settings(files.folder / SETTINGS)


def firm_cautions(files: FirmFiles, basis: Basis) -> tuple[str, ...]:
    """Return what deserves a second look in the firm's figures; it stops nothing."""
    from catalogue.toml_source import read_toml
    from estimator.settings_file import cautions_about

    if files.folder is None:
        return ("priced with invented default rates and margins, not a firm's own: "
                "lay a folder with `estimator start FOLDER` and set them there",)
    source = read_toml(files.folder / SETTINGS)
    most = basis.practice.number("deposit_most_share", basis.on)
    return tuple(
        f"{each.where}: {each.says}" for each in cautions_about(source, basis.settings, most))


def firm_practice(files: FirmFiles, country: str) -> Practice:
    """Return the practice pack of a country with the firm's own values over it."""
    return read_practice([country_folder(country), *files.own("practice")])


def firm_norms(files: FirmFiles) -> Mapping[str, Norm]:
    """Return the standard norms with the firm's own over them."""
    return standard_norms(
        path for folder in files.own("norms") for path in sorted(folder.glob("*.toml")))


def rule_book(
    files: FirmFiles, practice: Practice, prices: PriceBook, norms: set[str], currency: str
) -> RuleBook:
    """Return the standard rules with the firm's own over them, checked against the catalogue."""
    return load_rule_book(
        read_rule_files([STANDARD_RULES, *files.own("rules")]),
        fact_dictionary(practice_definitions(practice, prices.on)),
        roles=prices.roles(), norms=norms, units=role_units(prices), currency=currency,
    )


def _for_want_of_values(found: ProblemsFound, practice: Practice, on: date) -> ProblemsFound:
    """Return the one cause of many problems, if it is that the day is before the pack's values."""
    in_force = practice.on(on)
    starts = {
        name: min(value.from_date for value in values) for name, values in practice.values.items()
        if name not in in_force and any(
            problem.code == "R104" and f"'practice.{name}'" in problem.says
            for problem in found.problems)
    }
    if not starts:
        return found
    names, day = sorted(starts), max(*starts.values(), on)
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return ProblemsFound([Problem(
        "P015", Place(f"the day {on}"),
        f"practice values that rules read are not in force: {', '.join(names[:_NAMED])}{more}",
        f"choose {day} or later, or state what held then in the firm's practice folder"
        if day > on else "state what holds now in the firm's practice folder")])


def basis_of(files: FirmFiles, prices: PriceBook, on: date) -> Basis:
    """Return everything a job is priced with on a day.

    Raises:
        ProblemsFound: every mistake in the settings; else in the practice values; else in the
            norms; else P015 for practice values that are not in force on the day and are read by
            rules; else every mistake in the rules.
    """
    settings = firm_settings(files)
    practice = firm_practice(files, settings.firm.country)
    norms = firm_norms(files)
    try:
        rules = rule_book(files, practice, prices, set(norms), settings.firm.currency)
    except ProblemsFound as found:
        raise _for_want_of_values(found, practice, on) from found
    return Basis(on, prices, rules, norms, practice, settings)
