"""Writes the generated pages under docs/, or checks that all pages are true.

    python -m tools.docs --write
    python -m tools.docs --check

The check leaves with status 1 and one line for each thing that is not true.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from estimator.papers.contract import schema_text
from estimator.papers.review_json import review_schema_text
from tools.commands_page import command_helps, commands_page, without_example
from tools.facts_page import facts_page
from tools.hard_fields_page import hard_fields_page
from tools.links import broken, pages
from tools.modules_page import modules_page
from tools.practice_page import practice_page
from tools.problems_page import codes_without_row, problems_page
from tools.rules_page import rules_page

ROOT = Path(__file__).resolve().parents[1]
PAGES: dict[str, Callable[[], str]] = {
    "docs/commands.md": commands_page,
    "docs/facts.md": facts_page,
    "docs/rules.md": rules_page,
    "docs/practice.md": practice_page,
    "docs/substitutes.md": hard_fields_page,
    "docs/problems.md": problems_page,
    "docs/modules.md": modules_page,
    "docs/estimate.schema.json": schema_text,
    "docs/review.schema.json": review_schema_text,
}


def write(root: Path = ROOT) -> list[str]:
    """Write every generated page that is not current; return their names."""
    written = []
    for name, text in _not_current(root):
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
        written.append(name)
    return written


def faults(root: Path = ROOT) -> Iterator[str]:
    """Yield a sentence for everything in the pages that is not true."""
    for name, _ in _not_current(root):
        yield f"{name} is not current: make docs-write"
    commands = [name for name, _ in command_helps()]
    page = root / "docs/commands.md"
    text = page.read_text(encoding="utf-8") if page.exists() else ""
    for name in commands:
        if f"\n## {name}\n" not in text:
            yield f"docs/commands.md does not tell of `{name}`"
    yield from without_example()
    yield from codes_without_row()
    for page in pages():
        yield from broken(page, page.read_text(encoding="utf-8"), commands)


def _not_current(root: Path) -> Iterator[tuple[str, str]]:
    for name, make in PAGES.items():
        path, text = root / name, make()
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            yield name, text


def main(arguments: Sequence[str] | None = None) -> int:
    """Write or check; return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tools.docs", description=__doc__)
    choice = parser.add_mutually_exclusive_group(required=True)
    choice.add_argument("--write", action="store_true", help="write the generated pages")
    choice.add_argument("--check", action="store_true", help="check every page")
    if parser.parse_args(arguments).write:
        _say(f"wrote {name}" for name in write())
        return 0
    found = list(faults())
    _say(found or ["all pages are true"])
    return 1 if found else 0


def _say(lines: Sequence[str] | Iterator[str]) -> None:
    for line in lines:
        sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    sys.exit(main())
