"""Every broken file beside the exact words that the user reads.

`KIND/NAME.toml` is a broken file, `KIND/NAME.txt` the whole message: each line was gone through by
hand, counting lines and working out differences. A new kind joins by its folder and one line in
READERS. Rules and catalogue files, which need more to be read, have runners of their own.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from catalogue.price_lists.column_map import read_column_map
from catalogue.problems import ProblemsFound
from estimator.settings_file import read_settings
from estimator.survey.toml import read_survey

HERE = Path(__file__).parent
READERS: dict[str, Callable[[Path, str], object]] = {
    "survey": read_survey,
    "settings": read_settings,
    "columns": read_column_map,
}
AT_LEAST = {"survey": 25, "settings": 10, "columns": 5}
CASES = [path for kind in READERS for path in sorted((HERE / kind).glob("*.toml"))]


def told(path: Path) -> str:
    with pytest.raises(ProblemsFound) as caught:
        READERS[path.parent.name](path, path.name)
    return f"{caught.value}\n"


@pytest.mark.parametrize("path", CASES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_a_broken_file_is_told_in_these_words(path: Path) -> None:
    assert told(path) == path.with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", sorted(READERS))
def test_there_are_broken_files_of_each_kind_and_no_stray_message(kind: str) -> None:
    names = {path.stem for path in (HERE / kind).glob("*.toml")}
    assert len(names) >= AT_LEAST[kind]
    assert {path.stem for path in (HERE / kind).glob("*.txt")} == names


def test_every_code_of_a_survey_of_settings_and_of_a_column_map_has_a_broken_file() -> None:
    texts = "".join(path.with_suffix(".txt").read_text(encoding="utf-8") for path in CASES)
    codes = [f"S{number:03}" for number in range(1, 12)]
    # C003 does not exist: no setting is a word of a few. C010 and C011 are cautions.
    codes += [f"C{number:03}" for number in (1, 2, 4, 5, 6, 7, 8, 9, 12, 13)]
    codes += [f"A{number:03}" for number in range(1, 9)]  # column maps of price lists
    assert [code for code in codes if f" error {code}: " not in texts] == []


def test_no_message_speaks_of_the_program_s_insides() -> None:
    texts = "".join(path.with_suffix(".txt").read_text(encoding="utf-8") for path in CASES)
    insides = r"\b(pydantic|Decimal|int|str|bool|dict|tuple|NoneType|None|Traceback|Error|True)\b"
    assert re.findall(insides, texts) == []
