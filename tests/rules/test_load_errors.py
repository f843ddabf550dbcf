"""Messages about broken rule files, word for word.

tests/errors/rules/NAME.toml is the broken file, NAME.txt what the user reads. Lines and columns in
the .txt files were counted by hand.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue.problems import ProblemsFound
from catalogue.toml_source import read_toml
from estimator.rules.dictionary import fact_dictionary
from estimator.rules.load import load_rule_book

FOLDER = Path(__file__).parents[1] / "errors" / "rules"
NAMES = sorted(path.stem for path in FOLDER.glob("*.toml"))
ROLES = frozenset({("mounting", "storage wall bracket"), ("fixing", "wall fixing")})
UNITS = {role: frozenset({"each"}) for role in ROLES}
NORMS = frozenset({"hang-module", "drill"})


def messages(name: str) -> str:
    source = read_toml(FOLDER / f"{name}.toml", f"{name}.toml")
    with pytest.raises(ProblemsFound) as caught:
        load_rule_book([source], fact_dictionary({}), ROLES, NORMS, UNITS)
    return "".join(f"{problem}\n" for problem in caught.value.problems)


@pytest.mark.parametrize("name", NAMES)
def test_a_broken_rule_file_is_told_word_for_word(name: str) -> None:
    assert messages(name) == (FOLDER / f"{name}.txt").read_text(encoding="utf-8")


def test_there_are_broken_files_to_test() -> None:
    assert len(NAMES) >= 6
    assert sorted(path.stem for path in FOLDER.glob("*.txt")) == NAMES
