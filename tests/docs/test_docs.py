"""What the pages say is true: generated ones are current, links lead somewhere, commands exist."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tools.commands_page import command_helps, without_example
from tools.docs import PAGES, ROOT, faults
from tools.links import broken, pages
from tools.problem_codes import told
from tools.problems_page import codes_without_row

COMMANDS = dict(command_helps())
# Every message here was gone through by hand when it was approved.
APPROVED = sorted((ROOT / "tests" / "errors").rglob("*.txt"))


@pytest.mark.parametrize("name", PAGES)
def test_a_generated_page_is_current(name: str) -> None:
    make: Callable[[], str] = PAGES[name]
    current = (ROOT / name).read_text(encoding="utf-8") == make()
    assert current, f"{name} is not what the code says now: make docs-write"


def test_pages_do_not_hang_on_hash_seed_terminal_or_folder(tmp_path: Path) -> None:
    program = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r})\n"
        "from tools.docs import PAGES\n"
        "import hashlib; print(hashlib.sha256(''.join(m() for m in PAGES.values())"
        ".encode()).hexdigest())")
    digests = {
        subprocess.run(
            [sys.executable, "-c", program], cwd=folder, check=True, capture_output=True,
            text=True, env={**os.environ, "PYTHONHASHSEED": seed, "COLUMNS": columns},
        ).stdout
        for seed, columns, folder in (("1", "40", ROOT), ("2", "200", tmp_path))
    }
    assert len(digests) == 1


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_has_help_with_an_example_of_itself(name: str) -> None:
    says = COMMANDS[name].split("\n\n")[1].strip()
    assert len(says.split()) >= 3, f"{name} does not say what it does"
    assert "Example" in COMMANDS[name]
    assert not [each for each in without_example() if f"`{name}`" in each]


def test_every_example_in_the_help_names_a_command_that_there_is() -> None:
    examples = re.findall(r"^    (estimator(?: [a-z-]+)+)", "\n".join(COMMANDS.values()), re.M)
    assert len(examples) >= len(COMMANDS)
    for example in examples:
        words = example.split()
        assert " ".join(words[:3]) in COMMANDS or " ".join(words[:2]) in COMMANDS


@pytest.mark.parametrize("page", pages(), ids=lambda page: page.relative_to(ROOT).as_posix())
def test_everything_a_page_names_is_there(page: Path) -> None:
    assert list(broken(page, page.read_text(encoding="utf-8"), COMMANDS)) == []


def test_the_page_of_problems_has_every_code_that_the_source_names() -> None:
    assert list(codes_without_row()) == []


def test_the_page_of_problems_has_every_code_of_the_approved_messages() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in APPROVED)
    codes = set(re.findall(r": (?:error|caution) ([A-Z]\d{3}): ", text))
    assert len(codes) > 40
    assert codes - {each.code for each in told()} == set()


def test_the_words_of_approved_messages_are_those_of_the_page() -> None:
    """Each message fits one of the patterns read from the source under its code."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in APPROVED)
    found = re.findall(r": error ([A-Z]\d{3}): (.*)", text)
    assert len(found) > 200
    assert [f"{code}: {says}" for code, says in found if not fits(code, says)] == []


def fits(code: str, says: str) -> bool:
    patterns = [p for each in told() if each.code == code for p in each.says.split(" / ")]
    return any(
        re.search(f"^(?:[^:]*: )?{'.*'.join(map(re.escape, pattern.split('…')))}$", says)
        for pattern in patterns)


@pytest.mark.parametrize(("text", "says"), [
    ("see [the rules](rules.md)", "the link to rules.md leads nowhere"),
    ("see [above](#nothing)", "the link to #nothing names a heading that is not there"),
    ("the file `catalogue/nothing.py`", "there is no catalogue/nothing.py"),
    ("```\nestimator nothing\n```", "there is no command `estimator nothing`"),
    ("`estimator rules nothing`", "there is no command `estimator rules nothing`"),
    ("`make nothing`", "there is no target `make nothing`"),
])
def test_what_is_named_and_not_there_is_told(tmp_path: Path, text: str, says: str) -> None:
    page = tmp_path / "page.md"
    page.write_text(f"# Page\n\n{text}\n", encoding="utf-8")
    (tmp_path / "Makefile").write_text("docs: setup\n", encoding="utf-8")
    assert list(broken(page, page.read_text(encoding="utf-8"), COMMANDS, tmp_path)) == [
        f"page.md: {says}"]


def test_what_is_named_and_there_is_not_told(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "Makefile").write_text("docs: setup\n", encoding="utf-8")
    page = tmp_path / "docs" / "page.md"
    page.write_text(
        "# Some page: of mine\n\n[here](#some-page-of-mine) [it](page.md) `docs/page.md` "
        "`docs/*.md` `estimator rules check --rules docs` `estimator quote SURVEY` `make docs` "
        "https://example.org/docs/nothing\n", encoding="utf-8")
    assert list(broken(page, page.read_text(encoding="utf-8"), COMMANDS, tmp_path)) == []


def test_a_page_that_is_gone_or_old_is_told(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "rules.md").write_text("old", encoding="utf-8")
    found = list(faults(tmp_path))
    for name in PAGES:
        assert f"{name} is not current: make docs-write" in found
    assert "docs/commands.md does not tell of `estimator quote`" in found
