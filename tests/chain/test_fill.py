"""`estimator survey fill`: answers typed one by one, each saved at once."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner

from estimator.cli import main
from estimator.survey.fact import Evidence
from estimator.survey.setting import fact_at
from estimator.survey.toml import read_survey
from tests.chain.desk import DAY

pytestmark = pytest.mark.usefixtures("asked_once")

THIN = '''# as the note says
[job]
id = "A-1"
parts = ["storage", "converter"]
evidence = "seen"
[storage]
modules = 2 # two of them
[[legs]]
name = "board to converter"
run = "converter circuit"
method = "clipped"
length_m = { value = 4, evidence = "measured", words = "4m" }
'''


@pytest.fixture
def thin(desk: Path) -> Path:
    path = desk / "thin.toml"
    path.write_text(THIN)
    return path


def fill(*typed: str) -> str:
    result = CliRunner().invoke(
        main, ["survey", "fill", "thin.toml", "--on", DAY], input="\n".join(typed) + "\n")
    assert result.exception is None, result.output
    return result.output


def asked(output: str) -> Iterator[str]:
    """Yield the questions as they were put."""
    for line in output.splitlines():
        head, dot, rest = line.partition(". ")
        if dot and " of " in head:
            yield rest


def test_an_answer_is_written_with_how_it_is_known_and_the_rest_stays_as_it_is(thin: Path) -> None:
    first = next(asked(fill("q")))
    output = fill("?", "1", "q")  # the first question of this house is one of words or yes and no
    assert next(asked(output)) == first
    text = thin.read_text()
    assert "# as the note says" in text
    assert "modules = 2 # two of them" in text
    assert 'evidence = "customer said"' in text
    added = [line for line in text.splitlines() if line not in THIN.splitlines()]
    assert sum("value = " in line for line in added) == 1
    assert "1 answer written into thin.toml" in output


def test_skipping_and_stopping_write_nothing(thin: Path) -> None:
    output = fill("", "x", "q")
    assert thin.read_text() == THIN
    assert len(list(asked(output))) == 3
    assert "0 answers written" in output


def test_the_end_of_the_typing_stops_and_keeps_what_was_answered(thin: Path) -> None:
    CliRunner().invoke(main, ["survey", "fill", "thin.toml", "--on", DAY], input="1\n")
    assert thin.read_text() != THIN
    read_survey(thin)


def test_a_wrong_answer_is_told_and_asked_again(thin: Path) -> None:
    output = fill("no such word", "q")
    assert thin.read_text() == THIN
    assert output.count("answer (?") == 2


def test_a_fact_of_a_leg_is_written_into_its_own_table(thin: Path) -> None:
    from estimator.workflow.filling import save_answer

    survey = save_answer(thin, "leg[0].length_m", Decimal("6.5"), "measured", "six and a half")
    assert survey.legs[0].length_m.value == Decimal("6.5")
    assert survey.legs[0].length_m.evidence is Evidence.MEASURED
    assert fact_at(read_survey(thin), "leg[0].length_m") is not None
    assert "6.5" in thin.read_text()
    assert "# as the note says" in thin.read_text()


def test_a_file_that_became_faulty_meanwhile_is_left_as_it_is(thin: Path) -> None:
    from catalogue.problems import ProblemsFound
    from estimator.workflow.filling import save_answer

    thin.write_text(THIN + "[supply]\nphases = 9\n")
    before = thin.read_text()
    with pytest.raises(ProblemsFound, match="S004"):
        save_answer(thin, "supply.looped", True, "seen")
    assert thin.read_text() == before


def test_words_may_be_given_by_number_or_by_their_first_letters(thin: Path) -> None:
    from estimator.workflow.filling import OpenQuestion, open_question, read_answer
    from tests.papers.test_asking import worth

    question = open_question(worth("storage.wall", "1", "2", "0"))
    assert isinstance(question, OpenQuestion)
    assert read_answer("1", question) == "concrete"
    assert read_answer("perf", question) == "perforated brick"
    assert read_answer("dense block", question) == "dense block"
    yes = open_question(worth("supply.looped", "1", "2", "0"))
    assert isinstance(yes, OpenQuestion)
    assert (read_answer("y", yes), read_answer("no", yes)) == (True, False)
