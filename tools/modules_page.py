"""docs/modules.md: one line for each module, as its own docstring says it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from tools.markdown import code, page, table

ROOT = Path(__file__).resolve().parents[1]
TOP = ("catalogue", "estimator", "tools", "bench")


def modules_page() -> str:
    """Return the page."""
    return page(
        "Modules",
        "What each module is for. [DEVELOPERS.md](../DEVELOPERS.md) says how they hang together; "
        "a package's own note stands at the head of its `__init__.py`.", list(_sections()))


def _sections() -> Iterator[str]:
    for top in TOP:
        folders = [ROOT / top, *sorted(path for path in (ROOT / top).rglob("*") if path.is_dir())]
        for folder in folders:
            rows = [
                (code(path.relative_to(ROOT).as_posix()), first_line(path))
                for path in sorted(folder.glob("*.py")) if path.name != "__init__.py"]
            if rows:
                name = folder.relative_to(ROOT).as_posix()
                note = folder / "__init__.py"
                says = f"\n\n{first_line(note)}" if note.exists() else ""
                yield f"## {name}{says}\n\n{table(('Module', 'What it is for'), rows)}"


def first_line(path: Path) -> str:
    """Return the first line of a module's docstring, or "" if it has none."""
    docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    return docstring.splitlines()[0] if docstring else ""
