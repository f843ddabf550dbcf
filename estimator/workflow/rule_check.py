"""Check the rules as they stand: the standard ones, with a firm's folders over them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from catalogue.price_book import PriceBook
from estimator.rules.check import RuleCheck, check_rules
from estimator.rules.dictionary import fact_dictionary, practice_definitions
from estimator.rules.load import STANDARD_RULES, read_rule_files, role_units
from estimator.workflow.basis import firm_norms, firm_practice
from estimator.workflow.firm import database_of, firm_files, firm_settings


def check_rule_folders(
    folders: Sequence[Path], on: date, database: str | None = None, *,
    use_catalogue: bool = True,
) -> RuleCheck:
    """Check the standard rules with these folders over them.

    Args:
        folders: a firm's own folders of rule files, or files; a later one overrides by id.
        on: day of the practice values and of the catalogue.
        database: the catalogue to check roles against. A file that is not there is not made;
            roles are then left unchecked.
        use_catalogue: whether roles are checked at all.

    The firm whose folder lies round the current folder adds its own rules, norms and practice
    values, as when it quotes.

    Raises:
        ProblemsFound: if a file cannot be read at all; what is wrong in the rules is in the answer.
    """
    files = firm_files()
    settings = firm_settings(files)
    sources = read_rule_files([STANDARD_RULES, *files.own("rules"), *folders])
    practice = firm_practice(files, settings.firm.country)
    norms = set(firm_norms(files, on))
    dictionary = fact_dictionary(practice_definitions(practice, on))
    prices = _price_book(database_of(database, files), on) if use_catalogue else None
    if prices is None:
        return check_rules(sources, dictionary, norms=norms)
    return check_rules(sources, dictionary, prices.roles(), norms, role_units(prices))


def _price_book(database: str | None, on: date) -> PriceBook | None:
    from catalogue import db, loading

    if db.is_to_be_made(database):
        return None
    with db.session(db.open_database(database), write=False) as work:
        return loading.load_price_book(work, on)
