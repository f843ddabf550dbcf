"""What a firm prices with on a day: its settings, rules, norms and practice, and the price book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from catalogue.price_book import PriceBook
from catalogue.problems import Place, Problem, ProblemsFound
from catalogue.toml_source import TomlSource
from estimator.estimate import Basis
from estimator.labour.norms import Norm, norm_sources, read_norms
from estimator.practice.pack import Pack, Practice, country_folder, practice_from, read_packs
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files, role_units
from estimator.rules.model import RuleBook
from estimator.workflow.firm import FirmFiles, firm_settings
from estimator.workflow.folder import SETTINGS

_NAMED = 5  # how many values a message names


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
    return practice_from(_packs(files, country))


def _packs(files: FirmFiles, country: str) -> list[Pack]:
    return read_packs([country_folder(country), *files.own("practice")])


def firm_norms(files: FirmFiles, on: date | None = None) -> Mapping[str, Norm]:
    """Return the standard norms with the firm's own over them, as they hold on a day.

    Without a day they are those that hold at any time, such as hours may be booked at.
    """
    return read_norms(norm_files(files), on)


def norm_files(files: FirmFiles) -> list[TomlSource]:
    """Return the file of norms that comes with the program, then the firm's own by name."""
    return norm_sources(
        path for folder in files.own("norms") for path in sorted(folder.glob("*.toml")))


def rule_book(
    sources: Sequence[TomlSource], practice: Practice, prices: PriceBook, norms: set[str],
    currency: str,
) -> RuleBook:
    """Return the rules of these files, checked against the catalogue."""
    return load_rule_book(
        sources, fact_dictionary(practice_definitions(practice, prices.on)),
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


def _for_want_of_norms(
    found: ProblemsFound, sources: Sequence[TomlSource], norms: Mapping[str, Norm], on: date
) -> ProblemsFound:
    """Return the one cause of the problems, if it is that the day is before the firm's norms."""
    waiting = {name: norm for name, norm in read_norms(sources).items() if name not in norms}
    missed = [name for name in sorted(waiting) if any(
        problem.code == "R007" and f"'{name}'" in problem.says for problem in found.problems)]
    if not missed:
        return found
    day = max(waiting[name].from_date for name in missed)
    more = f" and {len(missed) - _NAMED} more" if len(missed) > _NAMED else ""
    return ProblemsFound([Problem(
        "N012", Place(f"the day {on}"),
        f"norms that rules read begin later: {', '.join(missed[:_NAMED])}{more}",
        f"choose {day} or later, or say in the firm's norms folder what held before")])


@dataclass(frozen=True)
class ReadFrom:
    """The files that a basis was read from, in the order in which they count."""

    practice: tuple[TomlSource, ...]
    norms: tuple[TomlSource, ...]
    rules: tuple[TomlSource, ...]


def basis_of(files: FirmFiles, prices: PriceBook, on: date) -> Basis:
    """Return everything a job is priced with on a day; see `read_basis`."""
    return read_basis(files, prices, on)[0]


def read_basis(files: FirmFiles, prices: PriceBook, on: date) -> tuple[Basis, ReadFrom]:
    """Return everything a job is priced with on a day, and the files it was read from.

    Raises:
        ProblemsFound: every mistake in the settings; else in the practice values; else in the
            norms; else N012 for the firm's norms that begin later, or P015 for practice values that
            are not in force on the day, and that rules read; else every mistake in the rules.
    """
    settings = firm_settings(files)
    packs = _packs(files, settings.firm.country)
    practice = practice_from(packs)
    norm_texts = norm_files(files)
    norms = read_norms(norm_texts, on)
    rule_files = read_rule_files([STANDARD_RULES, *files.own("rules")])
    try:
        rules = rule_book(rule_files, practice, prices, set(norms), settings.firm.currency)
    except ProblemsFound as found:
        without_norms = _for_want_of_norms(found, norm_texts, norms, on)
        raise _for_want_of_values(without_norms, practice, on) from found
    read = ReadFrom(
        tuple(source for pack in packs for source in pack.sources), tuple(norm_texts),
        tuple(rule_files))
    return Basis(on, prices, rules, norms, practice, settings), read
