"""docs/facts.md: the dictionary of facts, by part, with who reads each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

from estimator.practice.pack import FACT_PREFIX
from estimator.rules.check import readers
from estimator.rules.facts import FactDef
from estimator.survey.model import Survey
from estimator.survey.toml import REPEATED, group_model
from tools.markdown import code, page, table
from tools.standard_book import rule_book

ROOT = Path(__file__).resolve().parents[1]
HEADS = ("Fact", "Type", "Unit", "Meaning", "Words", "From", "Read by")
_SAYS = {
    "job": "Which parts the job asks for, and how many journeys it takes.",
    "kit.panel": "The data sheet of the panel chosen.",
    "kit.converter": "The data sheet of the converter chosen.",
    "kit.storage": "The data sheet of the storage module chosen.",
    "kit.rail": "The data sheet of the rail chosen.",
    "practice": "Limits, factors and rates with source and date: see [practice.md](practice.md).",
}


def facts_page() -> str:
    """Return the page."""
    book = rule_book()
    groups: dict[str, list[FactDef]] = {}
    for fact in book.facts.values():
        groups.setdefault(fact.path.rpartition(".")[0], []).append(fact)
    read_by = readers(book)
    sections = [_section(name, facts, read_by) for name, facts in groups.items()]
    formulas = table(
        ("Fact", "Formula"),
        sorted((code(each.fact.path), code(each.value.text)) for each in book.computed))
    return page(
        "Facts",
        "Every fact that a formula may name, by part of the house. A fact nobody has given is "
        "unknown: never zero and never no. Read by: rules, computed facts, and the code that names "
        "the fact. `estimator facts WORD` searches this list.",
        [*sections, f"## Computed facts and their formulas\n\n{formulas}"])


def _section(name: str, facts: Sequence[FactDef], read_by: Mapping[str, Sequence[str]]) -> str:
    rows = (
        (code(fact.path), fact.type, fact.unit, fact.meaning, ", ".join(fact.values), fact.origin,
         ", ".join([*read_by[fact.path], *_code_readers(fact.path)]))
        for fact in facts)
    return f"## {name}\n\n{_about(name)}\n\n{table(HEADS, rows)}"


def _code_readers(path: str) -> Iterator[str]:
    """Yield the modules that name a fact outright; those of rules and survey define facts."""
    named = (f'"{path}"', f'"{path.removeprefix(FACT_PREFIX)}"')
    for file, text in _source_texts().items():
        if any(each in text for each in (named if path.startswith(FACT_PREFIX) else named[:1])):
            yield code(file)


@cache
def _source_texts() -> dict[str, str]:
    others = ("estimator/rules", "estimator/survey", "estimator/practice")
    paths = sorted((ROOT / "estimator").rglob("*.py"))
    found = {path.relative_to(ROOT).as_posix(): path for path in paths}
    return {
        name: path.read_text(encoding="utf-8") for name, path in found.items()
        if not name.startswith(others)}


def _about(name: str) -> str:
    says = _SAYS.get(name) or next(_survey_says(name), "")
    scope = {"plane": " Once for each plane.", "leg": " Once for each leg."}.get(name, "")
    return f"{says}{scope}".strip() or "Computed by the rules."


def _survey_says(name: str) -> Iterator[str]:
    """Yield what the survey's model says of a part, if the part is one of the survey."""
    for group in Survey.model_fields:
        if REPEATED.get(group, group) == name:
            yield (group_model(group).__doc__ or "").strip().splitlines()[0]
