"""Tables and code in Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

GENERATED = "Written by `make docs-write`; do not edit."


def page(title: str, says: str, sections: Iterable[str]) -> str:
    """Return a page: title, what it is, that it is generated, then its sections."""
    return "\n\n".join([f"# {title}", says, GENERATED, *sections]) + "\n"


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table; marks that would break a row are escaped."""
    lines = [_row(heads), _row(["---"] * len(heads))]
    lines += [_row([_cell(each) for each in row]) for row in rows]
    return "\n".join(lines)


def code(text: str) -> str:
    """Return text as code on one line, or nothing for nothing."""
    flat = " ".join(text.split())
    return f"`{flat}`" if flat else ""


def fence(text: str) -> str:
    """Return text as a block, exactly as it is."""
    return f"```text\n{text}\n```"


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(cells) + " |"


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")
