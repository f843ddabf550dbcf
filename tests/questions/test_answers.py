"""The data of plausible answers, and every mistake in a firm's own."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from catalogue.problems import ProblemsFound
from catalogue.toml_source import parse_toml
from estimator.estimate import Basis
from estimator.questions.answers import Answers, read_answers

# Words that a firm chooses by itself; no chance can be told.
NOT_GUESSED = {"board.family", "wishes.panel", "wishes.converter", "wishes.storage"}


def test_every_fact_of_the_survey_has_plausible_answers(
    basis: Basis, answers: Mapping[str, Answers]
) -> None:
    asked = {path for path, fact in basis.rules.facts.items()
             if fact.origin == "survey" and not path.startswith("job.")}
    assert asked - NOT_GUESSED == set(answers)


def test_shares_add_up_to_one_and_every_answer_differs(answers: Mapping[str, Answers]) -> None:
    for each in answers.values():
        assert sum(each.shares) == 1, each.fact
        assert len(set(each.values)) == len(each.values) > 1, each.fact
        assert each.source, each.fact


def test_a_firms_own_answers_take_the_place_of_the_standard_ones(basis: Basis) -> None:
    first = parse_toml('source = "a"\n[[answer]]\nfact = "site.bats"\nvalues = ["true", "false"]\n'
                       'shares = ["0.5", "0.5"]\n', "a.toml")
    own = parse_toml('source = "b"\n[[answer]]\nfact = "site.bats"\nvalues = ["false"]\n'
                     'shares = ["1"]\nminutes = "3"\n', "b.toml")
    held = read_answers([first, own], basis.rules.facts)["site.bats"]
    assert (held.values, held.source, held.minutes) == ((False,), "b", 3)


@pytest.mark.parametrize(("text", "code", "line"), [
    ('bogus = 1\n', "Q001", 1),
    ('[[answer]]\nfact = "site.bats"\nvalue = ["true"]\nvalues = ["true"]\nshares = ["1"]\n',
     "Q001", 3),
    ('answer = 3\n', "Q002", 1),
    ('[[answer]]\nfact = "site.bats"\nvalues = "true"\nshares = ["1"]\n', "Q002", 3),
    ('[[answer]]\nfact = "site.bat"\nvalues = ["true"]\nshares = ["1"]\n', "Q003", 2),
    ('[[answer]]\nfact = "kit.panel.voc_v"\nvalues = ["1"]\nshares = ["1"]\n', "Q003", 2),
    ('[[answer]]\nfact = "site.bats"\nvalues = ["maybe"]\nshares = ["1"]\n', "Q004", 3),
    ('[[answer]]\nfact = "site.storeys"\nvalues = ["1.5"]\nshares = ["1"]\n', "Q004", 3),
    ('[[answer]]\nfact = "plane.covering"\nvalues = ["slates"]\nshares = ["1"]\n', "Q004", 3),
    ('[[answer]]\nfact = "site.bats"\nvalues = ["true", "false"]\nshares = ["1"]\n', "Q005", 4),
    ('[[answer]]\nfact = "site.bats"\nvalues = ["true", "false"]\nshares = ["0.5", "0.6"]\n',
     "Q005", 4),
    ('[[answer]]\nfact = "site.bats"\nvalues = ["true"]\nshares = ["-1"]\n', "Q002", 4),
])
def test_a_mistake_is_told_with_its_line(
    text: str, code: str, line: int, basis: Basis
) -> None:
    with pytest.raises(ProblemsFound) as refused:
        read_answers([parse_toml(text, "own.toml")], basis.rules.facts)
    told = {(each.code, each.where.line) for each in refused.value.problems}
    assert (code, line) in told
    assert all(each.mend for each in refused.value.problems)
