"""Every broken price list beside the exact words that the user reads.

`price_lists/NAME.csv` or `.xml` is read by `column-map.toml` beside it; `NAME.txt` is all that is
told of it, of the whole file or of its rows. What only a workbook can hold (formulas, errors,
hidden rows, formats) is made, and told word for word, in `tests/catalogue/price_lists/`.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from catalogue.price_lists.column_map import read_column_map
from catalogue.price_lists.reading import read_price_list
from catalogue.problems import ProblemsFound

HERE = Path(__file__).parent / "price_lists"
CASES = [path for path in sorted(HERE.iterdir()) if path.suffix in (".csv", ".xml")]
# Made by tests/catalogue/price_lists: sheets, formulas, errors, hidden rows and columns, formats,
# part numbers that are numbers.
ONLY_OF_WORKBOOKS = {"A103", "A105", "A120", "A121", "A122", "A124", "A131"}
OF_WHOLE_FILES = {"A008", "A130"}  # told by tests/catalogue/price_lists/test_whole_files.py


def told(path: Path) -> str:
    try:
        read = read_price_list(path, read_column_map(HERE / "column-map.toml"), path.name)
    except ProblemsFound as found:
        return f"{found}\n"
    return "".join(f"{problem}\n" for problem in (*read.refused, *read.cautions))


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_broken_price_list_is_told_in_these_words(path: Path) -> None:
    assert told(path) == path.with_suffix(".txt").read_text(encoding="utf-8")


def test_every_code_of_a_price_list_has_a_broken_file_or_a_workbook() -> None:
    texts = "".join(path.with_suffix(".txt").read_text(encoding="utf-8") for path in CASES)
    made = "".join(path.read_text(encoding="utf-8") for path in sorted(
        (Path(__file__).parents[1] / "catalogue" / "price_lists").glob("*.py")))
    source = "".join(path.read_text(encoding="utf-8") for path in sorted(
        (Path(__file__).parents[2] / "catalogue" / "price_lists").glob("*.py")))
    codes = set(re.findall(r'"(A1[0-9]{2})"', source))
    assert codes > ONLY_OF_WORKBOOKS
    for code in sorted(codes):
        assert code in (made if code in ONLY_OF_WORKBOOKS | OF_WHOLE_FILES else texts), code
