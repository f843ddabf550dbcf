"""The rules, facts and practice values that come with the program, whatever the day."""

from __future__ import annotations

from functools import cache

from estimator.practice.pack import FACT_PREFIX, PACKS, Practice, read_practice
from estimator.rules.dictionary import fact_dictionary
from estimator.rules.facts import FactDef
from estimator.rules.load import STANDARD_RULES, load_rule_book, read_rule_files
from estimator.rules.model import RuleBook

COUNTRY = "gb"


@cache
def packs() -> dict[str, Practice]:
    """Return every practice pack by country."""
    countries = sorted({path.parent.name for path in PACKS.glob("*/*.toml")})
    return {country: read_practice([PACKS / country]) for country in countries}


@cache
def rule_book() -> RuleBook:
    """Return the standard rules, checked against every fact.

    A practice value keeps its type and unit whatever its date, so the page needs no day.
    """
    latest = {
        FACT_PREFIX + name: FactDef(
            FACT_PREFIX + name, values[-1].type, values[-1].unit, values[-1].meaning,
            origin="practice")
        for name, values in packs()[COUNTRY].values.items()
    }
    return load_rule_book(read_rule_files([STANDARD_RULES]), fact_dictionary(latest))
