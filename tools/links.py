"""Finds what a page names and is not there: links, headings, files, commands, make targets."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
_LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
_HEADING = re.compile(r"^#+ +(.+)$", re.MULTILINE)
_FENCE = re.compile(r"^```.*?^```", re.MULTILINE | re.DOTALL)
_TOP = r"\.ci|alembic|bench|catalogue|demo_jobs|docs|estimator|tests|tools"
_FILE = re.compile(rf"(?<![\w/.<-])(?:{_TOP})/[\w./*-]*[\w*]")
_CODE = re.compile(r"`([^`\n]+)`")
_COMMAND = re.compile(r"^\s*(?:[\w.\\/-]*[\\/])?estimator ([a-z][a-z-]*)(?: ([a-z][a-z-]*))?")
_MAKE = re.compile(r"^\s*(?:\w+=\S+ )?make ([a-z][a-z-]*)")
_CAPITALS = re.compile(r"\b[A-Z]{3,}\b")


def pages() -> list[Path]:
    """Return the pages that are held true: README and DEVELOPERS if they are there, and docs."""
    named = [ROOT / name for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md")]
    others = [ROOT / "demo_jobs/README.md", ROOT / "tests/rule_cases/README.md"]
    return [*(path for path in (*named, *others) if path.exists()),
            *sorted((ROOT / "docs").glob("*.md"))]


def broken(page: Path, text: str, commands: Collection[str], root: Path = ROOT) -> Iterator[str]:
    """Yield a sentence for everything a page names that is not there.

    Args:
        page: the file, for relative links.
        text: what it holds.
        commands: every command in words ("estimator rules check").
        root: the folder that file names start from.
    """
    shown = page.relative_to(root).as_posix()
    for says in (*_links(page, text), *_files(text, root), *_commands(text, commands),
                 *_targets(text, root)):
        yield f"{shown}: {says}"


def _links(page: Path, text: str) -> Iterator[str]:
    for target in dict.fromkeys(_LINK.findall(_FENCE.sub("", text))):
        if re.match(r"[a-z]+:", target):
            continue  # an address outside
        name, _, heading = target.partition("#")
        file = page.parent / name if name else page
        if not file.exists():
            yield f"the link to {target} leads nowhere"
        elif heading and heading not in _headings(file):
            yield f"the link to {target} names a heading that is not there"


def _headings(file: Path) -> set[str]:
    found = _HEADING.findall(_FENCE.sub("", file.read_text(encoding="utf-8")))
    return {re.sub(r"[^\w -]", "", each.lower()).strip().replace(" ", "-") for each in found}


def _files(text: str, root: Path) -> Iterator[str]:
    """Yield files and folders that are named and not there; NAME in capitals stands for any."""
    for name in dict.fromkeys(_FILE.findall(text)):
        pattern = _CAPITALS.sub("*", name)
        there = any(root.glob(pattern)) if "*" in pattern else (root / name).exists()
        if not there and not _is_made(name):
            yield f"there is no {name}"


def _is_made(name: str) -> bool:
    """Return whether a name is that of something a command makes, and no file of the project."""
    return name.endswith(".db")


def _snippets(text: str) -> Iterator[str]:
    yield from (line for block in _FENCE.findall(text) for line in block.splitlines())
    yield from _CODE.findall(_FENCE.sub("", text))


def _commands(text: str, commands: Collection[str]) -> Iterator[str]:
    groups = {name.rpartition(" ")[0] for name in commands}
    for snippet in dict.fromkeys(_snippets(text)):
        found = _COMMAND.match(snippet)
        if found is None:
            continue
        name, second = f"estimator {found[1]}", found[2]
        if name not in commands:
            yield f"there is no command `{name}`"
        elif second and name in groups and f"{name} {second}" not in commands:
            yield f"there is no command `{name} {second}`"


@cache
def _make_targets(root: Path) -> frozenset[str]:
    makefile = root / "Makefile"
    text = makefile.read_text(encoding="utf-8") if makefile.exists() else ""
    return frozenset(re.findall(r"^([a-z-]+):", text, re.MULTILINE))


def _targets(text: str, root: Path) -> Iterator[str]:
    for snippet in dict.fromkeys(_snippets(text)):
        found = _MAKE.match(snippet)
        if found and found.group(1) not in _make_targets(root):
            yield f"there is no target `make {found.group(1)}`"
